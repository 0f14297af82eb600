"""Error signatures: planted faults are found and named, clean readings are left alone.

The signatures are common practice, no source; the limits behind them are
checked against their sources in tests/references.
"""

import random
from collections.abc import Sequence
from dataclasses import replace

import pytest

from ccassist.bench.cell import Cell, Reading
from ccassist.bench.fluids import FLUIDS
from ccassist.bench.instruments import INSTRUMENTS
from ccassist.bench.kit import Kit
from ccassist.bench.pooled import repeats_of
from ccassist.bench.reductions import reduce_cell
from ccassist.bench.steps import STEPS
from ccassist.bench.trouble import judged, troubles
from ccassist.values.findings import Finding, Level
from ccassist.values.quantity import Quantity

BANKS = ((1, 3, 5, 7), (2, 4, 6, 8))
SAID = {"hole": "not filled", "plug": "fitted"}
BURETTE, DIAL = "burette 50 ml class B", "dial indicator"
CC, MM = 1e-6, 1e-3


def amount(key: str, value: float, step: float) -> Quantity:
    """A quantity read to a step of its scale."""
    return Quantity(key=key, value=round(value / step) * step, raw="as read", unit="", step=step)


def filled(
    cylinder: int, fills: Sequence[float], *, start: float = 0.0, first_line: int = 0, step: str = "chamber"
) -> Cell:
    """A series of burette fills [cc], as read to 0.05 cc."""
    rows = []
    for i, volume in enumerate(fills):
        ends = (amount("burette_reading", s * CC, 0.05 * CC) for s in (start, start + volume))
        fields = {name: (end,) for name, end in zip(("start", "end"), ends, strict=True)}
        line = (first_line or 100 * cylinder) + i
        rows.append(Reading(fields=fields, method=STEPS[step].methods[0], line=line))
    line = rows[0].line
    choices = SAID if step == "chamber" else {"hole": "not filled"}
    return Cell(
        step=STEPS[step], cylinders=(cylinder,), readings=tuple(rows), instrument=BURETTE, choices=choices, line=line
    )


def weighed(cylinder: int, fills: Sequence[float], *, step: str = "chamber") -> Cell:
    """A series of weighed fills [g of water], to 0.01 g."""
    rows = []
    for i, mass in enumerate(fills):
        fields = {
            name: (amount("dispenser_mass", g * 1e-3, 1e-5),) for name, g in (("before", 500.0), ("after", 500 - mass))
        }
        rows.append(Reading(fields=fields, method=STEPS[step].methods[2], line=5000 + 100 * cylinder + i))
    choices = SAID if step == "chamber" else {"hole": "not filled"}
    return Cell(
        step=STEPS[step], cylinders=(cylinder,), readings=tuple(rows), instrument="scale 0.01 g", fluid="water",
        choices=choices, line=rows[0].line,
    )  # fmt: skip


def dialled(cylinder: int, readings: Sequence[tuple[float, float]]) -> Cell:
    """A series of deck readings [mm], front and rear of the pin axis, to 0.01 mm."""
    rows = []
    for i, ends in enumerate(readings):
        both = zip(("front", "rear"), ends, strict=True)
        fields = {name: (amount("dial_reading", mm * MM, 0.01 * MM),) for name, mm in both}
        rows.append(Reading(fields=fields, method=STEPS["deck"].methods[0], line=3000 + 10 * cylinder + i))
    return Cell(step=STEPS["deck"], cylinders=(cylinder,), readings=tuple(rows), instrument=DIAL, line=rows[0].line)


def in_words(key: str, value: float) -> str:
    """An amount, by its size."""
    return f"{value * 1e6:.2f} cc" if value < 2e-4 else f"{value} m"


def found(cells: Sequence[Cell], banks: Sequence[Sequence[int]] = BANKS) -> list[Finding]:
    """What the readings say against themselves."""
    kit = Kit(instruments=INSTRUMENTS, fluids=FLUIDS)
    read = judged(repeats_of(cells, kit), in_words)
    kit.scatter = read.scatter
    reduced = [reduce_cell(cell, kit) for cell in cells]
    return troubles(reduced, read, kit, banks, in_words)


def only(cells: Sequence[Cell]) -> Finding:
    """The single thing found."""
    findings = found(cells)
    assert len(findings) == 1, [f.text() for f in findings]
    return findings[0]


