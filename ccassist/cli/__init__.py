"""The commands: parse, call, print.  Everything they say is worked out in other rooms.

A command and its file share a name; app.py and app_*.py declare them in the
order of the work.  Only this room knows Typer and the terminal.
"""
