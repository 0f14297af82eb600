"""The command of the bench page."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from ccassist.cli.shell import TakeOver, checked_units, command, taking


@command(epilog="Example: ccassist phone myengine.toml")
def phone(
    file: Annotated[
        Path, typer.Argument(metavar="FILE", help="The job file; one that is not there is started.", show_default=False)
    ],
    lan: Annotated[
        str | None,
        taking("--lan", "ADDRESS", "Listen at this private address of this machine, not for this machine alone."),
    ] = None,
    units: Annotated[
        str | None, typer.Option(metavar="metric|imperial", help="Units of bare numbers in a new job.")
    ] = None,
    take_over: TakeOver = False,
) -> None:
    """Walk through the guide on a phone or tablet beside the head: one page, served by this machine until Ctrl-C.

    The job file stays on this machine, which prints each reading. A device is let in by the code that is printed;
    one of them writes, others look. Without --lan only this machine reaches the page, and the lines that would let
    others reach it are printed. It is plain http: anyone on that network can read along.
    """
    from ccassist.cli import phone as work

    raise typer.Exit(work.run(file, lan=lan, units=checked_units(units) or "", take_over=take_over))
