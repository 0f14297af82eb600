"""Days as a job file writes them, and the day on which something is due again."""

from __future__ import annotations

import calendar
from datetime import date

MONTHS = {"month": 1, "months": 1, "year": 12, "years": 12}


def read_date(text: str) -> date | None:
    """The day that a text begins with, written 2026-10-12; None where it is written otherwise.

    >>> read_date("2026-10-12 08:15")
    datetime.date(2026, 10, 12)
    """
    try:
        return date.fromisoformat(text[:10])
    except ValueError:
        return None


def due_on(made: date, span: str) -> date:
    """The day that is a span such as "6 months" or "1 year" after another; the last of a shorter month.

    >>> due_on(date(2026, 8, 31), "6 months")
    datetime.date(2027, 2, 28)
    """
    count, unit = span.split()
    months = made.month - 1 + int(count) * MONTHS[unit]
    year, month = made.year + months // 12, months % 12 + 1
    return date(year, month, min(made.day, calendar.monthrange(year, month)[1]))
