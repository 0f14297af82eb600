"""The cam card, the valves over the pistons, and the pockets they need.

cam_card.py completes the card, lift.py makes the lift curve; place.py is one
valve over one piston, room.py the least gap over all of them and the pocket
that a wanted gap needs; cam.py is all of it together with its table, and what
comes of head and piston coming nearer.
"""
