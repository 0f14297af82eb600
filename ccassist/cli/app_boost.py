"""The command of the turbo target."""

from __future__ import annotations

from typing import Annotated

import typer

from ccassist.cli.shell import (
    AsJson,
    Everything,
    Force,
    JobFile,
    Out,
    Page,
    Units,
    command,
    not_together,
    showing,
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
