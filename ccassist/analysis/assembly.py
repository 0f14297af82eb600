"""The whole assembly through the plug hole against the sum of its parts.

Both are volumes of the same space, so their difference is judged against its own ±: what they share (a burette's error,
a fluid's density, the plug's nose) is the same uncertain number on both sides and cancels.  Where burette and fluid
differ, the difference over its uncertainty expanded with k = 2 is the number that ISO/IEC 17043:2010, B.3.1.3 and ISO
13528:2022, 9.7 (from memory) call E_n; where one of them filled both, agreement does not confirm it, and it is not
called so.  The verdict rests on the ± at 95 %, by Student's t and the shape of the causes: it may differ from that of
E_n where repeats are few.

The fluid stands in the crevice and in the chamfer whatever the builder counts, so the sum it is set against counts
them.  The ratio rests on the sum of parts all the same.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from ccassist.bench.cell import Cell, Reading, Reduction
from ccassist.bench.fills import SLIGHT
from ccassist.bench.pooled import ROUND_REFILLS, WIDE_FILLS
from ccassist.bench.rows import leak_of
from ccassist.bench.signatures import refill_in
from ccassist.bench.steps.crown import SEAT
from ccassist.engine.mathematics import uncertain
from ccassist.engine.model import build
from ccassist.values.display import Formatter, cc, fixed, places, spread_text
from ccassist.values.findings import Finding, clean, note, warning
from ccassist.values.measured import Value, computed, judged_at
from ccassist.values.number import Number, nominal, standard
from ccassist.values.uncertainty import expand
from ccassist.values.verdict import Verdict, of_difference
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import conversion

if TYPE_CHECKING:
    from ccassist.analysis.cylinder import Cylinder, MeasuredEngine


# Why a whole assembly does not hold what its parts add up to: causes that have a size or a direction of their own.
#
# Source of all of them: common practice, no source; screw threads as said.

LEAST = 0.2e-6  # m³; a size is never looked for closer than that
SHARE = 0.6  # of a cause's own size: farther off it is not that cause
USUAL_CREVICE = 0.8e-6  # m³; of a cylinder whose land was not measured
SQUEEZED = 0.2  # of its free thickness; what tightening usually takes off a composite gasket
OVER_THE_BORE = 1.15e-3  # m; by how much a gasket is usually wider than the bore

# Major diameter, pitch and the usual lengths of plug threads [mm].  Pitch diameter d − 0.6495 P: ISO 724 (from memory).
PLUGS = ((14.0, 1.25), (12.0, 1.25), (10.0, 1.0))
REACHES = (12.7, 19.0, 26.5)


@record(kw_only=False)
class LikelyCause:
    """One cause: in words, what to do, and the difference [m³] it would make (0 where it has no size)."""

    words: str
    remedy: str
    size: float = 0.0


@record
class WholeFill:
    """What the causes are looked for in: the cylinder's terms, the fill of the whole, what is known of it."""

    values: Mapping[str, Value]
    fill: Cell
    crevice_known: bool
    rising: bool

    def number(self, key: str) -> float:
        """A term's SI number; 0 where it is not known."""
        return self.values[key].nominal if key in self.values else 0.0


def likely_causes(gap: float, near: float, facts: WholeFill) -> tuple[LikelyCause, ...]:
    """The likeliest causes of a difference, the likeliest first.

    All whose size fits within the ± are alike likely by it: they stand in the trade's order, before what has a
    direction and no size.

    gap : whole less sum of parts, m³.
    near : ± of the difference [m³], NaN where it is not known: how close a cause's size must come.
    facts : the cylinder and its fill.
    """
    refill = refill_in(gap, ROUND_REFILLS, 0.0 if math.isnan(near) else near)
    if refill is not None:
        words = f"a refill of {cc(refill, 0)} miscounted, in the whole or in a part"
        return (LikelyCause(words, "look at the starts and ends of every refill", refill),)
    window = LEAST if math.isnan(near) else max(LEAST, near)
    fitting: dict[str, LikelyCause] = {}
    for one in sorted(_sized(facts), key=lambda c: abs(gap - c.size)):
        if abs(gap - one.size) <= min(window, SHARE * abs(one.size)):
            fitting.setdefault(one.words, one)
    order = [one.words for one in _sized(facts)]
    known = sorted(fitting.values(), key=lambda c: order.index(c.words))
    general = _low() if gap < 0 else _high(facts)
    first = gap > 0 and facts.rising
    return (general, *known) if first else (*known, general)


def _low() -> LikelyCause:
    remedy = "tip the plug hole to the highest point, rock, wait, fill again; look whether a part is counted twice"
    return LikelyCause("air trapped in the whole", remedy)


