"""Paper: the worksheet as a PDF, its drawings to scale and its sums to be re-added by hand."""
