"""What is worth saying of the gasket: a fire ring over the bore, layers, and what is not used beside them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from ccassist.analysis.gasket_layers import GASKET, missing
from ccassist.analysis.wording import whose
from ccassist.values.display import show
from ccassist.values.findings import Finding, clean, note, warning
from ccassist.values.measured import Value, expand
from ccassist.vocabulary import term

if TYPE_CHECKING:
    from ccassist.analysis.cylinder import Cylinder, MeasuredEngine


def gasket_findings(survey: MeasuredEngine) -> list[Finding]:
    """Findings on the gasket; what is the same for several cylinders is said once."""
    groups: dict[Finding, list[int]] = {}
    for cylinder in survey.cylinders:
        for finding in (*_over_the_bore(cylinder, survey), *_twice(cylinder), *_layers(cylinder, survey)):
            groups.setdefault(finding, []).append(cylinder.number)
    return [f.at(place=whose(numbers)) for f, numbers in groups.items()]


def _over_the_bore(cylinder: Cylinder, survey: MeasuredEngine) -> Iterator[Finding]:
    """An opening smaller than the bore, by more than the ± of their difference."""
    for (which, _), pair in zip(_gaskets(cylinder), _pairs(cylinder), strict=True):
        if pair is None:
            continue
        opening, bore = pair
        if expand(opening.number - bore.number).high < 0:
            shown = [show(v.key, v.nominal, system=survey.job.system) for v in pair]
            wrong = (
                f"the gasket opening{which} ({shown[0]}) is less than the bore ({shown[1]}): its ring stands over it"
            )
            right = "look for a slip in either; a fire ring over the bore burns: another gasket"
            yield warning("ring-over-bore", wrong, right=right)


def openings(cylinder: Cylinder) -> list[tuple[Value, Value]]:
    """Of every layer of the gasket its opening's least width and the bore; or both areas."""
    return [pair for pair in _pairs(cylinder) if pair is not None]


def _gaskets(cylinder: Cylinder) -> list[tuple[str, Mapping[str, Value]]]:
    """The layers by name, or the one gasket, and what each states."""
    return [(f' of "{clean(one.part, 40)}"', one.values) for one in cylinder.gasket] or [("", cylinder.values)]


def _pairs(cylinder: Cylinder) -> list[tuple[Value, Value] | None]:
    return [_width(values, cylinder) for _, values in _gaskets(cylinder)]


def _width(values: Mapping[str, Value], cylinder: Cylinder) -> tuple[Value, Value] | None:
    """The opening's least width and the bore; or both areas, where only the area is known."""
    for key, other in (("gasket_short", "bore"), ("gasket_bore", "bore"), ("gasket_area", "bore_area")):
        if key in values and other in cylinder.values:
            return values[key], cylinder.values[other]
    return None


def _twice(cylinder: Cylinder) -> Iterator[Finding]:
    """A bore of the gasket beside an area, or axes, that count instead of it."""
    for values in [one.values for one in cylinder.gasket] or [cylinder.values]:
        area, bore = values.get("gasket_area"), values.get("gasket_bore")
        oval = {"gasket_long", "gasket_short"} <= set(values)
        if area is not None and bore is not None and (area.origin != "computed" or oval):
            wrong = f"the {term('gasket_area').name} is known otherwise: the {term('gasket_bore').name} is not used"
            yield note("opening-twice", wrong, line=bore.line)


def _layers(cylinder: Cylinder, survey: MeasuredEngine) -> Iterator[Finding]:
    """That several parts are taken as layers, which of them is not complete, and what stands beside them."""
    if not cylinder.gasket:
        return
    names = ", ".join(f'"{clean(one.part, 40)}"' for one in cylinder.gasket)
    wrong = f"{len(cylinder.gasket)} gasket parts serve it, {names}: taken as layers, volumes and thicknesses added"
    yield note("gasket-layers", wrong, right="where only one is fitted, say which cylinders each serves")
    for one in cylinder.gasket:
        lack = missing(one)
        if lack:
            what = " and ".join(term(key).name for key in lack)
            yield warning("layer-incomplete", f'the layer "{clean(one.part, 40)}" has no volume: {what} not given')
    for givens in (survey.job.engine, survey.job.per_cylinder.get(cylinder.number, {})):
        for given in (givens[key] for key in GASKET if key in givens):
            wrong = f"the {term(given.key).name} stands beside several gasket layers: it is not used"
            right = "state it in the part of its layer"
            yield warning("beside-layers", wrong, read=given.texts[0], right=right, line=given.line)
