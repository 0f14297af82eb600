"""What the parts of a job's engine must be for a boosted target, cylinder by cylinder; and its levers.

A part (crown, gasket, chamber, compression height) moves a boosted figure
through the static ratio alone: the ratio that meets the target is found
first, then the part from the ratio, with its algebra.  With a squish gap
wanted too, the piston's height is settled by the squish before the crown.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.results import Survey
from ccassist.analysis.sums import PARTS as SHORT_NAMES
from ccassist.analysis.sums import coefficients
from ccassist.boost.cautions import beside
from ccassist.boost.equivalents import CRITERIA, HARDEST_RUN
from ccassist.boost.figures import OCTANE, Stand
from ccassist.boost.levers import LeverEffect
from ccassist.boost.solve_boost import RATIO, TARGETS, UNKNOWNS, BoostAnswer, solve_boost, solve_parts
from ccassist.engine.model import RELATIONS
from ccassist.plan.boost.build import Build, geometry_of
from ccassist.plan.boost.into_file import baseline_stand, held_of_levers, lever_effects, not_ready, put_in, stand_of
from ccassist.plan.boost.story import BoostStory, boost_story
from ccassist.plan.boost.ways import PARTS, Wanted, sure_ratio
from ccassist.plan.solved import FileLine, IntoFile
from ccassist.solve.request import Request
from ccassist.solve.solver import Answer
from ccassist.values.display import Formatter
from ccassist.values.findings import Finding, InputError, NotPossible, error, errors, warning
from ccassist.values.measured import Value, computed
from ccassist.values.number import Number, nominal
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import Origin

# An engine that has no static ratio yet: where its ratio is looked for, and what its volumes must then add up to.
# Bore, stroke, rod and closing are enough to ask for the ratio; chamber and crown follow later.

_START = 9.0  # where the search begins; the answer does not hang on it
_SUM = RELATIONS["clearance_volume"]
_OVER_PISTON = ("deck_volume", "crown_volume")  # known together once a fill over the piston is


def to_build(story: BoostStory, cylinder: Cylinder) -> Build | None:
    """An engine whose ratio alone is not known, at one to start from; None where anything else is lacking too."""
    lacking = next(one.lacking for one in story.cylinders if one.number == cylinder.number)
    geometry = geometry_of(cylinder, story.closing, _START) if lacking == (RATIO,) else None
    return None if geometry is None else Build(geometry=geometry)


@record
class Volumes:
    """What a static ratio asks of the volumes above the piston at top dead centre."""

    total: Value  # what they must add up to
    known: Mapping[str, Value]  # those that are known already, by term, signed as they count in the sum
    left: Value | None  # what is left for the others; None where nothing is known, or nothing left open
    others: tuple[str, ...]  # terms of those


def volumes_for(cylinder: Cylinder, ratio: Number) -> Volumes | None:
    """What the volumes must add up to for a ratio: swept volume ÷ (ratio − 1); None without a swept volume."""
    swept = cylinder.values.get("swept_volume")
    if swept is None:
        return None
    total = swept.number / (ratio - 1)
    signs, values = coefficients(_SUM), cylinder.values
    known = {key: computed(key, sign * values[key].number) for key, sign in signs.items() if key in values}
    over = values.get("crown_and_deck_volume")
    if over is not None and not set(_OVER_PISTON) <= known.keys():
        known = {key: one for key, one in known.items() if key not in _OVER_PISTON} | {over.key: over}
    others = tuple(key for key in signs if key not in known and not (over and key in _OVER_PISTON))
    left = total - sum((one.number for one in known.values()), start=0.0)
    shown = {key: one for key, one in known.items() if key not in values or values[key].origin != Origin.NOT_COUNTED}
    return Volumes(
        total=computed(_SUM.gives, total, "swept volume ÷ (static ratio − 1)"),
        known=shown,
        left=computed(_SUM.gives, left, "what is known taken off") if shown and others else None,
        others=others,
    )


def volume_names(keys: tuple[str, ...]) -> list[str]:
    """Terms of the sum in short words."""
    return [SHORT_NAMES[key] for key in keys]


@record
class Solved:
    """One cylinder's answer, or why there is none.

    first : what the charge, the burn, or the static ratio must be; None where nothing does it.
    parts : where parts were asked for: one from that ratio, or two from that ratio and the squish.
    sure : of a static ratio that is as hard on the fuel as the baseline, that of 95 in 100; None else.
    """

    cylinder: int  # its number
    first: BoostAnswer | None = None
    parts: Answer | None = None
    into: IntoFile | None = None  # how the likeliest answer is put into the job file
    sure: float | None = None
    volumes: Volumes | None = None  # of a static ratio, what the volumes above the piston must add up to; None else
    reason: str = ""  # why there is no answer; "" where there is

    @property
    def numbers(self) -> dict[str, tuple[Number, ...]]:
        """The answers by unknown, the likeliest first."""
        if self.parts is not None:
            return self.parts.numbers
        return {} if self.first is None else {self.first.unknown: self.first.numbers}

    @property
    def checks(self) -> tuple[float, ...]:
        """The boosted target got back by working each answer through the whole chain again, SI."""
        if self.first is None or self.parts is None:
            return () if self.first is None else self.first.checks
        return tuple(root.checks[self.first.target] for root in self.parts.roots)

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What to mind."""
        own = [] if self.first is None else [*self.first.findings, *_beyond(self.first)]
        own += [] if self.parts is None else [*self.parts.findings]
        return (*own, *_unusual(self.numbers, self.parts is None))


