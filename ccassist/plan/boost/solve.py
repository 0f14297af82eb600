"""What the parts of a job's engine must be for a boosted target, cylinder by cylinder; and its levers.

A part (crown, gasket, chamber, compression height) moves a boosted figure
through the static ratio alone: the ratio that meets the target is found
first, then the part from the ratio, with its algebra.  With a squish gap
wanted too, the piston's height is settled by the squish before the crown.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from ccassist.analysis.cylinder import Cylinder
from ccassist.boost.equivalents import CRITERIA, HARDEST_RUN
from ccassist.boost.figures import OCTANE, figure
from ccassist.boost.numbers import plain
from ccassist.boost.solve_boost import TARGETS, UNKNOWNS, BoostAnswer, solve_boost
from ccassist.boost.stand import Stand
from ccassist.plan.boost.into_file import put_in
from ccassist.plan.boost.stands import baseline_stand, not_ready, stand_of
from ccassist.plan.boost.story import BoostStory
from ccassist.plan.solved.into_file import IntoFile
from ccassist.solve.target import Answer, solve_for
from ccassist.solve.together import Together, solve_together
from ccassist.values.findings import Finding, InputError, NotPossible, error, warning
from ccassist.values.measured import Number, nominal
from ccassist.values.plain import number_to_dict
from ccassist.vocabulary import term

RATIO = "static_ratio"
PARTS = (
    "crown_volume",
    "gasket_thickness",
    "chamber_volume",
    "compression_height",
    "deck_clearance",
    "block_deck_height",
    "extra_volume",
)


@dataclass(frozen=True, kw_only=True)
class Solved:
    """One cylinder's answer, or why there is none.

    Attributes
    ----------
    cylinder : its number.
    first : what the charge, the burn, or the static ratio must be; None where nothing does it.
    part, pair : where parts were asked for: one from that ratio, or two from that ratio and the squish.
    checks : boosted target got back by working the parts through the whole chain again, SI.
    into : how the likeliest answer is put into the job file.
    reason : why there is no answer; "" where there is.
    system : units of the words.
    """

    cylinder: int
    first: BoostAnswer | None = None
    part: Answer | None = None
    pair: Together | None = None
    checks: tuple[float, ...] = ()
    into: IntoFile | None = None
    reason: str = ""
    system: str = "metric"

    def to_dict(self, system: str | None = None) -> dict[str, Any]:
        """Plain data, SI; ``system`` : units of the texts."""
        first, shown = self.first, system or self.system
        if first is None:
            return {"cylinder": self.cylinder, "possible": False, "reason": self.reason}
        needed = number_to_dict(RATIO, first.number, shown) if first.unknown == RATIO else None
        return {
            "cylinder": self.cylinder,
            "possible": True,
            "target": {"term": first.target, "value": first.value},
            "answers": {key: [number_to_dict(key, n, shown) for n in found] for key, found in self.numbers.items()},
            "static_ratio_needed": needed,
            "checks": list(self.checks),
            "reach": None if first.reach is None else [first.reach.low, first.reach.high],
            "figures": {
                key: None if beyond(key, number) else number_to_dict(key, number, shown)
                for key, number in first.figures.items()
            },
            "findings": [finding.to_dict() for finding in self.findings],
            "into_file": None if self.into is None else self.into.to_dict(shown),
        }

    @property
    def numbers(self) -> dict[str, tuple[Number, ...]]:
        """The answers by unknown, the likeliest first."""
        if self.pair is not None:
            return {key: tuple(one.numbers[key] for one in self.pair.solutions) for key in self.pair.unknowns}
        if self.part is not None:
            return {self.part.question.unknown: tuple(root.number for root in self.part.roots)}
        return {} if self.first is None else {self.first.unknown: self.first.numbers}

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What to mind."""
        own = [] if self.first is None else [*self.first.findings, *_beyond(self.first)]
        for more in (self.part, self.pair):
            own += [] if more is None else [*more.findings]
        return (*own, *_unusual(self.numbers, self.part is None and self.pair is None))


def solve_story(
    story: BoostStory, unknowns: tuple[str, ...], targets: Mapping[str, float], *, system: str, algebra: bool = True
) -> tuple[Solved, ...]:
    """What the unknown, or two together, must be in every cylinder.

    Parameters
    ----------
    story : of the job; its comparison of knock is not needed.
    unknowns : one, of UNKNOWNS or PARTS; or two of PARTS.
    targets : one of TARGETS with its SI value; with two unknowns also the squish.

    Raises
    ------
    InputError : the question is not sound, or something it needs is not given.
    """
    boosted = _boosted_target(unknowns, targets)
    able = [(one, build) for one in story.cylinders if (build := one.build) is not None]
    if not able or story.conditions is None:
        raise InputError(not_ready(story))
    inputs = {one.number: one for one in story.survey.cylinders}
    why = baseline_stand(story)[1]
    if boosted == OCTANE and why:
        raise InputError(why)
    found = []
    for one, build in able:
        stand = stand_of(story, build, inputs[one.number])
        baseline = baseline_stand(story, one.number)[0]
        asked = _Asked(
            cylinder=inputs[one.number],
            stand=stand,
            baseline=baseline,
            unknowns=unknowns,
            target=boosted,
            targets=targets,
            system=system,
            algebra=algebra and one.number == story.worst,
        )
        solved = replace(asked.solved(), system=system)
        found.append(replace(solved, into=_into(story, solved, stand)))
    return tuple(found)


