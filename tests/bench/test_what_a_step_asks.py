"""What each step cannot do without, how often it is read, and what makes readings another thing: the trade's own needs.

Common practice, no source: a fill is three fills, a size two; what a user cannot know is never asked for as needed;
what changes the space itself (the drop, the seal, the level, the plug) never joins one mean.
"""

from __future__ import annotations

from ccassist.bench.step import Choice, Field, Method
from ccassist.bench.steps import STEPS
from ccassist.vocabulary import Kind
from tests.each import each

BY_DELIVERY = {"burette": {"start", "end"}, "syringes": {"full", "each"}, "weighing": {"before", "after"}}
AREA = {"outline": {"x", "y"}, "cut-out": {"reference", "reference_mass", "cutout_mass"}}
LIFTS = {"lifts": {"angle", "lift"}}
# step: part, readings, what each way of reading needs, what must be said, what makes it another thing
NEEDS: dict[str, tuple[str, int, dict[str, set[str]], set[str], set[str]]] = {
    "bore": ("block", 2, {"bore": {"bore"}, "top and low": {"top", "low"}}, set(), set()),
    "stack": (
        "block", 1,
        {"stroke": {"stroke"}, "rod": {"rod"}, "block": {"block"}, "pin_height": {"pin_height"},
         "corners": {"front_left", "front_right", "rear_left", "rear_right"}}, set(), set(),
    ),
    "calibrate": (
        "", 6, {"weighed": {"to", "before", "after"}, "size": {"to", "diameter", "length"}}, {"scale"}, set(),
    ),
    "chamber": ("head", 3, BY_DELIVERY, {"plug", "hole"}, {"plug", "plug_hole"}),
    "opening": ("head", 2, AREA, set(), set()),
    "stages": ("head", 2, {"burette": {"depth", "start", "end"}}, {"hole"}, set()),
    "deck": (
        "block", 2, {"pin axis": {"front", "rear"}, "both sides": {"thrust", "away"}, "centre": {"crown"}},
        set(), set(),
    ),
    "crown": ("pistons", 3, BY_DELIVERY, {"drop", "seal", "hole"}, {"drop", "seal"}),
    "crown-bench": ("pistons", 3, BY_DELIVERY, {"hole"}, {"ring_bore", "ring_height"}),
    "gasket": (
        "gasket", 2,
        {"opening": {"opening"}, "ellipse": {"long", "short"}, "thickness": {"thickness"}, **AREA}, set(), set(),
    ),
    "land": ("pistons", 2, {"diameter": {"diameter"}, "height": {"height"}}, set(), set()),
    "assembly": ("block", 2, BY_DELIVERY, {"level"}, {"level", "plug_well"}),
    "intake-lifts": ("head", 11, LIFTS, set(), set()),
    "exhaust-lifts": ("head", 11, LIFTS, set(), set()),
}  # fmt: skip


@each(("key", "needs"), NEEDS.items())
def test_a_step_asks_what_it_needs(key: str, needs: tuple[str, int, dict[str, set[str]], set[str], set[str]]) -> None:
    step = STEPS[key]
    asked: tuple[Field | Choice, ...] = (*step.settings, *step.choices)
    said, apart = {one.name for one in asked if not one.optional}, {one.name for one in asked if one.apart}
    found = {method.key: set(method.needed) for method in step.methods}
    assert (step.part, step.repeats, found, said, apart) == needs
    refused = {one.name for one in asked if one.unsaid is not None and one.unsaid.refused}
    assert refused == {"crown": {"drop", "seal"}, "assembly": {"level"}}.get(key, set())


def test_every_step_is_in_the_table() -> None:
    assert NEEDS.keys() == STEPS.keys()


def named(which: str) -> set[str]:
    return {step.key for step in STEPS.values() if getattr(step, which)}


FLUID = {"chamber", "crown", "crown-bench", "assembly"}


@each(
    ("which", "steps"),
    [
        ("fills", FLUID | {"calibrate", "stages"}),
        ("corrected", FLUID),
        ("check", {"assembly", "opening", "stages", "intake-lifts", "exhaust-lifts"}),
        ("by_part", {"stack", "gasket", "land", "intake-lifts", "exhaust-lifts"}),
    ],
)
def test_which_steps_fill_and_which_are_only_offered(which: str, steps: set[str]) -> None:
    assert named(which) == steps


def methods() -> list[Method]:
    return [method for step in STEPS.values() for method in step.methods]


LISTS = {"start", "end", "settle", "settle_at", "depth", "x", "y", "drop"}
HAND_ON = {"end": "start", "settle_at": "settle"}  # one of these for each of those; of stages both for each depth


def test_several_of_one_reading_are_refills_points_and_levels() -> None:
    fields = [field for method in methods() for field in method.fields] + list(STEPS["crown"].settings)
    assert {field.name for field in fields if field.many} == LISTS - {"x", "y"} | {
        field.name for method in methods() if method.points for field in method.fields
    }
    for method in methods():
        by_levels = "depth" in method.names
        for field in method.fields:
            with_it = "depth" if by_levels and field.name != "depth" else HAND_ON.get(field.name, "")
            assert field.goes_with == with_it or method.points, (method.key, field.name)
    assert {field.name for field in fields if field.steady} == {"each"}


def test_only_a_scale_of_volume_is_moved_along_and_a_scale_of_mass_is_weighed() -> None:
    assert {method.key for method in methods() if method.along} == {"burette"}
    assert {method.key for method in methods() if method.reads is Kind.MASS} == {"weighing", "cut-out"}
    volume = {method.key for method in methods() if method.reads is Kind.VOLUME}
    assert volume == {"burette", "syringes", "weighed", "size"}
    assert {method.key: method.against for method in methods() if method.against} == {
        "weighed": Kind.MASS, "size": Kind.LENGTH,
    }  # fmt: skip
