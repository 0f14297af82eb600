"""Skimming, decking, another gasket: what each does to every cylinder."""
