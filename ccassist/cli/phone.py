"""``ccassist phone``: the guide as a local page for a phone or tablet."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from ccassist.cli.app import TakeOver, checked_units, command, taking
from ccassist.cli.screen import bold_shown, complain, say
from ccassist.values.findings import CcassistError
from ccassist.vocabulary.units import SYSTEMS


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
    raise typer.Exit(run(file, lan=lan, units=checked_units(units) or "", take_over=take_over))


def _draw(line: str) -> None:
    """A line of the picture, light on dark whatever the terminal's colours are."""
    if bold_shown():
        print(f"\x1b[97;40m{line}\x1b[0m")
    else:
        say(line)


def run(file: Path, *, lan: str | None, units: str, take_over: bool) -> int:
    """Serve the page of a job, one that is not there too, until Ctrl-C."""
    from ccassist.job.write import JobFile
    from ccassist.phone.door import PORT, checked_address
    from ccassist.phone.serve import Listening, serve

    try:
        address = checked_address(lan) if lan is not None else ""
        with JobFile.open(file, take_over=take_over, new=True, by="ccassist phone") as job_file:
            serve(job_file, Listening(address=address, port=PORT, system=units or SYSTEMS[0]), say, _draw)
        return 0
    except CcassistError as fault:
        return complain(fault)
