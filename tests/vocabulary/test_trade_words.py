"""What the trade calls the terms: every word leads to its term or names the candidates, and no slip to another one."""

from __future__ import annotations

import pytest

from ccassist.analysis.results import survey
from ccassist.job import amend
from ccassist.job.file import parse_job
from ccassist.values.asking import named, with_sign
from ccassist.values.findings import InputError, errors
from ccassist.values.quantity import parse
from ccassist.vocabulary import TERMS, find, meant, nearest
from ccassist.vocabulary.names import OTHERWISE, plain
from tests.each import each

# Every name of every term, and the terms it may mean.
NAMES = {
    name: {one.term.key for one in meant(name)}
    for term in TERMS.values()
    for name in (term.key, term.name, *term.synonyms)
}

OTHER_WORDS = {plain(word) for word in OTHERWISE}


def misspelled(word: str) -> list[str]:
    """A letter left out, doubled, wrong, or swapped with the next one, in turn along the word."""
    found = []
    for i, letter in enumerate(word):
        before, after = word[:i], word[i + 1 :]
        wrong = "e" if letter != "e" else "a"
        found.append(
            (
                before + after,
                before + 2 * letter + after,
                before + wrong + after,
                before + after[:1] + letter + after[1:],
            )[i % 4]
        )
        found.append(before + after)
    return [text for text in dict.fromkeys(found) if len(text) > 1 and text != word]


def test_every_name_means_its_term() -> None:
    for term in TERMS.values():
        for name in (term.key, term.name, *term.synonyms):
            assert term.key in NAMES[name], name
        assert NAMES[term.key] == {term.key}


def test_a_word_for_several_terms_stands_with_each_of_them() -> None:
    several = {name for name, keys in NAMES.items() if len(keys) > 1}
    assert {"deck height", "iat", "gasket", "compression", "effective ratio", "valve clearance"} <= several
    assert all(find(name) is None for name in several)


@each("key", TERMS)
def test_no_slip_leads_to_another_quantity(key: str) -> None:
    """All typical slips of all names: what is offered, if anything, is what the name means."""
    term = TERMS[key]
    for name in (term.key, term.name, *term.synonyms):
        for typed in misspelled(name)[len(name) % 8 :: 8]:
            if meant(typed) or plain(typed) in OTHER_WORDS:
                continue  # it is another name by itself: no slip
            offered = nearest(typed)
            assert offered is None or offered in NAMES[name], (name, typed)


@each("key", TERMS)
def test_no_name_is_offered_another_key(key: str) -> None:
    """What means another quantity is never put right into one that looks like it, whatever may stand there."""
    others = tuple(other for other in TERMS if other != key)
    for name, keys in NAMES.items():
        if key in keys and len(keys) == 1:
            assert nearest(name, others) is None, name


def test_most_slips_of_keys_are_put_right() -> None:
    """The other way round: the offer must not be lost by being careful."""
    tried = [(key, typed) for key in TERMS for typed in misspelled(key)[::5] if len(key) > 4 and not meant(typed)]
    right = sum(nearest(typed) == key for key, typed in tried)
    assert right > 0.85 * len(tried)


@pytest.mark.parametrize(
    ("word", "keys"),
    [
        ("compression_ratio", ("compressor_ratio", "pressure_ratio")),
        ("compresion_ratio", ("compressor_ratio", "pressure_ratio")),
        ("dome_volume", ("gasket_volume", "chamber_volume")),
        ("lambda", ("altitude", "lash")),
        ("head_cc", ("head_width",)),
    ],
)
def test_a_word_of_the_trade_is_never_another_key(word: str, keys: tuple[str, ...]) -> None:
    assert nearest(word, keys) is None


# -- in a job file ------------------------------------------------------------------------------------------

JOB = 'format = 1\n[job]\nunits = "metric"\n[engine]\ncylinders = 1\n{}\n[wanted]\n{}\n'


def said_of(engine: str = "", wanted: str = "") -> list[str]:
    """The errors of a job that states something."""
    return [f.text() for f in errors(parse_job(JOB.format(engine, wanted)).findings)]


