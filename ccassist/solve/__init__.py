"""Any one term from any target that depends on it.

In: the known numbers of one cylinder and the builder's choices.  Out: an
:class:`~ccassist.solve.target.Answer`.  Nothing here knows of job files.

target.py       ``solve_for``: puts the rest together and checks the answer
ask.py          whether the question is sound, and what is wrong where it is not
question.py     what is asked, and the target at any trial value (the model)
algebra.py      the rearranged formula (SymPy, here and in rewrite.py only)
rewrite.py      a SymPy expression done again as numbers or as written text
scan.py         what the target can reach, and roots by bracketing
sensitivity.py  how much the target moves with each input
remarks.py      why there is no answer, or what is unusual about it
words.py        the answer as lines of text

together.py     ``solve_together``: two terms from two targets, in turn or at once
pair_case.py    what is asked, and the engine with both unknowns put in
newton.py       two unknowns closed in on at once
pair_words.py   both answers as lines of text
"""
