"""How volumes and lengths are found at the bench: readings in, values with every component of their uncertainty out.

In: the readings of one thing made the same way, a :class:`~ccassist.bench.cell.Cell`. Out: a
:class:`~ccassist.bench.cell.Reduction`, the values by term, line by line, with findings.  Nothing here knows of job
files or of the engine as a whole.

Declared   step.py (what a step is), steps/ (rows), forms.py (the boxes of their paper forms), cautions.py;
           instruments/ and fluids.py (rows), densities.py (published formulas)
Reduced    requirements.py (what must be said first), rows.py (what one row finds), reductions.py, which calls
           fills.py and lengths.py with traced.py; kit.py makes each component that readings share once
Drawn      drawn.py: the outline of an opening as lines, arcs and curves, exact
Scatter    repeats.py (the rule), pooled.py (what was read one way, and what is known before)
Burette    calibrated.py (a scale's straight line), calibration.py (how it is made)
Trouble    trouble.py asks signatures.py and other_cylinders.py what the readings say against themselves
"""
