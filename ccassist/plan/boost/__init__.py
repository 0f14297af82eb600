"""The turbo target: a job's boost told, solved for, and set against a baseline.

stated.py reads what the job says; build.py is one engine worked out, story.py
all of them with their baseline, knock.py the comparison with it, field.py the
map about them; solve.py finds what must change, answers.py that and the levers
with their cautions; lines.py, words.py, lever_words.py, answer_words.py and
data.py tell it.
"""
