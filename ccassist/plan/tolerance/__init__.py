"""The band to expect from what the maker holds, and what to ask for."""
