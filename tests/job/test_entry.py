"""A typed reading: split, given its units, and looked at before it is kept."""

from __future__ import annotations

import pytest

from ccassist.bench.steps import STEPS
from ccassist.job.entry import split_lists, split_pairs, step_named, try_reading, with_units
from ccassist.job.file import parse_job
from ccassist.values.findings import InputError

FIELDS = STEPS["chamber"].fields
JOB = parse_job("format = 1\n[engine]\ncylinders = 2\n").job
HEADER = {
    "step": "chamber",
    "cylinder": 1,
    "instrument": "burette 50 ml class B",
    "hole": "not filled",
    "plug": "fitted",
}


class TestPairs:
    """NAME=VALUE."""

    def test_pairs(self) -> None:
        assert split_pairs(["start = 0", "end=46=6"], FIELDS, "field") == {"start": "0", "end": "46=6"}

    @pytest.mark.parametrize(
        ("pairs", "words"),
        [
            (["start"], "a field is written NAME=VALUE"),
            (["start="], "a field is written NAME=VALUE"),
            (["strat=0"], 'did you mean "start"'),
            (["start=0", "start=1"], "given twice"),
        ],
    )
    def test_what_is_none(self, pairs: list[str], words: str) -> None:
        with pytest.raises(InputError, match=words):
            split_pairs(pairs, FIELDS, "field")

    def test_all_faults_come_together(self) -> None:
        with pytest.raises(InputError) as caught:
            split_pairs(["start", "ned=1"], FIELDS, "field")
        assert len(caught.value.findings) == 2

    def test_steps_by_name(self) -> None:
        assert step_named("crown").key == "crown"
        with pytest.raises(InputError, match='did you mean "chamber"'):
            step_named("chambre")


class TestLists:
    """Refills in one text, and decimal commas."""

    @pytest.mark.parametrize(
        ("typed", "meant"),
        [
            ({"start": "0", "end": "46.15"}, {"start": ("0",), "end": ("46.15",)}),
            ({"start": "0, 2", "end": "50, 14.3"}, {"start": ("0", "2"), "end": ("50", "14.3")}),
            ({"start": "0,2", "end": "46.15"}, {"start": ("0,2",), "end": ("46.15",)}),
            ({"start": "0,1", "end": "46,15"}, {"start": ("0,1",), "end": ("46,15",)}),
            ({"start": "0 ml,2 ml", "end": "50 ml,14 ml"}, {"start": ("0 ml", "2 ml"), "end": ("50 ml", "14 ml")}),
            ({"start": "0; 2,5", "end": "50; 14,3"}, {"start": ("0", "2,5"), "end": ("50", "14,3")}),
            ({"start": "0 ml, 2 ml", "end": "50 ml, 14 ml"}, {"start": ("0 ml", "2 ml"), "end": ("50 ml", "14 ml")}),
            ({"start": "0 ml, measured", "end": "46 ml"}, {"start": ("0 ml, measured",), "end": ("46 ml",)}),
        ],
    )
    def test_lists(self, typed: dict[str, str], meant: dict[str, tuple[str, ...]]) -> None:
        assert split_lists(typed, FIELDS) == meant

    def test_three_digits_behind_a_comma_may_be_a_thousand(self) -> None:
        with pytest.raises(InputError, match="could be a decimal comma or a thousand"):
            with_units(split_lists({"start": "0", "end": "46,150"}, FIELDS), FIELDS, "metric")

    def test_a_single_value_keeps_its_decimal_comma(self) -> None:
        fields = STEPS["bore"].fields
        assert with_units(split_lists({"bore": "83,40"}, fields), fields, "metric") == {"bore": ("83,40 mm",)}


class TestTrying:
    """What the file check would say."""

    def test_a_sound_reading_has_nothing_said_of_it(self) -> None:
        header = {**HEADER, "fluid": "water", "temperature": "20 degC"}
        assert try_reading(JOB, header, {"start": "0.1 ml", "end": ("46.2 ml",)}).findings == ()

    @pytest.mark.parametrize(
        ("header", "row", "words"),
        [
            ({**HEADER, "cylinder": 3}, {"start": "0 ml", "end": "46 ml"}, "1 to 2"),
            ({**HEADER, "instrument": "birette"}, {"start": "0 ml", "end": "46 ml"}, "no such instrument"),
            ({**HEADER, "fluid": "watr"}, {"start": "0 ml", "end": "46 ml"}, "no such fluid"),
            ({**HEADER, "hole": "full"}, {"start": "0 ml", "end": "46 ml"}, "not understood"),
            ({**HEADER, "hole": "filled"}, {"start": "0 ml", "end": "46 ml"}, "its size is not given"),
            ({**HEADER, "part": "left head"}, {"start": "0 ml", "end": "46 ml"}, "no such part"),
            (HEADER, {"start": "0 ml"}, "end"),
            (HEADER, {"start": ("0 ml", "0 ml"), "end": "46 ml"}, "each"),
            (HEADER, {"start": "46 ml", "end": "46 ml"}, "nothing was delivered"),
            (
                {"step": "chamber", "cylinder": 1, "instrument": "scale 0.1 g"},
                {"before": "400 g", "after": "350 g"},
                "fluid",
            ),
            ({"step": "crown", "cylinder": 1}, {"start": "0 ml", "end": "46 ml"}, "lowered is not given"),
        ],
    )
    def test_what_cannot_be_used_is_refused_in_words(
        self, header: dict[str, object], row: dict[str, object], words: str
    ) -> None:
        with pytest.raises(InputError, match=words):
            try_reading(JOB, header, row)

    def test_an_unusual_value_is_told_apart(self) -> None:
        tried = try_reading(
            JOB, {"step": "deck", "cylinder": 1, "instrument": "dial indicator"}, {"crown": "3 mm below"}
        )
        assert [f.code for f in tried.unusual] == ["unusual"]
        assert tried.others == ()

    def test_faults_elsewhere_in_the_file_do_not_stop_a_reading(self) -> None:
        job = parse_job(
            'format = 1\n[engine]\ncylinders = 2\nbore = "x"\n[[series]]\nstep = "bore"\ncylinder = 9\n'
        ).job
        assert try_reading(job, HEADER, {"start": "0 ml", "end": "46 ml"}).unusual == ()
