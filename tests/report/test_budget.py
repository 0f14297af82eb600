"""The uncertainty budget told: shares add up, the smallest stand together, what is not known yet is said."""

from __future__ import annotations

from decimal import Decimal

import pytest

from ccassist.report.blocks import Bars, Table, Text
from ccassist.report.budget import LEAST_SHARE, MOST_ROWS, budgets, repeats_told
from ccassist.report.findings import without_place
from ccassist.values.display import METRIC
from ccassist.values.uncertainty import budget
from tests.paper.made_sheets import DOME, HEADS, LARGE, surveyed
from tests.paper.pages_jobs import whole


def test_shares_add_to_a_hundred_and_the_small_stand_together() -> None:
    engine = surveyed(LARGE)
    told = list(budgets(engine, METRIC))
    first, second = (block for block in told if isinstance(block, Table))
    shares = [Decimal(row[2].removesuffix(" %")) for row in first.rows]
    assert sum(shares) == 100
    rows = budget(engine.cylinders[0].values["static_ratio"].number)
    kept = [row for row in rows if row.share >= LEAST_SHARE][:MOST_ROWS]
    assert [row[0] for row in first.rows[: len(kept)]] == [without_place(row.cause.name) for row in kept]
    if len(kept) < len(rows):
        assert first.rows[-1][0] == f"{len(rows) - len(kept)} smaller causes together"
    assert len(second.rows) == 2
    (bars,) = (block for block in told if isinstance(block, Bars))
    for one in bars.bars:
        assert Decimal(one.figure.removesuffix(" %")) == pytest.approx(Decimal(100 * one.share), abs=Decimal("0.1"))
    assert [one.figure for one in bars.bars[:2]] == [row[2] for row in first.rows[:2]]


def test_heads_alone_have_a_budget_of_the_chamber() -> None:
    told = [block.words for block in budgets(surveyed(HEADS), METRIC) if isinstance(block, Text)]
    assert told[0].startswith("Chamber volume of cylinder 1: ")


def test_what_one_more_reading_does_is_said_once_of_cylinders_alike() -> None:
    (said,) = repeats_told(surveyed(whole(8)), METRIC)
    assert said.startswith("One more fill of cylinders 1 to 8, head chamber by fluid, would take less than a tenth")


def test_what_is_not_known_yet_is_waited_for_by_name() -> None:
    text = DOME.replace('chamber_volume = "24.4 +/- 0.3 cc, measured"\n', "")
    series = '[[series]]\nstep = "chamber"\ncylinder = 1\ninstrument = "burette 50 ml class B"\nfluid = "water"\n'
    told = list(budgets(surveyed(f'{text}{series}readings = [{{ start = "0.0 ml", end = "24.4 ml" }}]\n'), METRIC))
    said = " ".join(block.words for block in told if isinstance(block, Text))
    assert "It waits for the causes named “± not known yet”" in said
    assert not any(isinstance(block, Bars) for block in told)
    (table,) = (block for block in told if isinstance(block, Table))
    assert any(row[1] == "± not known yet" for row in table.rows)
    assert not any(row[2] for row in table.rows)


def test_an_empty_job_says_so() -> None:
    (only,) = budgets(surveyed("format = 1\n[engine]\ncylinders = 3\n"), METRIC)
    assert isinstance(only, Text)
    assert only.words == "Nothing has been measured yet."
