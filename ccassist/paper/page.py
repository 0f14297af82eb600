"""The page sizes that anything is printed on."""

from __future__ import annotations

from ccassist.values.findings import InputError, error

MM = 72 / 25.4  # points
PAGES = {"A4": (210 * MM, 297 * MM), "Letter": (215.9 * MM, 279.4 * MM)}


def check_page(page: str) -> None:
    """Nothing where there is such a page size.

    Raises
    ------
    InputError : there is none.
    """
    if page not in PAGES:
        right = f"say {' or '.join(PAGES)}"
        raise InputError(error("unknown-page", "no such page size", read=page, right=right, place="--page"))
