"""The whole assembly through the plug hole against the sum of its parts.

E_n: ISO/IEC 17043:2010, B.3.1.3 and ISO 13528:2022, 9.7 (from memory),
examples recomputed.  Sizes of the causes: common practice, added by hand.
"""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest

from ccassist.analysis.assembly import AssemblyCheck, compare_assembly, plug_wells
from ccassist.analysis.results import Survey, survey
from ccassist.bench.kit import UNEVEN
from ccassist.cli import engine
from ccassist.cli.screen import Showing
from ccassist.job.file import load, parse_job
from ccassist.values.findings import Finding
from ccassist.values.measured import Value
from ccassist.values.number import standard
from ccassist.values.uncertainty import Cause, budget, doubt
from ccassist.values.verdict import Verdict

CC = 1e-6
BORE, OPENING, THICK, DECK, CROWN, CHAMBER = 83.4, 84.9, 1.30, 0.20, 8.75, 46.30  # mm, cc
AREA = math.pi / 4 * BORE**2 / 1000  # cc for each mm
GASKET = math.pi / 4 * OPENING**2 * THICK / 1000
CREVICE = math.pi / 4 * (BORE**2 - 82.7**2) * 7.0 / 1000
SUM = CHAMBER + GASKET + AREA * DECK + CROWN + CREVICE

TOOLS = """
[instrument."fine burette"]
resolution = "0.01 ml"
permissible_error = "0.02 ml"
repeatability = "0.02 ml"
capacity = "100 ml"
[instrument."other burette"]
resolution = "0.01 ml"
permissible_error = "0.02 ml"
repeatability = "0.02 ml"
capacity = "100 ml"
"""
ENGINE = """format = 1
[engine]
cylinders = 1
bore = "83.40 +/- 0.01 mm, measured"
stroke = "91.70 +/- 0.02 mm, measured"
crown_volume = "dish 8.75 +/- 0.05 cc, measured"
deck_clearance = "0.20 +/- 0.005 mm below deck, measured"
gasket_bore = "84.9 +/- 0.05 mm, measured"
gasket_thickness = "1.30 +/- 0.005 mm, measured"
land_diameter = "82.70 +/- 0.01 mm, measured"
land_height = "7.0 +/- 0.05 mm, measured"
[counted]
crevice = "counted"
"""


def chamber(instrument: str = "fine burette", fluid: str = "water") -> str:
    return f"""[[series]]
step = "chamber"
cylinder = 1
plug = "fitted"
hole = "not filled"
instrument = "{instrument}"
fluid = "{fluid}"
readings = [{{ start = "0.00 ml", end = "{CHAMBER} ml" }}]
"""


def whole(
    volume: float, *, instrument: str = "other burette", fluid: str = "white spirit", said: str = "", timed: str = ""
) -> str:
    said = said or 'level = "bottom thread"\nplug_nose = "none"'
    return f"""[[series]]
step = "assembly"
cylinder = 1
instrument = "{instrument}"
fluid = "{fluid}"
{said}
readings = [{{ start = "0.00 ml", end = "{volume:.2f} ml"{timed} }}]
"""


def surveyed(*blocks: str, engine: str = ENGINE) -> Survey:
    loaded = parse_job(engine + TOOLS + "".join(blocks))
    assert not loaded.findings
    return survey(loaded.job)


def checked(*blocks: str, engine: str = ENGINE) -> AssemblyCheck:
    (check,) = compare_assembly(surveyed(*blocks, engine=engine))
    return check


def said(found: Survey) -> Finding:
    (finding,) = [f for f in found.findings if f.code.startswith("assembly-")]
    return finding


# -- the comparison -----------------------------------------------------------------------------------


def test_difference_of_whole_and_parts() -> None:
    check = checked(chamber(), whole(SUM + 0.05))
    assert check.parts.nominal / CC == pytest.approx(SUM)
    assert check.gap / CC == pytest.approx(0.05, abs=0.006)  # read to 0.01 ml
    assert check.agreement == "agree"
    assert check.likely_causes == ()


def test_the_ratio_rests_on_the_sum_of_parts() -> None:
    without, with_whole = (surveyed(chamber(), *more).cylinders[0] for more in ([], [whole(60.0)]))
    assert with_whole.values["static_ratio"].nominal == without.values["static_ratio"].nominal


@pytest.mark.parametrize("counted", ["counted", "not counted"])
def test_the_fluid_stands_in_the_crevice_whatever_is_counted(counted: str) -> None:
    engine = ENGINE.replace('crevice = "counted"', f'crevice = "{counted}"')
    assert checked(chamber(), whole(SUM), engine=engine).parts.nominal / CC == pytest.approx(SUM)


