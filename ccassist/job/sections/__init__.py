"""Sections that state things for the whole engine, each declared once in the file of its matter."""

from __future__ import annotations

from ccassist.job.sections.engine import CAM, CHARGE, VALVE, Section
from ccassist.job.sections.order import ORDER

STATED: dict[str, Section] = {section.name: section for section in (*CAM, *VALVE, *CHARGE, *ORDER)}
# The heading in the first place -> its meaning; "valve.intake" and "valve.exhaust" share one.
HEADINGS: dict[str, str] = {}
for _section in STATED.values():
    HEADINGS.setdefault(_section.path[0], _section.meaning)

__all__ = ["HEADINGS", "STATED", "Section"]
