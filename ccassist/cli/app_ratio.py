"""The command of a quick ratio."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from ccassist.cli.shell import AsJson, Units, checked_units, command, numbered, taking


@command(
    epilog="Example: ccassist ratio bore=83.4 stroke=91.3 chamber=47.6 gasket=1.14 below=0.23 dish=6.4; "
    "keys: bore stroke chamber gasket gasket_bore; below, proud or deck; dish, dome, reliefs or crown; crevice "
    "chamfer; rod and closing for the dynamic ratio; "
    "leave one out and give ratio=9.5 to find it; a key said twice makes a table"
)
def ratio(
    pairs: Annotated[
        list[str] | None,
        typer.Argument(metavar="KEY=VALUE...", help="Dimensions; bare numbers are mm and cc.", show_default=False),
    ] = None,
    save: Annotated[Path | None, taking("--save", "FILE", "Start a job file with them.")] = None,
    cylinders: Annotated[int, numbered("--cylinders", "With --save: how many cylinders.")] = 1,
    units: Units = None,
    as_json: AsJson = False,
) -> None:
    """Work out a ratio from a few dimensions, or the dimension for a ratio, without a job file."""
    from ccassist.cli.ratio import run

    system = checked_units(units)
    raise typer.Exit(run(pairs or [], system=system, as_json=as_json, save=save, cylinders=cylinders))