# Trade word -> (a value, the key it is kept under).
TAKEN = {
    "chamber": ("46.3 cc", "chamber_volume"),
    "head": ("46.3 cc", "chamber_volume"),
    "head_cc": ("46.3 cc", "chamber_volume"),
    "Chamber CC": ("46.3 cc", "chamber_volume"),
    "piston": ("dish 8.1 cc", "crown_volume"),
    "gasket dia": ("88.3 mm", "gasket_bore"),
    "pin-height": ("31.7 mm", "compression_height"),
    "con_rod": ("151.3 mm", "rod_length"),
    "rpm": ("6100 rpm", "engine_speed"),
}


@pytest.mark.parametrize("word", TAKEN)
def test_a_word_of_the_trade_is_a_key(word: str) -> None:
    value, key = TAKEN[word]
    parsed = parse_job(JOB.format(f'"{word}" = "{value}"', ""))
    assert not errors(parsed.findings)
    given = parsed.job.engine[key]
    assert (given.texts, given.place, given.line) == ((value,), f"engine.{word}", 6)


@pytest.mark.parametrize("word", ["ratio", "cr", "CR", "compression_ratio", "Compression Ratio", "static ratio"])
def test_the_ratio_by_its_common_names(word: str) -> None:
    parsed = parse_job(JOB.format("", f'"{word}" = "9.3"'))
    assert (errors(parsed.findings), list(parsed.job.wanted)) == ((), ["static_ratio"])


@pytest.mark.parametrize(
    ("line", "kept"),
    [
        ('dish = "8.1 cc"', ("dish 8.1 cc",)),
        ('dish = "8.1 cc, measured"', ("dish 8.1 cc, measured",)),
        ('dish = "adds 8.1 cc"', ("adds 8.1 cc",)),
        ("dish = 8.1", ("dish 8.1",)),
        ('dome = ["4.2 cc", "4.3 cc"]', ("dome 4.2 cc", "dome 4.3 cc")),
        ('dome = { value = "4.2 cc", origin = "measured" }', ("dome 4.2 cc",)),
        ('"dome volume" = { readings = ["4.2 cc", "4.3 cc"] }', ("dome 4.2 cc", "dome 4.3 cc")),
        ('reliefs = "3.1 cc"', ("reliefs 3.1 cc",)),
        ('pop-up = "3.1 cc"', ("pop-up 3.1 cc",)),
    ],
)
def test_a_key_may_say_the_sign(line: str, kept: tuple[str, ...]) -> None:
    parsed = parse_job(JOB.format(line, ""))
    assert (errors(parsed.findings), parsed.job.engine["crown_volume"].texts) == ((), kept)


@pytest.mark.parametrize(
    "line",
    [
        'dish = "dome 8.1 cc"',
        'dish = "takes 8.1 cc"',
        'dome = "dish 4.2 cc"',
        'dish = "flat"',
        'dome = { value = "adds 4.2 cc" }',
        'dish = ["8.1 cc", "dome 8.1 cc"]',
        'proud = "0.2 mm below deck"',
    ],
)
def test_a_key_and_its_value_that_say_two_signs_are_refused(line: str) -> None:
    assert any("says the sign already, and the value says another" in text for text in said_of(line))


def test_the_sign_of_a_key_reaches_the_number() -> None:
    for word, sign in (("dish", 1), ("dome", -1)):
        found = survey(parse_job(JOB.format(f'{word} = "8.1 cc, measured"', "")).job)
        assert found.cylinders[0].values["crown_volume"].nominal == pytest.approx(sign * 8.1e-6)


@pytest.mark.parametrize(
    ("lines", "both"),
    [
        ('bore = "80.3 mm"\n"cylinder bore" = "80.3 mm"', ("bore", "cylinder bore")),
        ('dish = "8 cc"\ndome = "4 cc"', ("dish", "dome")),
        ('chamber = "46 cc"\nchamber_volume = "46 cc"', ("chamber", "chamber_volume")),
        ('crown_volume = "dish 8 cc"\npiston = "dish 8 cc"', ("crown_volume", "piston")),
    ],
)
def test_two_keys_of_one_term_are_refused_and_named(lines: str, both: tuple[str, str]) -> None:
    (text,) = said_of(lines)
    assert f'"{both[0]}" and "{both[1]}" are both' in text