def test_the_chamfer_too() -> None:
    engine = ENGINE.replace("[counted]", 'chamfer_volume = "0.3 cc, assumed"\n[counted]\nchamfer = "not counted"')
    assert checked(chamber(), whole(SUM), engine=engine).parts.nominal / CC == pytest.approx(SUM + 0.3)


def test_without_the_land_the_crevice_is_owed() -> None:
    engine = "\n".join(line for line in ENGINE.split("\n") if not line.startswith("land"))
    engine = engine.replace('"counted"', '"not counted"')
    check = checked(chamber(), whole(SUM), engine=engine)
    assert not check.crevice_known
    assert check.gap / CC == pytest.approx(CREVICE, abs=0.006)
    assert check.likely_causes[0].words == "the top-land crevice, which the sum of parts does not hold"


def test_one_burette_for_both_cancels_as_far_as_it_can() -> None:
    """Both fills are charged 0.02 ml of the same error: only how uneven the scale is at two places is left."""
    uneven = 0.02 * math.sqrt(2 * UNEVEN / 3)
    for instrument, left in (("fine burette", uneven), ("other burette", 0.02 / math.sqrt(3))):
        check = checked(chamber(), whole(SUM, instrument=instrument))
        charged = [
            r.standard
            for r in budget(check.difference)
            if r.cause.name == f"{instrument}: permissible error of its scale"
        ]
        assert sum(charged) / CC == pytest.approx(left)


def test_refills_leave_what_they_do_not_share() -> None:
    """Two deliveries of the whole against one of the chamber: one permissible error is left, uneven at three places."""
    rows = whole(1.0, instrument="fine burette").replace(
        '{ start = "0.00 ml", end = "1.00 ml" }', '{ start = ["0 ml", "0 ml"], end = ["50.00 ml", "14.80 ml"] }'
    )
    check = checked(chamber(), rows)
    (row,) = [r for r in budget(check.difference) if "permissible error" in r.cause.name]
    assert row.standard / CC == pytest.approx(0.02 * math.sqrt((1 - UNEVEN + 3 * UNEVEN) / 3))


# -- E_n --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("x", "u_x", "reference", "u_reference", "e_n"),
    [(64.3, 0.4, 64.0, 0.3, 0.600), (64.9, 0.4, 64.0, 0.3, 1.800), (50.12, 0.10, 50.00, 0.08, 0.937)],
)
def test_e_n(x: float, u_x: float, reference: float, u_reference: float, e_n: float) -> None:
    """(x − X) ÷ √(U² + U²), both U at k = 2 (ISO/IEC 17043:2010, B.3.1.3; ISO 13528:2022, 9.7)."""
    one, other = (v + doubt(u / 2, Cause(name=n)) for v, u, n in ((x, u_x, "x"), (reference, u_reference, "X")))
    check = AssemblyCheck(
        cylinder=1,
        whole=Value(key="assembly_volume", number=one, origin="measured"),
        parts=Value(key="clearance_volume", number=other, origin="computed"),
        difference=one - other,
        crevice_known=True,
        shared=(),
        independent=True,
        rising=False,
    )
    assert check.e_n == pytest.approx(e_n, abs=5e-4)
    assert check.agreement == ("agree" if e_n <= 1 else "differ")


@pytest.mark.parametrize(
    ("instrument", "fluid", "shared", "called"),
    [
        ("other burette", "white spirit", (), True),
        ("fine burette", "white spirit", ("fine burette",), False),
        ("other burette", "water", ("water",), False),
        ("fine burette", "water", ("fine burette", "water"), False),
    ],
)
def test_it_is_called_e_n_only_where_burette_and_fluid_differ(
    instrument: str, fluid: str, shared: tuple[str, ...], called: bool
) -> None:
    found = surveyed(chamber(), whole(SUM, instrument=instrument, fluid=fluid))
    (check,) = compare_assembly(found)
    assert (check.shared, check.e_n is not None) == (shared, called)
    finding = said(found)
    assert finding.code == "assembly-agrees"
    assert ("E_n" in finding.wrong) is called
    assert ("so it confirms them too" in finding.wrong) is called
    assert ("that is not confirmed" in finding.wrong) is not called


def test_against_stated_parts_nothing_is_confirmed_of_a_burette() -> None:
    engine = ENGINE.replace("[counted]", f'chamber_volume = "{CHAMBER} +/- 0.1 cc, maker\'s figure"\n[counted]')
    found = surveyed(whole(SUM), engine=engine)
    assert compare_assembly(found)[0].e_n is None
    assert "confirm" not in said(found).wrong


def test_an_unnamed_burette_differs_from_none() -> None:
    found = surveyed(chamber(), whole(SUM).replace('instrument = "other burette"\n', ""))
    assert compare_assembly(found)[0].independent is False


