"""Every kind of worksheet, in turn on either page size and in either system of units."""

from __future__ import annotations

import pytest

from tests.paper.made_sheets import INVENTED, NAMES, Made, example, invented

WAYS = [("A4", "metric"), ("Letter", "imperial")]
ALL = [(name, *WAYS[n % 2]) for n, name in enumerate((*NAMES, *INVENTED))]


@pytest.fixture(params=ALL, ids="-".join)
def sheet(request: pytest.FixtureRequest) -> Made:
    """The worksheet of each example and of each invented job."""
    name, page, system = request.param
    return example(name, page, system) if name in NAMES else invented(name, page, system)