def solve_story(
    story: BoostStory, unknowns: tuple[str, ...], targets: Mapping[str, float], *, fmt: Formatter, algebra: bool = True
) -> tuple[Solved, ...]:
    """What the unknown, or two together, must be in every cylinder.

    story : of the job; its comparison of knock is not needed.
    unknowns : one, of UNKNOWNS or PARTS; or two of PARTS.
    targets : one of TARGETS with its SI value; with two unknowns also the squish.

    Raises InputError: the question is not sound, or something it needs is not given.
    """
    target = _boosted_target(unknowns, targets)
    inputs = {one.number: one for one in story.survey.cylinders}
    able = [(one, build) for one in story.cylinders if (build := _build(story, inputs[one.number], unknowns))]
    if not able or story.conditions is None:
        raise InputError(not_ready(story))
    first_one, first_build = next((pair for pair in able if pair[0].number == story.worst), able[0])
    why = baseline_stand(story, first_one.number, first_build)[1]
    if target == OCTANE and why:
        raise InputError(why)
    asked = _Asked(story=story, unknowns=unknowns, target=target, targets=targets, fmt=fmt, algebra=algebra)
    return tuple(asked.solved(inputs[one.number], build) for one, build in able)


@record
class _Asked:
    """What is asked of every cylinder."""

    story: BoostStory
    unknowns: tuple[str, ...]
    target: str
    targets: Mapping[str, float]
    fmt: Formatter
    algebra: bool

    def solved(self, cylinder: Cylinder, build: Build) -> Solved:
        """The answer of one cylinder with its lines for the file, or why it has none."""
        number, stand = cylinder.number, stand_of(self.story, build, cylinder)
        baseline = baseline_stand(self.story, number, build)[0]
        try:
            found = (self.parts if self.unknowns[0] in PARTS else self.one)(cylinder, stand, baseline)
        except NotPossible as fault:
            return Solved(cylinder=number, reason=str(fault))
        value = self.targets[self.target]
        wanted = Wanted(
            stand=stand, cylinder=cylinder, target=self.target, value=value, baseline=baseline, fmt=self.fmt
        )
        found = _within_limits(found, wanted)
        return replace(found, into=_into(self.story, found, stand))

    def parts(self, cylinder: Cylinder, stand: Stand, baseline: Stand | None) -> Solved:
        """Parts, through the static ratio."""
        first, parts = solve_parts(
            stand,
            cylinder.known,
            cylinder.choices,
            unknowns=self.unknowns,
            target=self.target,
            targets=self.targets,
            baseline=baseline,
            algebra=self.algebra and cylinder.number == self.story.worst,
            fmt=self.fmt,
        )
        return Solved(cylinder=cylinder.number, first=first, parts=parts)

    def one(self, cylinder: Cylinder, stand: Stand, baseline: Stand | None) -> Solved:
        """One of the charge or the burn; or the static ratio, with what the volumes must then add up to."""
        value = self.targets[self.target]
        first = solve_boost(
            stand, unknown=self.unknowns[0], target=self.target, value=value, baseline=baseline, fmt=self.fmt
        )
        solved = Solved(cylinder=cylinder.number, first=first)
        if first.unknown != RATIO:
            return solved
        even = self.target == OCTANE and value == 0 and baseline is not None
        sure = sure_ratio(self.story, cylinder, stand, baseline, self.fmt) if even and baseline else None
        return replace(solved, sure=sure, volumes=volumes_for(cylinder, first.number))


