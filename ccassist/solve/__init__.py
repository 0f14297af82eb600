"""Any terms from as many targets that depend on them.

In: the known numbers of one cylinder and the builder's choices.  Out: an :class:`~ccassist.solve.solver.Answer`.
Nothing here knows of job files.

request.py      what is asked in texts: TERM=VALUE, for every command
question.py     what is asked, and the targets at any trial values (the model, with figures as more nodes)
remarks.py      whether a question is sound, why nothing meets it, what is unusual about an answer
scan.py         what the target can reach, and roots by bracketing
solver.py       ``solve``: one unknown from one target; several in turn, or closed in on at once
algebra.py      the rearranged formula (the only place for SymPy), as numbers or as written text
hand_sum.py     how an answer is come by, as written lines: the equations, rearranged, the numbers put in
"""