def _high(facts: WholeFill) -> LikelyCause:
    if facts.rising:
        words = "a leak past the rings or a valve, as the timed readings rise"
        return LikelyCause(words, "thicker fluid, or grease the ring ends, and fill again")
    words = "a leak that was not timed, or a gasket thicker than it is taken for"
    return LikelyCause(words, "time the level at 30, 60 and 120 s; measure the gasket compressed")


def _sized(facts: WholeFill) -> Iterator[LikelyCause]:
    for find in _SIZED:
        yield from find(facts)


def _crevice(facts: WholeFill) -> Iterator[LikelyCause]:
    if not facts.crevice_known:
        words = "the top-land crevice, which the sum of parts does not hold"
        yield LikelyCause(words, "measure the top land", USUAL_CREVICE)
        return
    words = "the crevice counted twice, in a ring-sealed fill and in the sum"
    remedy = "look at what sealed the crown when it was filled; and tip out trapped air"
    yield LikelyCause(words, remedy, -facts.number("crevice_volume"))


def _deck(facts: WholeFill) -> Iterator[LikelyCause]:
    """A crown given as such may hold the deck clearance; one filled in the bore is worked out with it."""
    if "crown_fill" in facts.values or "crown_volume" not in facts.values:
        return
    deck, crown = facts.number("deck_volume"), facts.number("crown_volume")
    words = "the deck clearance forgotten in the crown, so that the sum holds it twice"
    yield LikelyCause(words, "work the crown out anew: fill − bore area × (drop + deck clearance)", -deck)
    words = "the deck clearance with the wrong sign"
    yield LikelyCause(words, "below deck adds space, proud takes it: read it again", -2 * deck)
    words = "the crown volume with the wrong sign, dish and dome changed over"
    yield LikelyCause(words, "ask which way the crown's figure is meant", -2 * crown)


def _plug(facts: WholeFill) -> Iterator[LikelyCause]:
    """The well taken off though it was not filled, or filled though it was not taken off."""
    sign = -1 if facts.fill.choices.get("level") == SEAT else 1
    said = facts.fill.settings.get("plug_well")
    sizes = [said[0].value] if said else list(plug_wells())
    words = "the fill level: the plug's well was " + (
        "taken off, but not filled" if sign < 0 else "filled, but not taken off"
    )
    remedy = "look whether it was filled to the bottom thread or to the plug's seat"
    yield from (LikelyCause(words, remedy, sign * size) for size in sizes)


def plug_wells() -> Iterator[float]:
    """Volumes [m³] of the wells of usual plugs: a cylinder of the thread's pitch diameter and length.

    >>> [round(v * 1e6, 2) for v in plug_wells()][:3]
    [1.73, 2.6, 3.62]
    """
    for major, pitch in PLUGS:
        for reach in REACHES:
            yield math.pi / 4 * (major - 0.6495 * pitch) ** 2 * reach * 1e-9


def _gasket(facts: WholeFill) -> Iterator[LikelyCause]:
    """The cylinder's bore taken for the gasket's, the free thickness for the compressed one, or a layer forgotten."""
    thick, area, bore = (facts.number(key) for key in ("gasket_thickness", "gasket_area", "bore"))
    ring = math.pi / 4 * ((bore + OVER_THE_BORE) ** 2 - bore**2)
    remedy = "measure the opening of the sealing ring itself"
    if bore and area and area <= facts.number("bore_area") + ring / 4:
        words = "the cylinder bore taken for the gasket bore, which is wider"
        yield LikelyCause(words, remedy, ring * thick)
    elif bore and area:
        words = "a gasket opening taken too wide: it is no wider than the bore"
        yield LikelyCause(words, remedy, (facts.number("bore_area") - area) * thick)
    words = "the free thickness of the gasket taken for the compressed one"
    yield LikelyCause(words, "measure the gasket compressed", -SQUEEZED * facts.number("gasket_volume"))
    words = "a second gasket or a shim that the sum of parts does not hold"
    yield LikelyCause(words, "count the layers", facts.number("gasket_volume"))


def _units(facts: WholeFill) -> Iterator[LikelyCause]:
    """Thou read for hundredths of a millimetre, or the other way."""
    times = conversion("thou").scale / conversion("um").scale / 10
    for key, name in (("gasket_volume", "gasket thickness"), ("deck_volume", "deck clearance")):
        if key == "deck_volume" and "crown_fill" in facts.values:
            continue  # a fill over the piston holds the deck clearance, whatever it is
        words = f"thou and hundredths of a mm mixed up in the {name}"
        for factor in (times - 1, 1 / times - 1):
            yield LikelyCause(words, f"look at the unit of the {name} as it was read", facts.number(key) * factor)


_SIZED: tuple[Callable[[WholeFill], Iterator[LikelyCause]], ...] = (_crevice, _deck, _plug, _gasket, _units)