# -- causes -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("gap", "words"),
    [
        (-CREVICE, "the crevice counted twice"),
        (-AREA * DECK, "the deck clearance forgotten in the crown"),
        (-2 * AREA * DECK, "the deck clearance with the wrong sign"),
        (-2 * CROWN, "the crown volume with the wrong sign"),
        (-25.0, "a refill of 25 cc miscounted"),
        (10.0, "a refill of 10 cc miscounted"),
        (1.735, "the fill level: the plug's well was filled, but not taken off"),
        (GASKET, "a second gasket or a shim"),
        (GASKET * (2.54 - 1), "thou and hundredths of a mm mixed up in the gasket thickness"),
        (-0.2 * GASKET, "the free thickness of the gasket"),
        (-5.0, "air trapped in the whole"),
        (5.2, "a leak that was not timed"),
    ],
)
def test_the_likeliest_cause_by_its_size(gap: float, words: str) -> None:
    check = checked(chamber(), whole(SUM + gap))
    assert check.agreement == "differ"
    assert any(one.words.startswith(words) for one in check.likely_causes[:2])


def test_lower_by_about_the_crevice_is_that_or_air() -> None:
    finding = said(surveyed(chamber(), whole(SUM - CREVICE)))
    assert finding.code == "assembly-differs"
    assert finding.wrong.index("likeliest the crevice counted twice") < finding.wrong.index(
        "or air trapped in the whole"
    )
    assert finding.wrong.endswith("the ratio rests on the sum of parts")


def test_filled_to_the_seat_a_well_not_filled_reads_low() -> None:
    level = 'level = "plug seat"\nplug_well = "2.60 +/- 0.02 cc, measured"\nplug_nose = "none"'
    check = checked(chamber(), whole(SUM, said=level))
    assert check.gap / CC == pytest.approx(-2.60, abs=0.006)
    assert check.likely_causes[0].words == "the fill level: the plug's well was taken off, but not filled"


def test_the_cylinder_bore_taken_for_the_gasket_bore() -> None:
    engine = ENGINE.replace("84.9 +/- 0.05", "83.4 +/- 0.05")
    short = math.pi / 4 * (OPENING**2 - BORE**2) * THICK / 1000
    assert short == pytest.approx(0.258, abs=0.005)
    check = checked(chamber(), whole(SUM), engine=engine)
    assert check.gap / CC == pytest.approx(short, abs=0.006)
    assert check.likely_causes[0].words == "the cylinder bore taken for the gasket bore, which is wider"


def test_higher_and_rising_is_a_leak_first() -> None:
    timed = ', fill_time = "60 s", settle = ["{:.2f} ml", "{:.2f} ml"], settle_at = ["90 s", "120 s"]'
    end = SUM + 1.735
    check = checked(chamber(), whole(end, timed=timed.format(end + 0.1, end + 0.2)))
    assert check.rising
    assert check.likely_causes[0].words.startswith("a leak past the rings or a valve")
    assert "the plug's well" in check.likely_causes[1].words


def test_a_crown_filled_in_the_bore_holds_the_deck_clearance_already() -> None:
    crown = f"""[[series]]
step = "crown"
cylinder = 1
instrument = "fine burette"
fluid = "water"
drop = "2.00 +/- 0.005 mm, measured"
seal = "grease"
hole = "not filled"
readings = [{{ start = "0.00 ml", end = "{AREA * (2.0 + DECK) + CROWN:.2f} ml" }}]
"""
    engine = ENGINE.replace('crown_volume = "dish 8.75 +/- 0.05 cc, measured"\n', "")
    check = checked(chamber(), crown, whole(SUM - AREA * DECK), engine=engine)
    assert check.agreement == "differ"
    assert not any("deck clearance" in one.words for one in check.likely_causes)


def test_wells_of_usual_plugs() -> None:
    """At the pitch diameter of ISO 724; common practice, recomputed: M14, M12 and M10 by 12.7, 19 and 26.5 mm."""
    printed = [1.73, 2.60, 3.62, 1.25, 1.87, 2.61, 0.87, 1.30, 1.82]
    assert [v / CC for v in plug_wells()] == pytest.approx(printed, abs=0.0051)


# -- what cannot be judged ------------------------------------------------------------------------------


def test_without_a_scatter_nothing_is_judged_but_a_gross_slip_is_seen() -> None:
    tools = TOOLS.replace('repeatability = "0.02 ml"\n', "")
    for gap, seen in ((0.5, False), (-25.0, True)):
        job = parse_job(ENGINE + tools + chamber() + whole(SUM + gap)).job
        found = survey(job)
        (check,) = compare_assembly(found)
        assert check.verdict is Verdict.NOT_KNOWN
        assert bool(check.likely_causes) is seen
        assert ("a refill of 25 cc" in said(found).wrong) is seen


