"""A ± has two significant figures at most, its value ends at the same place, and sums add exactly as they are printed.

Two figures: JCGM 100:2008, 7.2.6 ("it is seldom necessary to quote more than two significant digits").
"""

from __future__ import annotations

import random
import re
from decimal import Decimal
from pathlib import Path

import pytest

from ccassist.values.display import fixed, show, two_figures
from ccassist.vocabulary import TERMS
from tests.sound_job import Shop, changed

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
COMMANDS = (
    ("show", "--all"),
    ("boost",),
    ("boost", "--levers"),
    ("balance",),
    ("compare", "--largest"),
    ("order",),
    ("cam",),
    ("calibrate",),
    ("machine", "--skim", "0.2 mm", "--gasket-thickness", "1.1 mm"),
    ("solve", "--for", "chamber_volume", "--to", "static_ratio=9.1"),
    ("tolerance", "--of", "static_ratio", "--holds", "chamber_volume=0.4 cc"),
)
# A value and its ±, "67.35 ± 0.52"; of a ± alone there is no value.
VALUE = re.compile(r"(?P<value>−?\d+(?:\.\d+)?)? ?± (?P<spread>\d+(?:\.\d+)?)(?![\d.]|e)")
DECLARED = re.compile(r"taken as ± [\d.]+|within ± [\d.]+|weather of the day, ± 2")  # stated limits, as they were said


def figures(text: str) -> int:
    """Significant figures of a printed number; the noughts at the end of a whole one are none."""
    digits = text.replace(".", "").lstrip("0")
    return len(digits if "." in text else digits.rstrip("0"))


def places(text: str) -> int:
    return len(text.partition(".")[2])


def faults(text: str) -> list[str]:
    """Every ± with more than two figures, or beside a value that ends elsewhere."""
    found = []
    for said in VALUE.finditer(DECLARED.sub("", text)):
        value, spread = said["value"], said["spread"]
        if figures(spread) > 2 or (value and places(value) != places(spread)):
            found.append(said[0])
    return found


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_no_command_prints_more(shop: Shop, path: Path, words: tuple[str, ...]) -> None:
    shop.write(path.read_bytes())
    shop.run(words[0], "job.toml", *words[1:])
    assert faults(shop.out) == []


def test_the_search_finds_what_is_wrong() -> None:
    assert faults("71234 ± 1237 cc") == ["71234 ± 1237"]
    assert faults("9.1 ± 0.12") == ["9.1 ± 0.12"]
    assert faults("9.123 ± 0.123") == ["9.123 ± 0.123"]
    assert faults("71200 ± 1200 cc, 9.12 ± 0.12, 0.040 ± 0.020") == []


@pytest.mark.parametrize(
    "key", ["static_ratio", "displacement", "deck_clearance", "squish", "clearance_volume", "bore"]
)
def test_any_value_with_any_spread(key: str) -> None:
    draw = random.Random(20).random
    for _ in range(400):
        scale = 1e-3 if TERMS[key].kind.value == "length" else 1e-6 if TERMS[key].kind.value == "volume" else 1.0
        value, spread = (10 ** (6 * draw() - 2) * scale for _ in range(2))
        for system in ("metric", "imperial"):
            assert faults(show(key, value, spread, system=system)) == []


@pytest.mark.parametrize(
    ("spread", "shown"),
    [
        (0.0996, "0.10"),
        (0.0994, "0.099"),
        (9.96, "10"),
        (1237, "1200"),
        (0.5, "0.50"),
        (99.6, "100"),
        (0.0304, "0.030"),
    ],
)
def test_two_figures(spread: float, shown: str) -> None:
    assert fixed(spread, two_figures(spread)) == shown


def test_large_engines_are_rounded_to_hundreds() -> None:
    assert show("displacement", 71234e-6, 1237e-6) == "71200 ± 1200 cc"


def sums_of(printed: str) -> list[tuple[Decimal, list[Decimal]]]:
    """Of every column of the hand sum its total and its parts, as printed."""
    lines = printed.splitlines()
    start = next(i for i, line in enumerate(lines) if line.startswith("volumes, cc"))
    rule = next(i for i, line in enumerate(lines) if i > start and set(line) == {"-"})
    many = lines[start].count("cyl. ")
    columns = list(zip(*(line.split()[-many:] for line in (*lines[start + 1 : rule], lines[rule + 1])), strict=True))
    return [(number(texts[-1]), [number(text) for text in texts[:-1]]) for texts in columns]


def number(text: str) -> Decimal:
    return Decimal(text.replace("−", "-"))


@pytest.mark.parametrize("seed", range(4))
def test_volumes_add_as_they_are_printed(shop: Shop, seed: int) -> None:
    draw = random.Random(seed)
    crown = f"{draw.choice(['dish', 'dome'])} {draw.uniform(0.5, 12):.3f} +/- {draw.uniform(0.02, 3):.2f} cc, measured"
    deck = f"{draw.uniform(0.05, 0.9):.3f} +/- 0.02 mm {draw.choice(['below deck', 'proud'])}, measured"
    shop.write(
        changed(
            ("dish 8.7 +/- 0.3 cc, measured", crown),
            ("0.20 +/- 0.02 mm below deck, measured", deck),
            ("1.30 +/- 0.05 mm", f"{draw.uniform(0.4, 2.2):.3f} +/- 0.05 mm"),
        )
    )
    assert shop.run("show", "job.toml", "--all") == 0
    rows = sums_of(shop.out)
    assert len(rows) == 2
    for total, parts in rows:
        assert total == sum(parts)
