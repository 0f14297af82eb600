"""The guided walk as a state machine: typed lines in, saved readings and things to show out."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ccassist.cli.guide import KEYS as ACTIONS
from ccassist.guide import told
from ccassist.job.file import load
from ccassist.values.findings import InputError
from tests.guide.sitting import HEADS, Sitting

# all of it at once: method, instrument, fluid, temperature, plug, hole, nothing else, state, by (from the file)
SET_UP = ["c", "1", "burette 50 ml class B", "water", "20", "fitted", "1", "", "", "as received", ""]
SYRINGE = ["c", "full syringes", "syringe 60 ml", "water", "20", "fitted", "1", "", "", "as received", "Ida"]


@pytest.fixture
def sitting(tmp_path: Path) -> Iterator[Sitting]:
    """Two heads' chambers, nothing measured yet."""
    found = Sitting(tmp_path / "heads.toml")
    yield found
    found.file.close()


@pytest.fixture
def set_up(sitting: Sitting) -> Sitting:
    """The same with the set-up of the first chamber said."""
    sitting.type(*SET_UP)
    return sitting


class TestFirstScreen:
    """What is shown before anything is typed."""

    def test_the_card_says_what_and_why_and_all_of_it_when_asked(self, sitting: Sitting) -> None:
        card = sitting.shown.card
        assert card is not None
        assert (card.title, card.place) == ("Head chamber by fluid", "cylinder 1 of 2")
        assert card.why
        assert not card.procedure
        card = sitting.type("h").card
        assert card is not None
        assert card.tools
        assert len(card.procedure) > 3
        assert any("burn" in caution for caution in card.cautions)

    def test_the_first_question_is_not_a_quantity(self, sitting: Sitting) -> None:
        assert sitting.shown.question.usual == ""
        assert len(sitting.shown.question.options) == 3

    def test_a_job_that_is_done_says_so(self, tmp_path: Path) -> None:
        complete = Sitting(tmp_path / "all.toml", HEADS.replace('"bore,', '"chamber, bore,'))
        assert complete.shown.question.words == "Everything asked for is there"
        assert complete.type("").finished
        complete.file.close()

    @pytest.mark.parametrize(
        ("step", "cylinder", "words"),
        [("chambr", None, "did you mean"), ("chamber", 3, "1, 2"), ("", 9, "no such cylinder")],
    )
    def test_no_such_place(self, sitting: Sitting, step: str, cylinder: int | None, words: str) -> None:
        with pytest.raises(InputError, match=words):
            sitting.open(step, cylinder)

    def test_straight_to_a_place(self, sitting: Sitting) -> None:
        card = sitting.open("deck", 2).card
        assert card is not None
        assert (card.title, card.place) == ("Deck clearance", "cylinder 2 of 2")


