"""Intake closing of an engine, from what is stated of its cam, and the lift for which it holds, in words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from ccassist.engine.cam import complete, counting
from ccassist.job.records import Job
from ccassist.values.display import show, show_value
from ccassist.values.findings import Finding, note
from ccassist.values.measured import Value, computed

CLOSING = "intake_closing"


def closing_of(job: Job, cam: Mapping[str, Value]) -> Value | None:
    """Intake closing [rad after bottom dead centre], as stated or as the rest of the card makes it.

    ``cam`` : what the job states of its cam.  What it hangs on says the lift; None where it is not known.
    """
    basis = lift_basis(job, cam.get("event_lift"), job.system)
    if CLOSING in cam:
        one = cam[CLOSING]
        return replace(one, how=", ".join(filter(None, (one.how, basis))))
    figures, how = complete(counting({key: one.number for key, one in cam.items()}))
    if CLOSING not in figures:
        return None
    return computed(CLOSING, figures[CLOSING], f"worked out: {how[CLOSING]}, {basis}")


def with_basis(trapped: Value, closing: Value) -> Value:
    """A trapped ratio that says the lift at which its closing was read."""
    return replace(trapped, how=f"{trapped.how}; intake closing {closing.how}")


def trapped_text(closing: Value, system: str) -> str:
    """What must be said wherever a trapped ratio is shown."""
    shown = show_value(closing, system=system)
    return f"Trapped ratio is geometry alone, for intake closing {shown}, {closing.how}."


def basis_notes(job: Job, cam: Mapping[str, Value], keys: Iterable[str], system: str) -> tuple[Finding, ...]:
    """That figures hold for one lift only, where any of the terms hangs on intake closing."""
    if not {CLOSING, "trapped_ratio"} & set(keys):
        return ()
    basis = lift_basis(job, cam.get("event_lift"), system)
    wrong = f"intake closing and trapped ratio hold {basis}: the same cam read at another lift gives others"
    return (note("closing-basis", wrong, file=job.file),)


def lift_basis(job: Job, lift: Value | None, system: str) -> str:
    """The lift at which valve events hold, in words.

    ``lift`` : as stated; None where it is not.
    """
    if lift is None:
        return "at a lift that is not said"
    if lift.nominal == 0:
        return "seat to seat"
    where = job.said.get("cam", {}).get("lift_read_at", "")
    shown = show("event_lift", lift.nominal, system=system)
    return f"at {shown} lift of {where}" if where else f"at {shown} lift, at the valve or the tappet is not said"
