"""What is noticed on looking at an engine as measured."""

from ccassist.analysis.results import survey
from ccassist.job.file import parse_job


def test_a_proud_piston_whose_crevice_is_not_counted_needs_its_land():
    """The ring of space beside a proud land (common practice, no source) is not left out silently."""
    text = """format = 1
[engine]
cylinders = 1
bore = "83.4 mm, measured"
stroke = "71.3 mm, measured"
chamber_volume = "36 +/- 0.3 cc, measured"
gasket_volume = "8.96 +/- 0.3 cc, assumed"
deck_clearance = "0.65 mm proud, measured"
crown_volume = "reliefs 2.1 cc, measured"
LAND
[counted]
crevice = "not counted"
"""
    without = survey(parse_job(text.replace("LAND", "")).job)
    given = survey(parse_job(text.replace("LAND", 'land_diameter = "82.55 mm, measured"')).job)
    assert "proud-without-land" in {f.code for f in without.findings}
    assert "proud-without-land" not in {f.code for f in given.findings}