# Sister chambers, clean: a scatter of about 0.1 cc.
CLEAN = {
    1: (46.10, 46.25, 46.05),
    2: (46.55, 46.40, 46.50),
    3: (46.20, 46.30, 46.15),
    4: (46.00, 45.90, 46.10),
    5: (46.35, 46.35, 46.20),
    6: (46.45, 46.50, 46.65),
}


def sisters(**changed: Sequence[float]) -> list[Cell]:
    """The clean chambers, some of them read otherwise: ``c3=(…)``."""
    return [filled(n, changed.get(f"c{n}", fills)) for n, fills in CLEAN.items()]


def test_clean_chambers_say_nothing() -> None:
    assert found(sisters()) == []


def test_a_low_repeat_is_likeliest_a_bubble_at_its_line() -> None:
    finding = only(sisters(c3=(46.20, 45.40, 46.25)))
    assert (finding.code, finding.level, finding.line, finding.place) == ("one-low", Level.WARNING, 301, "cylinder 3")
    assert "bubble under the plate" in finding.wrong
    assert "0.82 cc less" in finding.wrong
    assert "of fewer than six no test is sure" in finding.wrong
    assert "set it aside only with a reason" in finding.right


def test_the_last_of_three_may_be_the_low_one() -> None:
    assert only(sisters(c3=(46.25, 46.20, 45.40))).line == 302


def test_a_high_repeat_is_likeliest_a_leak_or_a_lifted_plate() -> None:
    finding = only(sisters(c3=(46.20, 47.05, 46.25)))
    assert (finding.code, finding.line) == ("one-high", 301)
    assert "plate not pressed down" in finding.wrong


@pytest.mark.parametrize("fills", [(46.90, 46.50, 46.10), (46.95, 46.20, 46.25)])
def test_falling_repeats_are_fluid_left_and_the_first_is_the_good_one(fills: Sequence[float]) -> None:
    finding = only(sisters(c3=fills))
    assert (finding.code, finding.line) == ("falling-repeats", 300)
    assert "fluid left from the fill before" in finding.wrong
    assert "the first fill is the good one" in finding.right


def test_rising_repeats_are_a_growing_leak_or_evaporation() -> None:
    finding = only(sisters(c3=(46.10, 46.50, 46.90)))
    assert finding.code == "rising-repeats"
    assert "leak" in finding.wrong
    assert "evaporates" in finding.wrong


def test_two_that_disagree_ask_for_a_third() -> None:
    finding = only(sisters(c3=(46.20, 47.40)))
    assert finding.code == "refuted"
    assert "46.20 cc, 47.40 cc" in finding.wrong
    assert "a third tells which is wrong" in finding.right


@pytest.mark.parametrize(("wrong", "size"), [(56.15, "10.00 cc"), (71.30, "25.00 cc"), (96.20, "50.00 cc")])
def test_a_repeat_off_by_a_refill(wrong: float, size: str) -> None:
    finding = only(sisters(c3=(46.20, 46.30, wrong)))
    assert (finding.code, finding.line) == ("refill-jump", 302)
    assert size in finding.wrong


def test_a_repeat_in_cubic_inches() -> None:
    """46.2 cc are 2.82 in³."""
    finding = only(sisters(c3=(46.20, 2.80, 46.25)))
    assert (finding.code, finding.line) == ("unit-slip", 301)
    assert "cubic inches and cc are mixed up" in finding.wrong


def test_a_wild_repeat_of_no_known_size_is_misread_not_a_bubble() -> None:
    assert "misread or mistyped" in only(sisters(c3=(46.20, 38.30, 46.25))).wrong


def test_a_wild_repeat_does_not_blunt_the_judgement_of_the_others() -> None:
    """A series with a gross slip lends its scatter to no other."""
    codes = sorted(f.code for f in found(sisters(c3=(46.20, 71.25, 46.25), c5=(46.35, 45.60, 46.30))))
    assert codes == ["one-low", "refill-jump"]


def test_a_reading_set_aside_is_not_complained_of() -> None:
    cells = sisters(c3=(46.20, 45.40, 46.25))
    rows = list(cells[2].readings)
    rows[1] = replace(rows[1], set_aside="saw a bubble")
    cells[2] = replace(cells[2], readings=tuple(rows))
    assert found(cells) == []


def test_six_readings_and_more_get_grubbs_as_a_suggestion() -> None:
    finding = only(sisters(c3=(46.20, 46.30, 46.15, 45.40, 46.25, 46.20, 46.25)))
    assert (finding.code, finding.level, finding.line) == ("stands-apart", Level.WARNING, 303)
    assert "Grubbs" in finding.wrong
    assert "set it aside only with a reason" in finding.right


