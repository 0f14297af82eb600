"""``ccassist check``: everything wrong or doubtful, gravest first, and the exit code."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path
from typing import Any

import pytest

from ccassist.analysis.benefit import GUESSED
from tests.sound_job import Shop, changed

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))


def checked(shop: Shop, text: str) -> str:
    """What ``check`` prints of a job that is not wrong, unwrapped."""
    shop.write(text)
    assert shop.run("check", "job.toml") == 0
    assert shop.err == ""
    return shop.lines


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.name)
def test_the_examples_are_sound(path: Path, shop: Shop) -> None:
    assert EXAMPLES
    shop.write(path.read_bytes())
    assert shop.run("check", "job.toml", "--json") == 0
    assert {finding["level"] for finding in json.loads(shop.out)["findings"]} <= {"note"}


LOOKS = tomllib.loads((Path(__file__).parents[1] / "doubtful_jobs.toml").read_text(encoding="utf-8"))["case"]


@pytest.mark.parametrize("case", LOOKS, ids=lambda case: case["name"])
def test_what_is_doubtful_is_said_and_does_not_stop(case: dict[str, Any], shop: Shop) -> None:
    lines = checked(shop, changed(*case["change"]))
    assert case["says"] in lines
    assert "LOOK job.toml, " in lines
    assert lines.startswith("0 wrong, ")
    assert lines.split("0 wrong, ")[1].split()[0] != "0"
    assert shop.run("show", "job.toml") == 0


def test_a_single_value_without_a_doubt_names_the_remedy(shop: Shop) -> None:
    said = checked(shop, changed(("83.40 +/- 0.01 mm, measured", "3 9/32 in, measured")))
    assert "1 value without a ± is taken at the usual one: bore" in said
    assert "first say what the bore (engine.bore) was measured with" in said


def test_json_holds_every_finding_with_its_place(shop: Shop) -> None:
    shop.write(changed(("83.40 +/- 0.01 mm, measured", "83.40 +/- 0.01 mm")))
    assert shop.run("check", "job.toml", "--json") == 0
    told = [finding for finding in json.loads(shop.out)["findings"] if finding["code"] != GUESSED]
    assert told == [
        {
            "level": "warning",
            "code": "no-origin",
            "wrong": "it is not said where the bore comes from",
            "read": "83.40 +/- 0.01 mm",
            "right": 'add ", measured", ", maker\'s figure" or ", assumed"',
            "place": "engine.bore",
            "file": "job.toml",
            "line": 9,
            "asks": False,
            "together": [],
        }
    ]


def test_a_file_that_cannot_be_read_is_a_finding_too(shop: Shop) -> None:
    assert shop.run("check", "nothing.toml") == 2
    assert shop.lines == "1 wrong, 0 to look at. WRONG nothing.toml: no such file; start one with: ccassist new FILE"
    assert shop.run("check", "nothing.toml", "--json") == 2
    assert json.loads(shop.out)["findings"][0]["code"] == "no-file"
