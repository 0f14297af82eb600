"""A blank form has a box for each fill that the guide will ask for, however many cylinders."""

from __future__ import annotations

from io import BytesIO

import pytest
from pypdf import PdfReader

from ccassist.bench.forms import FORMS
from ccassist.bench.steps import STEPS
from ccassist.guide.walk import Target, in_state
from ccassist.job.file import parse_job
from ccassist.paper.blank import blank_bytes
from ccassist.paper.blank_boxes import Print

ONE_FILL = """\
format = 1
[engine]
cylinders = {count}
bore = "80 mm"
stroke = "80 mm"
[[series]]
step = "{step}"
cylinder = 1
instrument = "syringe 60 ml"
{more}
readings = [{{ start = "0 cc", end = "30 cc" }}]
"""


@pytest.mark.parametrize("count", [1, 2, 4])
@pytest.mark.parametrize(("step", "more"), [("chamber", ""), ("crown", 'drop = "6 mm"')])
def test_one_rule_for_form_and_guide(step: str, more: str, count: int) -> None:
    asked = in_state(
        parse_job(ONE_FILL.format(step=step, more=more, count=count)).job, Target(step=step, cylinder=1)
    ).asked
    form = next(one for one in FORMS.values() if one.step is STEPS[step])
    data, _ = blank_bytes([form], Print(cylinders=count), total=False)
    names = PdfReader(BytesIO(data)).get_fields() or {}
    boxes = [name for name in names if name.split("/")[4:6] == ["r", "1"] and name.endswith("/end")]
    assert len(boxes) == asked
