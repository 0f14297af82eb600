"""Skimming, decking, another gasket: what each does to every cylinder.

work.py is what is asked, from texts to numbers; changes.py takes every cylinder through the cuts, to a target where
there is one, and says what cannot be; cuts.py is each cut and the chamber at its face.  What is told of a plan stands
in :mod:`ccassist.report.machining`.
"""
