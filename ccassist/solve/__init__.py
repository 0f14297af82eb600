"""Any one term from any target that depends on it.

In: the known numbers of one cylinder and the builder's choices.  Out: an
:class:`~ccassist.solve.target.Answer`.  Nothing here knows of job files.

question.py     what is asked, and the target at any trial value (the model)
algebra.py      the rearranged formula (SymPy, here only)
scan.py         what the target can reach, and roots by bracketing
sensitivity.py  how much the target moves with each input
target.py       ``solve_for``: puts these together and checks the answer
words.py        the answer as lines of text
"""