class TestSetUp:
    """Asked once a series."""

    def test_part_of_a_name_offers_the_catalogue(self, sitting: Sitting) -> None:
        options = sitting.type("1", "bur 50").question.options
        assert options == ("burette 50 ml class A", "burette 50 ml class B")
        sitting.type("2")
        assert sitting.state.said["instrument"] == ("burette 50 ml class B",)

    def test_the_beginning_of_a_longer_name_is_not_the_shorter_one(self, sitting: Sitting) -> None:
        sitting.type("c", "1", "burette 50 ml class B", "water with")
        assert sitting.state.said["fluid"] == ("water with detergent",)

    def test_a_mistyped_name_gets_the_nearest(self, sitting: Sitting) -> None:
        sitting.type("1", "birete")
        assert 'perhaps "burette"' in sitting.said
        assert "instrument" not in sitting.state.said

    def test_only_instruments_that_read_the_method_are_offered(self, sitting: Sitting) -> None:
        options = sitting.type("3", "0.1").question.options
        assert options == ("scale 0.1 g",)  # a number alone may be a reading typed too early
        sitting.type("1")
        assert sitting.state.said["instrument"] == ("scale 0.1 g",)

    def test_what_is_needed_cannot_be_passed_over(self, sitting: Sitting) -> None:
        sitting.type("")
        assert sitting.said == "This one is needed"

    def test_the_hole_is_measured_only_where_it_was_filled(self, sitting: Sitting) -> None:
        sitting.type(*SET_UP[:6], "filled")
        assert sitting.shown.question.words == "Diameter of the plate's fill hole"
        assert sitting.shown.question.empty == ""

    def test_finer_things_are_asked_of_those_who_want_to_say_them(self, sitting: Sitting) -> None:
        shown = sitting.type(*SET_UP[:8])
        assert shown.question.words.startswith("Anything else to say?")
        assert sitting.type("3").question.words == "Fluid left in the space from the fill before"
        shown = sitting.type("0.1")
        assert shown.question.words.startswith("Anything else to say?")
        assert len(shown.question.options) == 2
        assert sitting.type("", "as received", "", "0", "46").question.words.startswith("Cylinder 1, fill 2")
        (series,) = load(sitting.path).job.series
        assert series.settings["residue"] == ("0.1 cc",)
        assert "picked" not in series.choices

    def test_the_grease_film_is_asked_once_in_a_job(self, sitting: Sitting) -> None:
        assert sitting.type(*SET_UP[:7]).question.words == "Grease film between face and plate"
        assert sitting.type("0.02").question.words == "Open area under the plate"
        assert sitting.type("50").question.words.startswith("Anything else to say?")
        sitting.type("", "as received", "", "0", "46")
        (series,) = load(sitting.path).job.series
        assert series.settings["film"] == ("0.02 mm",)
        crown = sitting.type("j crown 1", "", "")
        assert crown.question.words.startswith("What is the depth read with?")
        assert sitting.type("dial indicator").question.options == ("grease", "ring")
        assert sitting.type("grease").question.words.startswith("Drop of the piston")
        assert sitting.type("6.00").question.words == "Open area under the plate"

    def test_a_depth_is_read_with_what_reads_lengths(self, sitting: Sitting) -> None:
        sitting.type(*SET_UP, "0", "46", "j crown 1", "", "")
        sitting.type("?")
        assert "burette" not in sitting.said
        assert "dial indicator" in sitting.said

    def test_a_finer_thing_picked_by_mistake_is_left_by_going_back(self, sitting: Sitting) -> None:
        before = sitting.type(*SET_UP[:8]).question
        assert sitting.type("1", "b").question == before

    def test_a_finer_thing_said_before_is_kept_when_the_set_up_is_changed(self, sitting: Sitting) -> None:
        sitting.type(*SET_UP[:8], "alum", "iron", "", "as received", "", "0", "46", "c")
        sitting.type("", "burette 50 ml class A", *[""] * 9, "1", "0", "46")
        assert [series.choices["material"] for series in load(sitting.path).job.series] == ["iron", "iron"]

    @pytest.mark.parametrize(
        ("fluid", "words"),
        [
            ("water", "Water does not burn."),
            ("white spirit", "White spirit is flammable (flash point 23 to 60 °C)."),
            ("isopropanol 99 %", "CAUTION: Alcohol crazes and cracks acrylic"),
            ("isopropanol 99 %", "CAUTION: Alcohol, white spirit and paraffin burn"),
            ("light oil", "Light oil is not classed as flammable"),
        ],
    )
    def test_a_fluid_is_named_with_its_flash_point_and_its_cautions(
        self, sitting: Sitting, fluid: str, words: str
    ) -> None:
        sitting.type("c", "1", "burette 50 ml class B", fluid)
        assert words in sitting.said

    def test_a_fluid_of_ones_own_is_as_dangerous_as_what_it_is_like(self, tmp_path: Path) -> None:
        own = '[fluid.brew]\ndensity = "0.8 g/cc"\n[fluid.meths]\ndensity = "0.8 g/cc"\nlike = "ethanol 96 %"\n'
        sitting = Sitting(tmp_path / "own.toml", HEADS + own)
        sitting.type("c", "1", "burette 50 ml class B", "brew")
        assert "Brew has a flash point not known: treat it as highly flammable." in sitting.said
        sitting.type("b", "meths")
        assert "Meths is highly flammable (flash point below 23 °C)." in sitting.said
        sitting.file.close()

    def test_an_instrument_is_named_with_its_advice(self, sitting: Sitting) -> None:
        sitting.type("1", "syringe 60 ml", "h")
        assert "Press the plunger in one direction only" in sitting.said

    def test_an_unusual_value_is_asked_about(self, sitting: Sitting) -> None:
        shown = sitting.type(*SET_UP[:4], "39")
        assert "an unusual temperature" in sitting.said
        assert shown.question.words.startswith("Are you sure?")
        sitting.type("19")
        assert sitting.state.said["temperature"] == ("19 °C",)

    def test_back_asks_the_question_before_again(self, sitting: Sitting) -> None:
        before = sitting.shown.question
        between = sitting.type("1").question
        assert sitting.type("burette 50 ml class B", "b").question == between
        assert sitting.type("b").question == before

    def test_the_next_cylinder_takes_it_over(self, set_up: Sitting) -> None:
        set_up.type("0", "46", "0", "46", "0", "46")
        shown = set_up.type("")
        assert shown.card is not None
        assert shown.card.place == "cylinder 2 of 2"
        assert "burette 50 ml class B; water; 20 °C" in set_up.said
        assert shown.question.words == "Cylinder 2, fill 1: burette at the start"

    def test_the_next_sitting_says_that_it_is_the_same(self, set_up: Sitting) -> None:
        set_up.type("0", "46", "f")
        set_up.file.close()
        again = Sitting(set_up.path, None)
        assert "Set-up as before: burette or syringe read before and after; burette 50 ml class B" in again.said
        assert again.shown.question.words == "Cylinder 1, fill 2: burette at the start"
        again.type("0", "46.1")
        again.file.close()
        (series,) = load(set_up.path).job.series
        assert len(series.rows) == 2

    def test_changed_half_way_it_begins_another_series(self, set_up: Sitting) -> None:
        set_up.type("0", "46", "c", "", "burette 50 ml class A", *[""] * 8, "1", "0", "46")
        first, second = load(set_up.path).job.series
        assert (first.instrument, second.instrument) == ("burette 50 ml class B", "burette 50 ml class A")
        assert (second.fluid, second.state, second.by) == ("water", "as received", "Ida")

    def test_the_drop_of_the_piston_is_read_anew_for_each_cylinder(self, tmp_path: Path) -> None:
        crown = Sitting(
            tmp_path / "crown.toml",
            HEADS.replace("crown, crown-bench, ", "").replace('"bore', '"chamber, crown-bench, bore'),
        )
        crown.type(
            *("1", "burette 50 ml class B", "dial indicator", "grease", "12.70; 12.71", "0", "50"),
            *("water", "20", "not filled", "", ""),
        )
        crown.type(*["0", "50"] * 2, "")
        assert crown.shown.question.words.startswith("Drop of the piston")
        crown.type("12.80", "0", "50")
        crown.file.close()
        first, second = load(crown.path).job.series
        assert (first.settings["drop"], second.settings["drop"]) == (("12.70 mm", "12.71 mm"), ("12.80 mm",))
        assert second.choices["seal"] == "grease"


