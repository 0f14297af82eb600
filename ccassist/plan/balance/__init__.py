"""Making every cylinder alike: opening, swapping, skimming.

alike.py is the plan and its plain data, and says which pistons and rods may change places; assign.py finds the best
exchange and proves it.
"""
