"""Every combination of the parts that might be fitted, ranked."""
