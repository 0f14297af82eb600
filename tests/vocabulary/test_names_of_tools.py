"""Spellings of one name."""

from __future__ import annotations

import pytest

from ccassist.vocabulary.names import LONGEST, closest_name, index, words


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("syringe 60 ml", "60cc Syringe"),
        ("scale 0.1 g", "SCALE 0,10 gram"),
        ("burette 50 ml class B", "50 cm³ B burette"),
        ("feeler gauges", "feeler gage"),
        ("water with detergent", "detergent and water"),
        ("ethanol 70 %", "70 percent Ethanol"),
        ("depth gauge", "Depth-Gage"),
    ],
)
def test_same_words_same_name(one, other):
    assert words(one) == words(other)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("burette 50 ml class A", "burette 50 ml class B"),
        ("scale 0.1 g", "scale 0.01 g"),
        ("syringe 5 ml", "syringe 50 ml"),
        ("vernier caliper 0.05 mm", "vernier caliper"),
    ],
)
def test_other_words_other_name(one, other):
    assert words(one) != words(other)


def test_long_and_strange_text_is_only_data():
    assert len(words("9 " * 10_000)) <= LONGEST
    assert words("\x1b[31m\u202e") == ("31", "m")
    assert closest_name("9" * 10_000, ["scale 1 g"]) is None


def test_two_things_of_one_name_are_refused():
    with pytest.raises(ValueError, match='"cup" would be the name of two things'):
        index({"cup": 1, "mug": 2}, {"cup": (), "mug": ("cup",)})
