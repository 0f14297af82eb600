"""Engines as they are, one invented engine a class, through ``check``: neither refusals nor false alarms."""

from __future__ import annotations

import json

import pytest

from tests.sound_job import Shop

# cylinders, bore, stroke, rod, chamber, crown, deck, gasket thickness and bore [mm, cc], speed [rpm] -> ratio to come
CLASSES = {
    "small four-stroke": (1, 38.9, 41.3, 77.3, "3.90", "flat", "0.25 mm below deck", 0.31, 39.6, 8300, 10.6),
    "flat head, nothing in it": (3, 83.9, 93.7, 151.9, "0.00", "dish 21.60", "0.12 mm proud", 1.31, 85.3, 4300, 18.5),
    "flat head, valve recesses": (
        4,
        79.3,
        87.1,
        143.3,
        "1.90",
        "dish 34.10",
        "0.21 mm below deck",
        1.22,
        80.7,
        5900,
        10.7,
    ),
    "vintage": (4, 79.7, 119.3, 231.7, "168.3", "flat", "1.60 mm below deck", 1.51, 83.1, 2300, 4.3),
    "diesel": (4, 81.7, 94.9, 148.7, "0.60", "dish 17.30", "0.10 mm proud", 1.18, 83.5, 4500, 21.9),
    "large diesel": (6, 240.0, 260.0, 523.0, "21.0", "dish 690.0", "1.10 mm below deck", 2.90, 244.0, 1250, 14.0),
    "nineteen thousand": (2, 71.3, 47.9, 98.3, "13.20", "dome 2.10", "0.35 mm below deck", 0.72, 72.1, 19000, 12.7),
    "common": (6, 84.7, 83.3, 139.1, "41.30", "dish 4.30", "0.25 mm below deck", 1.12, 86.3, 6700, 9.3),
}


def job(name: str) -> str:
    """The job of one engine, everything measured with its ±, one chamber after another by burette."""
    cylinders, bore, stroke, rod, chamber, crown, deck, thick, ring, speed, _ = CLASSES[name]
    crown_text = "dish 0.00 +/- 0.05 cc" if crown == "flat" else f"{crown} +/- 0.2 cc"
    stated = {
        "bore": f"{bore} +/- 0.01 mm",
        "stroke": f"{stroke} +/- 0.02 mm",
        "rod_length": f"{rod} +/- 0.03 mm",
        "crown_volume": crown_text,
        "deck_clearance": deck.replace(" mm", " +/- 0.02 mm"),
        "gasket_thickness": f"{thick} +/- 0.02 mm",
        "gasket_bore": f"{ring} +/- 0.1 mm",
        "land_diameter": f"{bore - 0.5 - 0.002 * bore:.2f} +/- 0.02 mm",
        "land_height": f"{0.07 * bore + 1:.1f} +/- 0.05 mm",
    }
    lines = "".join(f'{key} = "{text}, measured"\n' for key, text in stated.items())
    head = f'format = 1\n[job]\nname = "{name}"\nunits = "metric"\n[engine]\ncylinders = {cylinders}\n{lines}'
    head += f'engine_speed = "{speed} rpm"\n[counted]\ncrevice = "counted"\n'
    each = "".join(
        f'[cylinder.{n}]\nchamber_volume = "{float(chamber) + 0.1 * (n % 3):.2f} +/- 0.10 cc, measured"\n'
        for n in range(1, cylinders + 1)
    )
    return head + each


@pytest.mark.parametrize("name", CLASSES)
def test_a_sound_engine_of_every_class_is_left_in_peace(name: str, shop: Shop) -> None:
    shop.write(job(name))
    assert shop.run("check", "job.toml") == 0
    assert "LOOK" not in shop.out, shop.out
    assert "WRONG" not in shop.out, shop.out


@pytest.mark.parametrize("name", CLASSES)
def test_its_ratio_is_shown(name: str, shop: Shop) -> None:
    """Geometry by hand: π/4 B² S and the sum of volumes."""
    shop.write(job(name))
    assert shop.run("show", "job.toml", "--json") == 0
    first = json.loads(shop.out)["cylinders"][0]
    ratio = next(v for k, v in first["values"].items() if k == "static_ratio")["value"]
    assert ratio == pytest.approx(CLASSES[name][-1], rel=0.12)


def test_squish_is_judged_by_the_size_of_the_engine(shop: Shop) -> None:
    """0.60 mm is tight for a common engine and not for a small one; 1.2 mm is tight on a large one."""
    small = job("small four-stroke").replace("0.31 +/- 0.02", "0.29 +/- 0.02")
    shop.write(small)
    assert shop.run("check", "job.toml") == 0
    assert "squish may be under" not in shop.out
    shop.write(job("common").replace("1.12 +/- 0.02 mm", "0.40 +/- 0.02 mm"))
    shop.run("check", "job.toml")
    assert "cylinders 1 to 6: squish may be under 0.90 mm" in shop.lines
    shop.write(job("large diesel").replace("2.9 +/- 0.02 mm", "0.40 +/- 0.02 mm"))
    shop.run("check", "job.toml")
    assert "usual least with large bores" in shop.lines


def test_aluminium_rods_want_more(shop: Shop) -> None:
    shop.write(job("common").replace("units =", 'rods = "aluminium"\nunits ='))
    shop.run("check", "job.toml")
    assert "squish may be under 1.44 mm (usual least with aluminium rods" in shop.lines
