"""What an engine is: its equations, each stated once, and the model that joins them.

In: numbers by term key, SI, of whatever kind (floats, uncertain numbers,
arrays, SymPy, printed text).  Out: the same.  Nothing here knows of readings,
job files, units or words.

relation.py, mathematics.py    what a relation is, and the kinds of mathematics it can be done in
relations.py, intake.py        the relations, of the volumes and of the closing intake
model.py                       which of them join what is known to what is wanted
handsum.py                     a relation written out as at the bench

slider_crank.py                where the piston is, how fast, and what it encloses
cam.py, lift_curve.py          the cam card, and valve lift against crank angle
valve_room.py                  the valve against the piston
crown_shapes.py, skim.py       volumes of dishes, domes and pockets; what a cut of the head takes
monotone.py                    a curve through points that never overshoots
"""
