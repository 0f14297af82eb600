"""Numbers as people write them and as the GUM counts them: quantities, units, uncertainty, findings, words."""
