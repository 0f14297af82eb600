"""Every combination of the parts that might be fitted, ranked.

candidates.py says what is offered and to which engine, aims.py what limits and
ranks; search.py works the combinations out as arrays, a block (blocks.py) at a
time, and keeps the best (kept.py); weights.py, words.py, data.py tell them.
"""
