"""Commands that say what the engine is: a quick ratio, as measured, compared, solved, on paper."""

from __future__ import annotations

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
)


@command(epilog="Example: ccassist show examples/turbo-four.toml --all")
def show(file: JobFile, units: Units = None, everything: Everything = False, as_json: AsJson = False) -> None:
    """Show the engine as measured: every cylinder first, then the spread between them."""
    from ccassist.cli import engine as work

    raise typer.Exit(work.show(file, showing(units, as_json, everything)))


@command(epilog="Example: ccassist compare examples/v8-heads.toml --cylinders 1,4")
def compare(
    file: JobFile,
    of: Annotated[str | None, taking("--of", "TERM", "What to compare; clearance or chamber volume.")] = None,
    cylinders: Annotated[
        str | None, typer.Option(metavar="A,B", help="Two cylinders named beforehand.", show_default=False)
    ] = None,
    parts: Annotated[
        str | None, typer.Option(metavar="NAME,NAME", help="Two parts, by their means.", show_default=False)
    ] = None,
    states: Annotated[
        str | None, typer.Option(metavar="OLD,NEW", help="Before and after work.", show_default=False)
    ] = None,
    part: Annotated[
        str | None, typer.Option(metavar="PART", help="With --states: only this part.", show_default=False)
    ] = None,
    largest: Annotated[bool, typer.Option("--largest", help="Largest against smallest (as by default).")] = False,
    out: Out = None,
    page: Page = None,
    force: Force = False,
    everything: Annotated[bool, typer.Option("--all", help="Every cylinder against every other.")] = False,
    units: Units = None,
    as_json: AsJson = False,
) -> None:
    """Are these two the same? Differences with their own ±, what they share cancelled."""
    from ccassist.cli import engine as work

    two = {"cylinders": cylinders, "parts": parts, "states": states, "part": part}
    how = showing(units, as_json, everything, out=out, page=page, force=force)
    raise typer.Exit(work.compare(file, how, of=of, largest=largest, **two))


@command(epilog="Example: ccassist solve examples/three-pistons.toml --for crown_volume --to static_ratio=9.0")
def solve(
    file: JobFile,
    unknowns: Annotated[list[str], taking("--for", "TERM", "What to find; once or twice.")],
    targets: Annotated[list[str], taking("--to", "TERM=VALUE", "What it must reach; as often.")],
    cylinder: OneCylinder = None,
    out: Out = None,
    page: Page = None,
    force: Force = False,
    everything: Everything = False,
    units: Units = None,
    as_json: AsJson = False,
) -> None:
    """Find any value from any target that depends on it, or two from two; print the algebra.

    Prints the answer ± and in words, the formula with the numbers put in, the check by substitution, what the target
    can reach at all, and the lines that put the answer into the job file; with --all every step. Compression
    height and crown volume can be solved together: --for and --to twice. With intake closing in [cam], --to
    trapped_ratio=7.8 aims at the dynamic ratio, always with the lift at which closing was read.
    """
    from ccassist.cli import engine as work

    how = showing(units, as_json, everything, out=out, page=page, force=force)
    raise typer.Exit(work.solve(file, how, unknowns=unknowns, targets=targets, cylinder=cylinder))


@command(
    epilog="Example: ccassist worksheet examples/turbo-four.toml --out turbo-four.pdf --page Letter; "
    "to print forms for the bench: ccassist worksheet --blank --step chamber --out chamber.pdf"
)
def worksheet(
    file: Annotated[
        Path | None, typer.Argument(metavar="FILE", help="The job file; not needed for --blank.", show_default=False)
    ] = None,
    out: Annotated[Path | None, taking("--out", "FILE.pdf", "The PDF to write; by default FILE with .pdf.")] = None,
    page: Page = None,
    unknowns: Annotated[
        list[str] | None, taking("--for", "TERM", "Print the algebra for one or two unknowns too.")
    ] = None,
    targets: Annotated[list[str] | None, taking("--to", "TERM=VALUE", "What they must reach.")] = None,
    blank: Annotated[bool, typer.Option("--blank", help="Write blank forms for the bench instead.")] = False,
    steps: Annotated[list[str] | None, taking("--step", "STEP", "With --blank: only this step's forms.")] = None,
    everything: Annotated[
        bool, typer.Option("--all", help="With the sums, the algebra, all readings, the budget, the cautions in full.")
    ] = False,
    force: Force = False,
    units: Units = None,
) -> None:
    """Write the worksheet: a page for the customer and the file, a second with the readings; or blank forms."""
    how = showing(units, everything=everything, out=out, page=page, force=force, printed=True)
    from ccassist.cli import engine as work

    if blank:
        not_together("--blank", **{"for": unknowns, "to": targets, "all": everything or None})
        raise typer.Exit(work.blank_forms(file, how, steps or []))
    not_together("a worksheet that is not --blank", step=steps)
    raise typer.Exit(work.worksheet(file, how, unknowns=unknowns or [], targets=targets or []))


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
    out: Out = None,
    page: Page = None,
    force: Force = False,
    everything: Everything = False,
    units: Units = None,
    as_json: AsJson = False,
) -> None:
    """Work out a ratio from a few dimensions, or the dimension for a ratio, without a job file."""
    from ccassist.cli.ratio import run

    how = showing(units, as_json, everything, out=out, page=page, force=force)
    raise typer.Exit(run(pairs or [], how, save=save, cylinders=cylinders))