@pytest.mark.parametrize(
    ("line", "keys"),
    [
        ('"deck height" = "221.7 mm"', ("block_deck_height", "deck_clearance")),
        ('deck = "0.2 mm below"', ("block_deck_height", "deck_clearance")),
        ('gasket = "1.1 mm"', ("gasket_bore", "gasket_thickness", "gasket_volume")),
    ],
)
def test_a_word_that_may_mean_several_is_explained(line: str, keys: tuple[str, ...]) -> None:
    (text,) = said_of(line)
    assert "in the trade this means several things" in text
    assert all(f'write "{key}" for the {TERMS[key].name} (' in text for key in keys)


def test_the_place_decides_where_only_one_can_be_meant() -> None:
    parsed = parse_job(JOB.format("", 'deck = "0.2 mm below deck"'))
    assert (errors(parsed.findings), list(parsed.job.wanted)) == ((), ["deck_clearance"])


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ('compression_ratio = "9.3"', '"static_ratio" in [baseline] or [wanted]'),
        ('gauge_boost = "0.8 bar"', '"boost_gauge" in [charge] or [baseline]'),
        ('lambda = "0.85"', '"mixture_strength" in [charge] or [baseline]'),
        ('afr = "12.5"', 'write "mixture_strength": it is lambda'),
        ('throw = "41 mm"', 'write "stroke": it is twice the throw'),
    ],
)
def test_a_word_in_the_wrong_place_is_told_its_own(line: str, says: str) -> None:
    (text,) = said_of(line)
    assert says in text
    assert "did you mean" not in text


CHARGE = {
    "boost": "boost_gauge",
    "map": "manifold_pressure",
    "lambda": "mixture_strength",
    "intercooler": "cooler_effectiveness",
    "ron": "octane_number",
    "baro": "barometer",
    "rpm": "engine_speed",
}


@pytest.mark.parametrize("word", CHARGE)
def test_the_words_of_a_boosted_engine(word: str) -> None:
    parsed = parse_job(JOB.format("", "") + f'[charge]\n{word} = "1"\n')
    assert (errors(parsed.findings), list(parsed.job.stated["charge"])) == ((), [CHARGE[word]])


def test_an_intake_air_sensor_may_sit_before_the_compressor_or_in_the_manifold() -> None:
    found = errors(parse_job(JOB.format("", "") + '[charge]\niat = "35 degC"\n').findings)
    assert [f.code for f in found] == ["several-meanings"]
    assert "intake_air_temperature" in found[0].right
    assert "charge_temperature" in found[0].right


# -- in options -------------------------------------------------------------------------------------------


def test_an_option_knows_the_words_of_the_trade() -> None:
    assert named("cr").term.key == "static_ratio"
    assert named("dynamic compression ratio").term.key == "trapped_ratio"
    assert with_sign("8 cc", named("dish")) == "dish 8 cc"
    with pytest.raises(InputError, match=r'"block_deck_height" for .* "deck_clearance" for'):
        named("deck height")
    with pytest.raises(InputError, match="says the sign already"):
        with_sign("dome 8 cc", named("dish"))


def test_the_words_that_say_a_sign_are_words_of_their_terms_sign() -> None:
    signed = [one for one in TERMS.values() if one.signed]
    assert signed
    for one in signed:
        assert one.sign is not None
        assert set(one.says.values()) <= {*one.sign.plus, *one.sign.minus}
    assert {key for key, _ in OTHERWISE.values()} <= set(TERMS)


@pytest.mark.parametrize(("word", "key"), [("ratio", "static_ratio"), ("deck", "deck_clearance"), ("quench", "squish")])
def test_the_tool_writes_the_full_key(word: str, key: str) -> None:
    text = JOB.format("", f'{word} = "1.1 mm"')
    for new in (amend.state(text, ["wanted"], key, "9.4"), amend.set_value(text, ["wanted", key], "9.4")):
        assert f'{key} = "9.4"' in new
        assert f"\n{word} = " not in new
    assert word not in amend.take_out(text, ["wanted", key]).partition("[wanted]")[2]


@pytest.mark.parametrize(
    ("text", "adds"),
    [("dished 6 cc", 6), ("6 cc dished", 6), ("valve reliefs 5 cc", 5), ("domed 4 cc", -4), ("4 cc pop up", -4)],
)
def test_a_crown_is_said_as_at_the_bench(text: str, adds: float) -> None:
    """Common practice, no source."""
    assert parse(text, "crown_volume").value == pytest.approx(adds * 1e-6)