class TestReadings:
    """Every complete reading is on the disk before the next question."""

    def test_a_reading(self, set_up: Sitting) -> None:
        shown = set_up.type("0.1")
        assert set_up.rows == []
        assert (shown.question.unit, shown.question.usual) == ("cc", "0 to 50 cc")
        shown = set_up.type("46.15 ml")
        assert set_up.rows == [{"start": "0.1 cc", "end": "46.15 ml", "time": "12:00"}]
        assert [effect.what for effect in shown.effects] == ["recorded"]
        assert "1 fill of cylinder 1: 46.05 cc" in set_up.said
        assert "± after 4 more fills, here or on other cylinders" in set_up.said

    def test_mean_spread_and_sisters(self, set_up: Sitting) -> None:
        set_up.type("0", "46.0", "0", "46.2", "0", "46.1", "", "0", "47")
        assert "1 fill of cylinder 2: 47.00 cc" in set_up.said
        assert "Beside it: cylinder 1 46.10 cc" in set_up.said
        set_up.type("j chamber 1", "0", "46.1")
        assert "4 fills of cylinder 1: mean 46.10 cc, spread 0.20 cc" in set_up.said

    def test_refills(self, set_up: Sitting) -> None:
        set_up.type("0; 2", "50; 14,3")
        assert set_up.rows[0]["start"] == ["0 cc", "2 cc"]
        assert set_up.rows[0]["end"] == ["50 cc", "14,3 cc"]

    def test_of_an_end_without_its_start_only_that_is_asked(self, set_up: Sitting) -> None:
        set_up.type("0", "50; 14.3")
        assert set_up.shown.question.words.startswith("Which delivery lacks its start?")
        assert set_up.rows == []
        set_up.type("0; 0")
        assert set_up.rows[0]["start"] == ["0 cc", "0 cc"]

    def test_no_delivery_is_not_recorded(self, set_up: Sitting) -> None:
        set_up.type("46", "46")
        assert "Not recorded:" in set_up.said
        assert set_up.rows == []

    def test_a_slip_is_asked_again(self, set_up: Sitting) -> None:
        before = set_up.shown.question
        assert set_up.type("46 mm").question == before
        assert "unit of length" in set_up.said

    def test_an_unusual_value_is_recorded_as_meant(self, sitting: Sitting) -> None:
        sitting.type("j deck 1", "3", "dial indicator", "3 below")
        assert sitting.shown.question.words.startswith("Are you sure?")
        sitting.type("no", "3.5 below", "", "4 below", "2.5 below")
        assert sitting.rows == []
        sitting.type("yes", "", "1.9 below", "yes", "1.95 below")  # a reading that does not fit the first is asked too
        assert [row.get("remark") for row in sitting.rows] == ["said to be sure", "said to be sure", None]

    def test_a_sign_is_asked_for_in_words(self, sitting: Sitting) -> None:
        sitting.type("j deck 1", "3", "dial indicator", "0.2")
        assert "the sign is not said" in sitting.said
        sitting.type("0.2 below")
        assert sitting.rows[0]["crown"] == "0.2 mm below"

    def test_full_syringes_and_no_remainder(self, sitting: Sitting) -> None:
        sitting.type("c", "2", "syringe 60 ml", *SET_UP[3:], "1", "60", "")
        assert sitting.rows[0] == {"full": "1", "each": "60 cc", "time": "12:00"}

    def test_a_part_that_is_not_named_yet_is_named(self, sitting: Sitting) -> None:
        sitting.type("j gasket thickness", "micrometer", "", "", "1.30")
        job = load(sitting.path).job
        assert job.parts["gasket"].kind == "gasket"
        assert (job.series[0].part, job.series[0].cylinders) == ("gasket", (1, 2))


