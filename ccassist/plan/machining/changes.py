"""Cuts and a change of gasket through the whole engine: every cylinder before and after, with what they share.

The cylinders after the work are worked out from the same uncertain numbers as before, so what does not change cancels
in the difference.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from ccassist.analysis.checks import engine_findings
from ccassist.analysis.cylinder import Cylinder, cylinder_of
from ccassist.analysis.results import Survey
from ccassist.plan.balance import balance
from ccassist.plan.machining.cuts import (
    ChamberFace,
    Cuts,
    Inputs,
    cut_deck,
    cut_head,
    fit_gasket,
    net_of_fill,
    opening_of,
)
from ccassist.plan.machining.work import Tilt, Work
from ccassist.values.display import Formatter
from ccassist.values.findings import Finding, InputError, NotPossible, error, warning
from ccassist.values.measured import Value, computed
from ccassist.values.number import Number, nominal
from ccassist.values.numerics import root, uncertain_root
from ccassist.values.statistics import mean
from ccassist.values.verdict import Band
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record

# What cannot be, and what is doubtful, in the engine that machining makes.

APART = 1e-6  # m³ between stages and chamber that is looked at (common practice, no source)
# What the checks of an engine say that bears on machining; the rest speaks of how it was measured.
_BEARING = ("contact", "tight-squish", "ring-over-bore", "impossible-result", "unusual-result", "proud-without-land")


def cannot(after: Cylinder, fmt: Formatter) -> None:
    """Refuse an engine that cannot be built.

    Raises NotPossible: the piston meets the head, or there is no clearance volume left.
    """
    place = f"cylinder {after.number}"
    gap = after.values.get("squish")
    if gap is not None and gap.nominal <= 0:
        raise NotPossible(f"{place}: no squish gap is left: {fmt.show('squish', gap.nominal)}")
    if after.contradiction:
        raise NotPossible(f"{place}: {after.contradiction}")
    left = after.values.get("clearance_volume")
    if left is not None and left.nominal <= 0:
        raise NotPossible(f"{place}: no clearance volume is left")


def noticed(survey: Survey, before: Sequence[Cylinder], after: Sequence[Cylinder]) -> tuple[Finding, ...]:
    """Warnings of the engine as it will be that the engine as it is does not have."""
    old = {(f.code, f.place) for f in engine_findings(survey)}
    new = engine_findings(replace(survey, cylinders=tuple(after), findings=()))
    found = [f for f in new if f.code in _BEARING and (f.code, f.place) not in old]
    for one, other in zip(before, after, strict=True):
        found += _proud(one, other, survey.fmt)
    return tuple(dict.fromkeys([*found, *_stages_apart(survey)]))


def _stages_apart(survey: Survey) -> list[Finding]:
    """Chambers whose stages add up to another volume than the chamber's: one of the fills is not what it seems."""
    found = []
    for cylinder in survey.cylinders:
        chamber = cylinder.values.get("chamber_volume")
        for one in survey.reduced:
            if one.profile is None or chamber is None or not cylinder.uses(one):
                continue
            totals = [
                v for row, v in zip(one.cell.readings, one.rows, strict=True) if v is not None and not row.set_aside
            ]
            apart = mean(totals) - chamber.nominal
            if abs(apart) > max(APART, 2 * chamber.expanded):
                shown = [survey.fmt.show("chamber_volume", v) for v in (mean(totals), chamber.nominal)]
                wrong = f"the stages add up to {shown[0]}, the chamber was found to hold {shown[1]}"
                right = "was the first stage from dry, the plate's hole filled, air under the plate?"
                found.append(warning("stages-apart", wrong, right=right, place=f"cylinder {cylinder.number}"))
    return found


