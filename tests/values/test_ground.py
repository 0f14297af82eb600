"""What a ± rests on: digits never count, every silent value takes its usual ±, and 95 % is said only with ground."""

from __future__ import annotations

import json
import math
import re
from typing import Any

import pytest

from ccassist.analysis.benefit import GUESSED, results_of
from ccassist.analysis.results import survey
from ccassist.job.file import parse_job
from ccassist.job.vocabulary import GIVEN_TERMS
from ccassist.values.measured import MOST, computed, confidence_texts, ground_of, ground_text, withheld
from ccassist.values.number import standard
from ccassist.values.quantity import parse
from ccassist.values.statement import number_of
from ccassist.values.uncertainty import ASSUMED, SHAPES, SILENT, Cause, doubt, expand
from ccassist.vocabulary import TERMS, Kind, term
from ccassist.vocabulary.term import silent
from tests.each import each
from tests.sound_job import SOUND, Shop, changed

GUESSES = """format = 1

[job]
name = "Bench guess"
units = "metric"

[engine]
cylinders = 1
bore = "84.9 +/- 0.02 mm, measured"
stroke = "90.3 +/- 0.02 mm, measured"
deck_clearance = "0.35 +/- 0.02 mm below deck, measured"
gasket_bore = "87.1 +/- 0.1 mm, measured"
gasket_thickness = "{gasket} mm, {origin}"
chamber_volume = "{chamber} cc, {origin}"
crown_volume = "dish {crown} cc, {origin}"

[counted]
crevice = "not counted"
"""
# The widths asked of these terms: measured, maker's figure, assumed [mm]; common practice, no source.
LENGTHS = {
    ("bore", "stroke", "rod_length"): (0.05, 0.05, 0.3),
    ("block_deck_height", "compression_height"): (0.05, 0.10, 0.3),
    ("deck_clearance",): (0.03, 0.15, 0.3),
    ("gasket_thickness",): (0.02, 0.05, 0.2),
    ("gasket_bore",): (0.2, 0.5, 1.5),
}
ORIGINS = ("measured", "maker's figure", "assumed")


def data_of(shop: Shop, command: str, *options: str) -> Any:
    """What a command says of the job as plain data."""
    assert shop.run(command, "job.toml", *options, "--json") in (0, 1)
    return json.loads(shop.out)


def ratio_of(text: str) -> float:
    """Standard uncertainty of the first cylinder's ratio."""
    found = survey(parse_job(text).job)
    return standard(found.cylinders[0].values["static_ratio"].number)


@pytest.mark.parametrize("origin", ["maker's figure", "assumed"])
def test_how_many_zeros_are_typed_says_nothing(origin: str) -> None:
    few = ratio_of(GUESSES.format(gasket="1.3", chamber="46", crown="8", origin=origin))
    many = ratio_of(GUESSES.format(gasket="1.3000", chamber="46.0000", crown="8.0000", origin=origin))
    assert few == many > 0


@each("key", GIVEN_TERMS)
@each("origin", ["", "maker's figure", "assumed"])
def test_no_stated_term_is_exact_and_none_better_for_its_digits(key: str, origin: str) -> None:
    wanted = term(key)
    low, high = wanted.plausible
    word = wanted.sign.plus[0] if wanted.sign else ""
    unit = {Kind.LENGTH: "mm", Kind.VOLUME: "cc", Kind.AREA: "cm2", Kind.TURNS: "rpm", Kind.MASS: "g",
            Kind.PRESSURE: "kPa", Kind.TEMPERATURE: "degC"}[wanted.kind]  # fmt: skip
    scale = {"mm": 1e-3, "cc": 1e-6, "cm2": 1e-4, "rpm": 1 / 60, "g": 1e-3, "kPa": 1e3, "degC": 1.0}[unit]
    zero = 273.15 if unit == "degC" else 0.0
    size = f"{(max(low, 0.0) + high) / 2 / scale - zero:.1f}"
    said = f", {origin}" if origin else ""
    plain, fine = (
        number_of(parse(f"{number} {unit} {word}".strip() + said, key), wanted.name) for number in (size, f"{size}0000")
    )
    assert standard(plain) == standard(fine) > 0
    (only,) = ground_of(plain).guesses
    assert only.cause.guess == SILENT
    assert "taken as ±" in only.cause.name


