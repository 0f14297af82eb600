"""Every command's screen: its answer in a window of 24 lines, no line wider than 60 columns, no torn figure."""

from __future__ import annotations

import re

import pytest

from ccassist.cli import screen
from ccassist.cli.layout import HEIGHT
from tests.report.test_survey import text_of
from tests.sound_job import Shop

MORE = """
[charge]
boost_gauge = "0.8 +/- 0.05 bar, measured"
[choice.gasket.thin]
gasket_thickness = "1.0 mm"
[choice.gasket.thick]
gasket_thickness = "1.6 mm"
"""
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
)


@pytest.mark.parametrize("count", [1, 4, 8, 12])
@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_the_answer_fits_and_nothing_is_torn(
    words: tuple[str, ...], count: int, shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop.write(text_of(count, "unlike") + MORE)
    for width in (80, 60):
        monkeypatch.setattr(screen, "window_width", lambda width=width: width)
        code = shop.run(words[0], "job.toml", *words[1:])
        if code == 2:
            assert count == 1, shop.err  # what cannot be asked of one cylinder
            continue
        lines = shop.out.splitlines()
        assert width < 80 or len(lines) < HEIGHT, shop.out
        assert all(len(line) < width for line in lines), shop.out
        assert not re.search(r"[0-9](\n *±| ±\n)|[0-9]\n *(mm|cc|thou|deg|bar)\b", shop.out)
