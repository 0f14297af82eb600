"""Pin, rings and lands against one another and against the bore."""

from __future__ import annotations

from collections.abc import Iterator

from ccassist.plan.piston.fits.case import Case, Fault, Told, Unseen
from ccassist.plan.tolerance.expected import reach
from ccassist.values.findings import clean
from ccassist.values.number import nominal
from ccassist.vocabulary import term

_STACK = ("land_height", "top_ring_width", "second_ring_width", "oil_ring_width")


def pin(case: Case) -> Iterator[Told]:
    """The pin bore against the lowest ring groove."""
    size, height = case.number("pin_diameter"), case.first.get("compression_height")
    if size is None or height is None:
        yield Unseen(what="pin against the rings", lacks=f"not given: {term('pin_diameter').name}")
        return
    pack, stack = case.number("ring_pack_depth"), [case.number(key) for key in _STACK]
    known = [one for one in stack if one is not None]
    if pack is None and len(known) < len(stack):
        yield Unseen(what="pin against the rings", lacks=f"not given: {term('ring_pack_depth').name}")
        return
    lowest = pack if pack is not None else sum(known)  # without the lands between the rings, which are not known
    room = reach(height.number - size / 2 - lowest).low
    if room < 0:
        yield _cut(case, -room)
    elif pack is None:
        lacks = (
            f"not given: {term('ring_pack_depth').name}; without the lands {case.said('land_height', room)} are left"
        )
        yield Unseen(what="pin against the rings", lacks=lacks)


def _cut(case: Case, by: float) -> Fault:
    """The pin bore cuts into the grooves: a rail over the oil ring's settles it, where it goes no farther."""
    oil, rail = case.number("oil_ring_width"), case.spec.said.get("support_rail", "")
    within = oil is not None and by <= nominal(oil)
    what = "the oil-ring groove" if within or oil is None else "the land above the oil-ring groove"
    wrong = f"the pin bore cuts into {what} by {case.short('land_height', by, 0.0)} at its worst"
    return Fault(key="pin_groove", wrong=wrong, settled=f"support rail: {clean(rail, 200)}" if rail and within else "")


def ring_pack(case: Case) -> Iterator[Told]:
    """Land and rings within the depth of the ring pack."""
    pack = case.number("ring_pack_depth")
    known = {key: number for key in _STACK if (number := case.number(key)) is not None}
    if pack is None or not known:
        return
    over = -reach(pack - sum(known.values())).low
    if over > 0:
        names = " + ".join(term(key).name for key in known)
        depth = case.said("ring_pack_depth", nominal(pack))
        wrong = f"{names} exceed the ring pack depth of {depth} by {case.short('land_height', over, 0.0)} at the worst"
        yield Fault(key="ring_pack", wrong=wrong)


def pin_length(case: Case) -> Iterator[Told]:
    """The pin shorter than the bore, and longer than the small end is wide."""
    pin, bore, rod = case.span("pin_length"), case.least_bore, case.span("rod_width")
    if pin is None:
        return
    if bore is not None and pin.high >= bore.low:
        wrong = f"the pin, {case.said('pin_length', pin.high)} long, is not shorter than the bore"
        yield Fault(key="pin_length", wrong=wrong)
    if rod is not None and rod.high >= pin.low:
        wrong = f"the small end, {case.said('rod_width', rod.high)} wide, takes the whole pin"
        yield Fault(key="pin_length", wrong=wrong)


def land(case: Case) -> Iterator[Told]:
    """The top land against the smallest bore, and against the room that the skirt has."""
    number, bore = case.number("land_diameter"), case.least_bore
    if number is None or bore is None:
        yield Unseen(what="top land against the bore", lacks=f"not given: {term('land_diameter').name}")
        return
    gap = min(reach(one - number).low for one in case.all("bore"))
    skirt = case.number("wall_clearance")
    if gap <= 0:
        size, by = case.said("land_diameter", nominal(number)), case.short("land_height", -gap, 0.0)
        wrong = f"the top land, {size}, is larger than the smallest bore by {by} at its worst"
        yield Fault(key="land_bore", wrong=wrong)
    elif skirt is not None and gap <= nominal(skirt):
        room, wanted = case.short("wall_clearance", gap, nominal(skirt)), case.said("wall_clearance", nominal(skirt))
        yield Fault(key="land_clearance", wrong=f"the top land has {room} of room at its worst, the skirt {wanted}")
