"""The band to expect from what the maker holds, and what to ask for.

expected.py puts what is held into one cylinder and tells the band three ways; cylinders.py is what is asked, the
question turned round, and the answer for all.
"""
