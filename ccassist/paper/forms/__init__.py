"""Blank forms for the bench: pages to print and fill with a pencil, or to fill on a tablet."""
