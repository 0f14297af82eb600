"""What was worked out of some records a moment ago is found again, not worked out again.

Records never change, so that the very same ones give the very same result: a reading taken at the bench is parsed,
reduced and solved once, however many of the screen, the checks, the plain data and the pages then ask for it.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Mapping
from functools import wraps
from typing import Any, ParamSpec, TypeVar

P = ParamSpec("P")
R = TypeVar("R")

KEPT = 4  # results: a job before and after a change, in two ways


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
            if _same(given, then) and _same(tuple(sorted(named.items())), tuple(sorted(then_named.items()))):
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


def _same(one: Any, other: Any) -> bool:
    """The same object, or a text, number or tuple that says the same."""
    if one is other:
        return True
    if isinstance(one, tuple) and isinstance(other, tuple) and type(one) is type(other):
        return len(one) == len(other) and all(map(_same, one, other))
    return type(one) is type(other) and isinstance(one, str | int | float) and one == other
