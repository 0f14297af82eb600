"""The piston to be ordered.

specification.py works out height and crown, with crown.py and pockets.py for
the shape and tolerances.py for what must be held; planned.py puts that piston
into the engine for whatever else is asked of it; entries.py declares the
fields of the sheet, fields.py fills them and unsettled.py says what is open; mistakes.py, checks.py and
valves.py say what may go wrong, the room fits/ whether it fits; order.py is all of it together, written.py how
its numbers are printed, data.py its plain data.
"""
