"""What follows must be possible too: everything computed against the ranges of its term, asked where it is unusual."""

from __future__ import annotations

import pytest

from ccassist.analysis.plausibility import out_of_range
from ccassist.analysis.results import new_questions, survey
from ccassist.engine.model import RELATIONS
from ccassist.job.file import parse_job
from ccassist.job.records import Job
from ccassist.values.display import formatter
from ccassist.values.findings import Finding, Level, grouped, note, warning
from ccassist.vocabulary import ALIKE, FOLLOWS, TERMS, term

ENGINE = {
    "bore": "71.30 +/- 0.01 mm, measured",
    "stroke": "66.40 +/- 0.02 mm, measured",
    "rod_length": "121.7 +/- 0.05 mm, measured",
    "chamber_volume": "29.3 +/- 0.2 cc, measured",
    "gasket_volume": "5.1 +/- 0.1 cc, measured",
    "crown_volume": "dish 3.1 +/- 0.2 cc, measured",
    "deck_clearance": "0.31 +/- 0.02 mm below deck, measured",
    "gasket_thickness": "1.20 +/- 0.03 mm, measured",
    "land_diameter": "70.90 +/- 0.02 mm, measured",
    "land_height": "6.10 +/- 0.05 mm, measured",
    "engine_speed": "7100 rpm",
}


def job(more: str = "", cylinders: int = 3, **changes: str) -> Job:
    stated = "".join(f'{key} = "{text}"\n' for key, text in {**ENGINE, **changes}.items() if text)
    text = f'format = 1\n[job]\nname = "invented"\nunits = "metric"\n[engine]\ncylinders = {cylinders}\n{stated}'
    return parse_job(f'{text}[counted]\ncrevice = "counted"\n{more}').job


def found(more: str = "", cylinders: int = 3, **changes: str) -> list[Finding]:
    made = survey(job(more, cylinders, **changes)).findings
    return [f for f in made if f.level is not Level.NOTE]


def test_a_sound_engine_is_left_in_peace() -> None:
    assert found() == []


def test_a_land_larger_than_its_bore() -> None:
    """It is an error that names both."""
    (one,) = grouped(found(land_diameter="71.90 +/- 0.02 mm, measured"))
    assert one.level is Level.ERROR
    assert one.place == "cylinders 1 to 3"
    assert "no top-land crevice can be −0.41 cc" in one.wrong
    assert "bore 71.30 mm" in one.wrong
    assert "top-land diameter 71.90 mm" in one.wrong


@pytest.mark.parametrize(
    ("changes", "what"),
    [
        ({"rod_length": "199.9 +/- 0.05 mm, measured"}, "rod ratio"),
        ({"chamber_volume": "0.43 +/- 0.2 cc, measured"}, "static compression ratio"),
        ({"engine_speed": "20900 rpm"}, "mean piston speed"),
        (
            {"bore": "171.30 +/- 0.01 mm, measured", "land_diameter": "170.9 +/- 0.01 mm, measured"},
            "static compression",
        ),
    ],
)
def test_an_unusual_result_is_questioned(changes: dict[str, str], what: str) -> None:
    asked = grouped(f for f in found(**changes) if f.asks)
    assert any(f"an unusual {what}" in f.wrong and "most are" in f.wrong for f in asked)


def test_of_a_chain_the_first_tells() -> None:
    """What follows from something remarked is not remarked again."""
    codes = [
        f.code for f in found(cylinders=1, chamber_volume="0.6 +/- 0.1 cc, measured", gasket_volume="0.4 +/- 0.1 cc")
    ]
    assert codes.count("unusual-result") == 1


def test_everything_computed_is_checked() -> None:
    """Every relation's result is a term whose usual range lies within its possible one."""
    for relation in RELATIONS.values():
        wanted = term(relation.gives)
        assert wanted.possible[0] <= wanted.plausible[0] < wanted.plausible[1] <= wanted.possible[1], wanted.key
        over = wanted.possible[1] + 0.1 * (wanted.possible[1] - wanted.possible[0])
        made = out_of_range(wanted.key, over, formatter("metric"))
        assert made is not None
        assert made.level is Level.ERROR


def test_ranges_of_all_terms_hold_each_other() -> None:
    for wanted in TERMS.values():
        assert wanted.possible[0] <= wanted.plausible[0] <= wanted.plausible[1] <= wanted.possible[1], wanted.key


def test_what_is_alike_is_a_term() -> None:
    assert set(ALIKE) <= set(TERMS)
    assert set(FOLLOWS) <= set(ALIKE)


class TestWanted:
    """What is wanted outside what is usual is questioned."""

    @pytest.mark.parametrize("text", ["8.4 to 8.6 mm", "at least 8.4 mm", "0.1 mm gap"])
    def test_squish(self, text: str) -> None:
        (one,) = found(f'[wanted]\nsquish = "{text}"\n')
        assert (one.code, one.asks, one.read) == ("unusual-wanted", True, text)

    def test_it_is_asked_where_it_is_stated(self) -> None:
        asked = new_questions(job(), job('[wanted]\nsquish = "8.4 to 8.6 mm"\n'))
        assert [f.code for f in asked] == ["unusual-wanted"]

    @pytest.mark.parametrize("text", ["0.9 to 1.1 mm", "at most 1.2 mm"])
    def test_usual_ones_pass(self, text: str) -> None:
        assert found(f'[wanted]\nsquish = "{text}"\n') == []


