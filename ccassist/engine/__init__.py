"""What an engine is: its equations, each stated once, and the model that joins them.

In: numbers by term key, SI, of whatever kind (floats, uncertain numbers, arrays, SymPy, printed text).  Out: the same.
Nothing here knows of readings, job files, units or words.

mathematics.py                 what a relation is, and the kinds of mathematics it can be done in, also by hand
relations.py                   the relations of lengths, areas, volumes and ratios
slider_crank.py                where the piston is, how fast, what it encloses; intake closing and trapped ratio
model.py                       which relations join what is known to what is wanted

cam.py                         the cam card, and valve lift against crank angle
valve_room.py                  the valve against the piston
crown_shapes.py, skim.py       volumes of dishes, domes and pockets; what a cut of the head takes
pocket_cut.py                  what pockets take of a crown with a dish or dome, and of one another
"""
