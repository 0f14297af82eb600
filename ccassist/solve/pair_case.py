"""Two unknowns and two targets among the known numbers of a cylinder; the engine with a pair put in, and its doubt."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ccassist.engine.mathematics import uncertain
from ccassist.engine.model import Choices, Model
from ccassist.solve.newton import starts
from ccassist.solve.question import FILL_READINGS, Question, check_target, held_terms
from ccassist.values.findings import InputError, error
from ccassist.values.number import Number, nominal


@dataclass(frozen=True, kw_only=True)
class PairCase:
    """The known numbers without both unknowns and both targets, and what is asked."""

    known: Mapping[str, Number]
    choices: Choices
    unknowns: tuple[str, str]
    targets: Mapping[str, Number]
    present: Mapping[str, float]
    held: tuple[str, ...]
    system: str

    def other(self, unknown: str) -> str:
        """The unknown that this one is not."""
        return self.unknowns[1] if unknown == self.unknowns[0] else self.unknowns[0]

    def question(self, unknown: str, target: str, other: Number) -> Question:
        """One unknown and one target with the other unknown at a value."""
        known = {**self.known, self.other(unknown): other}
        plain = {key: nominal(value) for key, value in known.items()}
        present = self.present.get(unknown)
        return Question(
            known=known, plain=plain, choices=self.choices, unknown=unknown, target=target, present=present,
            held=self.held,
        )  # fmt: skip

    def moves(self, unknown: str, target: str) -> bool:
        """Whether the unknown moves the target, the other unknown being anywhere usual."""
        other = self.other(unknown)
        return any(self.question(unknown, target, at).models() for at in starts(other, self.present.get(other)))

    def values(self, plain: Mapping[str, float]) -> tuple[Model, dict[str, float]] | None:
        """The model and every term with both unknowns put in; None where no such engine can be drawn."""
        unknown, other = self.unknowns
        one, two = self.targets
        model = self.question(unknown, one, plain[other]).model(plain[unknown])
        wider = self.question(unknown, two, plain[other])
        if model is None:
            return None
        model = wider.reaching(model, plain[unknown])
        values = wider.values(plain[unknown], model)
        return (model, values) if values is not None and {one, two} <= set(values) else None

    def with_doubt(
        self, model: Model, plain: Mapping[str, float], leaning: Mapping[str, Mapping[str, float]]
    ) -> dict[str, Number] | None:
        """Both unknowns with the doubt that the known inputs and the targets bring.

        Implicit differentiation: the targets' own uncertain numbers at the root,
        over the matrix of slopes, so that every correlation is kept.
        """
        a, b = self.unknowns
        (one, want_one), (two, want_two) = self.targets.items()
        slope = {key: [leaning[key].get(unknown, 0.0) for unknown in (a, b)] for key in (one, two)}
        both = slope[one][0] * slope[two][1] - slope[one][1] * slope[two][0]
        size = abs(slope[one][0] * slope[two][1]) + abs(slope[one][1] * slope[two][0])
        if abs(both) <= 1e-9 * size:
            return None
        there: dict[str, Any] = model.evaluate({**self.known, **plain}, uncertain())
        off_one, off_two = there[one] - want_one, there[two] - want_two
        off_one, off_two = off_one - nominal(off_one), off_two - nominal(off_two)
        return {
            a: plain[a] - (slope[two][1] * off_one - slope[one][1] * off_two) / both,
            b: plain[b] - (slope[one][0] * off_two - slope[two][0] * off_one) / both,
        }


def pair_case(
    known: Mapping[str, Number],
    choices: Choices,
    unknowns: tuple[str, str],
    targets: Mapping[str, Number],
    system: str,
) -> PairCase:
    """The case of a question; what a fill over the piston found is kept as it is.

    Raises
    ------
    InputError : not four different terms, or a target that cannot be.
    """
    named = [*unknowns, *targets]
    if len(targets) != 2 or len(set(named)) < len(named):
        raise InputError(
            error("same-term", "two unknowns and two targets are four different terms", right="name another term")
        )
    for key, value in targets.items():
        check_target(key, nominal(value))
    filled = any(unknown in FILL_READINGS for unknown in unknowns)
    held = {} if filled else held_terms(known, choices, named)
    return PairCase(
        known={key: value for key, value in {**known, **held}.items() if key not in named},
        choices=choices,
        unknowns=unknowns,
        targets=targets,
        present={key: nominal(known[key]) for key in unknowns if key in known},
        held=tuple(held),
        system=system,
    )
