"""The boxes of a blank form: which there are, what their names say, and how many readings are asked.

What a step asks for is common practice, no source.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest

from ccassist.bench.forms import FORMS, Box, Form, box_named, columns, forms_of, row_sums, rows_of
from ccassist.bench.repeats import ENOUGH
from ccassist.bench.steps import STEPS
from tests.each import each

CHAMBER, DECK, OUTLINE = FORMS["chamber-burette"], STEPS["deck"], FORMS["gasket-outline"]


def test_every_way_of_reading_stands_on_one_form_of_its_step() -> None:
    for step in STEPS.values():
        stand = Counter(method.key for form in forms_of(step) for method in form.methods)
        assert stand == Counter(method.key for method in step.methods)
    assert {form.key: form for form in FORMS.values()} == FORMS
    assert len({form.title for form in FORMS.values()}) == len(FORMS)


def test_a_list_of_points_is_read_only_where_every_field_is_one() -> None:
    """A burette's starts and ends are lists too, but the time of the fill is not."""
    assert {form.key for form in FORMS.values() if form.points} == {"gasket-outline", "opening-outline", "stages"}


@each("form", FORMS.values())
def test_what_a_form_asks_for(form: Form) -> None:
    """A pencil fills ten boxes side by side; else each reading has a line of its own, as it has on a whole part."""
    side_by_side = sum(form.repeats(m) * (len(columns(m)) + len(row_sums(m))) + 1 for m in form.methods)
    if form.points:
        assert not form.by_line
    elif form.step.part in ("", "gasket") or form.step.curve:
        assert form.whole
        assert form.by_line
    else:
        assert form.by_line is (side_by_side > 10)
    for method in form.methods:
        assert 1 <= form.repeats(method) <= max(3, form.step.repeats)
        assert "fill_time" not in {f.name for f in columns(method)}
    rows = list(rows_of(form, 4))
    if not form.points:
        assert len({row for row, _ in rows}) == (max(12, form.lines) if form.by_line else 4)
        beside = max(form.repeats(m) for m in form.methods)
        assert Counter(row for row, _ in rows)["1"] * beside >= form.asked(4)


def test_a_lone_cylinder_is_filled_until_its_scatter_is_known() -> None:
    """Of one chamber the readings alone show it with four degrees of freedom: five fills; of eight three each do."""
    assert CHAMBER.asked(1) == ENOUGH + 1
    assert [before for _, before in rows_of(CHAMBER, 1)] == [0, 3]
    assert CHAMBER.asked(8) == 3
    assert [*rows_of(CHAMBER, 2)] == [("1", 0), ("2", 0)]


@each(
    ("what", "there"),
    [
        ("h/job", True), ("h/printed", True), ("h/fluid", True), ("h/colour", False),
        ("t/film", True), ("t/drop", False),
        ("c/hole/filled", True), ("c/hole/half", False), ("c/colour/filled", False), ("c/hole", False),
        ("n/1", True), ("n/0", False), ("n/01", False), ("n/1000", False), ("n/x", False), ("n/²", False),
        ("r/3/2/start", True), ("r/3/0/start", False), ("r/0/2/start", False), ("r/3/2/long", False),
        ("s/3/2/start/plus", True), ("s/3/2/start/minus", True), ("s/3/2/start/times", False),
        ("s/3/0/start/plus", False), ("s/3/2/long/plus", False),
        ("p/3/x", False), ("p/3/start", False),
        ("l/fill_time", True), ("l/row", True), ("l/colour", False), ("l/settle/2", True), ("l/settle_at/0", False),
        ("x/3/1", True), ("y/3", False),
    ],
)  # fmt: skip
def test_which_boxes_the_form_of_a_burette_has(what: str, there: bool) -> None:
    assert CHAMBER.has(tuple(what.split("/"))) is there


@pytest.mark.parametrize(
    ("what", "there"),
    [("p/3/x", True), ("p/3/y", True), ("p/0/x", False), ("p/3/z", False), ("r/3/2/x", False), ("s/3/2/x/plus", False),
     ("l/row", False), ("l/settle/1", False)],
)  # fmt: skip
def test_which_boxes_the_form_of_an_outline_has(what: str, there: bool) -> None:
    assert OUTLINE.has(tuple(what.split("/"))) is there


@pytest.mark.parametrize(
    ("name", "read"),
    [
        ("1/chamber-burette/ab12/metric/r/3/2/start", True),
        ("9999/chamber-burette/ab12/metric/n", True),
        ("10000/chamber-burette/ab12/metric/n", False),
        ("1/chamber-burette/ab12/metric", False),
        ("²/chamber-burette/ab12/metric/n", False),
        ("x/chamber-burette/ab12/metric/n", False),
    ],
)
def test_a_box_is_known_by_its_name_alone(name: str, read: bool) -> None:
    box = box_named(name)
    assert (box is not None) is read
    assert box is None or box.name == name
    made = CHAMBER.box_name(2, "imperial", "n", "1")
    assert box_named(made) == Box(
        page=2, form="chamber-burette", edition=CHAMBER.edition, system="imperial", what=("n", "1")
    )


def test_an_older_form_is_known_by_its_edition() -> None:
    editions = [form.edition for form in FORMS.values()]
    assert len({*editions}) == len(editions)
    step = CHAMBER.step
    for changed in (
        replace(step, settings=step.settings[1:]),
        replace(step, choices=step.choices[1:]),
        replace(step, settings=(replace(step.settings[0], term="stroke"), *step.settings[1:])),
    ):
        assert replace(CHAMBER, step=changed).edition != CHAMBER.edition


def test_what_is_worked_up_by_hand_goes_by_the_way_of_reading() -> None:
    assert FORMS["gasket"].by_hand[-1] == "gasket_volume"
    assert set(FORMS["gasket"].by_hand) >= {"gasket_area_round", "gasket_volume"}
    assert FORMS["gasket-ellipse"].by_hand == ("gasket_area_ellipse", "gasket_volume")
    assert [f.name for f in CHAMBER.leak] == ["fill_time", "settle", "settle_at"]
    assert FORMS["chamber-weighing"].leak == ()
    assert CHAMBER.method_of("start").key == "burette"


def test_a_box_by_hand_has_the_unit_of_what_it_adds_up() -> None:
    """That of the row's first box, such as the burette's; or, of full syringes and areas, of what comes of them."""
    by_key = {method.key: row_sums(method) for method in STEPS["chamber"].methods}
    assert by_key == {
        "burette": (("= delivered", "burette_reading"),),
        "syringes": (("= delivered", "fill_volume"),),
        "weighing": (("= grams", "dispenser_mass"),),
    }


def test_points_of_a_curve_are_read_once() -> None:
    curves = {form.key: [form.repeats(method) for method in form.methods] for form in FORMS.values() if form.step.curve}
    assert curves
    assert {repeats for of in curves.values() for repeats in of} == {1}
