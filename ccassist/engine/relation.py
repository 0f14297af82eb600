"""What a relation is, and the list into which each is entered."""

from __future__ import annotations

import inspect
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TypeVar, cast

from ccassist.engine.handsum import Hand
from ccassist.engine.mathematics import FLOATS, Mathematics, printed
from ccassist.values.number import N, Number

F = TypeVar("F", bound=Callable[..., Number])


@dataclass(frozen=True)
class Relation:
    """One equation: what it gives, what it needs, what it says and where it is from."""

    name: str
    gives: str
    needs: tuple[str, ...]
    function: Callable[..., Number] = field(compare=False)
    title: str = ""
    source: str = ""

    def __call__(self, values: Mapping[str, N], m: Mathematics = FLOATS) -> N:
        """Evaluate on a mapping of term key to number; extra entries are ignored."""
        return cast(N, self.function(*(values[key] for key in self.needs), m=m))

    def written(self, *parts: Hand) -> str:
        """The relation written out, with a text for each of its needs."""
        return self(dict(zip(self.needs, parts, strict=True)), printed()).text


RELATIONS: dict[str, Relation] = {}


def relation(gives: str) -> Callable[[F], F]:
    """Enter a function among the relations; its docstring must name a source."""

    def enter(function: F) -> F:
        doc = inspect.getdoc(function) or ""
        source = re.search(r"Source: (.+?)(?:\n\n|\n>>>|$)", doc, re.DOTALL)
        needs = tuple(name for name in inspect.signature(function).parameters if name != "m")
        RELATIONS[function.__name__] = Relation(
            name=function.__name__,
            gives=gives,
            needs=needs,
            function=function,
            title=doc.split("\n")[0].rstrip("."),
            source=" ".join(source[1].split()) if source else "",
        )
        return function

    return enter