def _proud(before: Cylinder, after: Cylinder, fmt: Formatter) -> list[Finding]:
    """A piston that comes to stand above the deck, or farther above it."""
    old, new = before.values.get("deck_clearance"), after.values.get("deck_clearance")
    if old is None or new is None or new.nominal >= min(0.0, old.nominal):
        return []
    wrong = f"the piston would stand {fmt.show('deck_clearance', new.nominal, new.expanded)}"
    right = "only where gasket bore, squish and the maker allow it; the crown must not enter the gasket's ring"
    return [warning("proud", wrong, right=right, place=f"cylinder {after.number}")]


# The flat cut that brings one cylinder to a target, through the whole engine.

_NEARLY_ALL = 0.95  # of the chamber: farther than any cut goes
_PART = 1e-3  # of the cut, for the slope


def cut_to_reach(
    band: Band, after: Callable[[Number], Cylinder], *, opening: ChamberFace, chamber: float | None
) -> Number:
    """The flat cut [m] that brings a term to its aim, with the ± of what it is reckoned from.

    ``after(cut)`` is the cylinder after a cut [m]; ``chamber`` its volume before [m³].

    Raises InputError: the term does not move with a cut of the head; NotPossible: no cut reaches the aim.
    """
    place = f"cylinder {opening.cylinder}"
    start = _plain(band.key, after(0.0), place)
    most = opening.deepest(_NEARLY_ALL * chamber) if chamber else opening.reach
    end = _plain(band.key, after(most), place)
    if start == end:
        wrong = f"a cut of the head does not move the {term(band.key).name}"
        raise InputError(error("unmoved", wrong, right="chamber_volume, clearance_volume or static_ratio"))
    if (band.aim - start) * (end - start) < 0:
        raise NotPossible(f"{place}: {_said(band.key, start, opening)} is past {_aim(band, opening)} before any cut")
    if (band.aim - start) * (end - band.aim) < 0:
        raise NotPossible(
            f"{place}: {_aim(band, opening)} is out of reach: {_said('face_cut', most, opening)}, the deepest cut that "
            f"can be reckoned, gives {_said(band.key, end, opening)}"
        )
    ends = start - band.aim, end - band.aim
    cut = root(lambda x: _plain(band.key, after(x), place) - band.aim, 0.0, most, ends=ends)
    if cut == 0:
        return 0.0
    step = _PART * cut
    slope = (_plain(band.key, after(cut), place) - _plain(band.key, after(cut - step), place)) / step
    return uncertain_root(cut, after(cut).values[band.key].number - band.aim, slope)


def _plain(key: str, cylinder: Cylinder, place: str) -> float:
    value = cylinder.values.get(key)
    if value is None:
        lacking = ", ".join(term(k).name for k in cylinder.model.lacking.get(key, ()))
        wrong = f"the {term(key).name} cannot be worked out{f': not given: {lacking}' if lacking else ''}"
        raise InputError(error("missing-value", wrong, right="give it for the engine", place=place))
    return value.nominal


def _said(key: str, number: float, opening: ChamberFace) -> str:
    shown = opening.fmt.show(key, nominal(number))
    return shown if key == "face_cut" else f"the {term(key).name} of {shown}"


def _aim(band: Band, opening: ChamberFace) -> str:
    return opening.fmt.show(band.key, band.aim)


@record
class Machined:
    """One cylinder before and after, and what was done to it."""

    before: Cylinder
    after: Cylinder
    cuts: Cuts

    @property
    def number(self) -> int:
        """The cylinder's number."""
        return self.before.number

    def change(self, key: str) -> Value | None:
        """How far a term moves; None where it is not known before and after."""
        old, new = self.before.values.get(key), self.after.values.get(key)
        if old is None or new is None:
            return None
        return computed(key, new.number - old.number, "after less before")


@record
class Plan:
    """What comes of the work.

    survey : the engine as it is; work : what is planned; rows : cylinder by cylinder.
    """

    survey: Survey
    work: Work
    rows: tuple[Machined, ...]
    alone: Mapping[int, Number]  # with a target, the flat cut [m] that each cylinder by itself would ask for
    findings: tuple[Finding, ...]  # what is doubtful in the engine that it makes


