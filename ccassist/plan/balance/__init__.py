"""Making every cylinder alike: opening, swapping, skimming.

alike.py is the plan and its plain data; parts.py says which pistons and rods
may change places, assign.py finds the best exchange and proves it.
"""
