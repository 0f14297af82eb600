"""Skimming, decking, another gasket: what each does to every cylinder.

asked.py turns texts into work.py; changes.py takes every cylinder through the
cuts (cuts.py, with opening.py for the chamber at its face and target.py for a
cut that must reach something); limits.py says what cannot be, words.py (with
moves.py) what else moves, data.py gives it as plain data.
"""
