"""Commands that say what to do: balance, tolerances, combinations of parts, the turbo target."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Annotated

import typer

from ccassist.cli.app import (
    AsJson,
    Everything,
    Force,
    JobFile,
    OneCylinder,
    Out,
    Page,
    Units,
    command,
    not_together,
    numbered,
    showing,
    taking,
    whole,
)

OutOrPdf = Annotated[
    Path | None, typer.Option("--out", "--pdf", metavar="FILE.pdf", help="Print them to pages too.", show_default=False)
]


@command(epilog="Example: ccassist balance examples/v8-heads.toml")
def balance(
    file: JobFile,
    out: Out = None,
    page: Page = None,
    force: Force = False,
    everything: Everything = False,
    units: Units = None,
    as_json: AsJson = False,
) -> None:
    """Plan how to make every cylinder alike: how much to open, swap or skim."""
    from ccassist.cli import plans as work

    raise typer.Exit(work.balance(file, showing(units, as_json, everything, out=out, page=page, force=force)))


@command(
    epilog="Example: ccassist combine examples/turbo-four.toml --to static_ratio=8.5 --within 'squish=1.0 to 1.3 mm'"
)
def combine(
    file: JobFile,
    to: Annotated[list[str] | None, taking("--to", "TERM=VALUE", "What to come close to; may be repeated.")] = None,
    within: Annotated[list[str] | None, taking("--within", "TERM=RANGE", "What to keep to; may be repeated.")] = None,
    top: Annotated[int, numbered("--top", "How many of the best to show.", "ROWS")] = 20,
    everything: Everything = False,
    keep: Annotated[str | None, taking("--keep", "1,4", "Write these rows into the job file as alternatives.")] = None,
    csv: Annotated[Path | None, taking("--csv", "FILE.csv", "Write the rows there too.")] = None,
    out: OutOrPdf = None,
    page: Page = None,
    force: Force = False,
    units: Units = None,
    as_json: AsJson = False,
) -> None:
    """Every combination of the parts under [choice]: what cannot be built counted, the rest ranked."""
    from ccassist.cli import plans as work

    how = showing(units, as_json, everything, out=out, page=page, force=force)
    kept = [whole(one, "--keep") for one in (keep or "").split(",") if keep]
    asked = work.CombineAsked(to=to or (), within=within or (), top=top, csv=csv, keep=kept)
    raise typer.Exit(work.combine(file, asked, how))


@command(epilog="Example: ccassist alternatives examples/two-donors.toml --build 'mixed build'")
def alternatives(
    file: JobFile,
    build: Annotated[
        list[str] | None, taking("--build", "NAME", "Only this build beside the engine as it is; may be repeated.")
    ] = None,
    by: Annotated[
        str | None, taking("--by", "TERM", "Order them by this term, the least first, such as octane_difference.")
    ] = None,
    everything: Everything = False,
    out: OutOrPdf = None,
    page: Page = None,
    force: Force = False,
    units: Units = None,
    as_json: AsJson = False,
) -> None:
    """Whole builds under [alternative] side by side: the piston each takes, what it gives, what cannot be."""
    from ccassist.cli import plans as work

    how = showing(units, as_json, everything, out=out, page=page, force=force)
    raise typer.Exit(work.alternatives(file, how, build or (), by=by))


@command(
    epilog="Example: ccassist tolerance examples/three-pistons.toml --of static_ratio --holds 'crown_volume=0.5 cc'"
)
def tolerance(
    file: JobFile,
    holds: Annotated[
        list[str] | None,
        taking(
            "--holds",
            "TERM=LIMIT",
            "What the maker holds, ±; with --band the limit may be left out; by default what the order says.",
        ),
    ] = None,
    of: Annotated[str | None, taking("--of", "TERM", "Of which term the band is.")] = None,
    band: Annotated[str | None, taking("--band", "TERM=BAND", "Band wanted: what to ask for then.")] = None,
    cylinder: OneCylinder = None,
    out: Out = None,
    page: Page = None,
    force: Force = False,
    everything: Everything = False,
    units: Units = None,
    as_json: AsJson = False,
) -> None:
    """What band to expect from what the maker holds and what was measured, or what to ask of the maker.

    A job that orders pistons is asked about those, and by default with the tolerances of its order. Without --band
    the range wanted in the job is looked at.
    """
    from ccassist.cli import plans as work

    how = showing(units, as_json, everything, out=out, page=page, force=force)
    raise typer.Exit(work.tolerance(file, how, of=of, holds=holds or (), band=band, cylinder=cylinder))


@command(epilog="Example: ccassist machine examples/v8-heads.toml --equalise --skim-to 'chamber_volume=65.5 cc'")
def machine(
    file: JobFile,
    skim: Annotated[str | None, taking("--skim", "CUT", "Flat cut from the head faces.")] = None,
    skim_to: Annotated[str | None, taking("--skim-to", "TERM=VALUE", "What such a cut must reach.")] = None,
    angle_skim: Annotated[
        str | None, taking("--angle-skim", "CUT|ANGLE", "Tilted cut: at its deep edge '1.5 mm', or '0.6 deg'.")
    ] = None,
    width: Annotated[str | None, taking("--width", "LENGTH", "With it: width of the head across the cut.")] = None,
    centroid: Annotated[
        list[str] | None,
        taking(
            "--centroid",
            "[CYL=]LENGTH",
            "With it: middle of the opening from the edge not cut, or '2=130 mm' for each.",
        ),
    ] = None,
    deck: Annotated[str | None, taking("--deck", "CUT", "Cut from the block's deck.")] = None,
    level: Annotated[bool, typer.Option("--level", help="Take the deck down to its lowest corner first.")] = False,
    gasket_thickness: Annotated[
        str | None, taking("--gasket-thickness", "LENGTH", "Another gasket, tightened.")
    ] = None,
    gasket_bore: Annotated[str | None, taking("--gasket-bore", "LENGTH", "Its bore.")] = None,
    equalise: Annotated[bool, typer.Option("--equalise", help="First open every chamber to the largest.")] = False,
    valve_angle: Annotated[str | None, taking("--valve-angle", "ANGLE", "Valve stem to cylinder axis.")] = None,
    out: Out = None,
    page: Page = None,
    force: Force = False,
    everything: Everything = False,
    units: Units = None,
    as_json: AsJson = False,
) -> None:
    """Skim, tilt-skim, deck or change the gasket: every cylinder before and after, and what else moves.

    What else moves: squish, valve to piston, timing, manifold, least thickness, the order of the work. For the
    volume of a skim it needs the open area of the chamber at the face: stated (chamber_area), or traced or cut
    out with the step opening (from sixteen points on a tracing's corners are found by themselves). Valve to
    piston falls by the cut ÷ cosine of the valve's angle over a flat crown, × it in a pocket: say crown_at_valve
    or pocket_depth under [valve]. Where walls slope, the step stages fills the chamber level by level; then a cut
    takes what truly lies above it, and nothing is guessed below the deepest level. Fluid that wets climbs the
    wall, by most of a cc: that is reckoned with.
    """
    from ccassist.cli import plans as work
    from ccassist.plan.machining.work import MachineAsked

    asked = MachineAsked(
        skim=skim, skim_to=skim_to, angle_skim=angle_skim, width=width, centroids=centroid or (), deck=deck
    )
    asked = replace(asked, level=level, equalise=equalise, valve_angle=valve_angle)
    asked = replace(asked, gasket_thickness=gasket_thickness, gasket_bore=gasket_bore)
    how = showing(units, as_json, everything, out=out, page=page, force=force)
    raise typer.Exit(work.machine(file, how, asked))


@command(epilog="Example: ccassist order examples/three-pistons.toml --out pistons.pdf --page Letter")
def order(
    file: JobFile,
    out: Annotated[Path | None, taking("--out", "FILE.pdf", "The PDF to write.")] = None,
    page: Page = None,
    final: Annotated[
        bool, typer.Option("--final", help="Print as final; refused while it does not fit or a point stands open.")
    ] = False,
    force: Force = False,
    everything: Everything = False,
    units: Units = None,
    as_json: AsJson = False,
) -> None:
    """The piston to be ordered: numbers, tolerances, what does not fit or stands open; the sheet for the maker as PDF.

    Compression height and net crown volume are worked out together from the ratio and the squish gap wanted,
    rounded to what can be cut, with the tolerance that the wanted ranges ask for. Under [order] stands what the
    maker must be told besides (pin, rings, lands, fuel, revision), under [order.crown] the crown's shape, whose
    depth or height may be left to be worked out, under [order.pocket.intake] the valve pockets, under
    [order.to_decide] what is still to be settled and by whom (pin_retention = "the maker").

    FINAL means that it fits: the shape drawn holds the volume ordered, every range wanted is kept with all
    tolerances and every ± at their limit at once, nothing meets head, valve, gasket or rings, the metal wanted is
    there, and what the numbers rest on is known. What does not fit stands in the black bar of the first page with
    the way out, and --final refuses it; what could not be looked at is listed there as NOT CHECKED. A warning can
    be accepted with a reason, which the bar prints (valve_gap = "…" under [order.accepted]); contact, a wrong
    sign and a wrong volume never can. examples/job-file.md lists every check.
    """
    from ccassist.cli import plans as work

    how = showing(units, as_json, everything, out=out, page=page, force=force)
    raise typer.Exit(work.order(file, how, final=final))


@command(epilog="Example: ccassist cam examples/turbo-four.toml --around '40 deg' --every '2 deg'")
def cam(
    file: JobFile,
    around: Annotated[
        str, typer.Option("--around", metavar="DEG", help="How far either side of top dead centre the table goes.")
    ] = "30 deg",
    every: Annotated[str, typer.Option("--every", metavar="DEG", help="Step of the table.")] = "5 deg",
    out: Out = None,
    page: Page = None,
    force: Force = False,
    everything: Everything = False,
    units: Units = None,
    as_json: AsJson = False,
) -> None:
    """The cam card, lifts, valve-to-piston over angle and phasing against the gaps asked, and the pockets needed.

    [cam] takes any of events, durations, centrelines, lobe separation, advance and overlap, with the lift at
    which they were read; the rest is worked out, and what contradicts what is said. [valve.intake] and
    [valve.exhaust] take the valve's diameter, angle and drop, lifts read every 2 to 5 degrees about overlap, and
    the gap you ask for; nobody's gap is assumed. Then the least gap ± and where it is over the whole range of
    phasing, judged at the unsafe end of the ±, and how deep, wide and large a pocket would have to be. Without
    lifts a curve is assumed, said so, and nothing is called held. Clay decides.
    """
    from ccassist.cli import plans as work

    how = showing(units, as_json, everything, out=out, page=page, force=force)
    raise typer.Exit(work.cam(file, how, around=around, every=every))


@command(
    epilog="Examples: ccassist boost examples/turbo-four.toml --curve; "
    "ccassist boost examples/turbo-four.toml --for crown_volume --to octane_difference=0; "
    "ccassist boost examples/turbo-four.toml --levers"
)
def boost(
    file: JobFile,
    curve: Annotated[bool, typer.Option("--curve", help="Also the trapped ratio against intake closing.")] = False,
    unknowns: Annotated[
        list[str] | None,
        taking("--for", "TERM", "What to find for a boosted target: a part, closing, boost, charge, octane or burn."),
    ] = None,
    targets: Annotated[
        list[str] | None,
        taking("--to", "TERM=VALUE", "What it must reach: octane_difference=0 is as hard on the fuel as the baseline."),
    ] = None,
    levers: Annotated[bool, typer.Option("--levers", help="Instead, what a step of each lever does.")] = False,
    out: Out = None,
    page: Page = None,
    everything: Everything = False,
    force: Force = False,
    units: Units = None,
    as_json: AsJson = False,
) -> None:
    """Static, dynamic and effective ratio, each tied to its meaning; how much harder than the baseline; what to change.

    [cam], [charge] and [baseline] say when the intake closes and at which lift that was read, the boost (as a gauge
    shows it, or absolute), the air, and an engine that is known to run clean. Dynamic is the ratio that is trapped at
    intake closing; effective is what an unboosted engine would need for the same of one thing that is named. Knock is
    an octane difference from the baseline with its interval; the answer says which crown, boost, closing or charge
    temperature would make it none, at even odds and in 95 of 100 draws of what is assumed. --for finds a part (crown,
    gasket, chamber; with the compression height also for a squish gap), closing, boost, charge temperature, cooler,
    octane, burn phasing, or (before there is a head) the static ratio, for a trapped ratio, end pressure or
    temperature, an equivalent, or knock equal to the baseline's (octane_difference=0). What [baseline] does not state
    is taken from the engine itself: solver and levers hold it, and each answer says what to write under [baseline].
    """
    how = showing(units, as_json, everything, out=out, page=page, force=force)
    if unknowns or targets:
        not_together("--for and --to", levers=levers, curve=curve)
    elif levers:
        not_together("--levers", curve=curve)
    from ccassist.cli import boost as work

    if unknowns or targets:
        code = work.run_target(file, unknowns or [], targets or [], how)
    elif levers:
        code = work.run_levers(file, how)
    else:
        code = work.run(file, how, with_curve=curve)
    raise typer.Exit(code)
