"""What is put on or taken off a fill, line by line, against sums by hand.

Cylinder and prism are plane geometry; expansions are those of ISO 4787 (borosilicate 9.9e-6, soda-lime glass 27e-6 a
kelvin; class B may be of either) and of handbooks (aluminium 3 × 22.3e-6), from memory; the rest is common practice,
no source.
"""

from __future__ import annotations

import math

import pytest

from ccassist.analysis.results import Survey, survey
from ccassist.bench.densities import MATERIALS
from ccassist.job.file import parse_job
from ccassist.values.number import nominal
from ccassist.values.uncertainty import budget

CC = 1e-6
FILL = '{ start = "0.00 ml", end = "40.00 ml" }'


def filled(
    *rows: str, tool: str = "burette 50 ml class A", step: str = "chamber", air: str = "", **said: str
) -> Survey:
    """A chamber of 40 cc by the scale."""
    about = {"instrument": tool, "fluid": "water", "hole": "not filled", "plug": "fitted", **said}
    if step != "chamber":
        del about["plug"]
    words = "".join(f'{name} = "{text}"\n' for name, text in about.items() if text)
    rows = rows or (FILL, FILL)
    read = f'air_pressure = "{air}"\n' if air else ""
    text = f'format = 1\n[engine]\ncylinders = 1\n{read}[[series]]\nstep = "{step}"\ncylinder = 1\n{words}readings = ['
    return survey(parse_job(f"{text}{', '.join(rows)}]\n").job)


def volume(found: Survey, key: str = "chamber_volume") -> float:
    return nominal(found.reduced[0].values[key].number) / CC


def lines(found: Survey) -> int:
    return len(found.reduced[0].lines)


@pytest.mark.parametrize(
    ("said", "off"),
    [
        ({"hole": "filled", "hole_diameter": "6 mm", "plate_thickness": "5 mm"}, -math.pi / 4 * 0.36 * 0.5),
        ({"hole_diameter": "6 mm", "plate_thickness": "5 mm"}, 0.0),
        ({"film": "0.02 mm", "opening": "50 cm2"}, -0.002 * 50),
        ({"plug": "not fitted", "plug_hole": "1.7 cc"}, -1.7),
        ({"plug_hole": "1.7 cc"}, 0.0),
        ({"residue": "0.3 cc"}, 0.15),  # of two fills the first was dry
        ({"temperature": "30 degC"}, 40 * 9.9e-5),
        ({"temperature": "10 degC"}, -40 * 9.9e-5),
        ({"temperature": "30 degC", "material": "aluminium"}, 40 * (9.9e-5 - 66.9e-5)),
        ({"material": "aluminium"}, 0.0),  # at a temperature that nobody read
        ({"meniscus": "different edges"}, 0.0),
        ({"meniscus": "same edge"}, 0.0),
    ],
)
def test_each_correction_is_a_line_of_its_own(said: dict[str, str], off: float) -> None:
    found = filled(**said)
    assert volume(found) == pytest.approx(40 + off, abs=2e-4)
    shown = lines(found) - lines(filled())
    assert shown == (1 + ("material" in said) if off else "different edges" in said.values())


@pytest.mark.parametrize(
    ("tool", "kelvin"),
    [("burette 50 ml class A", 9.9e-6), ("burette 50 ml class B", (9.9e-6 + 27e-6) / 2), ("beaker", 0.0)],
)
def test_glass_delivers_more_when_it_is_warm_and_what_says_nothing_of_it_as_it_is(tool: str, kelvin: float) -> None:
    warm, cold = (filled(FILL, tool=tool, temperature=t) for t in ("30 degC", "20 degC"))
    assert volume(warm) - volume(cold) == pytest.approx(40 * kelvin * 10, rel=0.01)
    assert lines(warm) - lines(filled(FILL, tool=tool)) == bool(kelvin)


@pytest.mark.parametrize(
    ("said", "off"),
    [
        ({"level": "bottom thread", "plug_well": "1.2 cc"}, 0.0),
        ({"level": "plug seat", "plug_well": "1.2 cc"}, -1.2),
        ({"level": "plug seat", "plug_well": "1.2 cc", "plug_nose": "adds 0.3 cc"}, -0.9),
    ],
)
def test_to_the_seat_the_plugs_well_is_taken_off(said: dict[str, str], off: float) -> None:
    assert volume(filled(FILL, step="assembly", hole="", **said), "assembly_volume") == pytest.approx(40 + off)


def share(found: Survey, words: str) -> float:
    """What a cause puts into the volume found, standard [cc]."""
    ((value),) = found.reduced[0].values.values()
    return math.hypot(*(row.standard for row in budget(value.number) if words in row.cause.name)) / CC


@pytest.mark.parametrize(
    ("tool", "material", "words", "doubt"),
    [
        ("burette 50 ml class A", "", "of its material", 3e-6),  # borosilicate 3.3 or 5.0
        ("burette 50 ml class B", "", "of its material", (27e-6 - 9.9e-6) / math.sqrt(12)),
        ("burette 50 ml class A", "aluminium", "of aluminium", MATERIALS["aluminium"].uncertainty),
        ("burette 50 ml class A", "iron", MATERIALS["iron"].name, MATERIALS["iron"].uncertainty),
    ],
)
def test_an_expansion_is_in_doubt_by_its_material(tool: str, material: str, words: str, doubt: float) -> None:
    """Ten kelvin on 40 cc."""
    warm = filled(FILL, tool=tool, material=material, temperature="30 degC")
    assert share(warm, words) == pytest.approx(40 * 10 * doubt, rel=0.01)


