"""What the fill before left in the space is put back: every fill but the first one was into a wet space.

Source: a balance of volumes; common practice, no source, for the first fill being dry.
"""

from __future__ import annotations

import pytest

from ccassist.analysis.results import survey
from ccassist.job.file import parse_job

CC = 1e-6
ROW = '{{ start = "0 cc", end = "{} cc"{} }}'
ASIDE = ', set_aside = "the plate slipped"'
# A chamber of 46.0 cc, 0.2 cc left in it by every fill: the first fill takes 46.0 cc, later ones 45.8 cc.
# fmt: off
FILLS = {
    "all counted": (("46.0", ""), ("45.8", ""), ("45.8", "")),
    "the first set aside": (("46.0", ASIDE), ("45.8", ""), ("45.8", "")),
    "only the second counted": (("46.0", ASIDE), ("45.8", "")),
    "a later one set aside": (("46.0", ""), ("45.8", ASIDE), ("45.8", "")),
    "only the first": (("46.0", ""),),
}
# fmt: on


@pytest.mark.parametrize("rows", FILLS.values(), ids=FILLS)
def test_the_chamber_is_the_same_whichever_fills_count(rows: tuple[tuple[str, str], ...]) -> None:
    """0.2 cc for each fill into a wet space, in the mean of those that count."""
    readings = ", ".join(ROW.format(*row) for row in rows)
    text = (
        'format = 1\n[engine]\ncylinders = 1\n[[series]]\nstep = "chamber"\ncylinder = 1\nresidue = "0.2 cc"\n'
        f'instrument = "burette 50 ml class B"\nhole = "not filled"\nplug = "fitted"\nreadings = [{readings}]\n'
    )
    loaded = parse_job(text)
    assert not loaded.findings
    value = survey(loaded.job).cylinders[0].values["chamber_volume"]
    assert value.nominal / CC == pytest.approx(46.0)