@pytest.mark.parametrize(("keys", "widths"), LENGTHS.items())
def test_the_widths_of_lengths(keys: tuple[str, ...], widths: tuple[float, float, float]) -> None:
    for key in keys:
        assert [term(key).silent_width(origin, 0.1) * 1e3 for origin in ORIGINS] == pytest.approx(widths)
        assert term(key).silent_width("", 0.1) == term(key).silent_width("maker's figure", 0.1)


@pytest.mark.parametrize(
    ("key", "cc", "widths"),
    [
        ("chamber_volume", 46.0, (0.5, 1.15, 4.6)),  # 1 %, at least 0.5 cc; 2.5 %, at least 1 cc; 10 %
        ("chamber_volume", 80.0, (0.8, 2.0, 8.0)),
        ("chamber_volume", 12.0, (0.5, 1.0, 1.2)),
        ("crown_volume", 5.0, (0.5, 0.7, 2.0)),  # 20 %, at least 2 cc
        ("crown_volume", -20.0, (0.5, 0.7, 4.0)),
    ],
)
def test_the_widths_of_volumes(key: str, cc: float, widths: tuple[float, float, float]) -> None:
    assert [term(key).silent_width(origin, cc * 1e-6) * 1e6 for origin in ORIGINS] == pytest.approx(widths)


def test_the_shapes_of_silent_values() -> None:
    """Measured: a normal, which 95 % of the half-width's ± hold; others anywhere within (JCGM 100:2008, 4.3.7)."""
    for origin, shape in (("measured", "normal"), ("maker's figure", "rectangular"), ("assumed", "rectangular")):
        number = number_of(parse(f"84.9 mm, {origin}", "bore"), "bore")
        found = next(row for row in ground_of(number).guesses)
        assert found.cause.shape == shape
        assert found.standard == pytest.approx(term("bore").silent_width(origin, 0.0849) / SHAPES[shape])


def test_a_measured_value_without_a_tool_is_rounded_to_its_last_digit_too() -> None:
    """Step ÷ √12 beside the usual tool (JCGM 100:2008, F.2.2.1): here the digits were read."""
    coarse, fine = (number_of(parse(f"{text} mm, measured", "bore"), "bore") for text in ("85", "85.000"))
    tool = 0.05e-3 / SHAPES["normal"]
    assert standard(coarse) == pytest.approx(math.hypot(tool, 1e-3 / math.sqrt(12)))
    assert standard(fine) == pytest.approx(tool, rel=1e-3)
    assert "nothing said of the tool" in ground_of(fine).guesses[0].cause.name


def test_a_half_width_wider_for_less_knowledge() -> None:
    """Of every term: measured is no worse known than a maker's figure, and that than a guess."""
    for one in (*(silent(kind.silent) for kind in Kind), *(t.silent for t in TERMS.values())):
        for value in (0.0, 1e-6, 1e-3, 0.1, 10.0):
            assert one.measured.at(value) <= one.maker.at(value) <= one.assumed.at(value)


def test_the_share_without_ground() -> None:
    """Of standard uncertainties 3 and 4 joined to 5, the first makes 9 of 25 parts of the variance."""
    number = 100.0 + doubt(3.0, Cause(name="guessed", guess=ASSUMED)) + doubt(4.0, Cause(name="measured"))
    rests = ground_of(number)
    assert rests.share == pytest.approx(9 / 25)
    assert rests.taken == pytest.approx(expand(number).expanded * 3 / 5)
    assert not rests.sure


@pytest.mark.parametrize(("guessed", "sure"), [(MOST * 0.99, True), (MOST * 1.01, False)])
def test_where_95_percent_ends(guessed: float, sure: bool) -> None:
    number = (
        9.0 + doubt(math.sqrt(guessed), Cause(name="a", guess=SILENT)) + doubt(math.sqrt(1 - guessed), Cause(name="b"))
    )
    assert ground_of(number).sure is sure
    texts = confidence_texts([("cylinder 1", computed("static_ratio", number))])
    assert ("holds the true value with 95 % confidence." in texts[0]) is sure


def test_what_two_share_is_no_guess_of_their_difference() -> None:
    shared = doubt(1.0, Cause(name="bore", guess=ASSUMED))
    one, other = (shared + doubt(0.1, Cause(name=name)) for name in ("first", "second"))
    assert not ground_of(one).sure
    assert ground_of(one - other).sure


