"""Whether the piston to be ordered fits.

case.py puts the order into the engine; crown.py, head.py, valves.py, rings.py
and ground.py each look at one side of it; judged.py joins what they say.
"""
