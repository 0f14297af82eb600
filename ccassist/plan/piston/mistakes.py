"""What the mistakes that ruin a set of pistons would come to on this very engine, each through the model.

Two kinds.  A mistake in the sum gives another crown volume, which the true engine then gets: the crown ordered differs
by just the space that the wrong sum sees too little or too much of.  A part that is not as stated, or is cut after the
order went out, leaves the piston and changes the engine. Source: the list of mistakes and their effect on trade example
C1 (common practice, recomputed).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.results import Survey
from ccassist.engine.model import Choices, build
from ccassist.engine.skim import skim_volume
from ccassist.job.purposes import purposes_of
from ccassist.plan.piston.specification import RATIO, specify
from ccassist.values.display import Formatter
from ccassist.values.findings import Finding, note
from ccassist.values.number import nominal
from ccassist.vocabulary.record import record

THICKER_WHEN_FREE = 0.3e-3  # m, where the free thickness is not stated: assumed
LONGER, SHORTER = 1e-3, -2e-3  # m, of the rods
DECK_SKIM, HEAD_SKIM = 0.15e-3, 0.25e-3  # m


@record
class Mistake:
    """One mistake and what it leads to.

    key : stable name.
    words : what is done wrong; amounts stand in ``sizes``.
    sizes : amounts named in the words, as (term, SI value).
    crown : the crown volume that would be cut, SI.
    ratio, squish : what the true engine then has, SI; None where it cannot be worked out.
    assumed : what had to be assumed for it, in words.
    """

    key: str
    words: str
    crown: float
    ratio: float | None
    squish: float | None
    sizes: tuple[tuple[str, float], ...] = ()
    assumed: str = ""


def told(one: Mistake, fmt: Formatter) -> str:
    """What is done wrong, with its amounts, and what was assumed for it."""
    words = one.words.format(*(fmt.show(key, size, words=False) for key, size in one.sizes))
    return f"{words} ({one.assumed})" if one.assumed else words


def mistake_texts(one: Mistake, fmt: Formatter) -> Mapping[str, str]:
    """The three numbers of a mistake as printed."""
    return {
        "ratio_text": "" if one.ratio is None else fmt.show("static_ratio", one.ratio),
        "squish_text": "" if one.squish is None else fmt.show("squish", one.squish),
        "crown_text": fmt.show("crown_volume", one.crown, decimals=1),
    }


def mistakes(cylinder: Cylinder, *, free_thickness: float | None = None) -> tuple[Mistake, ...]:
    """Every mistake that can be made with this cylinder.

    cylinder : with the ordered piston in it.
    free_thickness : of the gasket before tightening, SI, where it is known.
    """
    true = _PlainEngine.of(cylinder)
    if true is None:
        return ()
    found = [*_in_the_sum(true, free_thickness), *_in_the_parts(true)]
    return tuple(one for one in found if one is not None and one.ratio is not None)


@record
class _PlainEngine:
    """A cylinder as plain SI numbers, and all that follows from them."""

    known: Mapping[str, float]
    choices: Choices
    values: Mapping[str, float]

    @classmethod
    def of(cls, cylinder: Cylinder) -> _PlainEngine | None:
        """The true engine; None where its clearance volume or crown volume is not known."""
        inputs = {key: nominal(number) for key, number in cylinder.known.items()}
        made = cls(known=inputs, choices=cylinder.choices, values={})._with(inputs)
        return made if made and {"clearance_volume", "crown_volume", "static_ratio"} <= set(made.values) else None

    def _with(self, known: Mapping[str, float]) -> _PlainEngine | None:
        try:
            model = build(known, self.choices)
            return replace(self, known=known, values=model.evaluate(known))
        except (ValueError, ZeroDivisionError):
            return None

    def changed(self, **by: float) -> _PlainEngine | None:
        """The engine with some of its inputs at other values; relations are chosen anew."""
        return self._with({**self.known, **by})

    def without(self, *keys: str, **instead: float) -> _PlainEngine | None:
        """The engine without some inputs and with others in their place."""
        return self._with({**{key: value for key, value in self.known.items() if key not in keys}, **instead})


def _in_the_sum(true: _PlainEngine, free: float | None) -> list[Mistake | None]:
    """Mistakes that lead to another crown volume."""
    crown = true.values["crown_volume"]
    thickness = true.values.get("gasket_thickness")
    thick = free if free is not None else None if thickness is None else thickness + THICKER_WHEN_FREE
    found = [
        _cut(true, -crown, "sign", "the sign flipped: a dish cut as a dome, or a dome as a dish") if crown else None,
        _summed(true, true.changed(gasket_volume=0.0), "no-gasket", "the gasket forgotten in the sum"),
        _summed(true, true.changed(deck_volume=0.0), "no-deck", "the deck volume left out of the sum"),
    ]
    if true.values.get("crevice_counted"):
        left_out = true.changed(crevice_counted=0.0)
        found.append(_summed(true, left_out, "no-crevice", "the crevice left out of the sum though it is counted"))
    if "gasket_volume" not in true.known and thickness is not None and thick is not None:
        assumed = "" if free is not None else "free thickness assumed: it is not stated"
        one = _summed(true, true.changed(gasket_thickness=thick), "free-gasket", "the free gasket thickness, {}, used")
        found.append(one and replace(one, sizes=(("gasket_thickness", thick),), assumed=assumed))
        shapes = ("gasket_bore", "gasket_area", "gasket_long", "gasket_short")
        bore = true.without(*shapes, gasket_bore=true.values["bore"])
        found.append(_summed(true, bore, "bore-for-gasket", "the cylinder bore used for the gasket's opening"))
    return found


def _in_the_parts(true: _PlainEngine) -> list[Mistake | None]:
    """Parts that are not as stated, or are cut after the order went out."""
    found: list[Mistake | None] = []
    for key, by, words in (
        ("long-rods", LONGER, "rods {} longer than stated"),
        ("short-rods", SHORTER, "rods {} shorter than stated"),
    ):
        if "rod_length" in true.known and "deck_clearance" not in true.known:
            other = true.changed(rod_length=true.known["rod_length"] + by)
            found.append(_fitted(true, other, key, words, ("rod_width", abs(by))))
    if "block_deck_height" in true.known:
        other = true.changed(block_deck_height=true.known["block_deck_height"] - DECK_SKIM)
        found.append(_fitted(true, other, "block-skim", "block skimmed {} after ordering", ("face_cut", DECK_SKIM)))
    if "chamber_volume" in true.known:
        opening = true.values.get("chamber_area")
        area = true.values["bore_area"] if opening is None else opening
        other = true.changed(chamber_volume=true.known["chamber_volume"] - skim_volume(area, HEAD_SKIM))
        one = _fitted(true, other, "head-skim", "head skimmed {} after ordering", ("face_cut", HEAD_SKIM))
        assumed = "" if opening is not None else "bore area taken for the chamber's opening: it is not stated"
        found.append(one and replace(one, assumed=assumed))
    return found


def _summed(true: _PlainEngine, believed: _PlainEngine | None, key: str, words: str) -> Mistake | None:
    """What a wrong sum leads to: the crown makes up for the space that it does not see."""
    if believed is None or "clearance_volume" not in believed.values:
        return None
    missed = true.values["clearance_volume"] - believed.values["clearance_volume"]
    if math.isclose(missed, 0.0, abs_tol=1e-12):
        return None
    return _cut(true, true.values["crown_volume"] + missed, key, words)


def _cut(true: _PlainEngine, crown: float, key: str, words: str) -> Mistake | None:
    return _fitted(true, true.changed(crown_volume=crown), key, words)


def _fitted(
    true: _PlainEngine, other: _PlainEngine | None, key: str, words: str, size: tuple[str, float] | None = None
) -> Mistake | None:
    """What the engine is then; nothing to say where it cannot be worked out or stays the same."""
    if other is None or other.values.get("clearance_volume", 0.0) <= 0:
        return None
    return Mistake(
        key=key,
        words=words,
        sizes=() if size is None else (size,),
        crown=other.values["crown_volume"],
        ratio=other.values.get("static_ratio"),
        squish=other.values.get("squish"),
    )


# The engine with the pistons to be ordered in it, for whatever is asked of it before they are made.


def with_ordered_pistons(survey: Survey, *, to_be_made: bool = False) -> tuple[Survey, tuple[Finding, ...]]:
    """The job with the pistons to be ordered in it, and a note that says so.

    Of a job for pistons, whose engine has no ratio yet; where the question is of parts ``to_be_made``, of every job
    that orders pistons.  Any other job, and one whose order cannot be worked out yet, is given back as it is.
    """
    meant = "pistons" in purposes_of(survey.job.about)
    ordering = any(name.startswith("order") for name in (*survey.stated, *survey.job.said))
    has_ratio = any(RATIO in c.values for c in survey.cylinders)
    if not (meant or ordering if to_be_made else meant and not has_ratio):
        return survey, ()
    spec = specify(survey)
    if len(spec.ordered()) < 2:
        return survey, ()
    wrong = "the pistons are those to be ordered, not measured ones"
    return spec.planned, (note("ordered-pistons", wrong, right="measure those that come, and state them"),)