def test_the_sentence_names_how_much_how_many_and_what_first() -> None:
    """± 0.24 of which 0.20 is guessed: standard 0.1225, of it 0.1020 without ground (normal, k = 1.96)."""
    known = doubt(math.sqrt(0.24**2 - 0.20**2) / SHAPES["normal"], Cause(name="measured"))
    guessed = [
        doubt(size / SHAPES["normal"], Cause(name=name, subject=name, guess=ASSUMED, remedy=f"measure the {name}"))
        for name, size in (("gasket", 0.16), ("deck", 0.12))
    ]
    text = ground_text("static_ratio", 9.0 + known + sum(guessed))
    assert "of the ± 0.24, 0.20 is only taken as" in text
    assert "2 guesses (gasket, deck)" in text
    assert text.endswith("first measure the gasket")


def test_a_fully_measured_job_says_95(shop: Shop) -> None:
    shop.write(changed(("1.30 +/- 0.05 mm, maker's figure", "1.30 +/- 0.05 mm, measured")))
    assert shop.run("show", "job.toml", "--all") == 0
    assert "± holds the true value with 95 % confidence." in shop.lines
    assert data_of(shop, "show")["ground"]["confidence"] == 0.95


@pytest.mark.parametrize(
    ("change", "first"),
    [
        (("dish 8.7 +/- 0.3 cc, measured", "dish 8.7 cc, assumed"), "measure the net crown volume"),
        (("dish 8.7 +/- 0.3 cc, measured", "dish 8.7 +/- 1.5 cc, assumed"), "measure the net crown volume"),
        (("dish 8.7 +/- 0.3 cc, measured", "dish 8.7 cc, measured"), "say what the net crown volume"),
        (("dish 8.7 +/- 0.3 cc, measured", "dish 8.7 cc"), "measure the net crown volume"),
        (("dish 8.7 +/- 0.3 cc, measured", "dish 8.7 +/- 0.0 cc, measured"), "say what the net crown volume"),
    ],
)
def test_95_is_withheld_on_the_screen_in_data_and_by_check(shop: Shop, change: tuple[str, str], first: str) -> None:
    shop.write(changed(change))
    shop.run("show", "job.toml")
    assert "95 % cannot be said" in shop.lines
    assert first in shop.lines
    shop.run("show", "job.toml", "--all")
    assert re.search(r"Static compression ratio of cylinder \d: of the ± [\d.]+, [\d.]+ is only taken as", shop.lines)
    assert f"first {first}" in shop.lines
    data = data_of(shop, "show")
    assert data["ground"]["confidence"] is None
    assert data["cylinders"][0]["values"]["static_ratio"]["confidence"] is None
    assert data["cylinders"][0]["values"]["static_ratio"]["without_ground"] > MOST
    found = [f for f in data_of(shop, "check")["findings"] if f["code"] == GUESSED]
    openly = "+/- 1.5 cc, assumed" in change[1]  # said to be a guess, with its ±: known to whoever wrote it
    assert [f["level"] for f in found] == ["note" if openly else "warning"]
    assert first in found[0]["right"]


def test_check_counts_silent_values_in_one_line(shop: Shop) -> None:
    text = GUESSES.format(gasket="1.3", chamber="46", crown="8", origin="maker's figure")
    shop.write(text)
    found = [f for f in data_of(shop, "check")["findings"] if "without a ±" in f["wrong"]]
    assert len(found) == 1
    assert "3 values without a ± are taken at the usual one" in found[0]["wrong"]


def test_readings_without_an_instrument_take_the_usual_tool() -> None:
    """As wide as the term's own measured half-width, the same for all of them, and no longer the better for it."""
    named = survey(parse_job(SOUND).job)
    text = SOUND.replace('instrument = "burette 50 ml class B"\n', "")
    bare = survey(parse_job(text).job)
    one, other = (s.cylinders[0].values["chamber_volume"].number for s in (bare, named))
    assert standard(one) > standard(other)
    tool = next(row for row in ground_of(one).guesses if row.cause.key == "fill_volume")
    assert tool.standard == pytest.approx(term("fill_volume").silent_width("measured", 46e-6) / SHAPES["normal"])
    apart = bare.cylinders[0].values["chamber_volume"].number - bare.cylinders[1].values["chamber_volume"].number
    assert ground_of(apart).sure