GRAMS = '{ before = "400.0 g", after = "360.0 g" }'


def test_a_temperature_that_nobody_read_is_charged_by_the_steeper_side() -> None:
    """Water from 20 to 35 °C thins by 4.17 kg/m³, more than its slope at 20 °C says (handbook densities)."""
    unread = share(filled(GRAMS, tool="scale 0.1 g"), "temperature")
    far = (998.203 - 994.03) / 998.2  # 20 °C and 35 °C
    assert unread == pytest.approx(40.1 * far / math.sqrt(3), rel=0.01)


def test_air_is_known_three_times_better_by_its_pressure() -> None:
    """1.2 ± 0.1 kg/m³ of air buoys water by 1/998 and steel by 1/8000 of itself."""
    guessed = share(filled(GRAMS, tool="scale 0.1 g", temperature="20 degC"), "air density")
    assert guessed == pytest.approx(40.1 * 0.1 * (1 / 998.2 - 1 / 8000) / math.sqrt(3), rel=0.01)
    read = share(filled(GRAMS, tool="scale 0.1 g", temperature="20 degC", air="1013 mbar"), "air density")
    assert read == pytest.approx(guessed / 3, rel=1e-3)


@pytest.mark.parametrize(("count", "share"), [(1, 0.0), (2, 1 / 2), (4, 3 / 4)])
def test_what_was_left_is_put_back_on_every_fill_but_the_first(count: int, share: float) -> None:
    assert volume(filled(*[FILL] * count, residue="0.4 cc")) == pytest.approx(40 + 0.4 * share)


def test_a_first_fill_that_is_set_aside_was_the_dry_one() -> None:
    aside = FILL.replace(" }", ', set_aside = "bubble" }')
    assert volume(filled(aside, FILL, residue="0.4 cc")) == pytest.approx(40.4)
    assert volume(filled(FILL, aside, residue="0.4 cc")) == pytest.approx(40.0)


def test_a_meniscus_read_at_two_edges_is_a_doubt_alone() -> None:
    """0.2 ml either way, a rectangle."""
    number = filled(meniscus="different edges").reduced[0].values["chamber_volume"].number
    (row,) = [row for row in budget(number) if "meniscus" in row.cause.name]
    assert row.standard == pytest.approx(0.2 * CC / math.sqrt(3))
    assert not [
        row for row in budget(filled().reduced[0].values["chamber_volume"].number) if "meniscus" in row.cause.name
    ]


def timed(lost: float) -> str:
    """A fill in 60 s, and readings at 30 s steps after it, of which so much [cc] may have run away in the fill."""
    after = ", ".join(f'"{40 + lost * n / 2:.4f} ml"' for n in (1, 2, 3))
    return (
        '{ start = "0 ml", end = "40.0000 ml", fill_time = "60 s", '
        f'settle = [{after}], settle_at = ["90 s", "120 s", "150 s"] }}'
    )


@pytest.mark.parametrize(
    ("lost", "code"), [(0.0, ""), (0.048, ""), (0.052, "slow-leak"), (0.48, "slow-leak"), (0.52, "leaks")]
)
def test_a_leak_is_taken_off_said_or_refused_by_its_size(lost: float, code: str) -> None:
    """Half of it from nothing on, a word from 0.05 cc, set aside from 0.5 cc."""
    found = filled(FILL, timed(lost))
    said = [f for f in found.findings if f.code in ("slow-leak", "leaks")]
    assert [f.code for f in said] == ([code] if code else [])
    counted = found.reduced[0].cell.counted
    assert len(counted) == (1 if code == "leaks" else 2)
    assert volume(found) == pytest.approx(40.0 if code == "leaks" else 40 - lost / 2 / 2, abs=1e-4)


def test_readings_at_one_time_show_no_leak() -> None:
    at_once = '{ start = "0 ml", end = "40.0 ml", fill_time = "60 s", settle = ["40.4 ml"], settle_at = ["60 s"] }'
    assert volume(filled(at_once)) == pytest.approx(40.0)


def test_a_leak_that_was_set_aside_already_is_not_spoken_of_again() -> None:
    aside = timed(0.6).replace(" }", ', set_aside = "leaked" }')
    assert "leaks" not in {f.code for f in filled(FILL, aside).findings}


def test_a_ring_on_the_bench_holds_its_own_cylinder_besides_the_crown() -> None:
    """π/4 × 80² × 5 mm is 25.13 cc; a dome in it leaves less than that."""
    bare = volume(filled(FILL, step="crown-bench"), "crown_volume")
    assert bare == pytest.approx(40.0)
    ring = filled(FILL, step="crown-bench", ring_bore="80 mm", ring_height="5 mm")
    assert volume(ring, "crown_volume") == pytest.approx(40 - math.pi / 4 * 80**2 * 5 / 1000)
    assert lines(ring) == lines(filled(FILL, step="crown-bench")) + 1


def test_by_weight_the_scales_error_is_charged_once_a_fill() -> None:
    """40 g at 0.1 g: class III, e = 0.1 g, half of e up to 50 g and doubled as not verified: 0.1 g, a rectangle."""
    row = '{ before = "400.0 g", after = "360.0 g" }'
    number = filled(row, row, tool="scale 0.1 g", temperature="20 degC").reduced[0].values["chamber_volume"].number
    (share,) = [one for one in budget(number) if "permissible error" in one.cause.name]
    assert share.standard == pytest.approx(0.1 * 1.0029 * CC / math.sqrt(3), rel=1e-3)
    assert nominal(number) == pytest.approx(40 * 1.0029 * CC, rel=1e-4)
