"""``ccassist phone``: the guide as a local page for a phone or tablet."""

from __future__ import annotations

from pathlib import Path

from ccassist.cli.screen import complain, say
from ccassist.job.write import JobFile
from ccassist.phone.door import PORT, checked_address
from ccassist.values.findings import CcassistError
from ccassist.vocabulary.units import SYSTEMS


def run(file: Path, *, lan: str | None, units: str, take_over: bool) -> int:
    """Serve the page of a job, one that is not there too, until Ctrl-C."""
    from ccassist.phone.serve import Listening, serve

    try:
        address = checked_address(lan) if lan is not None else ""
        with JobFile.open(file, take_over=take_over, new=True, by="ccassist phone") as job_file:
            serve(job_file, Listening(address=address, port=PORT, system=units or SYSTEMS[0]), say)
        return 0
    except CcassistError as fault:
        return complain(fault)
