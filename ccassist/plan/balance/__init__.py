"""Making every cylinder alike: opening, swapping, skimming.

alike.py is the plan; parts.py says which pistons and rods may change places,
assign.py finds the best exchange and proves it, with window.py and sums.py;
data.py gives the plan as plain data.
"""
