"""An invented engine of eight cylinders, each chamber filled many times, to time and to count with."""

from __future__ import annotations

HEAD = """format = 1
[job]
name = "Eight in two banks"
[engine]
cylinders = 8
bore = "91.40 +/- 0.01 mm, measured"
stroke = "77.20 +/- 0.02 mm, measured"
rod_length = "143.50 +/- 0.02 mm, measured"
crown_volume = "dish 5.20 +/- 0.2 cc, measured"
deck_clearance = "0.30 +/- 0.02 mm below deck, measured"
gasket_bore = "93.1 +/- 0.1 mm, measured"
gasket_thickness = "1.10 +/- 0.05 mm, measured"
[counted]
crevice = "not counted"
chamfer = "not counted"
[wanted]
static_ratio = "9.0 to 9.6"
"""


def eight(fills: int) -> str:
    """The job file, with so many fills of each chamber, each of two texts."""
    text = HEAD
    for number in range(1, 9):
        rows = "".join(
            f'    {{ start = "{n % 10 / 20:.2f} ml", end = "{52.4 + n % 7 / 10 + number / 10:.1f} ml" }},\n'
            for n in range(fills)
        )
        text += (
            f'\n[[series]]\nstep = "chamber"\ncylinder = {number}\ninstrument = "burette 100 ml class B"\n'
            f'fluid = "water"\nplug = "fitted"\nhole = "not filled"\nreadings = [\n{rows}]\n'
        )
    return text
