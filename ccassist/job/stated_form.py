"""Forms for what is stated and not measured step by step: the cam card, and a piston that is to be copied.

Which boxes they have follows from the sections of the job file; what stands in the boxes of a filled one is put under
the same headings.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from functools import cached_property

from ccassist.job.sections import STATED
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record

LEFT_OUT = ("pieces", "spares", "height_tolerance", "crown_tolerance", "rev_limit", "free_thickness")
HEAD = ("job", "by", "date")


@record
class StatedForm:
    """One of them.

    key, title, why : its name, title, and what it is for.
    sections : the sections of the job file whose terms and words it asks -> what each is called.
    cautions : keys of the cautions.
    """

    key: str
    title: str
    why: str
    sections: Mapping[str, str]
    cautions: tuple[str, ...] = ()

    def terms(self, section: str) -> list[str]:
        """The terms of one of its sections that it asks."""
        return [key for key in STATED[section].terms if key not in LEFT_OUT]

    @cached_property
    def edition(self) -> str:
        """Changes whenever a box does, so that a form printed before it is known as such."""
        said = [f"{name}:{key}" for name in self.sections for key in (*self.terms(name), *_worded(name))]
        return hashlib.sha256("\n".join([self.key, *said]).encode()).hexdigest()[:4]

    def has(self, what: tuple[str, ...]) -> bool:
        """Whether it has such a box: of the head, a value, a word of its sign, or an answer in words."""
        match what:
            case ("h", name):
                return name in (*HEAD, "printed")
            case ("v", section, key):
                return section in self.sections and key in self.terms(section)
            case ("s", section, key, way):
                return self.has(("v", section, key)) and bool(term(key).sign) and way in ("plus", "minus")
            case ("w", section, key, word):
                return section in self.sections and word in STATED[section].words.get(key, ())
        return False


def _worded(section: str) -> Iterator[str]:
    return (f"{key}={'|'.join(words)}" for key, words in STATED[section].words.items())


CAM_CARD = StatedForm(
    key="cam-card",
    title="Cam card and valves",
    why="Copy the card that came with the cam, or what you read with degree wheel and dial. Always say at which lift "
    "the events were read: at the seat and at [1 mm|0.050 in] they lie 15 to 25 degrees apart.",
    sections={"cam": "Cam", "valve.intake": "Intake valve", "valve.exhaust": "Exhaust valve"},
    cautions=("valve-mock-up", "tappets"),
)
PISTON = StatedForm(
    key="piston-to-copy",
    title="A piston to be copied",
    why="Measure the piston that the new ones are made after, and say what must stay. A dish adds space, a dome takes "
    "it: tick the word, never write a bare sign.",
    sections={
        "order": "Piston, pin and rings",
        "order.crown": "Crown",
        "order.pocket.intake": "Intake pockets",
        "order.pocket.exhaust": "Exhaust pockets",
    },
    cautions=("crown", "contact"),
)
STATED_FORMS = {form.key: form for form in (CAM_CARD, PISTON)}
