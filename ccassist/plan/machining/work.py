"""What is to be machined or changed, in plain records."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import field

from ccassist.engine.mathematics import uncertain
from ccassist.engine.skim import angle_of, depth_at, edge_cut
from ccassist.solve.request import read_pair
from ccassist.values.findings import InputError, error, placed
from ccassist.values.number import Number, nominal
from ccassist.values.quantity import UNSAID, parse
from ccassist.values.statement import number_of
from ccassist.values.verdict import Band, parse_band
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record


@record
class Tilt:
    """A tilted cut: nothing at one edge of the head, deepest at the other.

    centroids : centroid of each opening from the zero edge [m], by cylinder; 0 stands for all others.
    """

    edge: Number | None = None  # cut at the deep edge [m]; or ``angle`` [rad]
    angle: Number | None = None
    width: Number | None = None  # from the zero edge to the deep one [m]; None where the job states it
    centroids: Mapping[int, Number] = field(default_factory=dict)

    def edge_cut(self, width: Number) -> Number:
        """Cut at the deep edge [m] of a head of that width [m]."""
        if self.edge is not None:
            return self.edge
        assert self.angle is not None  # one of the two is said
        return edge_cut(width, self.angle, m=uncertain())

    def leans(self, width: Number) -> float:
        """Its angle [rad]."""
        return angle_of(nominal(self.edge_cut(width)), width=nominal(width))

    def depth(self, place: Number, width: Number) -> Number:
        """Depth [m] at a distance from the zero edge."""
        return depth_at(place, edge_cut=self.edge_cut(width), width=width)


@record
class Work:
    """Everything planned at once; what is None, or empty, is left as it is.

    gasket : thickness [m], and bore [m] where it changes, of the gasket fitted then.
    """

    skim: Number | None = None  # flat cut from every head face [m]
    skim_to: Band | None = None  # what such a cut is to reach, of a term that it moves; the cut is then found
    tilt: Tilt | None = None  # a tilted cut from every head face
    deck: Number | None = None  # cut from the block's deck [m], at its lowest corner where it is levelled too
    level: bool = False  # take the deck down to its lowest corner first
    gasket: Mapping[str, Number] = field(default_factory=dict)
    equalised: bool = False  # every chamber first opened to the largest, where it is shown to be smaller
    valve_angle: Number | None = None  # valve stem to cylinder axis [rad]

    @property
    def empty(self) -> bool:
        """Whether nothing at all is to be done."""
        asked = (self.skim, self.skim_to, self.tilt, self.deck)
        return all(one is None for one in asked) and not (self.level or self.gasket or self.equalised)


# From what is asked for in texts to the work, in numbers.

TARGETS = ("chamber_volume", "clearance_volume", "static_ratio", "squish")
HOLD = "say how well the {} is held, as a +/- behind it, or measure it"  # of what is planned
_FOR = re.compile(r"^([1-9][0-9]{0,5})\s*=\s*(.+)$")


@record
class MachineAsked:
    """What is asked for, as written; None or empty where it is not."""

    skim: str | None = None
    skim_to: str | None = None
    angle_skim: str | None = None
    width: str | None = None
    centroids: Sequence[str] = ()
    deck: str | None = None
    level: bool = False
    gasket_thickness: str | None = None
    gasket_bore: str | None = None
    equalise: bool = False
    valve_angle: str | None = None

    def work(self, system: str) -> Work:
        """The work, bare numbers being in the units of ``system``.

        Raises InputError: a text cannot be understood, or two of them do not go together.
        """
        if None not in (self.skim, self.skim_to):
            right = "give the cut, or what it is to reach"
            raise InputError(error("contradiction", "--skim and --skim-to both say how deep the cut is", right=right))
        if self.angle_skim is None and (self.width is not None or self.centroids):
            right = "--angle-skim '1.5 mm' or '0.6 deg'"
            raise InputError(error("missing-value", "a width or a centroid belongs to a tilted cut", right=right))
        gasket = {"gasket_thickness": self.gasket_thickness, "gasket_bore": self.gasket_bore}
        return Work(
            skim=_perhaps(self.skim, "face_cut", system, "--skim"),
            skim_to=_target(self.skim_to, system) if self.skim_to is not None else None,
            tilt=self._tilt(system) if self.angle_skim is not None else None,
            deck=_perhaps(self.deck, "deck_cut", system, "--deck"),
            level=self.level,
            gasket={
                key: _number(text, key, system, f"--{key.replace('_', '-')}")
                for key, text in gasket.items()
                if text is not None
            },
            equalised=self.equalise,
            valve_angle=_perhaps(self.valve_angle, "valve_angle", system, "--valve-angle"),
        )

    def _tilt(self, system: str) -> Tilt:
        text = self.angle_skim or ""
        key = "skim_angle" if _is_angle(text) else "edge_cut"
        number = _number(text, key, system, "--angle-skim")
        return Tilt(
            edge=number if key == "edge_cut" else None,
            angle=number if key == "skim_angle" else None,
            width=_perhaps(self.width, "head_width", system, "--width"),
            centroids=_centroids(self.centroids, system),
        )


def _is_angle(text: str) -> bool:
    try:
        parse(text, "skim_angle", system=UNSAID)
    except InputError:
        return bool(re.search(r"\d\s*(deg|°|rad)", text))
    return True


def _centroids(texts: Sequence[str], system: str) -> dict[int, Number]:
    """The centroids by cylinder, each said once; 0 stands for all others."""
    found: dict[int, Number] = {}
    for text in texts:
        number, amount = _centroid(text, system)
        if number in found:
            wrong = (
                "the centroid of this cylinder is said already" if number else "one centroid for all is said already"
            )
            raise InputError(error("twice", wrong, read=text, place="--centroid", right="'2=130 mm' for one cylinder"))
        found[number] = amount
    return found


def _centroid(text: str, system: str) -> tuple[int, Number]:
    """One cylinder's centroid, such as "2=130 mm"; one without a number is that of all others."""
    said = _FOR.match(text.strip())
    number, words = (int(said[1]), said[2]) if said else (0, text)
    return number, _number(words, "opening_centroid", system, "--centroid")


def _target(text: str, system: str) -> Band:
    pair = read_pair(text, "--skim-to", among=TARGETS, none="no target of a skim")
    with placed("--skim-to"):
        return parse_band(pair.value, pair.key, system=system)


def _perhaps(text: str | None, key: str, system: str, place: str) -> Number | None:
    """As :func:`_number`; None where nothing is said."""
    return None if text is None else _number(text, key, system, place)


def _number(text: str, key: str, system: str, place: str) -> Number:
    """A quantity as planned, with the ± that is said or the usual one; ``place`` is its option."""
    with placed(place):
        return number_of(parse(text, key, system=system), f"{term(key).name} as planned", HOLD.format(term(key).name))
