"""A calibration on paper: each correction of a fill can be worked out again from the page."""

from __future__ import annotations

import re

import pytest

from tests.paper.made_sheets import example


def test_corrections_follow_from_the_printed_line() -> None:
    """Mean reading × slope + a constant for each delivery, less the reading, is what the sum takes off."""
    made = example("v8-heads")
    line = re.search(r"True volume = ([\d.]+) × reading ([+−]) ([\d.]+) cc a delivery", made.flowing)
    assert line is not None
    slope, constant = float(line[1]), float(f"{line[2].replace('−', '-')}{line[3]}")
    means = [float(m) for m in re.findall(r"mean of \d fills (\d+\.\d+)", made.flowing)]
    corrections = [-float(c) for c in re.findall(r"by the calibration of shop syringe −(\d\.\d+)", made.flowing)]
    assert len(means) == len(corrections) == 12
    for mean, taken in zip(means, corrections, strict=True):
        assert (slope - 1) * mean + 2 * constant == pytest.approx(taken, abs=1.5e-3)  # two deliveries a fill


def test_steps_stand_as_they_were_read() -> None:
    text = example("v8-heads").flowing
    assert "from 60 ml, to 0 ml, before 0.0 g, after 59.4 g" in text
    assert "11 steps of water at 66 degF, weighed with scale 0.1 g" in text


def test_no_section_where_nothing_was_calibrated() -> None:
    assert "Calibrations" not in example("turbo-four").flowing