def test_without_a_sum_there_is_nothing_to_compare_with() -> None:
    found = surveyed(whole(SUM))
    assert compare_assembly(found) == []
    assert said(found).code == "assembly-alone"
    assert said(found).right == "not given: chamber volume"


def test_an_engine_that_cannot_be_is_not_compared() -> None:
    engine = ENGINE.replace("[counted]", 'rod_length = "20 mm, measured"\n[counted]')
    assert compare_assembly(survey(parse_job(engine + TOOLS + chamber() + whole(SUM)).job)) == []


# -- the fill itself -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("level", "expected"),
    [
        ('level = "bottom thread"\nplug_nose = "none"', 66.0),
        ('level = "bottom thread"\nplug_nose = "adds 0.4 +/- 0.1 cc, assumed"', 66.4),
        ('level = "plug seat"\nplug_well = "1.73 cc"\nplug_nose = "takes 0.2 cc"', 66.0 - 1.73 - 0.2),
    ],
)
def test_well_and_nose(level: str, expected: float) -> None:
    assert checked(chamber(), whole(66.0, said=level)).whole.nominal / CC == pytest.approx(expected)


@pytest.mark.parametrize(
    ("level", "code", "stops"),
    [
        ('plug_nose = "none"', "no-level", True),
        ('level = "plug seat"\nplug_nose = "none"', "no-well", True),
        ('level = "bottom thread"\nplug_well = "1.73 cc"\nplug_nose = "none"', "well-unused", False),
        ('level = "bottom thread"', "nose-not-said", False),
    ],
)
def test_what_must_be_said_of_the_plug_hole(level: str, code: str, stops: bool) -> None:
    found = surveyed(chamber(), whole(66.0, said=level))
    assert code in [f.code for f in found.findings]
    assert ("assembly_volume" not in found.cylinders[0].values) is stops
    assert "hole-not-said" not in [f.code for f in found.findings]


def test_what_leaks_past_the_rings_is_taken_off_by_its_timed_readings() -> None:
    """0.2 ml in 60 s and a fill of 60 s: half of 0.2 ml is taken off, and as much in doubt either way."""
    timed = ', fill_time = "60 s", settle = ["64.90 ml", "65.00 ml"], settle_at = ["90 s", "120 s"]'
    check = checked(chamber(), whole(64.80, timed=timed))
    assert check.whole.nominal / CC == pytest.approx(64.70)
    (row,) = [r for r in budget(check.whole.number) if "leak" in r.cause.name]
    assert row.standard / CC == pytest.approx(0.1 / math.sqrt(3))


def test_a_leak_too_large_is_refused_with_what_to_do_at_the_rings() -> None:
    timed = ', fill_time = "60 s", settle = ["66.00 ml"], settle_at = ["90 s"]'
    found = surveyed(chamber(), whole(64.80, timed=timed))
    (finding,) = [f for f in found.findings if f.code == "leaks"]
    assert finding.right == "thicker fluid, or grease the ring ends, and fill again"


# -- shown ----------------------------------------------------------------------------------------------


def test_show_check_and_json(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "job.toml"
    file.write_text(ENGINE + TOOLS + chamber() + whole(SUM - 1.2), encoding="utf-8")
    assert engine.show(file, Showing(everything=True)) == 0
    shown = capsys.readouterr().out
    assert "rests on the sum of parts" in " ".join(shown.split())
    (line,) = [line for line in shown.split("\n") if line.endswith(" differ")]
    assert line.split()[:3] == ["1", "62.940", "±"]
    assert engine.check(file, Showing()) == 0
    assert "less than the sum of parts" in " ".join(capsys.readouterr().out.split())
    assert engine.show(file, Showing(as_json=True)) == 0
    (entry,) = json.loads(capsys.readouterr().out)["whole_against_parts"]
    assert entry["difference"] / CC == pytest.approx(-1.2, abs=0.006)
    (check,) = compare_assembly(survey(load(file).job))
    assert entry["e_n"] == pytest.approx(entry["difference"] / (2 * standard(check.difference)))
    assert entry["likeliest"][0]["cause"].startswith("the deck clearance forgotten")


def test_the_difference_is_less_doubtful_than_the_parts_where_they_share() -> None:
    """A whole and a chamber by one burette of unknown quality: what they share does not widen the difference."""
    poor = TOOLS.replace('permissible_error = "0.02 ml"', 'permissible_error = "1 ml"')
    found = survey(parse_job(ENGINE + poor + chamber() + whole(SUM, instrument="fine burette")).job)
    (check,) = compare_assembly(found)
    assert standard(check.difference) < 0.5 * standard(check.whole.number)