def test_less_than_two_steps_of_the_scale_show_nothing() -> None:
    """All the others agree to the last digit; 0.10 cc is two steps of 0.05."""
    cells = [filled(n, (46.20, 46.20, 46.20)) for n in range(1, 6)] + [filled(6, (46.20, 46.30, 46.20))]
    assert found(cells) == []


def test_one_series_that_scatters_more_is_named_with_cochran() -> None:
    """Seven readings without an outlier, wide apart."""
    finding = only(sisters(c3=(46.2, 47.0, 45.5, 46.9, 45.6, 46.9, 45.5)))
    assert (finding.code, finding.level, finding.place) == ("scatters-more", Level.NOTE, "cylinder 3")
    assert "Cochran" in finding.wrong


def test_first_fills_that_read_high_as_a_rule() -> None:
    """Each by too little to be noticed alone: 0.3 cc in a scatter of 0.1."""
    cells = [filled(n, (a + 0.3, b, c)) for n, (a, b, c) in CLEAN.items()]
    finding = only(cells)
    assert finding.code == "first-fills-high"
    assert "fluid left" in finding.wrong


def test_a_chamber_measured_again_at_the_end_shows_drift() -> None:
    cells = sisters()
    again = filled(1, (46.75, 46.80), first_line=900)
    cells[0] = replace(cells[0], readings=cells[0].readings + again.readings)
    finding = only(cells)
    assert (finding.code, finding.line, finding.place) == ("series-drift", 901, "cylinder 1")
    assert "more" in finding.wrong


def test_a_chamber_measured_again_that_agrees_says_nothing() -> None:
    cells = sisters()
    again = filled(1, (46.15, 46.20), first_line=900)
    cells[0] = replace(cells[0], readings=cells[0].readings + again.readings)
    assert found(cells) == []


@pytest.mark.parametrize("refill", [10.0, 25.0, 50.0])
def test_a_sister_off_by_a_refill(refill: float) -> None:
    finding = only(sisters(c2=[v + refill for v in CLEAN[2]]))
    assert (finding.code, finding.place) == ("sister-refill", "cylinder 2")
    assert f"{refill:.2f} cc counted wrongly" in finding.wrong


def test_a_sister_that_really_is_larger_is_left_alone() -> None:
    """A chamber sunk by 14 cc is no refill."""
    assert found(sisters(c2=[v + 14 for v in CLEAN[2]])) == []


@pytest.mark.parametrize(
    ("factor", "words"), [(1 / 16.387064, "cubic inches"), (16.387064, "cubic inches"), (0.1, "decimal point")]
)
def test_a_sister_in_another_unit(factor: float, words: str) -> None:
    finding = next(f for f in found(sisters(c2=[v * factor for v in CLEAN[2]])) if f.code == "sister-slip")
    assert finding.place == "cylinder 2"
    assert words in finding.wrong


def test_a_plate_hole_counted_by_one_route_only() -> None:
    """Ø6 × 6 mm holds 0.17 cc: every chamber reads that much more with the hole filled and not taken off."""
    hole = {
        "hole_diameter": (Quantity(key="hole_diameter", value=6e-3, raw="6 mm", unit="mm"),),
        "plate_thickness": (Quantity(key="plate_thickness", value=6e-3, raw="6 mm", unit="mm"),),
    }
    cells = []
    for n, fills in CLEAN.items():
        cells.append(filled(n, [sum(fills) / 3] * 3))
        other = filled(n, [sum(fills) / 3 + 0.17] * 3, first_line=2000 + 10 * n)
        cells.append(replace(other, settings=hole))
    finding = only(cells)
    assert finding.code == "constant-offset"
    assert "about what the plate's hole holds" in finding.wrong
    assert "cylinder 1, cylinder 2" in finding.place


def test_a_scale_that_swallows_a_trickle() -> None:
    """Small weighed fills read low, large ones right, both against the burette."""
    cells = []
    for n in (1, 2, 3):
        cells += [filled(n, (46.20, 46.20, 46.25)), weighed(n, (46.07, 46.08, 46.08))]
        small = filled(n, (12.00, 12.05, 12.00), first_line=1000 + 10 * n, step="crown-bench")
        cells += [small, weighed(n, (11.30, 11.31, 11.29), step="crown-bench")]
    finding = next(f for f in found(cells) if f.code == "auto-zero")
    assert "lift the bottle off" in finding.right


