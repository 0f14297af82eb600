"""Coverage proved: of the intervals stated at 95 %, how many hold the truth.

Run from the project's folder, in an environment with the package installed:

    python -m tests.benchmarks.coverage [JOBS] [WORKERS] [METHOD ...]

A bench simulator makes true parts and instruments whose errors are as large as
their class permits, reads the parts as a mechanic would, writes a job file and
hands it to the real pipeline.  2,000 jobs a method unless said otherwise.

``tools`` and ``fluids`` are the simulator's own physics; ``fills``, ``engines``
and ``methods`` make the jobs that ``written`` writes down; ``tally`` runs the
pipeline and counts.  None but ``tally`` imports the package.

The table says of each result: the share of intervals that hold the truth, the
mean ±, its width (over twice the root of the mean squared error), mean error
over mean ±, the share of the variance that the largest rectangular cause makes
(median), and the fewest degrees of freedom behind any scatter in it.  A line
fails under 93 %, over 97.5 % without a reason that is told, with a mean error
over a tenth of the mean ±, or with a width outside 0.9 to 1.3 (not where one
limit makes over half, two deliveries bear it twice, or a declared scatter
serves for fewer than four degrees: those are shown with what they hold); one
failure ends the program with 1.  The reason: a limit taken as known makes over
half of the variance; its shape is used, but an instrument rarely reaches its
limit at every amount.
"""
