"""The turbo target: a job's boost told, solved for, and set against a baseline.

stated.py reads what the job says; build.py is one engine worked out and its
comparison with the baseline, story.py all of them, field.py the map about them;
into_file.py is one engine and its baseline as they stand, with the levers, and
puts an answer into the job file; solve.py finds what must change, ways.py what
alone would make engine and baseline alike, and how far each can go.
"""