def decks(*clearances: float) -> list[Cell]:
    """Three readings of each cylinder, good to 0.01 mm."""
    return [
        dialled(n, [(c, c), (c + 0.01, c), (c, c + 0.01)]) for n, c in enumerate(clearances, start=1)
    ]  # fmt: skip


def test_even_decks_say_nothing() -> None:
    assert found(decks(0.20, 0.21, 0.19, 0.22, 0.20, 0.20, 0.21, 0.19)) == []


@pytest.mark.parametrize(("odd", "code", "cause"), [(0.12, "one-low", "dirt on the crown"), (0.28, "one-high", "base")])
def test_one_deck_reading_apart_from_its_repeats(odd: float, code: str, cause: str) -> None:
    """Dirt on the crown holds the dial up, so the piston seems nearer the deck; under the base it is the reverse."""
    cells = decks(0.20, 0.21, 0.19, 0.22)
    cells[1] = dialled(2, [(0.21, 0.21), (odd, odd), (0.21, 0.20)])
    finding = only(cells)
    assert (finding.code, finding.line) == (code, 3021)
    assert cause in finding.wrong


def test_one_piston_low_while_its_neighbours_agree() -> None:
    finding = only(decks(0.20, 0.21, 0.35, 0.22, 0.20, 0.20, 0.21, 0.19))
    assert (finding.code, finding.place) == ("one-deck-out", "cylinder 3")
    assert "lower than its neighbours'" in finding.wrong
    assert "dirt under the dial first" in finding.right


def test_a_steady_slope_front_to_back() -> None:
    assert [f.code for f in found(decks(0.20, 0.24, 0.28, 0.32), banks=[(1, 2, 3, 4)])] == ["deck-slope"]


ONE_BANK = [(1, 2, 3, 4)]
TWO_BANKS = [(1, 2, 3), (4, 5, 6)]


@pytest.mark.parametrize(
    ("clearances", "banks", "said"),
    [
        ((0.20, 0.20, 0.32, 0.20), ONE_BANK, ("its piston stands", 0.12, "lower than its neighbours")),
        ((0.30, 0.30, 0.18, 0.30), ONE_BANK, ("its piston stands", 0.12, "higher than its neighbours")),
        ((0.20, 0.20, 0.29, 0.20), ONE_BANK, None),
        ((0.20, 0.29, 0.36, 0.20), ONE_BANK, None),  # the others agree within 0.1 mm, but not within half of it
        ((0.20, 0.20, 0.32), [(1, 2, 3)], ("its piston stands", 0.12, "lower than its neighbours")),
        ((0.05, 0.05, 0.127, 0.05), ONE_BANK, None),  # 2.54 times the others, but within what decks differ by
        ((0.32, 0.20), [(1, 2)], None),  # of two, neither is the odd one
        ((0.20, 0.22, 0.24, 0.26), ONE_BANK, ("steadily lower from front to back", 0.06, "end to end")),
        ((0.26, 0.24, 0.22, 0.20), ONE_BANK, ("steadily higher from front to back", 0.06, "end to end")),
        ((0.20, 0.215, 0.23, 0.245), ONE_BANK, None),
        ((0.20, 0.23, 0.26), [(1, 2, 3)], None),  # three points make no line
        ((0.20, 0.20, 0.20, 0.26, 0.26, 0.26), TWO_BANKS, ("on cylinders 4 to 6 the", 0.06, "lower than on 1 to 3")),
        ((0.26, 0.26, 0.26, 0.20, 0.20, 0.20), TWO_BANKS, ("on cylinders 1 to 3 the", 0.06, "lower than on 4 to 6")),
        ((0.20, 0.20, 0.20, 0.24, 0.24, 0.24), TWO_BANKS, None),
    ],
)
def test_how_large_a_pattern_must_be(
    clearances: Sequence[float], banks: Sequence[Sequence[int]], said: tuple[str, float, str] | None
) -> None:
    """0.1 mm for one piston, 0.05 mm end to end and bank to bank (common practice, no source)."""
    findings = found(decks(*clearances), banks=banks)
    if said is None:
        assert findings == []
        return
    (finding,) = findings
    before, after = finding.wrong.split(" cc ", 1)  # as any amount is written here: micrometres
    assert said[0] in before
    assert float(before.split()[-1]) == pytest.approx(said[1] * 1e3)
    assert after.startswith(said[2])