def _build(story: BoostStory, cylinder: Cylinder, unknowns: tuple[str, ...]) -> Build | None:
    """The engine of a cylinder; where the ratio itself is asked for it need have none yet."""
    made = next(one.build for one in story.cylinders if one.number == cylinder.number)
    return to_build(story, cylinder) if made is None and unknowns == (RATIO,) else made


def _within_limits(solved: Solved, wanted: Wanted) -> Solved:
    """The answer; or none where the cautions forbid it, with the nearest that can be."""
    for key, (first, *_) in solved.numbers.items():
        if refused := wanted.forbidden(key, nominal(first)):
            return Solved(cylinder=solved.cylinder, reason=refused)
    return solved


def _into(story: BoostStory, solved: Solved, stand: Stand) -> IntoFile | None:
    """How the likeliest answer is put into the file; None where there is none."""
    answer = {key: nominal(numbers[0]) for key, numbers in solved.numbers.items() if numbers}
    if solved.first is None or not answer:
        return None
    return put_in(story, solved.cylinder, stand, solved.first.made, answer)


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


# A boosted target answered for every cylinder, and what each lever does, each with the cautions that go with it.


@record
class Boosted:
    """What was asked of a boosted engine, and the answer of every cylinder."""

    story: BoostStory
    wish: Request
    cylinders: tuple[Solved, ...]

    @property
    def possible(self) -> bool:
        """Whether any cylinder has an answer."""
        return any(not one.reason for one in self.cylinders)

    @property
    def cautions(self) -> tuple[str, ...]:
        """What must stand beside the figures asked about."""
        groups = ["trapped", "charge", "compression"]
        groups += ["equivalents"] if any(k in CRITERIA or k == "root_equivalent" for k in self.wish.targets) else []
        groups += ["knock"] if OCTANE in self.wish.targets else []
        return _beside(groups)


@record
class LeverEffects:
    """What one step of each lever does to the cylinder whose ratio may be the highest.

    ``held`` : what a step would move of what the baseline takes from the engine; written out it stays as it is here.
    """

    story: BoostStory
    effects: tuple[LeverEffect, ...]
    held: tuple[FileLine, ...] = ()

    @property
    def compared(self) -> bool:
        """Whether knock is compared with a baseline."""
        return any(OCTANE in effect.changes for effect in self.effects)

    @property
    def cautions(self) -> tuple[str, ...]:
        """What must stand beside the figures."""
        return _beside(["trapped", "charge", "compression", "equivalents", *(("knock",) if self.compared else ())])


def boosted_for(survey: Survey, wish: Request, fmt: Formatter) -> Boosted:
    """What the unknowns must be in every cylinder.

    Raises InputError: cam card or charge contradict themselves, or the question is not sound.
    """
    story = _ready(survey, fmt.system)
    return Boosted(story=story, wish=wish, cylinders=solve_story(story, wish.unknowns, wish.targets, fmt=fmt))


def levers_of(survey: Survey, system: str | None = None) -> LeverEffects:
    """What each lever does.

    Raises InputError: cam card or charge contradict themselves, or something needed is not given.
    """
    story, shown = _ready(survey, system), system or survey.job.system
    return LeverEffects(story=story, effects=lever_effects(story, shown), held=held_of_levers(story, shown))


def _ready(survey: Survey, system: str | None) -> BoostStory:
    """The story without its comparison of knock, every fault of cam card and charge raised."""
    story = boost_story(survey, system=system, with_knock=False)
    faults = errors(story.findings)
    if faults:
        raise InputError(faults)
    return story


def _beside(groups: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(text for group in (*groups, "all") for text in beside(group)))
