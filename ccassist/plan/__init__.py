"""What to do about it: a file or a folder for each question that a builder asks of an engine as measured.

In: a :class:`~ccassist.analysis.results.Survey`, and what is asked.  Out: a record of the answer.  What is said of it
stands in :mod:`ccassist.report`.

quick.py         a few dimensions said, made a job of one cylinder
balance.py       every cylinder alike: open, swap (assign.py finds the best exchange and proves it), skim
solved.py        unknowns from what they must reach
tolerance.py     what to ask of the maker for a band; expected.py: the band to expect from what is held
alternatives.py  whole builds side by side
machining/       cuts of head and deck, another gasket
combine/         every combination of the parts on offer
piston/          the piston to be ordered
valves/          cam card, valve to piston, pockets
boost/           the turbo target
"""
