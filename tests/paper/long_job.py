"""A job as long as they come: 16 cylinders, 500 readings, 12 states, 30 findings, long and foreign names; invented."""

from __future__ import annotations

import json
from functools import cache

from ccassist.analysis.results import Survey, survey
from ccassist.job.file import parse_job
from ccassist.values.findings import errors
from tests.boost_job import BASELINE, replaced
from tests.boost_job import CAM as OWN_CAM
from tests.boost_job import CHARGE as OWN_CHARGE

CYLINDERS, STATES, FILLS = 16, 12, 26
NAME = "Двигатель Κινητήρας 発動機 محرك 🔧 sixteen"
HEAD = "голова κεφαλή of the long sixteen, left 1"  # 41 characters
PISTONS = "поршни forged, long name for a piston set"
WORDS = "слово λέξη 漢字 کلمه word "
REMARK = (WORDS * 100)[:1990] + "end of it"  # two thousand characters, nearly
_STATES = [f"state {n:02d}, after another cut and a wash" for n in range(1, STATES + 1)]


def _text(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)


def _series(cylinder: int, state: str, fills: int) -> str:
    rows = []
    for i in range(fills):
        end = 58.2 + cylinder % 5 / 10 + i % 4 / 10
        more = ', set_aside = "bubble under the plate, far corner"' if i % 13 == 5 else ""
        more += f", remark = {_text(REMARK)}" if i == 3 and cylinder == 1 else ""
        rows.append(f'{{ start = "0.0 ml", end = "{end:.1f} ml"{more} }}')
    return f"""[[series]]
step = "chamber"
cylinder = {cylinder}
part = {_text(HEAD)}
state = {_text(state)}
instrument = "burette 100 ml class B"
fluid = "water"
plug = "fitted"
hole = "not filled"
by = {_text("Ольга Παπαδοπούλου 山田")}
remark = {_text(REMARK if cylinder == 1 else "")}
readings = [
    {("," + chr(10) + "    ").join(rows)}
]
"""


def _deck(cylinder: int) -> str:
    row = '{ front = "0.20 mm below deck", rear = "0.2%d mm below deck" }'
    rows = ", ".join(row % ((cylinder + i) % 5) for i in range(4))
    return f'[[series]]\nstep = "deck"\ncylinder = {cylinder}\ninstrument = "dial indicator"\nreadings = [{rows}]\n'


@cache
def long_text() -> str:
    """The job file."""
    stated = "\n".join(
        f'[cylinder.{n}]\nchamber_volume = "{58 + n / 50:.2f} +/- 0.4 cc, measured"\n'
        f'deck_clearance = "0.{20 + n % 4} +/- 0.05 mm below deck, measured"'
        for n in range(1, CYLINDERS + 1)
    )
    older = "".join(_series(n, state, 2) for state in _STATES[:-1] for n in (1, 2))
    newest = "".join(_series(n, _STATES[-1], FILLS) for n in range(1, CYLINDERS + 1))
    return f"""format = 1
[job]
name = {_text(NAME)}
customer = {_text(WORDS * 6)}
by = {_text("Ольга Παπαδοπούλου 山田 太郎")}
date = "2026-11-01"
remark = {_text(REMARK)}
[engine]
cylinders = {CYLINDERS}
bore = "83.40 +/- 0.01 mm, measured"
stroke = "91.70 +/- 0.02 mm, measured"
rod_length = "148.90 +/- 0.02 mm, measured"
compression_height = "31.35 +/- 0.02 mm, measured"
gasket_bore = "84.9 +/- 0.1 mm, measured"
gasket_thickness = "1.30 +/- 0.05 mm, maker's figure"
land_diameter = "82.70 +/- 0.01 mm, measured"
land_height = "7.0 +/- 0.1 mm, measured"
engine_speed = "6500 rpm"
[counted]
crevice = "counted"
chamfer = "not counted"
[wanted]
static_ratio = "8.0 to 8.6"
squish = "1.4 to 1.6 mm"
[part.{_text(HEAD)}]
kind = "head"
states = {json.dumps(_STATES)}
note = {_text(REMARK)}
[part.{_text(PISTONS)}]
kind = "pistons"
crown_volume = "dish 8.7 +/- 0.3 cc, measured"
{stated}
{older}{newest}{"".join(_deck(n) for n in range(1, CYLINDERS + 1))}"""


CAM = f'{OWN_CAM}intake_phase_advance = "20 deg"\n'
BOOSTED = OWN_CHARGE + replaced(BASELINE, ("the same engine as it was run last year", REMARK))
ORDER = f"""[order]
maker = {_text(WORDS * 4)}
remarks = {_text(REMARK)}
signed_by = {_text(NAME)}
revision = {_text(WORDS)}
use = {_text(REMARK)}
"""


def _choices() -> str:
    made = [f"[choice.pistons.{_text(f'{PISTONS} {n}')}]\ncrown_volume = \"dish {6 + n / 10:.1f} cc, measured\"\n"
            for n in range(8)]  # fmt: skip
    made += [f"[choice.gasket.{_text(f'прокладка φλάντζα 紙 gasket, thick {n:02d}')}]\n"
             f'gasket_thickness = "{0.7 + n / 20:.2f} mm, measured"\n' for n in range(12)]  # fmt: skip
    return "".join(made)


@cache
def long_survey(*sections: str) -> Survey:
    """Its survey, with further sections."""
    loaded = parse_job(long_text() + "".join(sections), "long.toml")
    assert not errors(loaded.findings), [f.text() for f in errors(loaded.findings)][:5]
    return survey(loaded.job)


CHOICES = _choices()
