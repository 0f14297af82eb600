"""Whether the piston to be ordered fits.

case.py puts the order into the engine; crown.py (with pin and rings), head.py and valves.py each look at one side of
it; judged.py joins what they say, and looks at what it all rests on.
"""
