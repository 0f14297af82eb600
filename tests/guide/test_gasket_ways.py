"""The ways to a gasket's opening, its layers, and the check of the whole assembly, as the guide plans them."""

from __future__ import annotations

import pytest

from ccassist.bench.steps import STEPS
from ccassist.bench.steps.lengths import CUTOUT, ELLIPSE, OUTLINE, ROUND, THICKNESS
from ccassist.guide.asks import method_of, next_ask, said_in
from ccassist.guide.walk import Status, Target, plan, ways
from ccassist.job.file import parse_job
from ccassist.job.write import append_reading

BARE = "format = 1\n[engine]\ncylinders = 2\n"
GASKET = '[part.gasket]\nkind = "gasket"\n'
SHIM = '[part.shim]\nkind = "gasket"\n'
OPENING = Target(step="gasket", part="gasket", method="opening")
OVAL = {"long": "90 mm", "short": "84 mm"}


def statuses(text: str) -> dict[tuple[str, str, str], Status]:
    found = plan(parse_job(text).job)
    return {(t.target.step, t.target.part, t.target.place): t.status for t in found}


def test_an_opening_is_one_thing_however_it_is_measured() -> None:
    assert ways(OPENING) == (ROUND, ELLIPSE, OUTLINE, CUTOUT)
    assert ways(Target(step="gasket", part="gasket", method="thickness")) == (THICKNESS,)
    gasket = [place for step, _, place in statuses(BARE + GASKET) if step == "gasket"]
    assert gasket == ["opening", "thickness"]


def test_the_way_is_asked_first_and_kept() -> None:
    ask = next_ask(OPENING, {})
    assert ask is not None
    assert ask.options[1] == ELLIPSE.title
    assert method_of(OPENING, {"method": (OUTLINE.title,)}) is OUTLINE
    text = append_reading(BARE + GASKET, {"step": "gasket", "part": "gasket"}, OVAL)
    (series,) = parse_job(text).job.series
    said = said_in(series, STEPS["gasket"])
    assert method_of(OPENING, said) is ELLIPSE
    assert method_of(Target(step="gasket", part="gasket", method="thickness"), said) is THICKNESS


def test_an_oval_measured_is_an_opening_measured() -> None:
    text = BARE + GASKET
    for _ in range(2):
        text = append_reading(text, {"step": "gasket", "part": "gasket"}, OVAL)
    assert statuses(text)["gasket", "gasket", "opening"] is Status.DONE


@pytest.mark.parametrize(
    "stated", ['gasket_bore = "88 mm"', 'gasket_area = "60 cm2"', 'gasket_long = "90 mm"\ngasket_short = "84 mm"']
)
def test_an_opening_stated_in_any_form_is_not_asked_for(stated: str) -> None:
    assert statuses(f"{BARE}{GASKET}{stated}\n")["gasket", "gasket", "opening"] is Status.GIVEN


def test_a_gasket_is_measured_at_five_points() -> None:
    text = BARE + GASKET
    for count in range(1, 6):
        text = append_reading(text, {"step": "gasket", "part": "gasket"}, {"thickness": "1.2 mm"})
        expected = Status.DONE if count == 5 else Status.STARTED
        assert statuses(text)["gasket", "gasket", "thickness"] is expected


def test_one_layer_stated_or_measured_leaves_the_other_to_do() -> None:
    text = f'{BARE}{GASKET}gasket_bore = "88 mm"\n{SHIM}'
    for _ in range(5):
        text = append_reading(text, {"step": "gasket", "part": "shim"}, {"thickness": "0.5 mm"})
    found = statuses(text)
    assert found["gasket", "gasket", "opening"] is Status.GIVEN
    assert found["gasket", "shim", "opening"] is Status.TO_DO
    assert found["gasket", "gasket", "thickness"] is Status.TO_DO
    assert found["gasket", "shim", "thickness"] is Status.DONE


def test_the_whole_assembly_is_offered_and_asked_for_once_begun() -> None:
    assert statuses(BARE)["assembly", "", "1"] is Status.OFFERED
    header = {"step": "assembly", "cylinder": 1, "level": "bottom thread", "plug_nose": "none"}
    text = append_reading(BARE, header, {"start": "0 ml", "end": "64 ml"})
    found = statuses(text)
    assert (found["assembly", "", "1"], found["assembly", "", "2"]) == (Status.STARTED, Status.OFFERED)


def test_the_well_is_asked_for_only_where_it_was_filled() -> None:
    whole = Target(step="assembly", cylinder=1)
    said = {"method": (STEPS["assembly"].methods[0].title,), "instrument": (), "fluid": (), "temperature": ()}
    asked = {}
    for level in STEPS["assembly"].choices[0].options:
        ask = next_ask(whole, {**said, "level": (level,)})
        assert ask is not None
        asked[level] = ask.key
    assert asked == {"bottom thread": "plug_nose", "plug seat": "plug_well"}
