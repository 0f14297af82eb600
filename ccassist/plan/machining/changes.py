"""Cuts and a change of gasket through the whole engine: every cylinder before and after, with what they share.

The cylinders after the work are worked out from the same uncertain numbers
as before, so what does not change cancels in the difference.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from ccassist.analysis.cylinder import Cylinder, cylinder_of
from ccassist.analysis.results import Survey
from ccassist.plan.balance.alike import balance
from ccassist.plan.machining.cuts import Cuts, Inputs, cut_deck, cut_head, fit_gasket, net_of_fill
from ccassist.plan.machining.limits import cannot, noticed
from ccassist.plan.machining.opening import Opening, opening_of
from ccassist.plan.machining.target import cut_to_reach
from ccassist.plan.machining.work import Tilt, Work
from ccassist.values.findings import Finding, InputError, error
from ccassist.values.measured import Number, Value, computed, nominal
from ccassist.vocabulary import term


@dataclass(frozen=True, kw_only=True)
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


@dataclass(frozen=True, kw_only=True)
class Plan:
    """What comes of the work.

    Attributes
    ----------
    survey : the engine as it is; work : what is planned; rows : cylinder by cylinder.
    alone : with a target, the flat cut [m] that each cylinder by itself would ask for.
    findings : what is doubtful in the engine that it makes.
    """

    survey: Survey
    work: Work
    rows: tuple[Machined, ...]
    alone: Mapping[int, Number]
    findings: tuple[Finding, ...]

    def to_dict(self, system: str | None = None) -> dict[str, Any]:
        """Plain data, SI; ``system`` : units of the texts, the job's own where None."""
        from ccassist.plan.machining.data import to_dict

        return to_dict(self, system or self.survey.job.system)


def machine(survey: Survey, work: Work) -> Plan:
    """Every cylinder after the work.

    Raises
    ------
    InputError : nothing is to be done, or the job does not say what is needed to reckon it.
    NotPossible : no engine comes of it, or a cut goes deeper than the chamber is known.
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
        cannot(row.before, row.after, survey.job.system)
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

    Raises
    ------
    InputError : neither is known for every cylinder.
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
        flat: Number = self._least(number) if self.alone else self.work.skim
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
            place if place is not None else _given(self.survey, cylinder, "opening_centroid"),
            width_of(self.survey, cylinder, tilt),
        )

    def _lean(self, cylinder: Cylinder) -> float:
        """Slope of the tilted cut."""
        tilt = self.work.tilt
        if tilt is None:
            return 0.0
        width = width_of(self.survey, cylinder, tilt)
        return nominal(tilt.edge_cut(width) / width)

    def _asked(self, cylinder: Cylinder, inputs: Inputs) -> Number:
        """The flat cut that one cylinder would ask for by itself."""
        band = self.work.skim_to
        assert band is not None  # else nothing was asked
        number = cylinder.number
        base = Cuts(tilt=self.depths[number], opened=self.opened.get(number, 0.0), lean=self._lean(cylinder))
        opening: Opening = self.openings[cylinder.number]
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


def width_of(survey: Survey, cylinder: Cylinder, tilt: Tilt) -> Number:
    """Width of the head across a tilted cut [m], as said with the cut or as the job states it."""
    return tilt.width if tilt.width is not None else _given(survey, cylinder, "head_width")


def _given(survey: Survey, cylinder: Cylinder, key: str) -> Number:
    if key in cylinder.values:
        return cylinder.values[key].number
    option = {"opening_centroid": "--centroid '80 mm'", "head_width": "--width '150 mm'"}[key]
    wrong = f"a tilted cut needs the {term(key).name}, which is not given"
    at = f"cylinder {cylinder.number}"
    raise InputError(error("missing-value", wrong, right=f"{option}, or {key} in the job", place=at))
