"""What to do about it: a room for each question that a builder asks of an engine as measured.

In: a :class:`~ccassist.analysis.results.Survey`, and what is asked.  Out: a record of the answer.  What is said of it
stands in :mod:`ccassist.report`.

quick.py    a few dimensions said, made a job of one cylinder
balance     every cylinder alike: open, swap, skim
machining   cuts of head and deck, another gasket
tolerance   what a maker must hold
combine     every combination of the parts on offer
piston      the piston to be ordered
valves      cam card, valve to piston, pockets
solved      unknowns from what they must reach
boost       the turbo target
"""
