"""Commands of the bench: start a job, take readings, look after the burette."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from ccassist.cli.app import (
    AsJson,
    Everything,
    Force,
    JobFile,
    TakeOver,
    Units,
    checked_units,
    command,
    not_together,
    numbered,
    showing,
    taking,
    worded,
)
from ccassist.vocabulary import term


@command(
    epilog=f"Example: ccassist new myengine.toml --cylinders 4 --bore '{term('bore').example()}' "
    f"--stroke '{term('stroke').example()}' --for pistons"
)
def new(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The job file to start.", show_default=False)],
    name: Annotated[str | None, typer.Option(metavar="NAME", help="What the engine or job is called.")] = None,
    cylinders: Annotated[int | None, numbered("--cylinders", "Cylinders, or chambers on the bench.")] = None,
    bore: Annotated[
        str | None, typer.Option(metavar="LENGTH", help=f"Finished bore, such as '{term('bore').example()}'.")
    ] = None,
    stroke: Annotated[str | None, typer.Option(metavar="LENGTH", help="Stroke.")] = None,
    rod: Annotated[str | None, typer.Option(metavar="LENGTH", help="Rod length, centre to centre.")] = None,
    units: Annotated[str | None, typer.Option(metavar="metric|imperial", help="Units of bare numbers.")] = None,
    wanted: Annotated[
        list[str] | None, typer.Option(metavar="TERM=VALUE", help="What is wanted, such as static_ratio=9.5.")
    ] = None,
    job_for: Annotated[
        str | None,
        typer.Option("--for", metavar="ratio|heads|pistons|turbo", help="What the job is for; several with a comma."),
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
            units=checked_units(units),
            wanted=wanted or [],
            job_for=job_for,
            ask=sys.stdin.isatty(),
        )
    )


@command(epilog="Example: ccassist guide myengine.toml --step chamber --cylinder 3")
def guide(
    file: Annotated[
        Path, typer.Argument(metavar="FILE", help="The job file; one that is not there is started.", show_default=False)
    ],
    step: Annotated[
        str | None, typer.Option(metavar="STEP", help="Go straight to this bench step.", show_default=False)
    ] = None,
    cylinder: Annotated[int | None, numbered("--cylinder", "Go straight to this cylinder.")] = None,
    units: Annotated[
        str | None, typer.Option(metavar="metric|imperial", help="Units of bare numbers in a new job.")
    ] = None,
    big: Annotated[bool, typer.Option("--big", help="Last reading and mean in figures read from two metres.")] = False,
    bell: Annotated[bool, typer.Option("--bell", help="Ring when a reading is saved.")] = False,
    plain: Annotated[bool, typer.Option("--plain", help="One line after another, for screen readers.")] = False,
    take_over: TakeOver = False,
) -> None:
    """Start a job or go on with one, bench step by bench step; every reading is saved as it is typed."""
    from ccassist.cli import guide as work

    look = work.Look(plain=plain, big=big, bell=bell)
    said = checked_units(units) or ""
    raise typer.Exit(work.run(file, step=step, cylinder=cylinder, look=look, units=said, take_over=take_over))


Source = Annotated[
    Path | None,
    taking(
        "--from", "FORM.pdf|TABLE.csv|DRAWING.dxf", "Take them from a filled form, a table or a drawing (.dxf, .svg)."
    ),
]
Fields = Annotated[
    list[str] | None, typer.Argument(metavar="NAME=VALUE...", help="The reading, field by field.", show_default=False)
]
StepSaid = Annotated[
    str | None, typer.Argument(metavar="[STEP]", help="The bench step, such as chamber.", show_default=False)
]
Again = Annotated[
    bool, typer.Option("--again", help="With --from: readings that stand in the job from another file, too.")
]
OtherJob = Annotated[bool, typer.Option("--other-job", help="With --from: a form printed for another job.")]
Outline = Annotated[
    str | None, taking("--outline", "NAME", "Of a drawing: the layer (DXF) or id (SVG) of the opening.")
]
Widest = Annotated[str | None, taking("--widest", "LENGTH", "Of a drawing: the opening's greatest width, as measured.")]


@command(
    epilog="Example: ccassist record myengine.toml chamber full=1 each='60 ml' rest='3.5 ml' --cylinder 1 "
    "--state 'seats cut' --instrument 'syringe 60 ml'"
)
def record(
    file: JobFile,
    step: StepSaid = None,
    readings: Fields = None,
    source: Source = None,
    cylinder: Annotated[int | None, numbered("--cylinder", "Cylinder (chamber) measured.")] = None,
    part: Annotated[str | None, worded("PART", "Named part measured.")] = None,
    position: Annotated[int | None, numbered("--position", "Position on the part.")] = None,
    state: Annotated[str, worded("STATE", "State of the part, such as 'seats cut'.")] = "",
    instrument: Annotated[str, worded("NAME", "What it was read with.")] = "",
    fluid: Annotated[str, worded("NAME", "What was filled in.")] = "",
    by: Annotated[str, worded("NAME", "Who read.")] = "",
    date: Annotated[str, worded("DAY", "Day of the readings, such as 2026-10-12 (of a calibration: today).")] = "",
    remark: Annotated[str, worded("WORDS", "Anything worth keeping.")] = "",
    set_aside: Annotated[str, worded("REASON", "Why this reading does not count.")] = "",
    setting: Annotated[list[str] | None, taking("--setting", "NAME=VALUE", "Set-up, such as drop='12.70 mm'.")] = None,
    sure: Annotated[bool, typer.Option("--sure", help="Take an unusual value without asking.")] = False,
    again: Again = False,
    other_job: OtherJob = False,
    outline: Outline = None,
    unit: Annotated[str | None, taking("--unit", "UNIT", "Of a drawing that does not say it: mm, cm or in.")] = None,
    widest: Widest = None,
    take_over: TakeOver = False,
) -> None:
    """Record one reading, or those of a filled form or a table, with the same checks as the guide.

    A form from worksheet --blank, filled on a tablet, comes in by --from form.pdf, readings typed into a
    spreadsheet by --from readings.csv: with the checks of typing, twice without counting anything twice,
    half-filled if need be.

    A drawing (.dxf, .svg) gives the area of one closed outline: record FILE gasket --from ring.dxf, or opening;
    --widest '83.6 +/- 0.1 mm', measured on the part, checks its scale, or gives it. With --setting
    from_edge='40 mm' an opening gets its centroid too, x being from that edge. What is not exact is refused.
    """
    from ccassist.cli import record as work
    from ccassist.job.recording import TypedReading

    typed = TypedReading(
        step=step or "", fields=readings or [], settings=setting or [], sure=sure, cylinder=cylinder, part=part,
        position=position, state=state, by=by, date=date, instrument=instrument, fluid=fluid, remark=remark,
        set_aside=set_aside,
    )  # fmt: skip
    agreed = work.Agreed(sure=sure, again=again, other_job=other_job)
    drawing = {"outline": outline, "unit": unit, "widest": widest}
    raise typer.Exit(work.asked(file, typed, agreed, source=source, drawing=drawing, take_over=take_over))


@command(epilog="Example: ccassist readings examples/v8-heads.toml --csv readings.csv")
def readings(
    file: JobFile,
    csv: Annotated[Path | None, taking("--csv", "FILE.csv", "Write them there as a table.")] = None,
    force: Force = False,
    everything: Everything = False,
    as_json: AsJson = False,
) -> None:
    """List every reading, those set aside too; or write them as a table for a spreadsheet."""
    from ccassist.cli import engine as work

    if csv is not None:
        not_together("--csv", all=everything, json=as_json)
    raise typer.Exit(work.readings(file, showing(None, as_json, everything, force=force), csv=csv))


@command(epilog="Example: ccassist check examples/turbo-four.toml")
def check(file: JobFile, everything: Everything = False, as_json: AsJson = False) -> None:
    """Read a job file and say everything that is wrong or doubtful in it."""
    from ccassist.cli import engine as work

    raise typer.Exit(work.check(file, showing(None, as_json, everything)))


@command(epilog="Example: ccassist calibrate examples/v8-heads.toml --instrument 'shop syringe'")
def calibrate(
    file: JobFile,
    instrument: Annotated[str | None, taking("--instrument", "NAME", "Only this one.")] = None,
    everything: Everything = False,
    units: Units = None,
    as_json: AsJson = False,
) -> None:
    """Calibrate an improvised burette against a scale, or a rod or bore of known size."""
    from ccassist.cli import engine as work

    raise typer.Exit(work.calibrate(file, showing(units, as_json, everything), instrument=instrument))
