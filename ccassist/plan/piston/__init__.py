"""The piston to be ordered.

specification.py works out height and crown and what must be held, with crown.py for the shape; fields.py declares and
fills the fields of the sheet; checks.py says what may go wrong and what is not settled, the room fits/ whether it fits.
"""
