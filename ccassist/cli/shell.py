"""The program and the options that several of its commands take.

Each command's work is imported when it runs, so that help and the first
prompt come at once.
"""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

app = typer.Typer(
    name="ccassist",
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    help="Compression and chamber volumes from bench readings: each cylinder's ratio with its ±, any unknown solved, "
    "and a worksheet to print. Everything stays on this machine, in one job file that you can edit by hand.\n\n"
    "Start with: ccassist new myengine.toml",
)

JobFile = Annotated[Path, typer.Argument(metavar="FILE", help="The job file.", show_default=False)]
Units = Annotated[
    str | None,
    typer.Option(
        "--units", metavar="metric|imperial", help="Show in these units, not the job's own.", show_default=False
    ),
]
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON, in SI units.")]


def checked_units(units: str | None) -> str | None:
    """The system asked for, or None.

    Raises
    ------
    InputError : there is no such system.
    """
    from ccassist.findings import InputError, error
    from ccassist.units import SYSTEMS

    if units is not None and units not in SYSTEMS:
        raise InputError(
            error("unknown-units", "unknown units", read=units, right="say metric or imperial", place="--units")
        )
    return units


def not_together(option: str, **others: object) -> None:
    """Refuse options that another one makes idle: what is asked for must not be passed over in silence.

    ``others`` : option without its dashes -> what was given for it; "" , None, False or nothing where it was not.

    Raises
    ------
    InputError : one was given.
    """
    from ccassist.findings import InputError, error

    idle = [f"--{name}" for name, given in others.items() if given not in (None, False, "", [])]
    if idle:
        wrong = f"{' and '.join(idle)} would do nothing beside {option}"
        raise InputError(error("half-a-question", wrong, right="give one or the other"))


@app.callback(invoke_without_command=True)
def common(version: Annotated[bool, typer.Option("--version", help="Print the version and stop.")] = False) -> None:
    """Options of the program itself."""
    if version:
        from importlib.metadata import version as installed

        typer.echo(f"ccassist {installed('ccassist')}")
        raise typer.Exit
