"""Every kind of worksheet, on both page sizes and in both systems of units."""

from __future__ import annotations

import pytest

from tests.paper.made_sheets import INVENTED, NAMES, Made, example, invented

WAYS = [("A4", "metric"), ("Letter", "imperial")]
ALL = [(name, *way) for name in (*NAMES, *INVENTED) for way in WAYS if name != "sixteen" or way[0] == "A4"]


@pytest.fixture(params=ALL, ids="-".join)
def sheet(request: pytest.FixtureRequest) -> Made:
    """The worksheet of each example and of each invented job."""
    name, page, system = request.param
    return example(name, page, system) if name in NAMES else invented(name, page, system)
