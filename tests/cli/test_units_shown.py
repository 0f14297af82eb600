"""An answer stands in one system of units, whichever the job is written in: figures, findings, remedies and steps."""

from __future__ import annotations

import re

import pytest

from tests.boost_job import BASELINE, CHARGE
from tests.cam_job import lifts
from tests.order_job import DISH, ORDER
from tests.sound_job import Shop

# Two wishes that are not kept, valves that come near, choices that cannot be: whatever speaks of amounts does so.
METRIC = (
    ORDER.replace('squish = "0.92 to 1.12 mm"', 'squish = "0.92 to 1.00 mm"')
    .replace(
        "[counted]",
        'opening_centroid = "50 mm, measured"\nengine_speed = "6400 rpm"\n'
        'compression_height = "31.2 +/- 0.02 mm, measured"\ncrown_volume = "dish 9.0 +/- 0.3 cc, measured"\n[counted]',
    )
    .replace('crevice = "counted"', 'crevice = "not counted"')
    + DISH
    + """[cam]
intake_closing = "55 +/- 2 deg after BDC, measured"
event_lift = "1.00 mm"
lift_read_at = "the valve"
wheel_doubt = "0.5 deg"
[valve.intake]
valve_diameter = "33.0 +/- 0.05 mm, measured"
valve_angle = "12 +/- 0.2 deg, measured"
valve_drop = "0.2 +/- 0.05 mm recessed, measured"
valve_offset = "20.0 mm, measured"
wanted_valve_gap = "1.2 mm"
"""
    + lifts("intake", 108, 9.8, -40, 60)
    + CHARGE
    + BASELINE
    + """[choice.gasket.thin]
gasket_thickness = "0.8 mm"
[choice.gasket.thick]
gasket_thickness = "1.6 mm"
[alternative."short crank"]
stroke = "70.3 mm, maker's figure"
open = ["compression_height", "crown_volume"]
"""
)
_IMPERIAL = {"mm": (25.4, "in"), "kPa": (6.894757, "psi"), "bar": (0.06894757, "psi"), "cm2": (6.4516, "in2")}


def imperial() -> str:
    """The same job as an imperial shop writes it."""

    def amount(found: re.Match[str]) -> str:
        factor, unit = _IMPERIAL[found[2]]
        return " to ".join(re.sub(r"[\d.]+", lambda n: f"{float(n[0]) / factor:.5f}", one)
                           for one in found[1].split(" to ")) + f" {unit}"  # fmt: skip

    text = re.sub(r"([\d.]+(?: (?:to|\+/-) [\d.]+)?) (mm|kPa|bar|cm2)\b", amount, METRIC)
    text = re.sub(r'"(\d+) \+/- (\d+) degC', lambda t: f'"{32 + 1.8 * float(t[1])} +/- {1.8 * float(t[2])} degF', text)
    return text.replace('units = "metric"', 'units = "imperial"')


FOREIGN = {
    "imperial": re.compile(r"[\d.] ?(mm|cm²|m|bar|kPa|°C|K|m/s|m/s²)\b"),
    "metric": re.compile(r"[\d.] ?(in|in²|in³|thou|ft|psi|°F|F°|ft/min|ft/s²)(?! \d|[\w°])"),
}
COMMANDS = (
    ("show",),  # with --all it tells every value as it is written
    ("balance",),
    ("compare",),
    ("machine", "--skim", "0.012 in", "--gasket-thickness", "0.9 mm"),
    ("solve", "--for", "compression_height", "--to", "squish=1.5 mm"),
    ("tolerance", "--of", "static_ratio", "--holds", "stroke=0.1 mm"),
    ("combine",),
    ("alternatives",),
    ("order",),
    ("cam",),
    ("boost",),
    ("boost", "--levers"),
    ("boost", "--for", "crown_volume", "--to", "octane_difference=0"),
    ("boost", "--for", "charge_temperature", "--to", "octane_difference=0"),
)


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_a_report_is_in_one_system(words: tuple[str, ...], shop: Shop) -> None:
    """In the one that the job is not written in."""
    for text, system in ((METRIC, "imperial"), (imperial(), "metric")):
        shop.write(text)
        code = shop.run(words[0], "job.toml", *words[1:], "--units", system, *() if words == ("show",) else ("--all",))
        assert code in (0, 1), shop.err
        assert shop.out
        # But for a constant of its own, and what is quoted.
        said = re.sub(r"delay formula [^;]*|\"[^\"]*\"", "", shop.lines)
        assert [found[0] for found in FOREIGN[system].finditer(said)] == [], said
