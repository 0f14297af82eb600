"""The command of the turbo target."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from ccassist.cli.shell import (
    AsJson,
    Force,
    JobFile,
    Page,
    Units,
    checked_page,
    checked_units,
    command,
    not_together,
    taking,
)


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
    out: Annotated[Path | None, taking("--out", "FILE.pdf", "Print it to pages too, a PDF.")] = None,
    page: Page = None,
    force: Force = False,
    units: Units = None,
    as_json: AsJson = False,
) -> None:
    """Static, trapped and boosted ratio side by side, each named by its meaning; knock against a baseline only.

    [cam], [charge] and [baseline] say when the intake closes and at which lift that was read, the boost (as a
    gauge shows it, or absolute), the air, and an engine that is known to run clean. What the ratio would be worth
    without boost is never one number: each is named by what it holds equal, with when it misleads. Knock is shown
    only as an octane difference from the baseline, with its interval. --for finds a part (crown, gasket, chamber;
    with the compression height also for a squish gap), closing, boost, charge temperature, cooler, octane or burn
    phasing for a trapped ratio, end pressure or temperature, an equivalent, or knock equal to the baseline's
    (octane_difference=0). What [baseline] does not state is taken from the engine itself: solver and levers hold
    it, and each answer says what to write under [baseline].
    """
    system, size = checked_units(units), checked_page(page, "--out", printed=out is not None)
    if unknowns or targets:
        not_together("--for and --to", levers=levers, curve=curve)
        from ccassist.cli import boost_solve

        wish = {"unknowns": unknowns or [], "targets": targets or []}
        code = boost_solve.run(file, **wish, system=system, as_json=as_json, out=out, page=size, force=force)
    elif levers:
        not_together("--levers", curve=curve)
        from ccassist.cli import boost as work

        code = work.run_levers(file, system=system, as_json=as_json, out=out, page=size, force=force)
    else:
        from ccassist.cli import boost as work

        code = work.run(file, system=system, as_json=as_json, with_curve=curve, out=out, page=size, force=force)
    raise typer.Exit(code)
