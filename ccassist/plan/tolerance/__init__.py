"""The band to expect from what the maker holds, and what to ask for.

expected.py puts what is held into one cylinder and tells the band three ways,
draws.py one of them; asked.py turns the question round; wish.py is what is
asked, cylinders.py the answer for all.
"""