@pytest.mark.parametrize(("tilt", "said"), [(0.06, "front"), (-0.06, "rear"), (0.04, ""), (-0.04, "")])
def test_how_far_front_and_rear_must_differ(tilt: float, said: str) -> None:
    """0.05 mm (common practice, no source), and more than the tilts of all of them scatter."""
    cells = decks(0.20, 0.21, 0.19, 0.22)
    cells[1] = dialled(2, [(0.20 + tilt, 0.20), (0.21 + tilt, 0.21), (0.20 + tilt, 0.20)])
    assert [f.wrong.split()[0] for f in found(cells)] == ([said] if said else [])


def test_pistons_up_and_down_are_no_slope() -> None:
    assert found(decks(0.20, 0.28, 0.24, 0.32), banks=[(1, 2, 3, 4)]) == []


def test_one_bank_higher_than_the_other() -> None:
    finding = only(decks(0.20, 0.30, 0.21, 0.31, 0.20, 0.30, 0.19, 0.29))
    assert finding.code == "bank-offset"
    assert "on cylinders 2, 4, 6, 8 the pistons stand" in finding.wrong


def test_front_and_rear_of_the_pin_axis_differ() -> None:
    cells = decks(0.20, 0.21, 0.19, 0.22)
    cells[1] = dialled(2, [(0.28, 0.18), (0.27, 0.18), (0.28, 0.19)])
    finding = only(cells)
    assert (finding.code, finding.place) == ("front-rear", "cylinder 2")


@pytest.mark.parametrize(("clearance", "words"), [(5.08, "inches and mm"), (-0.20, "sign"), (0.51, "thou")])
def test_a_deck_in_another_unit_or_with_the_wrong_sign(clearance: float, words: str) -> None:
    finding = only(decks(0.20, 0.20, clearance, 0.20, 0.20, 0.20, 0.20, 0.20))
    assert finding.code == "sister-slip"
    assert words in finding.wrong


def noisy_chambers(rng: random.Random, cylinders: int, fills: int, scatter: float) -> list[Cell]:
    """Clean chambers that really differ by some 0.4 cc, filled with a scatter [cc] and read to 0.05 cc."""
    cells = []
    for n in range(1, cylinders + 1):
        true, start = rng.gauss(46.0, 0.4), rng.uniform(0.0, 2.0)
        cells.append(filled(n, [rng.gauss(true, scatter) for _ in range(fills)], start=start))
    return cells


@pytest.mark.parametrize(
    ("cylinders", "fills", "scatter"), [(8, 3, 0.1), (8, 2, 0.1), (8, 3, 0.02), (4, 7, 0.1), (2, 3, 0.3), (1, 4, 0.1)]
)
def test_clean_fills_raise_a_false_alarm_in_less_than_one_series_of_a_hundred(
    cylinders: int, fills: int, scatter: float
) -> None:
    rng = random.Random(20260105)
    jobs = 2000 // cylinders
    alarms = sum(len(found(noisy_chambers(rng, cylinders, fills, scatter))) for _ in range(jobs))
    assert alarms < 0.01 * jobs * cylinders


def test_clean_decks_raise_a_false_alarm_in_less_than_one_series_of_a_hundred() -> None:
    """Pistons that really differ by some 0.02 mm, read with a scatter of 0.008 mm."""
    rng = random.Random(20260106)
    alarms = 0
    for _ in range(250):
        cells = []
        for n in range(1, 9):
            true = rng.gauss(0.20, 0.02)
            cells.append(dialled(n, [(rng.gauss(true, 0.008), rng.gauss(true, 0.008)) for _ in range(3)]))
        alarms += len(found(cells))
    assert alarms < 0.01 * 250 * 8


def test_a_bubble_of_eight_times_the_scatter_is_found_nine_times_in_ten() -> None:
    rng = random.Random(20260107)
    seen = 0
    for _ in range(200):
        cells = noisy_chambers(rng, 8, 3, 0.1)
        rows = list(cells[4].readings)
        end = rows[1].fields["end"][0]
        rows[1] = replace(rows[1], fields={**rows[1].fields, "end": (replace(end, value=end.value - 0.8 * CC),)})
        cells[4] = replace(cells[4], readings=tuple(rows))
        seen += any(f.place == "cylinder 5" for f in found(cells))
    assert seen >= 180


def test_what_hardly_any_chamber_holds_is_looked_at() -> None:
    finding = only([weighed(1, (662.0, 662.1, 662.05))])
    assert (finding.code, finding.level, finding.place) == ("unusual-result", Level.WARNING, "cylinder 1")
    assert finding.wrong.startswith("an unusual chamber volume, ")
    assert finding.asks
