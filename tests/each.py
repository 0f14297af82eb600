"""A table of cases as one test, where there are many and each is short: a test a case costs more than the case."""

from __future__ import annotations

import functools
import inspect
from collections.abc import Callable, Iterable
from typing import Any

Test = Callable[..., None]


def each(names: str | tuple[str, ...], cases: Iterable[Any]) -> Callable[[Test], Test]:
    """As pytest.mark.parametrize, but all in one test: every case is tried, and each that fails is named."""
    keys = tuple(names.replace(",", " ").split()) if isinstance(names, str) else names
    rows = [dict(zip(keys, case if len(keys) > 1 else (case,), strict=True)) for case in cases]
    assert rows

    def over(test: Test) -> Test:
        @functools.wraps(test)
        def whole(**others: Any) -> None:
            faults = [fault for row in rows if (fault := _fault(test, row, others))]
            if faults:
                raise ExceptionGroup(f"{len(faults)} of {len(rows)} cases", faults)

        left = [one for key, one in inspect.signature(test).parameters.items() if key not in keys]
        whole.__signature__ = inspect.Signature(left)  # type: ignore[attr-defined]
        return whole

    return over


def _fault(test: Test, row: dict[str, Any], others: dict[str, Any]) -> Exception | None:
    """What one case ends with."""
    try:
        test(**row, **others)
    except Exception as fault:
        fault.add_note(", ".join(f"{key}={value!r}" for key, value in row.items())[:300])
        return fault
    return None