def machine(survey: Survey, work: Work) -> Plan:
    """Every cylinder after the work.

    Raises InputError: nothing is to be done, or the job does not say what is needed to reckon it. NotPossible : no
    engine comes of it, or a cut goes deeper than the chamber is known.
    """
    if work.empty:
        raise InputError(error("nothing-to-do", "nothing is to be machined", right="such as --skim '0.25 mm'"))
    strange = [n for n in (work.tilt.centroids if work.tilt else ()) if n > len(survey.cylinders)]
    if strange:
        right = f"there are cylinders 1 to {len(survey.cylinders)}"
        raise InputError(
            error("unknown-cylinder", "no such cylinder", read=str(strange[0]), right=right, place="--centroid")
        )
    below = {c.number: _below_the_head(c, work, _deck_cut(survey, c, work)) for c in survey.cylinders}
    opened = _opened(survey, below) if work.equalised else {}
    bare = {n: inputs for n, (inputs, _) in below.items()}
    heads = _Heads(survey, work, bare, opened)
    rows = []
    for cylinder in survey.cylinders:
        inputs, cuts = below[cylinder.number]
        after, made = heads.machined(cylinder, inputs, cuts)
        rows.append(Machined(before=cylinder, after=after, cuts=made))
    for row in rows:
        cannot(row.after, survey.fmt)
    found = noticed(survey, [row.before for row in rows], [row.after for row in rows])
    return Plan(survey=survey, work=work, rows=tuple(rows), alone=heads.alone, findings=found)


def _below_the_head(cylinder: Cylinder, work: Work, deck: Number) -> tuple[Inputs, Cuts]:
    """Its inputs with deck and gasket as they will be."""
    inputs = net_of_fill(cylinder)
    inputs = cut_deck(inputs, cylinder, deck) if work.deck is not None or work.level else inputs
    thinner: Number = 0.0
    if work.gasket:
        inputs, thinner = fit_gasket(inputs, cylinder, work.gasket)
    return inputs, Cuts(deck=deck, thinner=thinner)


def _deck_cut(survey: Survey, cylinder: Cylinder, work: Work) -> Number:
    """What comes off the deck over one cylinder: the cut, and what it stands above the lowest where levelled."""
    cut: Number = work.deck if work.deck is not None else 0.0
    if not work.level:
        return cut
    key = level_by(survey)
    numbers = [c.values[key].number for c in survey.cylinders]
    return cylinder.values[key].number - min(numbers, key=nominal) + cut


def level_by(survey: Survey) -> str:
    """The term that shows how the deck lies: block deck heights where they differ, else deck clearances.

    Raises InputError: neither is known for every cylinder.
    """
    for key in ("block_deck_height", "deck_clearance"):
        values = [v for v in survey.column(key) if v is not None]
        differ = len({v.nominal for v in values}) > 1
        if len(values) == len(survey.cylinders) and (differ or key == "deck_clearance"):
            return key
    wrong = f"to level the deck, its height or the {term('deck_clearance').name} must be known at every cylinder"
    raise InputError(error("missing-value", wrong, right="measure the deck", file=survey.job.file))


def _opened(survey: Survey, below: Mapping[int, tuple[Inputs, Cuts]]) -> dict[int, Number]:
    """By how much each chamber is opened to match the largest [m³]; by nothing where no difference is shown."""
    cylinders = tuple(
        cylinder_of(c.number, below[c.number][0], c.choices, c.gasket if c.gasket else ()) for c in survey.cylinders
    )
    plan = balance(replace(survey, cylinders=cylinders))
    return {plan.largest: 0.0, **{o.cylinder: o.amount if o.shown else 0.0 for o in plan.openings}}


