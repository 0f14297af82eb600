"""What must stand on the page: headlines, verdicts, readings, budget, cautions, sign-off."""

from __future__ import annotations

import re
from decimal import Decimal

import pytest

from ccassist.bench.cautions import CAUTIONS
from ccassist.report.data import bare
from ccassist.values.display import METRIC, formatter
from tests.paper.made_sheets import DOME, LARGE, Made, example, invented, made_from, surveyed


def test_what_is_counted_is_said() -> None:
    assert "the crevice is counted and the chamfer is counted." in example("turbo-four").flowing
    assert "the crevice is counted and the chamfer is not counted." in invented("large").flowing
    assert "the crevice is not counted and the chamfer is not counted." in invented("dome").flowing


def test_the_spread_cancels_what_the_cylinders_share() -> None:
    # Both chambers were read with one burette: its permissible error is in each, not in their difference.
    made = invented("heads")
    line = next(x for x in made.part("Between cylinders", "What the ± means") if x.startswith("chamber"))
    found = re.search(r"([\d.]+) ± ([\d.]+) cc .* ± ([\d.]+) cc", line)
    assert found
    one = Decimal(bare(made.survey.cylinders[0].values["chamber_volume"], formatter("metric")).split(" ± ")[1])
    assert Decimal(found[2]) < one * Decimal("1.4")


def test_warnings_say_what_to_do() -> None:
    made = invented("dome")
    assert "LOOK cylinder 1: squish may be under 0.65 mm (usual least with small bores" in made.flowing
    assert "ask the piston and rod maker" in made.flowing
    assert "squish may be under 25.6 thou" in invented("dome", "Letter", "imperial").flowing


def test_unknown_doubt_is_said_and_the_budget_names_what_it_waits_for() -> None:
    text = DOME.replace('chamber_volume = "24.4 +/- 0.3 cc, measured"\n', "")
    series = '[[series]]\nstep = "chamber"\ncylinder = 1\ninstrument = "burette 50 ml class B"\nfluid = "water"\n'
    made = made_from(surveyed(f'{text}{series}readings = [{{ start = "0.0 ml", end = "24.4 ml" }}]\n'))
    assert "24.40 ± ?" in made.texts[0]
    assert "It waits for the causes named “± not known yet”" in made.flowing


def test_raw_readings_stand_as_written_with_their_results(sheet: Made) -> None:
    lines = sheet.part("Readings", "Algebra")
    for one in sheet.survey.reduced:
        if not one.cell.step.fills or any(len(texts) > 1 for r in one.cell.readings for texts in r.fields.values()):
            continue
        for reading, result in zip(one.cell.readings, one.rows, strict=True):
            raw = [q.raw for found in reading.fields.values() for q in found]
            assert result is not None
            shown = METRIC.amount("fill_volume", result, decimals=3)
            pairs = zip(lines, [*lines[1:], ""], strict=True)  # a long one goes on in the next line
            assert any(all(text in one + two for text in (*raw, shown)) for one, two in pairs), (raw, shown)


def test_how_a_series_was_made_stands_above_it() -> None:
    text = example("v8-heads").flowing
    assert "full syringes and a remainder; shop syringe; white spirit" in text
    assert "temperature 66 degF" in text
    assert "read by Ida" in text


def test_dates_times_and_remarks_of_a_series_stand_beside_its_readings() -> None:
    text = invented("leak").flowing
    for words in ("date 2026-10-02", "Remark: seat 2 wet", "temperature 19 degC, 20 degC", "09:40", "120 s"):
        assert words in text


def test_readings_set_aside_are_struck_through_with_the_reason() -> None:
    made = example("v8-heads")
    place = next(i for i, text in enumerate(made.texts) if "set aside: saw a bubble at" in text)
    row = next(w for w in made.pages[place].words if w["text"] == "bubble")
    struck = next(w for w in made.pages[place].words if w["text"] == "66.500" and abs(w["top"] - row["top"]) < 3)
    level = [line for line in made.lines[place] if abs(line["top"] - line["bottom"]) < 0.01]
    assert any(
        struck["top"] < line["top"] < struck["bottom"]
        and line["x0"] == pytest.approx(struck["x0"], abs=1)
        and line["x1"] == pytest.approx(struck["x1"], abs=1)
        for line in level
    )