class TestActions:
    """The one-key actions."""

    def test_undo_takes_back_the_last_reading_and_no_older_sitting(self, set_up: Sitting) -> None:
        set_up.type("0", "46", "0", "47")
        shown = set_up.type("u")
        assert [effect.what for effect in shown.effects] == ["taken back"]
        assert shown.card is None
        assert [row["end"] for row in set_up.rows] == ["46 cc"]
        set_up.type("u")
        assert set_up.rows == []
        set_up.file.close()
        again = Sitting(set_up.path, None)
        again.type("u")
        assert "Nothing of this sitting to take back" in again.said

    def test_undo_goes_on_where_a_section_stands_after_the_readings(self, tmp_path: Path) -> None:
        """A file without [job]: leaving a chamber out puts that section at the end."""
        bare = Sitting(tmp_path / "bare.toml", EVERYTHING)
        bare.type(
            "/j chamber 1", *SET_UP[:-1], "Ida", "0", "46", "0", "46.1", "0", "46.2", "", "0", "47", "x", "u", "u", "u"
        )
        assert [row["end"] for row in bare.rows] == ["46 cc", "46.1 cc"]
        bare.file.close()

    def test_undo_first_takes_back_what_is_half_typed(self, set_up: Sitting) -> None:
        set_up.type("0", "46", "1", "u")
        assert len(set_up.rows) == 1
        assert set_up.shown.question.words.endswith("burette at the start")

    def test_set_aside_keeps_the_reading_with_its_reason(self, set_up: Sitting) -> None:
        set_up.type("0", "46", "0", "47", "a 1", "saw a bubble")
        assert set_up.rows[0]["set_aside"] == "saw a bubble"
        assert "1 fill of cylinder 1 (1 set aside): 47.00 cc" in set_up.said
        set_up.type("a 1")
        assert "set aside already" in set_up.said

    def test_set_aside_without_a_reason_does_nothing(self, set_up: Sitting) -> None:
        set_up.type("0", "46", "a", "")
        assert "set_aside" not in set_up.rows[0]

    @pytest.mark.parametrize("number", ["0", "2", "x", "-1", "99999999"])
    def test_no_such_reading_to_set_aside(self, set_up: Sitting, number: str) -> None:
        set_up.type("0", "46", f"a {number}")
        assert "no such reading" in set_up.said

    def test_a_remark_goes_to_the_last_reading_or_waits_for_the_next(self, set_up: Sitting) -> None:
        set_up.type("r", "plate warm", "0", "46", "r wet plug", "r no, dry")
        assert set_up.rows[0]["remark"] == "plate warm; wet plug; no, dry"

    def test_timed_readings(self, set_up: Sitting) -> None:
        set_up.type("0", "46", "t", "60", "46.05; 46.1", "90; 120")
        assert set_up.rows[0]["settle"] == ["46.05 cc", "46.1 cc"]
        assert "Chamber volume: 45.95 cc" in set_up.said

    def test_of_timed_readings_without_their_times_only_those_are_asked(self, set_up: Sitting) -> None:
        set_up.type("0", "46", "t", "60", "46.05; 46.1", "90")
        assert set_up.shown.question.words.startswith("Which reading lacks its settle at?")
        assert "settle" not in set_up.rows[0]
        set_up.type("2 120")
        assert (set_up.rows[0]["settle_at"], set_up.rows[0]["fill_time"]) == (["90 s", "120 s"], "60 s")

    def test_skip_is_for_today_only(self, set_up: Sitting) -> None:
        shown = set_up.type("s")
        assert shown.card is not None
        assert shown.card.place == "cylinder 2 of 2"
        set_up.type("s")
        assert set_up.shown.question.words == "Nothing more for today"
        set_up.file.close()
        again = Sitting(set_up.path, None)
        assert again.state.target.cylinder == 1
        again.file.close()

    def test_leaving_out_stands_in_the_file(self, set_up: Sitting) -> None:
        set_up.type("x")
        assert load(set_up.path).job.about["leave_out"].endswith(", land, chamber 1")
        assert set_up.state.target.cylinder == 2
        set_up.type("x all")
        assert load(set_up.path).job.about["leave_out"].endswith(", chamber 1, chamber")
        assert set_up.shown.question.words == "Everything asked for is there"

    def test_half_typed_readings_are_named_when_given_up(self, set_up: Sitting) -> None:
        set_up.type("12.34", "j chamber 2")
        assert "Not recorded, as it was not complete: start 12.34 cc" in set_up.said
        set_up.type("1.23")
        assert "start 1.23 cc" in "\n".join(set_up.finish().lines)

    def test_jump_and_back(self, set_up: Sitting) -> None:
        set_up.type("j", "deck 2")
        assert (set_up.state.target.step, set_up.state.target.cylinder) == ("deck", 2)
        set_up.type("j 1")
        assert (set_up.state.target.step, set_up.state.target.cylinder) == ("deck", 1)
        set_up.type("/b", "/b")
        assert (set_up.state.target.step, set_up.state.target.cylinder) == ("chamber", 1)

    @pytest.mark.parametrize("place", ["dekc", "deck 9", "deck left"])
    def test_nowhere_to_jump(self, set_up: Sitting, place: str) -> None:
        before = set_up.state.target
        set_up.type(f"j {place}")
        assert "Not done:" in set_up.said
        assert set_up.state.target == before

    def test_how_and_list(self, set_up: Sitting) -> None:
        shown = set_up.type("h")
        assert shown.card is not None
        assert shown.card.procedure
        set_up.type("0", "46", "l")
        assert "started: chamber 1 (1 of 3)\nto do: chamber 2" in set_up.said

    def test_finish_counts_what_was_saved(self, set_up: Sitting) -> None:
        shown = set_up.type("0", "46", "f")
        assert shown.finished
        assert shown.lines == (
            "1 reading saved in this sitting.",
            "Left to do: chamber 1, 2.",
            f"What there is, on paper: ccassist worksheet {set_up.path}",
        )

    def test_every_action_has_its_function(self, set_up: Sitting) -> None:
        for key in sorted(set(ACTIONS) - {"f"}):
            set_up.type("0", "46", key, "b")
            assert not set_up.shown.finished


