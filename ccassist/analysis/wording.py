"""Names and numbers joined as in a sentence."""

from __future__ import annotations

from collections.abc import Sequence

from ccassist.values.findings import runs


def listed(items: Sequence[str]) -> str:
    """Words joined as in a sentence.

    >>> listed(["bore", "stroke", "rod"])
    'bore, stroke and rod'
    """
    return items[0] if len(items) == 1 else f"{', '.join(items[:-1])} and {items[-1]}" if items else ""


def whose(numbers: Sequence[int]) -> str:
    """Cylinders by their numbers, in the order given.

    >>> whose([3]), whose([1, 2, 3])
    ('cylinder 3', 'cylinders 1, 2, 3')
    """
    return f"cylinder{'s' if len(numbers) > 1 else ''} {', '.join(map(str, numbers))}"


def cylinders_in_words(numbers: Sequence[int]) -> str:
    """Cylinder numbers with runs drawn together.

    >>> cylinders_in_words([1, 2, 3, 5])
    '1 to 3, 5'
    """
    return runs(numbers)
