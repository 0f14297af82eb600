"""Records: frozen data classes that cost the start of the program little.

Python's own decorator compiles six methods a class, which for the classes that a first prompt needs takes as long as
everything else about it. Here all classes share five of them, and the one that sets the fields is compiled when the
first record of its class is made.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import MISSING, FrozenInstanceError, dataclass, field, fields
from typing import Any, TypeVar, dataclass_transform

Kind = TypeVar("Kind")


@dataclass_transform(frozen_default=True, kw_only_default=True, field_specifiers=(field,))
def record(kind: type[Kind]) -> type[Kind]:
    """The class as a frozen data class whose fields are given by name.

    >>> @record
    ... class Gap:
    ...     name: str
    ...     size: float = 0.0
    >>> Gap(name="squish", size=0.0009)
    Gap(name='squish', size=0.0009)
    """
    made: Any = dataclass(init=False, repr=False, eq=False, kw_only=True)(kind)
    compared = [f.name for f in fields(made) if f.compare]
    own = kind.__dict__

    def values(one: object) -> tuple[object, ...]:
        return tuple([getattr(one, name) for name in compared])

    def first(one: object, **given: object) -> None:
        made.__init__ = _setter(made)
        made.__init__(one, **given)

    made.__init__, made._values = first, staticmethod(values)
    made.__setattr__, made.__delattr__ = _refuse, _refuse
    for name, method in (("__eq__", _same), ("__hash__", _hash), ("__repr__", _shown)):
        if own.get(name) is None:
            setattr(made, name, method)
    return made  # type: ignore[no-any-return]


def _setter(kind: Any) -> Callable[..., None]:
    """The ``__init__`` of a class: one keyword a field."""
    asked, body = [], []
    known: dict[str, Any] = {"_put": object.__setattr__, "_missing": MISSING}
    for one in (f for f in fields(kind) if f.init):
        value = one.name
        if one.default_factory is not MISSING:
            known[f"_made_{value}"] = one.default_factory
            asked.append(f"{value}=_missing")
            body.append(f"_put(self, {value!r}, _made_{value}() if {value} is _missing else {value})")
            continue
        if one.default is not MISSING:
            known[f"_usual_{value}"] = one.default
        asked.append(value if one.default is MISSING else f"{value}=_usual_{value}")
        body.append(f"_put(self, {value!r}, {value})")
    body += ["self.__post_init__()"] if hasattr(kind, "__post_init__") else []
    text = f"def __init__(self{', *, ' if asked else ''}{', '.join(asked)}):\n " + "\n ".join(body or ["pass"])
    exec(text, known)
    made: Callable[..., None] = known["__init__"]
    made.__qualname__ = f"{kind.__qualname__}.__init__"
    return made


def _refuse(one: object, name: str, *_: object) -> None:
    raise FrozenInstanceError(f"{type(one).__name__}.{name} cannot be changed")


def _same(one: Any, other: Any) -> Any:
    return one._values(one) == one._values(other) if other.__class__ is one.__class__ else NotImplemented


def _hash(one: Any) -> int:
    return hash(one._values(one))


def _shown(one: Any) -> str:
    parts = ", ".join(f"{f.name}={getattr(one, f.name)!r}" for f in fields(one) if f.repr)
    return f"{type(one).__qualname__}({parts})"
