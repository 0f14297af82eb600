"""The piston to be ordered.

specification.py works out height and crown and what must be held, with crown.py for the shape; fields.py declares and
fills the fields of the sheet; checks.py says what may go wrong and what is not settled.

Whether it fits: fits_case.py puts the order into the engine; fits_crown.py (with pin and rings), fits_head.py and
fits_valves.py each look at one side of it; fits.py joins what they say, and looks at what it all rests on.
"""
