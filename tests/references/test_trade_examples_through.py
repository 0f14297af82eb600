"""Constructed examples of the trade, from a job file through the command to what it prints.

Common practice, recomputed; not any real engine.  C1, C2 and C8 stand so in
tests/test_results.py, C3b in tests/cli/test_calibrate.py, C6 with the machining.
"""

from __future__ import annotations

import json
from math import pi
from typing import Any

import pytest

from ccassist.bench.calibrated import fit
from tests.references.sources import cites
from tests.sound_job import Shop
from tests.trade_c1 import C1_TEXT, CROWN

pytestmark = cites("practice")

CC, MM = 1e-6, 1e-3


@pytest.fixture
def shop(tmp_path, monkeypatch, capsys) -> Shop:
    return Shop(tmp_path, monkeypatch, capsys)


def job(more: str = "", cylinders: int = 1, **stated: str) -> str:
    lines = "".join(f'{key} = "{text}, measured"\n' for key, text in stated.items())
    return f'format = 1\n[job]\nunits = "metric"\n[engine]\ncylinders = {cylinders}\n{lines}{more}'


def data(shop: Shop, text: str, command: str, *words: str) -> Any:
    shop.write(text)
    assert shop.run(command, "job.toml", "--json", *words) == 0, shop.err
    return json.loads(shop.out)


def test_c1_four_chambers_by_show(shop: Shop) -> None:
    """Chambers 38.4/38.9/38.5/38.6: ratios 8.931/8.854/8.916/8.900, swept 403.514, piston 0.20 mm down."""
    chambers = (38.4, 38.9, 38.5, 38.6)
    each = "".join(f'[cylinder.{n}]\nchamber_volume = "{c} cc, measured"\n' for n, c in enumerate(chambers, 1))
    stated = {key: text for key, text in C1_TEXT.items() if key != "chamber_volume"}
    found = data(shop, job(each, 4, **stated, crown_volume=CROWN), "show")
    values = [cylinder["values"] for cylinder in found["cylinders"]]
    assert [round(v["static_ratio"]["value"], 3) for v in values] == [8.931, 8.854, 8.916, 8.900]
    assert values[0]["swept_volume"]["value"] / CC == pytest.approx(403.514, abs=5e-4)
    assert values[0]["deck_clearance"]["value"] / MM == pytest.approx(0.20)


@pytest.mark.parametrize(
    ("unknown", "target", "scale", "right"),
    [
        ("compression_height", "deck_clearance=0.20 mm below deck", MM, 31.65),
        ("crown_volume", "static_ratio=8.90", CC, 4.491),
    ],
)
def test_c1_the_order_by_solve(shop: Shop, unknown: str, target: str, scale: float, right: float) -> None:
    """Compression height from the stack, then the net crown that makes 8.90."""
    stated = {key: text for key, text in {**C1_TEXT, "crown_volume": CROWN}.items() if key != unknown}
    shop.write(job(**stated))
    assert shop.run("solve", "job.toml", "--for", unknown, "--to", target, "--json") == 0, shop.err
    way = json.loads(shop.out)["cylinders"][0]["ways"][0]
    assert way["values"][unknown]["value"] / scale == pytest.approx(right, abs=6e-4)


def test_c3_weighing_through_show(shop: Shop) -> None:
    """Bottle 412.6 to 365.3 g of water at 21 °C is 47.445 cc; less a plate hole of 0.17, 47.275 cc."""
    hole = 0.17 * 4 / pi / 6.0**2 * 1000  # depth in mm of a hole of 6 mm that holds 0.17 cc
    row = '{ before = "412.6 g", after = "365.3 g" }'
    fill = f"""[[series]]
step = "chamber"
cylinder = 1
instrument = "scale 0.1 g"
fluid = "water"
temperature = "21 degC"
plug = "fitted"
hole = "filled"
hole_diameter = "6.00 mm"
plate_thickness = "{hole:.5f} mm"
readings = [{row}, {row}, {row}]
"""
    found = data(shop, job(fill), "show")
    assert found["cylinders"][0]["values"]["chamber_volume"]["value"] / CC == pytest.approx(47.275, abs=2e-3)


def test_c4_equalise_and_skim_by_balance(shop: Shop) -> None:
    """58.9/59.6/60.4/59.2: open by 1.5, 0.8, 0 and 1.2 cc; then to 58.0 over 46 cm² is a cut of 0.522 mm."""
    chambers = (58.9, 59.6, 60.4, 59.2)
    each = "".join(f'[cylinder.{n}]\nchamber_volume = "{c} cc, measured"\n' for n, c in enumerate(chambers, 1))
    text = job(f'{each}[wanted]\nchamber_volume = "58.0 cc"\n', 4, chamber_area="46 cm²")
    plan = data(shop, text, "balance")
    assert plan["largest"] == 3
    assert {o["cylinder"]: round(o["value"] / CC, 6) for o in plan["openings"]} == {1: 1.5, 2: 0.8, 4: 1.2}
    assert plan["skim"]["cut"]["value"] / MM == pytest.approx(0.522, abs=5e-4)
    assert plan["spread"]["value"] / CC == pytest.approx(1.5)


def test_c5_a_leak_read_back_to_the_start() -> None:
    """52.9, 53.2, 53.8 cc at 30, 60, 120 s: 0.010 cc a second, 52.6 cc at the start."""
    line = fit([30, 60, 120], [52.9, 53.2, 53.8])
    assert (line.slope, line.at(0)) == (pytest.approx(0.010), pytest.approx(52.6))


@pytest.mark.parametrize(("closing", "trapped"), [(30, 8.517), (45, 8.037), (55, 7.612), (65, 7.106), (75, 6.527)])
def test_c9_trapped_by_combine(shop: Shop, closing: int, trapped: float) -> None:
    """C1 at 8.90, intake closing in degrees after bottom dead centre."""
    cam = f'[cam]\nintake_closing = "{closing} deg after BDC, measured"\nevent_lift = "1.00 mm"\n'
    text = job(cam + "[choice.crank.own]\n", **C1_TEXT, crown_volume=CROWN)
    row = data(shop, text, "combine")["rows"][0]["values"]
    assert row["trapped_ratio"]["value"] == pytest.approx(trapped, abs=6e-4)
    assert row["static_ratio"]["value"] == pytest.approx(8.900, abs=5e-4)


def test_stacks_by_combine(shop: Shop) -> None:
    """8.993 − 1.707 − 7.261 is 0.025 in below the deck; 9.137 − 1.707 − 7.430 is flush (common practice, added up)."""
    more = '[counted]\ncrevice = "not counted"\n'
    for name, block, rod, height in (("a", "8.993", "5.813", "1.448"), ("b", "9.137", "5.931", "1.499")):
        more += f'[choice.block.{name}]\nblock_deck_height = "{block} in, measured"\n'
        more += f'[choice.rods.{name}]\nrod_length = "{rod} in, measured"\n'
        more += f'[choice.pistons.{name}]\ncompression_height = "{height} in, measured"\n'
    stated = {"bore": "3.941 in", "stroke": "3.414 in", "chamber_volume": "58.6 cc", "crown_volume": "dish 5 cc"}
    text = job(more, **stated, gasket_bore="4.006 in", gasket_thickness="0.033 in")
    rows = data(shop, text, "combine")["rows"]
    same = {row["parts"]["block"]: row for row in rows if len(set(row["parts"].values())) == 1}
    clearances = {name: row["values"]["deck_clearance"]["value"] / 25.4e-3 for name, row in same.items()}
    assert clearances == {"a": pytest.approx(0.025), "b": pytest.approx(0.0, abs=1e-9)}
