"""A job read piece by piece says what it says as a whole; what did not change is not worked out again."""

from __future__ import annotations

import copy
import tomllib

import pytest

from ccassist.analysis.results import survey
from ccassist.job.file import parse_job
from ccassist.job.lines import line_index, place
from ccassist.job.pieces import read_toml
from ccassist.job.write import append_reading
from ccassist.values.findings import InputError
from tests.sound_job import SOUND

BLOCK = """
[[series]]
step = "stroke"
# a note
instrument = "depth gauge"
readings = [
    { stroke = "81.30 mm" },
]
"""
WRITTEN = {
    "as usual": SOUND + BLOCK,
    "line ends of another system": (SOUND + BLOCK).replace("\n", "\r\n"),
    "a section behind the readings": SOUND + BLOCK + '\n[fluid."my oil"]\ndensity = "0.85 g/cc"\n',
    "a text over several lines": SOUND.replace("[engine]", 'note = """\n[[series]]\nno heading"""\n[engine]', 1)
    + BLOCK,
    "another way to head a block": SOUND + BLOCK.replace("[[series]]", "[[ series ]]"),
    "a table within a block": SOUND + "\n[[series]]\n[series.more]\na = 1\n" + BLOCK,
    "no readings": SOUND.partition("[[series]]")[0],
    "nothing before the readings": BLOCK.lstrip(),
}


@pytest.mark.parametrize("text", WRITTEN.values(), ids=WRITTEN.keys())
def test_pieces_say_what_the_whole_says(text: str) -> None:
    tables, lines = read_toml(text)
    whole = line_index(text)
    assert tables == tomllib.loads(text, parse_float=str)
    assert dict(lines) == whole
    places = {place(path): line for path, line in whole.items() if len(path) <= 6}
    assert {said: lines.at(said) for said in places} == places
    assert lines.at("series 99.instrument") is None
    assert lines.at("nowhere") is None


BROKEN = {
    "a block": SOUND + BLOCK + "\n[[series]]\nstep =\n",
    "what stands before": "format = \n" + SOUND + BLOCK,
    "a list of readings that stands already": "series = []\n" + SOUND,
    "a block headed twice": SOUND + BLOCK + "\n[series]\n",
}


@pytest.mark.parametrize("text", BROKEN.values(), ids=BROKEN.keys())
def test_what_is_wrong_in_a_piece_is_said_with_its_line_in_the_whole(text: str) -> None:
    with pytest.raises(tomllib.TOMLDecodeError) as fault:
        tomllib.loads(text)
    with pytest.raises(InputError) as said:
        read_toml(text)
    line = said.value.findings[0].line
    assert line is not None
    assert f"line {line}," in str(fault.value) or "end of document" in str(fault.value)


def test_a_reading_leaves_the_records_of_the_other_blocks_as_they_are() -> None:
    before = parse_job(SOUND, "job.toml").job
    tables = copy.deepcopy(read_toml(SOUND)[0])
    known = {id(reading) for one in survey(before).reduced for reading in one.cell.readings}
    more = append_reading(SOUND, {"step": "stroke", "instrument": "depth gauge"}, {"stroke": "81.30 mm"})
    after = parse_job(more, "job.toml").job
    assert all(one is other for one, other in zip(before.series[:-1], after.series, strict=False))
    last = {id(reading) for reading in survey(after).reduced[-1].cell.readings}
    again = {id(reading) for one in survey(after).reduced for reading in one.cell.readings}
    assert again - known <= last
    assert read_toml(SOUND)[0] == tables  # reading and working out change nothing of it


def test_a_change_before_the_readings_is_seen_in_every_block() -> None:
    """Bare numbers, parts and the temperature of the bench are said there."""
    imperial = SOUND.replace('units = "metric"', 'units = "imperial"', 1)
    assert survey(parse_job(SOUND, "job.toml").job).job.bare != survey(parse_job(imperial, "job.toml").job).job.bare
    shifted = parse_job("# one line more\n" + SOUND, "job.toml").job
    lines = [row.line for s in parse_job(SOUND, "job.toml").job.series for row in s.rows]
    assert [row.line for s in shifted.series for row in s.rows] == [line + 1 for line in lines if line]
