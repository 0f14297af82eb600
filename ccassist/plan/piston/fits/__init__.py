"""Whether the piston to be ordered fits.

case.py holds the numbers at hand, each at its worst; wanted.py, crown.py,
metal.py, rings.py, head.py, valves.py, statements.py and ground.py judge by the
checks declared in :mod:`ccassist.job.sections.order`; judged.py runs
them all and says what was accepted and what could not be looked at.
"""