def test_older_states_are_shown_and_marked() -> None:
    text = example("v8-heads").text
    start = text.index("Head chamber by fluid · left head · as received")
    assert "Older state, not in the results." in text[start : start + 500]
    assert text.count("not in the results") == 1


def test_a_newer_state_that_is_not_complete_is_marked() -> None:
    row = '{ start = "0.0 ml", end = "46.1 ml" }'
    parts = [
        'format = 1\n[engine]\ncylinders = 2\n[part.head]\nkind = "head"\ncylinders = [1, 2]\n',
        'states = ["bare", "cut"]\n',
    ]
    for cylinder, state in ((1, "bare"), (2, "bare"), (1, "cut")):
        head = f'[[series]]\nstep = "chamber"\ncylinder = {cylinder}\npart = "head"\nstate = "{state}"\n'
        parts.append(f'{head}instrument = "burette 50 ml class B"\nfluid = "water"\nreadings = [{row}, {row}, {row}]\n')
    assert "Newer state, not complete: not in the results." in made_from(surveyed("".join(parts))).text


def test_reductions_add_as_printed() -> None:
    made = example("v8-heads")
    lines = made.part("Readings", "Stated values, as written")
    running: Decimal | None = None
    sums = 0
    for line in lines:
        found = re.fullmatch(r"(.*?) (−?\d+\.\d+)(?: = .*)?", line)
        if found and found[1].startswith("mean of"):
            running = Decimal(0)
        if running is None or not found:
            continue
        number = Decimal(found[2].replace("−", "-"))
        if found[1] == "chamber volume":
            assert running == number
            running, sums = None, sums + 1
        else:
            running += number
    assert sums == sum(one.cell.step.key == "chamber" for one in made.survey.reduced) > 0


def test_stated_values_and_own_instruments_stand_as_written() -> None:
    made = example("v8-heads")
    for given in made.survey.job.engine.values():
        assert given.texts[0] in made.flowing
    for name, found in made.survey.job.instruments.items():
        assert f"{name}: like {found['like']};" in made.flowing


def test_heads_alone_have_a_budget_of_the_chamber() -> None:
    made = invented("heads")
    assert "Chamber volume of cylinder 1" in made.text
    assert "burette 100 ml class B: permissible error of its scale" in made.flowing
    assert "Chamber worksheet" in made.text


def test_the_algebra_names_the_sources() -> None:
    text = " ".join(" ".join(example("turbo-four").part("Algebra", "Uncertainty budget")).split())
    assert "CR = (Vs + Vc) ÷ Vc Heywood (1988) eq. 2.1 (from memory)." in text


def test_what_was_solved_for_is_printed_as_text() -> None:
    lines = ("To reach 9.0: the crown must add 12.3 cc.", "<b>Vp</b> = Vs ÷ (CR − 1) − …")
    text = made_from(surveyed(LARGE), algebra=lines).flowing
    for line in lines:
        assert line in text


def test_cautions_of_the_steps_used_and_the_deferrals_stand_at_the_end(sheet: Made) -> None:
    compact = "".join(sheet.text.split())
    keys = {key for one in sheet.survey.reduced for key in one.cell.step.cautions}
    assert keys <= set(CAUTIONS)
    for key in keys | {"planning", "knock", "contact"}:
        assert "".join(CAUTIONS[key].split()) in compact


def test_an_empty_job_still_gives_a_page_that_says_what_is_not_given() -> None:
    made = made_from(surveyed("format = 1\n[engine]\ncylinders = 3\n"))
    assert "Unnamed job" in made.text
    assert "Static compression ratio: not worked out, still to be measured or given: bore, stroke," in made.flowing
