"""From a job to the engine as measured: which value counts, what follows from it, what is worth saying.

cylinder.py        one cylinder, its gasket's layers, and the engine as measured
which_counts.py    of several values the one that counts; the current state; the closing
results.py         the survey of a job; what a change to it would make doubtful
checks.py, plausibility.py   what a builder would be told on looking at the numbers
assembly.py        the whole through the plug hole against the sum of its parts
compare.py         are these two the same?
motion.py          mean and peak piston speed, peak acceleration
benefit.py         whether one more repeat pays, and how much of a ± is only taken
sums.py            sums that add as printed
"""
