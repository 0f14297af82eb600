"""What is said of a reading just made."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from ccassist.guide import told as module
from ccassist.guide.told import told
from ccassist.job.file import load, parse_job
from ccassist.job.records import Job, Row
from ccassist.job.write import append_reading
from tests.guide.sitting import Sitting

TURBO = load(Path(__file__).parents[2] / "examples" / "turbo-four.toml").job
BARE = "format = 1\n[engine]\ncylinders = 2\n"
WAY = {"instrument": "burette 50 ml class B", "hole": "not filled", "plug": "fitted"}


def sentences(job: Job, rows: tuple[Row, ...] = ()) -> list[str]:
    """What is said, as sentences."""
    return [str(one.text) for one in told(job, rows)]


def fills(*ends: str, **more: str) -> list[str]:
    """What is said after fills of the first chamber."""
    text = BARE
    for end in ends:
        text = append_reading(text, {"step": "chamber", "cylinder": 1, **WAY}, {"start": "0 ml", "end": end, **more})
    return sentences(parse_job(text).job)


def test_nothing_measured_nothing_said() -> None:
    assert sentences(parse_job(BARE).job) == []


def test_one_fill_has_no_spread() -> None:
    assert fills("46.1 ml")[0] == "1 fill of cylinder 1: 46.10 cc"


def test_mean_and_spread_by_hand() -> None:
    """46.0, 46.1, 46.3: mean 46.1333, largest less smallest 0.3 (by hand)."""
    assert fills("46.0 ml", "46.1 ml", "46.3 ml")[0] == "3 fills of cylinder 1: mean 46.13 cc, spread 0.30 cc"


def test_repeats_still_needed_before_a_scatter_is_stated() -> None:
    """Four degrees of freedom are asked for: five fills of one chamber have them."""
    assert "± after 4 more fills" in fills("46.0 ml")[1]
    assert "± with 1 more fill of other cylinders" in fills("46.0 ml", "46.1 ml", "46.2 ml", "46.1 ml")[1]
    assert "±" in fills("46.0 ml", "46.1 ml", "46.2 ml", "46.1 ml", "46.0 ml")[1].split(";")[0]


def test_where_every_fill_is_set_aside() -> None:
    assert fills("46.0 ml", set_aside="leak") == ["No fill of cylinder 1 counts yet (1 set aside)"]


def test_sisters_and_ratio_stand_beside_it() -> None:
    job = replace(TURBO, series=TURBO.series[:6])
    lines = sentences(job)
    assert lines[-1] == "Beside it: cylinder 1 46.13 cc"
    assert any(line.startswith("Static ratio of cylinder 2: ") for line in lines)


def test_of_which_readings_it_is_said() -> None:
    first = TURBO.series[0]
    assert sentences(TURBO, first.rows)[0].startswith("2 readings of cylinder 1: mean 83.405 mm, spread 0.010 mm")


def test_a_dome_is_said_in_words_and_never_by_a_sign() -> None:
    """50 less π/4 × 9² × 1 = 50 − 63.617 cc (by hand)."""
    text = append_reading(
        BARE,
        {"step": "crown-bench", "cylinder": 1, "ring_bore": "90 mm", "ring_height": "10 mm", "hole": "not filled"},
        {"start": "0 ml", "end": "50 ml"},
    )
    assert any(re.search(r"dome, takes 13\.6 ± \d\.\d cc of space", line) for line in sentences(parse_job(text).job))


def test_results_that_cannot_be_worked_out_do_not_end_the_sitting(monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(_: object) -> None:
        raise ValueError("no such air")

    monkeypatch.setattr(module, "surveyed", fails)
    assert sentences(TURBO) == ["It stands in the file, but the results cannot be worked out: no such air"]


class TestTrouble:
    """What the readings say against themselves is said while the head still stands on the bench."""

    def test_falling_repeats(self) -> None:
        lines = fills("47.9 ml", "46.9 ml", "45.4 ml")
        assert any("the fills fall from one to the next" in line and "blow the space dry" in line for line in lines)

    def test_a_bubble(self) -> None:
        lines = fills("46.2 ml", "46.3 ml", "44.2 ml")
        assert any("fill 3 is" in line and "a bubble under the plate" in line for line in lines)

    def test_a_refill_counted_wrongly(self) -> None:
        lines = fills("46.2 ml", "46.3 ml", "36.2 ml")
        assert any("a refill counted wrongly" in line for line in lines)

    @pytest.mark.parametrize(
        ("settled", "words"),
        [
            (("46.8 ml", "47.6 ml", "48.4 ml"), "seal it (seats, plug, plate edge) and refill"),
            (("46.10 ml", "46.20 ml", "46.30 ml"), "a slow leak"),
        ],
    )
    def test_a_leak(self, settled: tuple[str, ...], words: str) -> None:
        row = {
            "start": "0 ml",
            "end": "46.0 ml",
            "fill_time": "90 s",
            "settle": settled,
            "settle_at": ("120 s", "150 s", "180 s"),
        }
        text = append_reading(BARE, {"step": "chamber", "cylinder": 1, **WAY}, row)
        assert any(words in line for line in sentences(parse_job(text).job))

    def test_clean_repeats_say_nothing(self) -> None:
        assert not any("likeliest" in line or "refill" in line for line in fills("46.2 ml", "46.3 ml", "46.25 ml"))

    def test_trouble_of_another_cylinder_is_not_said_here(self) -> None:
        text = BARE
        for cylinder, ends in ((1, ("47.9", "46.9", "45.4")), (2, ("46.2", "46.3"))):
            for end in ends:
                row = {"start": "0 ml", "end": f"{end} ml"}
                text = append_reading(text, {"step": "chamber", "cylinder": cylinder, **WAY}, row)
        assert not any("fall from one" in line for line in sentences(parse_job(text).job))

    def test_what_is_said_of_several_together_is_said_at_each(self) -> None:
        """Decks 0.30, 0.35, 0.40, 0.45 mm below: steadily lower from front to back, 0.15 mm end to end (by hand)."""
        text = BARE.replace("cylinders = 2", "cylinders = 4")
        for cylinder, deck in enumerate(("0.30", "0.35", "0.40", "0.45"), start=1):
            row = {"crown": f"{deck} mm below"}
            text = append_reading(text, {"step": "deck", "cylinder": cylinder, "instrument": "dial indicator"}, row)
        slopes = [line for line in sentences(parse_job(text).job) if "steadily lower from front to back" in line]
        assert len(slopes) == 1


def test_whether_one_more_is_worth_it_in_a_line() -> None:
    lines = fills("46.0 ml", "46.1 ml", "46.2 ml", "46.1 ml", "46.0 ml")
    verdicts = [line for line in lines if line.startswith("One more fill would take the ± of the chamber volume from")]
    assert len(verdicts) == 1
    assert verdicts[0].endswith(("cc: worth it", "cc: not worth it"))


def test_no_verdict_before_there_is_a_plus_or_minus() -> None:
    assert not any(line.startswith("One more") for line in fills("46.0 ml"))


class TestStated:
    """A figure that says where it comes from is taken at the prompt, and answered as a reading is."""

    @pytest.mark.parametrize(
        ("step", "typed", "key", "said"),
        [
            ("chamber 1", "47.6 cc, assumed", "chamber_volume", "Chamber volume: 47.6"),
            ("deck 1", "0.20 mm below, maker's figure", "deck_clearance", "Deck clearance: 0.20"),
            ("crown 1", "dish 8.7 cc, maker's figure", "crown_volume", "Crown volume: dish, adds 8.7"),
        ],
    )
    def test_at_the_prompt_of_its_reading(self, tmp_path: Path, step: str, typed: str, key: str, said: str) -> None:
        sitting = Sitting(tmp_path / "job.toml", 'format = 1\n[job]\nby = "Ida"\n[engine]\ncylinders = 2\n')
        sitting.type(f"j {step}", "1", "", *(["", "grease", "12"] if key == "crown_volume" else []))
        sitting.type(typed)
        assert said.split(":")[1] in sitting.said
        assert typed.split(" ")[0] in load(sitting.path).job.per_cylinder[1][key].texts[0]
        sitting.file.close()


def test_before_the_tool_is_said_and_the_ratio_as_soon_as_it_can_be(tmp_path: Path) -> None:
    """83.4 × 91.3 mm sweep 498.77 cc; 47.6 and 6.4 cc, and 1.14 mm under 84.1 mm, 6.33 cc, make 9.27 (by hand)."""
    sitting = Sitting(tmp_path / "job.toml", 'format = 1\n[job]\nfor = "ratio"\n[engine]\ncylinders = 1\n')
    for place, text in (
        *(("chamber 1", "47.6 cc"), ("bore 1", "83.4 mm"), ("stack stroke", "91.3 mm"), ("deck 1", "flush")),
        *(("crown 1", "dish 6.4 cc"), ("gasket opening", "84.1 mm"), ("gasket thickness", "1.14 mm")),
    ):
        sitting.type(f"/j {place}", f"{text}, maker's figure")
        assert "Kept as a statement" in sitting.said
    assert "Static ratio of cylinder 1: 9.2" in sitting.said
    sitting.file.close()


def test_every_cylinder_is_listed_with_its_difference(tmp_path: Path) -> None:
    """Means of 46.0 and 47.0: half a cc under and over 46.5 (by hand)."""
    sitting = Sitting(tmp_path / "heads.toml")
    sitting.type("1", "burette 50 ml class B", "0, 46", "", "", "", "", "", "", "j chamber 2", "0, 47", "l")
    assert "cylinder 1: chamber 46.00" in sitting.said
    assert "0.50 cc under the mean" in sitting.said
    assert "0.50 cc over the mean" in sitting.said
    assert len(sitting.shown.lines) < 22
    sitting.file.close()


def test_what_a_stated_figure_makes_impossible_is_said(tmp_path: Path) -> None:
    """45.65 + 152.1 + 84.6 mm stand 42 mm out of a block of 240.2 mm (by hand)."""
    lengths = 'stroke = "91.3 mm"\nrod_length = "152.1 mm"\nblock_deck_height = "240.2 mm"\n'
    sitting = Sitting(tmp_path / "job.toml", f'format = 1\n[job]\nfor = "ratio"\n[engine]\ncylinders = 1\n{lengths}')
    sitting.type("/j stack pin_height", "84.6 mm, maker's figure")
    assert "no deck clearance can be 42.15 mm proud" in sitting.said
    sitting.file.close()


def test_a_layer_of_a_gasket_is_added(tmp_path: Path) -> None:
    sitting = Sitting(
        tmp_path / "job.toml",
        'format = 1\n[job]\nfor = "ratio"\n[engine]\ncylinders = 1\n[part.gasket]\nkind = "gasket"\n',
    )
    before = sitting.text
    sitting.type("/j gasket new shim")
    assert (sitting.state.place.step, sitting.state.place.part) == ("gasket", "shim")
    assert load(sitting.path).job.parts["shim"].kind == "gasket"
    sitting.type("/j gasket new shim")
    assert "already" in sitting.said
    sitting.type("/u")
    assert sitting.text == before
    assert "A layer is added to: gasket" in "\n".join(sitting.type("/j chamber new shim").lines)
    sitting.file.close()
