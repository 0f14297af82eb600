"""Making every cylinder alike: opening, swapping, skimming."""
