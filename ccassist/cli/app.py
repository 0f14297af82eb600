"""The command line: thin commands that parse, call and print.

Each command's work is imported when it runs, so that help and the first
prompt come at once.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import Annotated

import typer

from ccassist.findings import CcassistError

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


def _checked_units(units: str | None) -> str | None:
    from ccassist.findings import InputError, error
    from ccassist.units import SYSTEMS

    if units is not None and units not in SYSTEMS:
        raise InputError(
            error("unknown-units", "unknown units", read=units, right="say metric or imperial", place="--units")
        )
    return units


@app.callback(invoke_without_command=True)
def common(version: Annotated[bool, typer.Option("--version", help="Print the version and stop.")] = False) -> None:
    """Options of the program itself."""
    if version:
        from importlib.metadata import version as installed

        typer.echo(f"ccassist {installed('ccassist')}")
        raise typer.Exit


@app.command(
    epilog="Example: ccassist new myengine.toml --cylinders 4 --bore '86.50 mm' --stroke '86 mm' --for pistons"
)
def new(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The job file to start.", show_default=False)],
    name: Annotated[str | None, typer.Option(help="What the engine or job is called.")] = None,
    cylinders: Annotated[int | None, typer.Option(help="Cylinders, or chambers on the bench.")] = None,
    bore: Annotated[str | None, typer.Option(help="Finished bore, such as '86.50 mm'.")] = None,
    stroke: Annotated[str | None, typer.Option(help="Stroke.")] = None,
    rod: Annotated[str | None, typer.Option(help="Rod length, centre to centre.")] = None,
    units: Annotated[str | None, typer.Option(metavar="metric|imperial", help="Units of bare numbers.")] = None,
    wanted: Annotated[list[str] | None, typer.Option(help="What is wanted, such as static_ratio=9.5.")] = None,
    job_for: Annotated[
        str | None, typer.Option("--for", metavar="heads|pistons|turbo", help="Which job it is.")
    ] = None,
) -> None:
    """Start a job file: asks for what is not given, writes a commented file."""
    from ccassist.cli import new as work

    raise typer.Exit(
        work.run(
            file,
            name=name,
            cylinders=cylinders,
            bore=bore,
            stroke=stroke,
            rod=rod,
            units=_checked_units(units),
            wanted=wanted or [],
            job_for=job_for,
            ask=sys.stdin.isatty(),
        )
    )


@app.command(epilog="Example: ccassist guide myengine.toml --step chamber --cylinder 3")
def guide(
    file: JobFile,
    step: Annotated[str | None, typer.Option(help="Go straight to this bench step.", show_default=False)] = None,
    cylinder: Annotated[int | None, typer.Option(help="Go straight to this cylinder.", show_default=False)] = None,
    plain: Annotated[bool, typer.Option(help="One line after another, for screen readers.")] = False,
) -> None:
    """Walk through the bench steps; every reading is saved as it is typed."""
    from ccassist.cli import guide as work

    raise typer.Exit(work.run(file, step=step, cylinder=cylinder, plain=plain))


@app.command(
    epilog="Example: ccassist record myengine.toml chamber start=0 end='46.15 ml' --cylinder 1 "
    "--instrument 'burette 50 ml class B'"
)
def record(
    file: JobFile,
    step: Annotated[str, typer.Argument(help="The bench step, such as chamber.", show_default=False)],
    readings: Annotated[
        list[str], typer.Argument(metavar="NAME=VALUE...", help="The reading, field by field.", show_default=False)
    ],
    cylinder: Annotated[int | None, typer.Option(help="Cylinder (chamber) measured.", show_default=False)] = None,
    part: Annotated[str | None, typer.Option(help="Named part measured.", show_default=False)] = None,
    position: Annotated[int | None, typer.Option(help="Position on the part.", show_default=False)] = None,
    state: Annotated[str, typer.Option(help="State of the part, such as 'seats cut'.")] = "",
    instrument: Annotated[str, typer.Option(help="What it was read with.")] = "",
    fluid: Annotated[str, typer.Option(help="What was filled in.")] = "",
    by: Annotated[str, typer.Option(help="Who read.")] = "",
    remark: Annotated[str, typer.Option(help="Anything worth keeping.")] = "",
    set_aside: Annotated[str, typer.Option(help="Why this reading does not count.")] = "",
    setting: Annotated[
        list[str] | None, typer.Option(metavar="NAME=VALUE", help="Set-up of the step, such as drop='12.70 mm'.")
    ] = None,
    sure: Annotated[bool, typer.Option("--sure", help="Take an unusual value without asking.")] = False,
) -> None:
    """Record one reading without prompts, with the same checks as the guide."""
    from ccassist.cli import record as work

    raise typer.Exit(
        work.run(
            file,
            step,
            readings,
            cylinder=cylinder,
            part=part,
            position=position,
            state=state,
            instrument=instrument,
            fluid=fluid,
            by=by,
            remark=remark,
            set_aside=set_aside,
            settings=setting or [],
            sure=sure,
        )
    )


@app.command(epilog="Example: ccassist check myengine.toml")
def check(file: JobFile, as_json: AsJson = False) -> None:
    """Read a job file and say everything that is wrong or doubtful in it."""
    from ccassist.cli import check as work

    raise typer.Exit(work.run(file, as_json=as_json))


@app.command(epilog="Example: ccassist show myengine.toml --budget")
def show(
    file: JobFile,
    units: Units = None,
    as_json: AsJson = False,
    budget: Annotated[bool, typer.Option("--budget", help="Also show what makes each ±.")] = False,
) -> None:
    """Show the engine as measured: every cylinder first, then the spread between them."""
    from ccassist.cli import show as work

    raise typer.Exit(work.run(file, system=_checked_units(units), as_json=as_json, with_budget=budget))


@app.command(epilog="Example: ccassist compare heads.toml --states 'as received,seats cut' --part 'left head'")
def compare(
    file: JobFile,
    of: Annotated[
        str | None,
        typer.Option("--of", metavar="TERM", help="What to compare; clearance or chamber volume.", show_default=False),
    ] = None,
    cylinders: Annotated[
        str | None, typer.Option(metavar="A,B", help="Two cylinders named beforehand.", show_default=False)
    ] = None,
    parts: Annotated[
        str | None, typer.Option(metavar="NAME,NAME", help="Two parts, by their means.", show_default=False)
    ] = None,
    states: Annotated[
        str | None, typer.Option(metavar="OLD,NEW", help="Before and after work.", show_default=False)
    ] = None,
    part: Annotated[str | None, typer.Option(help="With --states: only this part.", show_default=False)] = None,
    largest: Annotated[bool, typer.Option("--largest", help="Largest against smallest (as by default).")] = False,
    everything: Annotated[bool, typer.Option("--all", help="Every cylinder against every other.")] = False,
    units: Units = None,
    as_json: AsJson = False,
) -> None:
    """Are these two the same? Differences with their own ±, what they share cancelled."""
    from ccassist.cli import compare as work

    asked = work.Asked(
        of=of, cylinders=cylinders, parts=parts, states=states, part=part, largest=largest, everything=everything
    )
    raise typer.Exit(work.run(file, asked, system=_checked_units(units), as_json=as_json))


@app.command(epilog="Example: ccassist solve myengine.toml --for crown_volume --to 'static_ratio=8.8'")
def solve(
    file: JobFile,
    unknowns: Annotated[
        list[str], typer.Option("--for", metavar="TERM", help="What to find; once or twice.", show_default=False)
    ],
    targets: Annotated[
        list[str], typer.Option("--to", metavar="TERM=VALUE", help="What it must reach; as often.", show_default=False)
    ],
    cylinder: Annotated[int | None, typer.Option(help="Only this cylinder.", show_default=False)] = None,
    units: Units = None,
    as_json: AsJson = False,
) -> None:
    """Find any value from any target that depends on it, or two from two; print the algebra."""
    from ccassist.cli import solve as work

    system = _checked_units(units)
    raise typer.Exit(
        work.run(file, unknowns=unknowns, targets=targets, cylinder=cylinder, system=system, as_json=as_json)
    )


@app.command(epilog="Example: ccassist worksheet myengine.toml --out myengine.pdf --page Letter")
def worksheet(
    file: JobFile,
    out: Annotated[
        Path | None, typer.Option("--out", help="The PDF to write; by default FILE with .pdf.", show_default=False)
    ] = None,
    page: Annotated[str, typer.Option("--page", metavar="A4|Letter", help="Page size.")] = "A4",
    unknowns: Annotated[
        list[str] | None,
        typer.Option(
            "--for", metavar="TERM", help="Print the algebra for one or two unknowns too.", show_default=False
        ),
    ] = None,
    targets: Annotated[
        list[str] | None, typer.Option("--to", metavar="TERM=VALUE", help="What they must reach.", show_default=False)
    ] = None,
    units: Units = None,
) -> None:
    """Write the worksheet: summary, drawing, sums, readings, algebra, budget, sign-off."""
    from ccassist.cli import worksheet as work

    system = _checked_units(units)
    raise typer.Exit(work.run(file, out=out, page=page, system=system, unknowns=unknowns or [], targets=targets or []))


@app.command(epilog="Example: ccassist balance heads.toml")
def balance(file: JobFile, units: Units = None, as_json: AsJson = False) -> None:
    """Plan how to make every cylinder alike: how much to open, swap or skim."""
    from ccassist.cli import balance as work

    raise typer.Exit(work.run(file, system=_checked_units(units), as_json=as_json))


@app.command(
    epilog="Example: ccassist combine mixed.toml --to static_ratio=10.5 --within 'squish=0.9 to 1.1 mm' --top 10"
)
def combine(
    file: JobFile,
    to: Annotated[
        list[str] | None,
        typer.Option("--to", metavar="TERM=VALUE", help="What to come close to; may be repeated.", show_default=False),
    ] = None,
    within: Annotated[
        list[str] | None,
        typer.Option("--within", metavar="TERM=RANGE", help="What to keep to; may be repeated.", show_default=False),
    ] = None,
    top: Annotated[int, typer.Option("--top", metavar="ROWS", help="How many of the best to show.")] = 20,
    csv: Annotated[Path | None, typer.Option("--csv", help="Write the rows there too.", show_default=False)] = None,
    units: Units = None,
    as_json: AsJson = False,
) -> None:
    """Every combination of the parts under [choice]: what cannot be built counted, the rest ranked."""
    from ccassist.cli import combine as work

    asked = work.Asked(to=to or (), within=within or (), top=top, csv=csv)
    raise typer.Exit(work.run(file, asked, system=_checked_units(units), as_json=as_json))


@app.command(epilog="Example: ccassist calibrate myheads.toml --instrument 'shop syringe'")
def calibrate(
    file: JobFile,
    instrument: Annotated[
        str | None, typer.Option("--instrument", metavar="NAME", help="Only this one.", show_default=False)
    ] = None,
    units: Units = None,
    as_json: AsJson = False,
) -> None:
    """Calibrate an improvised burette against a scale, or a rod or bore of known size."""
    from ccassist.cli import calibrate as work

    raise typer.Exit(work.run(file, instrument=instrument, system=_checked_units(units), as_json=as_json))


@app.command(epilog="Example: ccassist tolerance myengine.toml --of static_ratio --holds 'crown_volume=0.5 cc'")
def tolerance(
    file: JobFile,
    holds: Annotated[
        list[str],
        typer.Option(
            "--holds",
            metavar="TERM=LIMIT",
            help="What the maker holds, ±; with --band the limit may be left out.",
            show_default=False,
        ),
    ],
    of: Annotated[
        str | None, typer.Option("--of", metavar="TERM", help="Of which term the band is.", show_default=False)
    ] = None,
    band: Annotated[
        str | None,
        typer.Option("--band", metavar="TERM=BAND", help="Band wanted: what to ask for then.", show_default=False),
    ] = None,
    cylinder: Annotated[int | None, typer.Option(help="Only this cylinder.", show_default=False)] = None,
    units: Units = None,
    as_json: AsJson = False,
) -> None:
    """What band to expect from what the maker holds and what was measured, or what to ask of the maker."""
    from ccassist.cli import tolerance as work

    system = _checked_units(units)
    raise typer.Exit(work.run(file, of=of, holds=holds, band=band, cylinder=cylinder, system=system, as_json=as_json))


def main() -> None:
    """Run the program; every fault ends in clear lines and an exit code, never in a traceback."""
    try:
        app(prog_name="ccassist")
    except CcassistError as fault:
        from ccassist.cli.screen import complain

        sys.exit(complain(fault))
    except BrokenPipeError:
        sys.stderr.close()  # the reader went away: nothing more to say to it
        sys.exit(0)
    except KeyboardInterrupt:
        sys.exit(130)
    except Exception as fault:
        if "CCASSIST_TRACEBACK" in os.environ:
            raise
        from ccassist.cli.screen import own_fault

        sys.exit(own_fault(fault))


if __name__ == "__main__":
    main()
