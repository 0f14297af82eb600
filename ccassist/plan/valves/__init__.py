"""The cam card, the valves over the pistons, and the pockets they need.

cam_card.py completes the card, lift.py makes the lift curve; place.py is one
valve over one piston, room.py the least gap over all of them, pocket.py what a
wanted gap needs, nearer.py what comes of head and piston coming nearer,
table.py the gap about overlap; cam.py is all of it together, words.py and
data.py tell it.
"""
