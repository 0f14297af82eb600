"""The command line: how the program runs and ends."""

from __future__ import annotations

import gc
import os
import sys

from typer import Abort

from ccassist.cli.shell import Slip, app, in_a_line
from ccassist.values.findings import CcassistError


def program() -> None:
    """The process: what :func:`main` does, without looking for garbage among modules and records that all stay.

    It would take a tenth of a start, and at the end as much again, when everything goes with the process.
    """
    gc.set_threshold(100_000, 20, 20)
    try:
        main()
    finally:
        gc.freeze()


def main() -> None:
    """Run the program; every fault ends in clear lines and an exit code, never in a traceback."""
    try:
        sys.exit(app(prog_name="ccassist", standalone_mode=False))
    except (CcassistError, Slip) as fault:
        from ccassist.cli.screen import complain

        sys.exit(complain(fault if isinstance(fault, CcassistError) else in_a_line(fault)))
    except BrokenPipeError:
        sys.stderr.close()  # the reader went away: nothing more to say to it
        sys.exit(0)
    except (KeyboardInterrupt, Abort):
        sys.exit(130)
    except Exception as fault:
        if "CCASSIST_TRACEBACK" in os.environ:
            raise
        from ccassist.cli.screen import own_fault

        sys.exit(own_fault(fault))
    finally:
        _say_doubts()


def _say_doubts() -> None:
    """What of the saves of this run is to be said, where it saved anything and nobody has said it yet."""
    disk = sys.modules.get("ccassist.job.disk")
    for finding in disk.doubts() if disk is not None else ():
        from ccassist.cli.screen import say

        say(finding.text(), error=True)


if __name__ == "__main__":
    program()
