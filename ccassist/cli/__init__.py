"""The commands: parse, call, print.  Everything they say is worked out in other rooms.

app_bench.py, app_engine.py, app_plan.py and phone.py declare them, app.py holds
their table and common options and runs the program.  A command and its
function share a name: engine.py and plans.py hold the short ones, files of
their names the others.  screen.py prints, layout.py sets a report in lines.
Only this room knows Typer and the terminal.
"""
