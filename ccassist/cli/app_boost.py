"""The command of the turbo target."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from ccassist.cli.shell import AsJson, JobFile, Units, app, checked_units


@app.command(epilog="Example: ccassist boost examples/turbo-four.toml --curve")
def boost(
    file: JobFile,
    curve: Annotated[bool, typer.Option("--curve", help="Also the trapped ratio against intake closing.")] = False,
    out: Annotated[Path | None, typer.Option("--out", help="Print it to pages too, a PDF.", show_default=False)] = None,
    page: Annotated[str, typer.Option("--page", metavar="A4|Letter", help="Page size.")] = "A4",
    units: Units = None,
    as_json: AsJson = False,
) -> None:
    """Static, trapped and boosted ratio side by side, each named by its meaning; knock against a baseline only."""
    from ccassist.cli import boost as work

    raise typer.Exit(work.run(file, system=checked_units(units), as_json=as_json, with_curve=curve, out=out, page=page))
