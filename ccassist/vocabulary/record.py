"""Records: frozen data classes that cost the start of the program little.

Python's own decorator compiles six methods a class, which for the classes that a first prompt needs takes as long as
everything else about it. Here all classes share five of them, and the one that sets the fields is compiled when the
first record of its class is made.  What is worked out of them, which never change, may be found again (:func:`once`).
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Hashable, Iterable, Mapping
from dataclasses import MISSING, FrozenInstanceError, dataclass, field, fields
from functools import partial, wraps
from inspect import get_annotations
from typing import Any, ParamSpec, TypeVar, dataclass_transform, overload

Kind = TypeVar("Kind")
K = TypeVar("K", bound=Hashable)
V = TypeVar("V")
P = ParamSpec("P")
R = TypeVar("R")
KEPT = 4  # results of work on records: a job before and after a change, in two ways


@overload
@dataclass_transform(frozen_default=True, kw_only_default=True, field_specifiers=(field,))
def record(kind: type[Kind], /) -> type[Kind]: ...


@overload
@dataclass_transform(frozen_default=True, kw_only_default=True, field_specifiers=(field,))
def record(*, kw_only: bool) -> Callable[[type[Kind]], type[Kind]]: ...


def record(kind: type[Kind] | None = None, /, *, kw_only: bool = True) -> Any:
    """The class as a frozen data class whose fields are given by name; in their order too where ``kw_only`` is not set.

    >>> @record
    ... class Gap:
    ...     name: str
    ...     size: float = 0.0
    >>> Gap(name="squish", size=0.0009)
    Gap(name='squish', size=0.0009)
    """
    return partial(_made, kw_only=kw_only) if kind is None else _made(kind, kw_only=kw_only)


def _made(kind: Any, *, kw_only: bool) -> Any:
    own = kind.__dict__
    said = get_annotations(kind)
    # In the text of every annotation the decorator looks for these two and InitVar, for longer than all else takes it.
    kind.__annotations__ = {
        name: text if "KW_ONLY" in text or "ClassVar" in text else object for name, text in said.items()
    }
    made: Any = dataclass(init=False, repr=False, eq=False, kw_only=kw_only)(kind)
    kind.__annotations__ = said
    compared = [f.name for f in fields(made) if f.compare]

    def values(one: object) -> tuple[object, ...]:
        return tuple([getattr(one, name) for name in compared])

    def first(one: object, /, *given: object, **named: object) -> None:
        made.__init__ = _setter(made)
        made.__init__(one, *given, **named)

    made.__init__, made._values = first, staticmethod(values)
    made.__setattr__, made.__delattr__ = _refuse, _refuse
    for name, method in (("__eq__", _same), ("__hash__", _hash), ("__repr__", _shown)):
        if own.get(name) is None:
            setattr(made, name, method)
    return made


def _setter(kind: Any) -> Callable[..., None]:
    """The ``__init__`` of a class: the fields in their order, then those that are only given by name."""
    asked: dict[bool, list[str]] = {False: [], True: ["*"]}
    known: dict[str, Any] = {"_put": object.__setattr__, "_missing": MISSING}
    body = []
    for one in (f for f in fields(kind) if f.init):
        name, said = one.name, one.name
        if one.default_factory is not MISSING:
            known[f"_made_{name}"] = one.default_factory
            said = f"{name}=_missing"
            body.append(f"_put(self, {name!r}, _made_{name}() if {name} is _missing else {name})")
        else:
            if one.default is not MISSING:
                known[f"_usual_{name}"] = one.default
                said = f"{name}=_usual_{name}"
            # What is as usual the class has already; only a function there would be taken for a method.
            kept = one.default is MISSING or hasattr(one.default, "__get__")
            body.append(f"{'' if kept else f'if {name} is not _usual_{name}: '}_put(self, {name!r}, {name})")
        asked[bool(one.kw_only)].append(said)
    body += ["self.__post_init__()"] if hasattr(kind, "__post_init__") else []
    given = ", ".join(["self", *asked[False], *(asked[True] if len(asked[True]) > 1 else ())])
    exec(f"def __init__({given}):\n " + "\n ".join(body or ["pass"]), known)
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


def together(pairs: Iterable[tuple[K, V]]) -> dict[K, list[V]]:
    """What is said of each, in the order met.

    >>> together([("dish", 1), ("dome", 2), ("dish", 3)])
    {'dish': [1, 3], 'dome': [2]}
    """
    found: dict[K, list[V]] = {}
    for one, of_it in pairs:
        found.setdefault(one, []).append(of_it)
    return found


# What was worked out of some records is found again, since the very same ones give the very same result: a reading
# taken at the bench is parsed, reduced and solved once, however many of screen, checks and pages then ask for it.


def once(work: Callable[P, R]) -> Callable[P, R]:
    """A function of records that remembers its last results, each for the very same records.

    Texts, numbers and tuples of them may be given beside the records, and are compared by what they say.

    >>> worked = []
    >>> @once
    ... def doubled(record: list[int], by: int = 2) -> list[int]:
    ...     worked.append(by)
    ...     return [by * number for number in record]
    >>> readings = [1, 2]
    >>> doubled(readings), doubled(readings), doubled(readings, by=3), worked
    ([2, 4], [2, 4], [3, 6], [2, 3])
    """
    kept: deque[tuple[tuple[Any, ...], Mapping[str, Any], R]] = deque(maxlen=KEPT)

    @wraps(work)
    def found(*given: P.args, **named: P.kwargs) -> R:
        for then, then_named, result in kept:
            if _unchanged(given, then) and _unchanged(tuple(sorted(named.items())), tuple(sorted(then_named.items()))):
                return result
        result = work(*given, **named)
        kept.append((given, named, result))
        return result

    return found


def once_each(by: Callable[P, tuple[object, ...]], most: int = 1 << 15) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """A function that is asked for each of many records, such as every block of readings, and remembers them all.

    ``by`` : of what it is given, all that the result hangs on; texts and numbers by what they say, anything else by
    which it is.  ``most`` : results kept; then the oldest goes.

    >>> worked = []
    >>> @once_each(lambda rows, by: (rows, by))
    ... def times(rows: list[int], by: int) -> list[int]:
    ...     worked.append(by)
    ...     return [by * number for number in rows]
    >>> one, other = [1, 2], [1, 2]
    >>> times(one, 2), times(other, 2), times(one, 2), worked
    ([2, 4], [2, 4], [2, 4], [2, 2])
    """

    def remembering(work: Callable[P, R]) -> Callable[P, R]:
        kept: dict[tuple[object, ...], tuple[tuple[object, ...], R]] = {}

        @wraps(work)
        def found(*given: P.args, **named: P.kwargs) -> R:
            hangs_on = by(*given, **named)  # kept too: while it is there no other thing can be the same one
            key = tuple(one if isinstance(one, str | int | float | None) else (id(one),) for one in hangs_on)
            if key not in kept:
                if len(kept) >= most:
                    kept.pop(next(iter(kept)), None)
                kept[key] = hangs_on, work(*given, **named)
            return kept[key][1]

        return found

    return remembering


def _unchanged(one: Any, other: Any) -> bool:
    """The same object, or a text, number or tuple that says the same."""
    if one is other:
        return True
    if isinstance(one, tuple) and isinstance(other, tuple) and type(one) is type(other):
        return len(one) == len(other) and all(map(_unchanged, one, other))
    return type(one) is type(other) and isinstance(one, str | int | float) and one == other
