"""``ccassist phone``: the guide as a local page for a phone or tablet."""

from __future__ import annotations

from pathlib import Path

from ccassist.cli.screen import bold_shown, complain, say
from ccassist.job.write import JobFile
from ccassist.phone.door import PORT, checked_address
from ccassist.values.findings import CcassistError
from ccassist.vocabulary.units import SYSTEMS


def _draw(line: str) -> None:
    """A line of the picture, light on dark whatever the terminal's colours are."""
    if bold_shown():
        print(f"\x1b[97;40m{line}\x1b[0m")
    else:
        say(line)


def run(file: Path, *, lan: str | None, units: str, take_over: bool) -> int:
    """Serve the page of a job, one that is not there too, until Ctrl-C."""
    from ccassist.phone.serve import Listening, serve

    try:
        address = checked_address(lan) if lan is not None else ""
        with JobFile.open(file, take_over=take_over, new=True, by="ccassist phone") as job_file:
            serve(job_file, Listening(address=address, port=PORT, system=units or SYSTEMS[0]), say, _draw)
        return 0
    except CcassistError as fault:
        return complain(fault)
