"""The commands: parse, call, print.  Everything they say is worked out in other rooms.

A command and its file share a name; app_bench.py, app_engine.py, app_plan.py
and app_boost.py declare them, shell.py holds their table and common options,
app.py runs the program, screen.py prints.  Only this room knows Typer and the
terminal.
"""
