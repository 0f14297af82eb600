"""What a relation is, and the list into which each is entered."""

from __future__ import annotations

import inspect
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from ccassist.engine.mathematics import FLOATS, Mathematics


@dataclass(frozen=True)
class Relation:
    """One equation: what it gives, what it needs, what it says and where it is from."""

    name: str
    gives: str
    needs: tuple[str, ...]
    function: Callable[..., Any] = field(compare=False)
    title: str = ""
    source: str = ""

    def __call__(self, values: Mapping[str, Any], m: Mathematics = FLOATS) -> Any:
        """Evaluate on a mapping of term key to number; extra entries are ignored."""
        return self.function(*(values[key] for key in self.needs), m=m)


RELATIONS: dict[str, Relation] = {}


def relation(gives: str) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """Enter a function among the relations; its docstring must name a source."""

    def enter(function: Callable[..., Any]) -> Callable[..., Any]:
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