WHOLE = "assembly_volume"
E_N_FACTOR = 2.0  # ISO/IEC 17043:2010, B.3.1.3; ISO 13528:2022, 9.7 (from memory)
RESTS = "the ratio rests on the sum of parts"


SAID = {Verdict.NOT_SHOWN: "agree", Verdict.DIFFERS: "differ"}  # of whole and parts


@record
class AssemblyCheck:
    """One cylinder measured as a whole, against the sum of its parts.

    whole, parts : both volumes [m³]; the sum of parts with crevice and chamfer in it.
    likely_causes : the likeliest causes of a difference, the likeliest first; none where they agree.
    """

    cylinder: int  # its number
    whole: Value
    parts: Value
    difference: Number  # whole less parts [m³], shared causes cancelled
    crevice_known: bool  # whether the sum holds the crevice; else the whole is larger by it
    shared: tuple[str, ...]  # burettes, scales and fluids that filled both, by name
    independent: bool  # burette and fluid are named and differ from all those of the parts
    rising: bool  # the level fell after the fill, so that readings rose
    likely_causes: tuple[LikelyCause, ...] = ()
    line: int | None = None  # line of the fill in the job file

    @property
    def gap(self) -> float:
        """Whole less parts, m³."""
        return nominal(self.difference)

    @property
    def expanded(self) -> float:
        """Expanded uncertainty of the difference at 95 % [m³]; NaN where it is not known."""
        return expand(self.difference).expanded

    @property
    def e_n(self) -> float | None:
        """Difference ÷ its uncertainty at k = 2, where it may be called E_n: burette and fluid differ; else None."""
        doubt = E_N_FACTOR * standard(self.difference)
        return self.gap / doubt if self.independent and doubt > 0 else None

    @property
    def e_n_text(self) -> str:
        """E_n to two decimals, "" where the difference may not be called so."""
        return "" if self.e_n is None else fixed(self.e_n, 2).replace("-", "−")

    @property
    def verdict(self) -> Verdict:
        """Whether they differ by more than their ±."""
        return of_difference(self.difference, self.expanded)

    @property
    def agreement(self) -> str:
        """The verdict in words: agree, differ, or that repeats are needed first."""
        return SAID.get(self.verdict, self.verdict.value)


def compare_assembly(survey: MeasuredEngine) -> list[AssemblyCheck]:
    """Every cylinder measured as a whole whose sum of parts is known."""
    found = (_check(cylinder, survey) for cylinder in survey.cylinders)
    return [check for check in found if check is not None]


def _check(cylinder: Cylinder, survey: MeasuredEngine) -> AssemblyCheck | None:
    """One cylinder's comparison, with the causes of a difference; None where there is nothing to compare."""
    if WHOLE not in cylinder.values or cylinder.contradiction:
        return None
    whole = cylinder.values[WHOLE]
    parts, crevice_known = sum_of_parts(cylinder)
    used = [one for one in survey.reduced if cylinder.uses(one)]
    fill = next((one for one in used if WHOLE in one.cell.step.gives), None)
    if parts is None or fill is None:
        return None
    shared, independent = _kit_of_both(fill, [one for one in used if one.cell.step.fills and one is not fill])
    check = AssemblyCheck(
        cylinder=cylinder.number,
        whole=whole,
        parts=parts,
        difference=whole.number - parts.number,
        crevice_known=crevice_known,
        shared=shared,
        independent=independent,
        rising=any(_leaks(row) for row in fill.cell.readings),
        line=fill.cell.line,
    )
    if check.verdict is Verdict.NOT_SHOWN or (math.isnan(check.expanded) and abs(check.gap) <= WIDE_FILLS):
        return check
    facts = WholeFill(values=cylinder.values, fill=fill.cell, crevice_known=crevice_known, rising=check.rising)
    return replace(check, likely_causes=likely_causes(check.gap, check.expanded, facts))


def _leaks(row: Reading) -> bool:
    """Whether its timed readings rise by more than is worth a word."""
    leak = leak_of(row)
    return leak is not None and leak.lost > SLIGHT


def sum_of_parts(cylinder: Cylinder) -> tuple[Value | None, bool]:
    """The clearance volume with crevice and chamfer counted, and whether the crevice is known; None without a sum."""
    every = replace(cylinder.choices, crevice=True, chamfer=True)
    known = cylinder.known
    for choices, has_crevice in ((every, True), (replace(every, crevice=False), False)):
        model = build({key: nominal(n) for key, n in known.items()}, choices)
        if model.relation_of("clearance_volume") is not None:
            number = model.evaluate(known, uncertain())["clearance_volume"]
            how = "sum of parts" + (" with crevice and chamfer" if has_crevice else ", the crevice not known")
            return computed("clearance_volume", number, how), has_crevice
    return None, False


