"""Jobs of invented engines to print: bare heads and whole engines, of any number of cylinders, no two alike."""

from __future__ import annotations

ENGINE = """bore = "86.30 +/- 0.01 mm, measured"
stroke = "79.10 +/- 0.02 mm, measured"
rod_length = "139.50 +/- 0.02 mm, measured"
gasket_bore = "87.7 +/- 0.1 mm, measured"
gasket_thickness = "1.20 +/- 0.03 mm, maker's figure"
engine_speed = "6100 rpm"
"""
ABOUT = """format = 1
[job]
name = "Lapwing, {count} cylinders"
customer = "O. Marram"
by = "Sedge"
date = 2026-11-21
remark = "Heads skimmed once before."
[engine]
cylinders = {count}
"""


def heads(count: int) -> str:
    """So many bare chambers, three fills each."""
    fills = "".join(_chamber(n) for n in range(1, count + 1))
    return f'{ABOUT.format(count=count)}[wanted]\nchamber_volume = "at least 47.0 cc"\n{fills}'


def whole(count: int, more: str = "") -> str:
    """A whole engine, its chambers filled three times each; of the pistons every third one is proud, with a dome."""
    own = "".join(_cylinder(n) for n in range(1, count + 1))
    fills = "".join(_chamber(n) for n in range(1, count + 1))
    wanted = '[wanted]\nstatic_ratio = "9.0 to 9.4"\nsquish = "0.9 to 1.4 mm"\ndisplacement = "at most 9000 cc"\n'
    return f"{ABOUT.format(count=count)}{ENGINE}{wanted}{own}{fills}{more}"


def _cylinder(number: int) -> str:
    proud = number % 3 == 0
    crown = f"{'dome' if proud else 'dish'} {3 + number / 10:.1f} +/- 0.3 cc, measured"
    deck = f"0.{10 + number} +/- 0.02 mm {'proud of the deck' if proud else 'below deck'}, measured"
    return f'[cylinder.{number}]\ncrown_volume = "{crown}"\ndeck_clearance = "{deck}"\n'


def _chamber(number: int) -> str:
    ends = (f"{47.1 + number * 0.13 + step / 20:.2f} ml" for step in (0, 2, 1))
    rows = ", ".join(f'{{ start = "0.00 ml", end = "{end}" }}' for end in ends)
    return (
        f'[[series]]\nstep = "chamber"\ncylinder = {number}\ninstrument = "burette 100 ml class B"\nfluid = "water"\n'
        f'temperature = "20 degC"\nplug = "fitted"\nhole = "not filled"\nreadings = [{rows}]\n'
    )