def test_a_temperature_not_read_is_without_ground() -> None:
    text = SOUND.replace('temperature = "20 degC"\n', "").replace('"burette 50 ml class B"', '"kitchen scale 1 g"')
    text = re.sub(r'\{ start = "([\d.]+) ml", end = "([\d.]+) ml" \}', r'{ before = "\2 g", after = "\1 g" }', text)
    found = survey(parse_job(text).job)
    guesses = ground_of(found.cylinders[0].values["chamber_volume"].number).guesses
    assert "read the fluid's temperature" in {row.cause.remedy for row in guesses}


@pytest.mark.parametrize("option", ["--gasket-thickness=1.1 mm", "--gasket-bore=87.5 mm", "--deck=0.1 mm"])
def test_what_machine_is_told_is_not_exact(shop: Shop, option: str) -> None:
    shop.write(SOUND)
    spreads = []
    for said in (option, option.replace(" mm", "000 mm"), option.replace(" mm", " +/- 0.00001 mm")):
        data = data_of(shop, "machine", said)
        spreads.append(data["cylinders"][0]["values"]["static_ratio"]["after"]["standard_uncertainty"])
    assert spreads[0] == spreads[1] > spreads[2]


def test_the_worst_of_each_term_is_told_once() -> None:
    found = survey(parse_job(changed(("dish 8.7 +/- 0.3 cc, measured", "dish 8.7 cc, assumed"))).job)
    keys = [value.key for _, value in withheld(results_of(found))]
    assert len(keys) == len(set(keys))
    assert "static_ratio" in keys


@pytest.mark.parametrize(
    ("command", "words"),
    [
        ("compare", ("--largest",)),
        ("balance", ("--all",)),
        ("tolerance", ("--all", "--of", "static_ratio", "--holds", "gasket_thickness=0.05 mm")),
        ("solve", ("--all", "--for", "crown_volume", "--to", "static_ratio=9.1")),
        ("machine", ("--all", "--skim", "0.2 +/- 0.01 mm, measured", "--gasket-thickness", "1.1 mm")),
    ],
)
def test_every_command_that_shows_a_result_says_what_is_guessed(
    shop: Shop, command: str, words: tuple[str, ...]
) -> None:
    """With everything measured nothing is said; with chambers that nobody said the ± of, it is."""
    area = ("[counted]", 'chamber_area = "46 +/- 0.1 cm2, measured"\n\n[counted]')
    known = changed(area, ("1.30 +/- 0.05 mm, maker's figure", "1.30 +/- 0.05 mm, measured"))
    chambers = "".join(f'[cylinder.{n}]\nchamber_volume = "{46 + n / 10:.1f} cc, assumed"\n' for n in (1, 2))
    guessed = known[: known.index("[[series]]")] + chambers
    exact = [word.replace("1.1 mm", "1.1 +/- 0.01 mm, measured") for word in words]
    for text, said, is_guessed in ((known, exact, False), (guessed, list(words), True)):
        shop.write(text)
        assert shop.run(command, "job.toml", *said) == 0, shop.err
        assert ("is only taken as usual or assumed" in shop.lines) is is_guessed


def test_three_fills_without_an_instrument_have_a_doubt() -> None:
    """Measuring is never worse off than guessing: the scatter is a usual hand's, beside the usual tool's error."""
    text = GUESSES.format(gasket="1.3", chamber="46", crown="8", origin="assumed")
    guess = survey(parse_job(text).job).cylinders[0].values["chamber_volume"]
    fills = "".join(f'{{ start = "0.0 ml", end = "{end} ml" }}, ' for end in (46.1, 46.2, 46.1))
    text = text.replace('chamber_volume = "46 cc, assumed"\n', "") + (
        '[[series]]\nstep = "chamber"\ncylinder = 1\nfluid = "water"\nplug = "fitted"\nhole = "not filled"\n'
        f"readings = [ {fills}]\n"
    )
    read = survey(parse_job(text).job).cylinders[0].values["chamber_volume"]
    assert 0 < read.expanded < guess.expanded


@pytest.mark.parametrize("factor", [1 / 3, 0.1, 7.3, math.pi])
def test_what_cancels_but_for_rounding_is_no_guess(factor: float) -> None:
    """A cause that two figures share leaves their difference; its last bits are not counted as one more guess."""
    shared, own = doubt(1.0, Cause(name="shared", guess=ASSUMED)), doubt(1e-3, Cause(name="own", guess=ASSUMED))
    left = (shared * factor + own) * 3 - shared * factor * 2 - shared * factor
    assert [row.cause.name for row in ground_of(left).guesses] == ["own"]
    assert standard(left) == pytest.approx(3e-3, rel=1e-9)