def crown(cylinder: int, drop: str, end: str) -> str:
    return (
        f'[[series]]\nstep = "crown"\ncylinder = {cylinder}\ninstrument = "burette 50 ml class B"\ndrop = "{drop}"\n'
        f'seal = "grease"\nhole = "not filled"\nreadings = [\n  {{ start = "0 ml", end = "{end} ml" }},\n]\n'
    )


def test_a_drop_with_a_slipped_point_shows_beside_the_sisters() -> None:
    """A drop of 0.6 mm for 6.0 turns most of a fill into a dish."""
    sound = crown(1, "6.0 mm", "31.9") + crown(2, "6.0 mm", "32.1")
    before, after = job(sound, crown_volume=""), job(sound + crown(3, "0,6 mm", "32.0"), crown_volume="")
    assert not any(f.asks for f in survey(before).findings)
    asked = new_questions(before, after)
    assert asked
    assert {f.place for f in asked} == {"cylinder 3"}
    assert any("net crown volume" in f.wrong or "drop" in f.wrong for f in asked)


def deck(cylinder: int, *rows: tuple[str, str], fields: tuple[str, str] = ("thrust", "away")) -> str:
    listed = "".join(f'  {{ {fields[0]} = "{a}", {fields[1]} = "{b}" }},\n' for a, b in rows)
    head = f'[[series]]\nstep = "deck"\ncylinder = {cylinder}\ninstrument = "dial indicator"\nreadings = [\n'
    return f"{head}{listed}]\n"


class TestDeck:
    """What is read of the pistons at the top."""

    def test_a_piston_that_rocks_too_far(self) -> None:
        asked = [f for f in found(deck(1, ("0.50 mm below", "0.30 mm proud")), deck_clearance="") if f.asks]
        assert [f.code for f in asked] == ["piston-rocks"]
        assert "0.80 mm" in asked[0].wrong

    def test_front_and_rear_too(self) -> None:
        rows = deck(1, ("0.50 mm below", "0.30 mm proud"), fields=("front", "rear"))
        assert [f.code for f in found(rows, deck_clearance="") if f.asks] == ["front-rear"]

    def test_a_usual_rock_passes(self) -> None:
        assert not any(f.asks for f in found(deck(1, ("0.42 mm below", "0.20 mm below")), deck_clearance=""))

    def test_one_deck_out(self) -> None:
        decks = "".join(deck(n, (c, c)) for n, c in ((1, "0.31 mm below"), (2, "0.32 mm below"), (3, "0.62 mm below")))
        asked = [f for f in found(decks, deck_clearance="") if f.asks]
        assert [f.place for f in asked] == ["cylinder 3"]

    def test_a_sloping_deck_is_no_slip(self) -> None:
        readings = ("0.10", "0.14", "0.18", "0.22", "0.26", "0.30")
        decks = "".join(deck(n, (f"{c} mm below", f"{c} mm below")) for n, c in enumerate(readings, 1))
        assert not any(f.asks for f in found(decks, 6, deck_clearance=""))


class TestGrouped:
    """What is alike over cylinders is said once."""

    def test_the_same_words(self) -> None:
        odd = [warning("a", "it is so", place=f"cylinder {n}", line=n + 3) for n in range(1, 7)]
        (one,) = grouped(odd)
        assert (one.place, one.line) == ("cylinders 1 to 6", 4)

    def test_other_figures(self) -> None:
        (one,) = grouped(warning("a", f"the gap is 0.8{n} mm", place=f"cylinder {n}") for n in (1, 2))
        assert one.text() == "cylinders 1, 2: the gap is 0.81 mm (cylinder 1; the others alike)"

    def test_what_differs_stays_apart(self) -> None:
        parts = [
            warning("a", "it is so", place="cylinder 1"),
            note("a", "it is so", place="cylinder 2"),
            warning("b", "it is so", place="cylinder 3"),
            warning("a", "it is so", place="banks"),
            warning("a", "it is so", place="cylinder 4", right="look"),
            warning("a", "it is so", place="series 2.drop"),
        ]
        assert grouped(parts) == parts

    def test_series_too(self) -> None:
        (one,) = grouped(warning("a", "it is not said", place=f"series {n}.hole") for n in (1, 2, 3, 5))
        assert one.place == "series 1 to 3, 5.hole"


@pytest.mark.parametrize(
    ("key", "said"), [("bore", "340.7 mm"), ("stroke", "390.5 mm"), ("deck_clearance", "4.8 mm below deck")]
)
def test_what_is_stated_and_asked_about_is_not_asked_again_of_what_follows(key: str, said: str) -> None:
    """An unusual statement is asked about by itself, with its line; what follows from it is not."""
    changes = {key: f"{said}, measured", "chamber_volume": "", "land_diameter": "", "gasket_volume": ""}
    about = found(cylinders=1, **changes)
    assert [f.code for f in about if f.code in ("unusual", "unusual-result")] == ["unusual"]


def test_what_cannot_be_is_an_error_though_its_input_was_asked_about() -> None:
    wide = found(cylinders=1, bore="310.2 mm, measured", land_diameter="310.9 mm, measured")
    assert "impossible-result" in {f.code for f in wide}


@pytest.mark.parametrize("gasket", ["0 cc", "5.1 cc"])
def test_what_cannot_be_is_said_whatever_was_asked_of_what_it_comes_from(gasket: str) -> None:
    """A question about one of its inputs, or about a step between, never hides a clearance below nothing."""
    dome = {"crown_volume": "dome 41 +/- 0.2 cc, measured", "gasket_volume": f"{gasket}, measured"}
    errors = [f for f in found(cylinders=1, **dome) if f.level is Level.ERROR]
    assert [f.code for f in errors] == ["impossible-result"]
    assert "no clearance volume can be −" in errors[0].wrong