def _into(story: BoostStory, solved: Solved, stand: Stand) -> IntoFile | None:
    """How the likeliest answer is put into the file; None where there is none."""
    answer = {key: nominal(numbers[0]) for key, numbers in solved.numbers.items() if numbers}
    if solved.first is None or not answer:
        return None
    return put_in(story, solved.cylinder, stand, solved.first.made, answer)


@dataclass(frozen=True, kw_only=True)
class _Asked:
    """The question for one cylinder."""

    cylinder: Cylinder
    stand: Stand
    baseline: Stand | None
    unknowns: tuple[str, ...]
    target: str
    targets: Mapping[str, float]
    system: str
    algebra: bool

    def solved(self) -> Solved:
        number = self.cylinder.number
        try:
            first = solve_boost(
                self.stand,
                unknown=RATIO if self.unknowns[0] in PARTS else self.unknowns[0],
                target=self.target,
                value=self.targets[self.target],
                baseline=self.baseline,
                system=self.system,
            )
            if self.unknowns[0] not in PARTS:
                return Solved(cylinder=number, first=first, checks=first.checks)
            return self.by_parts(first)
        except NotPossible as fault:
            return Solved(cylinder=number, reason=str(fault))

    def by_parts(self, first: BoostAnswer) -> Solved:
        known, choices, ratio = dict(self.cylinder.known), self.cylinder.choices, first.number
        if len(self.unknowns) == 1:
            part = solve_for(
                known,
                choices,
                unknown=self.unknowns[0],
                target=RATIO,
                value=ratio,
                algebra=self.algebra,
                system=self.system,
            )
            checks = tuple(self.again(root.values) for root in part.roots)
            return Solved(cylinder=self.cylinder.number, first=first, part=part, checks=checks)
        (other,) = (key for key in self.targets if key != self.target)
        one, two = self.unknowns
        pair = solve_together(
            known,
            choices,
            unknowns=(one, two),
            targets={other: self.targets[other], RATIO: ratio},
            algebra=self.algebra,
            system=self.system,
        )
        checks = tuple(self.again(found.values) for found in pair.solutions)
        return Solved(cylinder=self.cylinder.number, first=first, pair=pair, checks=checks)

    def again(self, values: Mapping[str, float]) -> float:
        """The target of an engine so made, through the whole chain."""
        made = self.stand.but(static_ratio=values[RATIO]).plain()
        return float(plain(figure(self.target, made, self.baseline)))


def _boosted_target(unknowns: tuple[str, ...], targets: Mapping[str, float]) -> str:
    """The one boosted target; raises InputError where the question is not sound."""
    boosted = [key for key in targets if key in TARGETS]
    if len(boosted) != 1 or len(unknowns) != len(targets):
        right = f"one of {', '.join(TARGETS)}; with two unknowns also squish"
        raise InputError(error("boost-question", "there must be one boosted target", right=right, place="--to"))
    strange = [key for key in unknowns if key not in (*PARTS, *UNKNOWNS) or (len(unknowns) == 2 and key not in PARTS)]
    if strange:
        wrong = f"the {term(strange[0]).name} cannot be found from a boosted target here"
        right = f"one of {', '.join((*PARTS, *UNKNOWNS))}; two together only of the first {len(PARTS)}"
        raise InputError(error("boost-question", wrong, right=right, place="--for"))
    return boosted[0]


def beyond(key: str, number: Number) -> bool:
    """Whether an equivalent is above 14:1, where it is no ratio to build and not shown as one."""
    return key in CRITERIA and nominal(number) > HARDEST_RUN


def _beyond(first: BoostAnswer) -> list[Finding]:
    if not beyond(first.target, first.value):
        return []
    wrong = "above 14:1 there is no unboosted engine to compare with: that figure says little"
    return [warning("beyond", wrong, right="aim at an end pressure, or at the octane difference from a baseline")]


def _unusual(numbers: Mapping[str, tuple[Number, ...]], wanted: bool) -> list[Finding]:
    """A charge or burn that few engines have; parts say so themselves."""
    found = []
    for key, (first, *_) in numbers.items() if wanted else ():
        low, high = term(key).plausible
        if not low <= nominal(first) <= high:
            wrong = f"few engines run with such {term(key).name}"
            found.append(warning("unusual", wrong, right="are you sure?"))
    return found