class _Heads:
    """The cuts of the head faces: what each takes, and the one cut for all chambers of a head."""

    def __init__(self, survey: Survey, work: Work, inputs: Mapping[int, Inputs], opened: Mapping[int, Number]) -> None:
        self.survey, self.work, self.opened = survey, work, opened
        cuts_head = work.skim is not None or work.skim_to is not None or work.tilt is not None
        by_number = {c.number: c for c in survey.cylinders}
        self.openings = {n: opening_of(survey, c) for n, c in by_number.items()} if cuts_head else {}
        self.depths = {n: self._tilted(by_number[n]) for n in by_number}
        self.alone = {n: self._asked(by_number[n], inputs[n]) for n in by_number} if work.skim_to else {}

    def machined(self, cylinder: Cylinder, inputs: Inputs, cuts: Cuts) -> tuple[Cylinder, Cuts]:
        """A cylinder after the cut of its head."""
        number = cylinder.number
        flat: Number | None = self._least(number) if self.alone else self.work.skim
        opened, tilted = self.opened.get(number, 0.0), self.depths[number]
        made = replace(
            cuts, skim=flat if flat is not None else 0.0, tilt=tilted, opened=opened, lean=self._lean(cylinder)
        )
        return self._after(cylinder, inputs, made)

    def _after(self, cylinder: Cylinder, inputs: Inputs, cuts: Cuts) -> tuple[Cylinder, Cuts]:
        opening = self.openings.get(cylinder.number)
        known, made = cut_head(inputs, cylinder, opening, cuts)
        return cylinder_of(cylinder.number, known, cylinder.choices), made

    def _tilted(self, cylinder: Cylinder) -> Number:
        """Depth of the tilted cut at the centroid of one opening [m]."""
        tilt = self.work.tilt
        if tilt is None:
            return 0.0
        place = tilt.centroids.get(cylinder.number, tilt.centroids.get(0))
        return tilt.depth(
            place if place is not None else _given(cylinder, "opening_centroid"), width_of(cylinder, tilt)
        )

    def _lean(self, cylinder: Cylinder) -> float:
        """Slope of the tilted cut."""
        tilt = self.work.tilt
        if tilt is None:
            return 0.0
        width = width_of(cylinder, tilt)
        return nominal(tilt.edge_cut(width) / width)

    def _asked(self, cylinder: Cylinder, inputs: Inputs) -> Number:
        """The flat cut that one cylinder would ask for by itself."""
        band = self.work.skim_to
        assert band is not None  # else nothing was asked
        number = cylinder.number
        base = Cuts(tilt=self.depths[number], opened=self.opened.get(number, 0.0), lean=self._lean(cylinder))
        opening: ChamberFace = self.openings[cylinder.number]
        return cut_to_reach(
            band,
            lambda cut: self._after(cylinder, inputs, replace(base, skim=cut))[0],
            opening=opening,
            chamber=inputs["chamber_volume"].nominal if "chamber_volume" in inputs else None,
        )

    def _least(self, number: int) -> float:
        """The least of the cuts that the chambers of one head ask for: metal cannot be put back."""
        part = self.survey.job.part_of("head", number)
        served: Sequence[int] = part.cylinders if part else tuple(self.alone)
        return min(nominal(self.alone[n]) for n in served)


def width_of(cylinder: Cylinder, tilt: Tilt) -> Number:
    """Width of the head across a tilted cut [m], as said with the cut or as the job states it."""
    return tilt.width if tilt.width is not None else _given(cylinder, "head_width")


def _given(cylinder: Cylinder, key: str) -> Number:
    if key in cylinder.values:
        return cylinder.values[key].number
    option = {"opening_centroid": "--centroid '80 mm'", "head_width": "--width '150 mm'"}[key]
    wrong = f"a tilted cut needs the {term(key).name}, which is not given"
    at = f"cylinder {cylinder.number}"
    raise InputError(error("missing-value", wrong, right=f"{option}, or {key} in the job", place=at))
