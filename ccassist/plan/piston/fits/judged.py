"""Every check of an order, judged: what does not hold, what of it was accepted, what could not be looked at."""

from __future__ import annotations

from ccassist.job.sections.order import CHECKS, Check
from ccassist.plan.piston.fits.case import Case, Fault, Unseen
from ccassist.plan.piston.fits.crown import at_the_groove, edge, over_the_pin, pockets, shape
from ccassist.plan.piston.fits.ground import contradictions, ground
from ccassist.plan.piston.fits.head import bands, chamber, closeness, gap, gasket, set_of_pistons
from ccassist.plan.piston.fits.rings import land, pin, pin_length, ring_pack
from ccassist.plan.piston.fits.valves import valves
from ccassist.plan.piston.specification import Specification
from ccassist.values.display import Formatter
from ccassist.values.findings import Finding, clean, note, warning
from ccassist.vocabulary.record import record

ACCEPTED = "order.accepted"
JUDGES = (
    contradictions,
    shape,
    pockets,
    edge,
    bands,
    closeness,
    gap,
    gasket,
    chamber,
    valves,
    over_the_pin,
    at_the_groove,
    pin,
    ring_pack,
    pin_length,
    land,
    set_of_pistons,
    ground,
)


@record
class Outcome:
    """One thing that does not hold.

    Attributes
    ----------
    check : as declared.
    wrong, right : what is wrong, with its amounts, and the way out.
    accepted : the reason for which it is accepted, or what settles it; "" where it stands.
    """

    check: Check
    wrong: str
    right: str
    accepted: str = ""

    @property
    def text(self) -> str:
        """What stands in the bar: what is wrong, and the way out or why it is accepted."""
        return f"{self.wrong}: accepted, {self.accepted}" if self.accepted else f"{self.wrong}; {self.right}"

    def finding(self) -> Finding:
        """The same as a finding, for the list of what the maker must look at."""
        made = note if self.accepted else warning
        right = f"accepted: {self.accepted}" if self.accepted else self.right
        return made(self.check.key.replace("_", "-"), self.wrong, right=right)


@record
class Judged:
    """Everything that the checks found.

    Attributes
    ----------
    outcomes : what does not hold, in the order of the checks as declared.
    unseen : what could not be looked at, each once, in words.
    idle : what is accepted although nothing of the kind is wrong, in words.
    """

    outcomes: tuple[Outcome, ...]
    unseen: tuple[str, ...]
    idle: tuple[str, ...] = ()

    @property
    def faults(self) -> tuple[Outcome, ...]:
        """What keeps the order from being final."""
        return tuple(one for one in self.outcomes if not one.accepted)

    @property
    def accepted(self) -> tuple[Outcome, ...]:
        """What does not hold and is accepted."""
        return tuple(one for one in self.outcomes if one.accepted)


def judged(spec: Specification, fmt: Formatter) -> Judged:
    """All checks of one specification, in the units shown."""
    case = Case(spec=spec, system=fmt.system)
    told = [one for judge in JUDGES for one in judge(case)]
    reasons = {key: clean(text.strip(), 300) for key, text in spec.survey.job.said.get(ACCEPTED, {}).items()}
    outcomes = [_outcome(one, reasons) for one in told if isinstance(one, Fault)]
    places = list(CHECKS)
    outcomes.sort(key=lambda one: places.index(one.check.key))
    unseen = dict.fromkeys(f"{one.what}: {one.lacks}" for one in told if isinstance(one, Unseen))
    met = {one.check.key for one in outcomes}
    idle = [f"{key} is accepted, but nothing of the kind is wrong: take it out" for key in reasons if key not in met]
    return Judged(outcomes=tuple(dict.fromkeys(outcomes)), unseen=tuple(unseen), idle=tuple(idle))


def _outcome(one: Fault, reasons: dict[str, str]) -> Outcome:
    check = CHECKS[one.key]
    accepted = one.settled or (reasons.get(one.key, "") if check.acceptable else "")
    return Outcome(check=check, wrong=one.wrong, right=one.right or check.right, accepted=accepted)
