"""The boosted engine: charge, trapped ratio, compression, and what each "equivalent" ratio holds equal.

Everything here is a planning figure and says what it assumes.  Plain functions,
SI in and out; nothing heavy is loaded at import.
"""
