"""Every combination of the parts that might be fitted, ranked.

candidates.py says what is offered, to which engine, how it weighs, and what limits and ranks; search.py works the
combinations out as arrays, a block at a time, and keeps the best.  :mod:`ccassist.report.combine` tells them.
"""
