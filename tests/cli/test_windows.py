"""Every command's screen: its answer in a window of 24 lines, no line wider than 60 columns, no torn figure."""

from __future__ import annotations

import re

import pytest

from ccassist.cli import screen
from ccassist.cli.layout import HEIGHT
from ccassist.vocabulary.units import SYSTEMS
from tests.report.test_survey import text_of
from tests.sound_job import TUBE, Shop

MORE = f"""
{TUBE}[charge]
boost_gauge = "0.8 +/- 0.05 bar, measured"
[choice.gasket.thin]
gasket_thickness = "1.0 mm"
[choice.gasket.thick]
gasket_thickness = "1.6 mm"
"""
BLOCK = 'block_deck_height = "205.00 +/- 0.02 mm, measured"\n'  # with it there is a piston to be ordered
COMMANDS = (
    ("show",),
    ("check",),
    ("readings",),
    ("balance",),
    ("compare",),
    ("compare", "--cylinders", "1,2"),
    ("combine", "--to", "static_ratio=9.2"),
    ("machine", "--gasket-thickness", "1.0 mm"),
    ("solve", "--for", "crown_volume", "--to", "static_ratio=9.2"),
    ("tolerance", "--of", "static_ratio", "--holds", "crown_volume=0.3 cc"),
    ("boost",),
    ("cam",),
    ("order",),
    ("calibrate",),
)
QUICK = ("bore=80.00mm", "stroke=72.50mm", "chamber=38.5cc", "gasket=1.10mm", "below=0.30mm")
RATIOS = (
    (*QUICK, "dish=5.2cc"),
    (*QUICK, "ratio=10.5"),
    (*QUICK, "dish=5.2cc", "rod=130.5mm", "closing=52deg"),
    (*QUICK, *(f"dish={cc}cc" for cc in range(3, 25))),
)


def whole(text: str, width: int) -> bool:
    """Whether an answer fits its window and no figure of it is torn."""
    lines = text.splitlines()
    fits = width < 80 or len(lines) < HEIGHT
    torn = re.search(r"[0-9](\n *±| ±\n)|[0-9]\n *(mm|cc|thou|deg|bar)\b", text)
    return fits and not torn and all(len(line) < width for line in lines)


@pytest.mark.parametrize("count", [1, 4, 8, 12])
@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_the_answer_fits_and_nothing_is_torn(
    words: tuple[str, ...], count: int, shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    text = text_of(count, "unlike") + MORE
    shop.write(text.replace("[counted]", f"{BLOCK}[counted]") if words[0] == "order" else text)
    for width in (80, 60):
        monkeypatch.setattr(screen, "window_width", lambda width=width: width)
        code = shop.run(words[0], "job.toml", *words[1:])
        if code == 2 or not shop.out:
            assert count == 1, shop.err  # what cannot be asked of one cylinder
            continue
        assert whole(shop.out, width), shop.out


@pytest.mark.parametrize("pairs", RATIOS, ids=["known", "wanted", "trapped", "many"])
@pytest.mark.parametrize("units", SYSTEMS)
def test_a_quick_ratio_too(pairs: tuple[str, ...], units: str, shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    for width in (80, 60):
        monkeypatch.setattr(screen, "window_width", lambda width=width: width)
        assert shop.run("ratio", *pairs, "--units", units) == 0, shop.err
        assert whole(shop.out, width), shop.out
