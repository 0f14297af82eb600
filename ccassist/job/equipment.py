"""Instruments and fluids that a job names: from the catalogue, or the user's own."""

from __future__ import annotations

from collections.abc import Mapping

from ccassist.bench import fluids as fluid_list
from ccassist.bench import instruments as instrument_list
from ccassist.bench.fluids import Fluid
from ccassist.bench.instruments import Instrument
from ccassist.bench.kit import Kit
from ccassist.bench.reductions import DIAL
from ccassist.findings import Finding, InputError, error
from ccassist.job.records import Given, Job
from ccassist.measured import SHAPES
from ccassist.quantity import parse, read_amount
from ccassist.terms import Kind
from ccassist.units import units_of


def kit_of(job: Job) -> tuple[Kit, list[Finding]]:
    """The kit of a job, and a finding for every name that is not known."""
    findings: list[Finding] = []
    instruments = {}
    for name, line, place in _instrument_names(job):
        found = _own_instrument(name, job, findings) if name in job.instruments else instrument_list.find(name)
        if found is None and name not in job.instruments:
            findings.append(_unknown("instrument", name, instrument_list.nearest(name), job, line, place))
        elif found is not None:
            instruments[name] = found
    fluids = {}
    for name, line, place in _fluid_names(job):
        fluid = _own_fluid(name, job, findings) if name in job.fluids else fluid_list.find(name)
        if fluid is None and name not in job.fluids:
            findings.append(_unknown("fluid", name, fluid_list.nearest(name), job, line, place))
        elif fluid is not None:
            fluids[name] = fluid
    return Kit(instruments=instruments, fluids=fluids, air_pressure=_air_pressure(job)), findings


def _unknown(what: str, name: str, near: str | None, job: Job, line: int | None, place: str) -> Finding:
    right = (
        f'did you mean "{near}"? Otherwise describe it in an [{what}] section'
        if near
        else (f"describe it in an [{what}] section")
    )
    return error(f"unknown-{what}", f"no such {what}", read=name, right=right, file=job.file, line=line, place=place)


def _all_given(job: Job) -> list[Given]:
    sections = [job.engine, *(p.given for p in job.parts.values()), *job.per_cylinder.values()]
    return [given for section in sections for given in section.values()]


def _instrument_names(job: Job) -> list[tuple[str, int | None, str]]:
    """Every instrument named, once, with the place where it is first named."""
    named = [(g.instrument, g.line, g.place) for g in _all_given(job)]
    named += [(s.instrument, s.line, s.place) for s in job.series]
    named += [(DIAL, None, "") for s in job.series if "drop" in s.settings]
    return list({name: (name, line, place) for name, line, place in reversed(named) if name}.values())


def _fluid_names(job: Job) -> list[tuple[str, int | None, str]]:
    named = [(s.fluid, s.line, s.place) for s in job.series]
    return list({name: (name, line, place) for name, line, place in reversed(named) if name}.values())


def _air_pressure(job: Job) -> float | None:
    given = job.engine.get("air_pressure")
    try:
        return parse(given.texts[0], "air_pressure", system=job.system).value if given else None
    except InputError:
        return None  # its finding comes with the other stated values


_READ_KINDS = (Kind.VOLUME, Kind.MASS, Kind.LENGTH)


def _own_instrument(name: str, job: Job, findings: list[Finding]) -> Instrument | None:
    """The user's own instrument, described in an [instrument] section."""
    said = job.instruments[name]
    like = said.get("like", "")
    base = instrument_list.find(like) if like else None
    kind = base.kind if base else _kind_of(said)
    numbers: dict[str, float] = {}
    for key in ("resolution", "permissible_error", "repeatability", "capacity", "share"):
        if key in said:
            value = _amount(said[key], "share" if key == "share" else kind, f"instrument.{name}.{key}", job, findings)
            if value is not None:
                numbers[key] = value
    try:
        return instrument_list.own_instrument(
            name,
            like=like,
            kind=kind,
            resolution=numbers.get("resolution"),
            limit=numbers.get("permissible_error"),
            share=numbers.get("share"),
            repeatability=numbers.get("repeatability"),
            capacity=numbers.get("capacity"),
        )
    except InputError as fault:
        findings.extend(f.at(file=job.file, place=f"instrument.{name}") for f in fault.findings)
        return None


def _kind_of(said: Mapping[str, str]) -> Kind:
    """The kind an instrument reads, from the unit of its resolution or error."""
    for text in (said.get("resolution", ""), said.get("permissible_error", ""), said.get("repeatability", "")):
        for kind in _READ_KINDS:
            if any(text.rstrip().endswith(unit) for unit in units_of(kind)):
                return kind
    return Kind.VOLUME


def _amount(text: str, kind: Kind | str, place: str, job: Job, findings: list[Finding]) -> float | None:
    """A quantity of an instrument's own kind, or a share such as 1 %."""
    try:
        return read_amount(text, Kind.RATIO if kind == "share" else Kind(kind), system=job.system)
    except InputError as fault:
        findings.extend(f.at(file=job.file, place=place) for f in fault.findings)
        return None


def _own_fluid(name: str, job: Job, findings: list[Finding]) -> Fluid | None:
    """The user's own fluid, described in a [fluid] section."""
    said = job.fluids[name]
    if "density" not in said:
        findings.append(
            error(
                "missing-value",
                "the density is not given",
                right='density = "0.80 +/- 0.01 g/cc"',
                file=job.file,
                place=f"fluid.{name}",
            )
        )
        return None
    try:
        density = parse(said["density"], "density", system=job.system)
        warmth = parse(said["temperature"], "temperature", system=job.system).value if "temperature" in said else 293.15
        doubt = density.standard or (density.spread or 5 * density.step) / SHAPES["normal"]
        return fluid_list.own_fluid(name, density.value, doubt, temperature=warmth, like=said.get("like", ""))
    except InputError as fault:
        findings.extend(f.at(file=job.file, place=f"fluid.{name}") for f in fault.findings)
        return None