def _kit_of_both(fill: Reduction, others: Sequence[Reduction]) -> tuple[tuple[str, ...], bool]:
    """What filled both, by name; and whether everything is named and nothing is shared."""
    mine = [fill.cell.instrument, fill.cell.fluid]
    theirs = {name for one in others for name in (one.cell.instrument, one.cell.fluid)}
    shared = tuple(name for name in mine if name and name in theirs)
    return shared, bool(others) and not shared and all(mine) and all(theirs)


def assembly_findings(survey: MeasuredEngine) -> list[Finding]:
    """What the comparison says, one finding a cylinder; and where there is nothing to compare with."""
    checks = {check.cylinder: check for check in compare_assembly(survey)}
    found = []
    for cylinder in survey.cylinders:
        check, at = checks.get(cylinder.number), f"cylinder {cylinder.number}"
        if check is not None:
            found.append(_told(check, survey.fmt).at(place=at, line=check.line))
        elif WHOLE in cylinder.values and not cylinder.contradiction:
            lack = ", ".join(term(key).name for key in cylinder.model.lacking.get("clearance_volume", ()))
            wrong = "it was measured as a whole, but its sum of parts is not known: nothing to compare with"
            right = f"not given: {lack}" if lack else ""
            found.append(note("assembly-alone", wrong, right=right, place=at, line=cylinder.values[WHOLE].line))
    return found


def _told(check: AssemblyCheck, fmt: Formatter) -> Finding:
    name = f" (E_n {check.e_n_text})" if check.e_n_text else ""
    apart = fmt.show("clearance_volume", abs(check.gap), check.expanded)
    side = "less" if check.gap < 0 else "more"
    said = f"measured as a whole it holds {apart} {side} than the sum of parts"
    if check.verdict is Verdict.NOT_SHOWN:
        return note("assembly-agrees", f"{said}: they agree{name}{_worth(check)}; {RESTS}")
    if check.verdict is Verdict.NOT_KNOWN:
        likely = f"; should it be real, likeliest {check.likely_causes[0].words}" if check.likely_causes else ""
        return note("assembly-not-judged", f"{said}{likely}; {RESTS}", right="repeat the fills until the ± is known")
    words = dict.fromkeys(one.words for one in (*check.likely_causes[:2], check.likely_causes[-1]))
    wrong = f"{said}, beyond the ±{name}; likeliest {', or '.join(words)}"
    return warning("assembly-differs", f"{wrong}; {RESTS}", right=check.likely_causes[0].remedy)


def _worth(check: AssemblyCheck) -> str:
    """What the agreement confirms, and what it cannot."""
    if check.shared:
        names = " and ".join(clean(name, 40) for name in check.shared)
        return f"; {names} filled both, so an error of its own would not show: that is not confirmed"
    if check.independent:
        return "; burette and fluid differ, so it confirms them too"
    return ""


# The whole assembly against the sum of its parts, in words and rows, for the screen and for paper.

WHOLE_KEY = "clearance_volume"
WHOLE_HOLDS = "The sum of parts here holds crevice and chamfer, counted or not: the fluid stands in them."


def whole_lead(fmt: Formatter) -> str:
    """What is set against what, and what the ratio rests on."""
    unit = fmt.unit(WHOLE_KEY)
    return f"Whole assembly through the plug hole against the sum of parts, {unit}; {RESTS}."


def whole_head(checks: Sequence[AssemblyCheck]) -> list[str]:
    """The heads of :func:`whole_rows`; E_n only where some check may be called so."""
    return [
        "as a whole",
        "sum of parts",
        "difference",
        *(["E_n"] if _called(checks) else []),
        judged_at(c.difference for c in checks),
    ]


def whole_rows(checks: Sequence[AssemblyCheck], fmt: Formatter) -> list[list[str]]:
    """The cylinder's number and what stands under :func:`whole_head`, a row a check."""
    return [_row(check, fmt, _called(checks)) for check in checks]


def _called(checks: Sequence[AssemblyCheck]) -> bool:
    return any(check.e_n is not None for check in checks)


def _row(check: AssemblyCheck, fmt: Formatter, called: bool) -> list[str]:
    number = [check.e_n_text] if called else []
    whole, parts = (_short(value.nominal, value.expanded, fmt) for value in (check.whole, check.parts))
    sign = "+" if check.gap > 0 else ""
    gap = sign + _short(check.gap, check.expanded, fmt)
    return [str(check.cylinder), whole, parts, gap, *number, check.agreement]


def _short(value: float, spread: float, fmt: Formatter) -> str:
    """Number ± without its unit."""
    half = spread / conversion(fmt.unit(WHOLE_KEY)).scale
    count = places(fmt.unit(WHOLE_KEY), half)
    said = fmt.amount(WHOLE_KEY, value, decimals=count)
    return f"{said} ± ?" if math.isnan(half) else f"{said} ± {spread_text(half, count)}"