TIMED = ("fill_time", "settle", "settle_at")
EVERYTHING = "format = 1\n[engine]\ncylinders = 2\n"
FILLS = [("0", "46.15"), ("0.1", "47,2 ml"), ("46", "0"), ("0; 2", "45; 14.3"), ("0", "249"), ("0", "0"), ("0; 1", "3")]
ACTS = [
    ("a", "bubble"),
    ("a 1", "leak"),
    ("r", "wet"),
    ("r dry",),
    ("t", "60", "46.2; 46.3", "90; 120"),
    ("u",),
    ("u", "u"),
]
WAYS = [("j chamber 1", ""), ("j chamber 2", ""), ("j gasket thickness", "micrometer", "", "", "1.30"), ("s",), ("b",)]
ODD = [
    (key,)
    for key in (*sorted(set(ACTIONS) - {"f"}), "x all", "", "-", "y", "2", "300", "0.2 below", "\x1b[2J", "x" * 600)
]
MOVES = st.sampled_from([*FILLS * 4, *ACTS * 2, *WAYS * 2, ("edit",), *ODD])
LINES = st.lists(MOVES, min_size=5, max_size=25).map(lambda moves: [line for move in moves for line in move])


@settings(max_examples=40, deadline=None)
@given(lines=LINES)
def test_no_sequence_of_lines_loses_or_doubles_a_reading(lines: list[str]) -> None:
    """What the screens say was done to the readings is what stands in the file, after every line."""
    with tempfile.TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch:
        patch.setattr(told, "told", lambda *_: ())
        sitting = Sitting(Path(folder) / "heads.toml", EVERYTHING)
        sitting.type("/j chamber 1", *SET_UP[:-1], "Ida")
        readings: list[tuple[str, str, tuple[tuple[str, tuple[str, ...]], ...]]] = []
        for line in lines:
            if sitting.shown.finished:
                break
            if line == "edit":
                sitting.path.write_text(sitting.path.read_text(encoding="utf-8") + "# by hand\n", encoding="utf-8")
                continue
            for effect in sitting.type(line).effects:
                entry = (effect.step, effect.where, tuple(sorted(effect.row.items())))
                if effect.what == "recorded":
                    readings.append(entry)
                elif effect.what == "taken back":
                    assert readings.pop() == entry
                elif effect.what == "timed":
                    readings[_index_of(readings, entry)] = entry
                elif effect.what == "not timed":
                    readings[readings.index(entry)] = (*entry[:2], tuple(p for p in entry[2] if p[0] not in TIMED))
            job = load(sitting.path).job
            on_disk = [
                (
                    s.step,
                    f"cylinder {s.cylinders[0]}" if len(s.cylinders) == 1 else s.part,
                    tuple(sorted(row.fields.items())),
                )
                for s in job.series
                for row in s.rows
            ]
            assert on_disk == readings
        sitting.file.close()


def _index_of(
    readings: list[tuple[str, str, tuple[tuple[str, tuple[str, ...]], ...]]], entry: tuple[str, str, object]
) -> int:
    """The last reading of that place that the entry adds to."""
    added = dict(entry[2])  # type: ignore[call-overload]
    return max(
        i for i, (s, w, row) in enumerate(readings) if (s, w) == entry[:2] and dict(row).items() <= added.items()
    )
