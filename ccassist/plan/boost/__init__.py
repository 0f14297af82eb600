"""The turbo target: a job's boost told, solved for, and set against a baseline.

stated.py reads what the job says; build.py is one engine worked out, story.py
all of them with their baseline, knock.py the comparison with it, field.py the
map about them; stands.py is one engine and its baseline as they stand, with the
levers; solve.py finds what must change, into_file.py puts it into the job file,
answers.py holds answers and levers with their cautions; lines.py, words.py, lever_words.py, answer_words.py and
data.py tell it.
"""
