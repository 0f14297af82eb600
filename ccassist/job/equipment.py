"""Instruments and fluids that a job names: from the catalogue, or the user's own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from ccassist.bench import fluids as fluid_list
from ccassist.bench import instruments as instrument_list
from ccassist.bench.calibrated import Calibration
from ccassist.bench.calibration import read_date
from ccassist.bench.densities import REFERENCE
from ccassist.bench.fluids import Fluid
from ccassist.bench.instruments import Instrument
from ccassist.bench.kit import Kit
from ccassist.bench.lengths import UNSAID_GAUGE
from ccassist.bench.steps import STEPS
from ccassist.bench.steps.fills import GAUGE
from ccassist.job.records import Given, Job, Listed
from ccassist.values.findings import Finding, InputError, clean, error, warning
from ccassist.values.quantity import parse, read_amount
from ccassist.values.uncertainty import SHAPES
from ccassist.vocabulary import Kind
from ccassist.vocabulary.units import Shape, units_of

_READ_KINDS = (Kind.VOLUME, Kind.MASS, Kind.LENGTH)
Named = tuple[str, int | None, str]  # a name, and the line and place where it first stands


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
    return Kit(instruments=instruments, fluids=fluids, air_pressure=_air_pressure(job), system=job.system), findings


def _unknown(what: str, name: str, near: str | None, job: Job, line: int | None, place: str) -> Finding:
    described = f'describe it in a section [{what}."{clean(name, 40)}"]'
    right = f'did you mean "{near}"? Otherwise {described}' if near else described
    return error(f"unknown-{what}", f"no such {what}", read=name, right=right, file=job.file, line=line, place=place)


def all_given(job: Job) -> list[Given]:
    """Every value that a job states outright."""
    sections = [
        job.engine,
        *(p.given for p in job.parts.values()),
        *job.per_cylinder.values(),
        *job.stated.values(),
        *(given for options in job.offered.values() for given in options.values()),
        *(one.given for one in job.alternatives.values()),
    ]
    return [given for section in sections for given in section.values()]


def _all_listed(job: Job) -> list[Listed]:
    return [listed for section in job.listed.values() for listed in section.values()]


def _instrument_names(job: Job) -> list[Named]:
    """Every instrument named or described, once, with the place where it is first named."""
    named: list[Named] = [(g.instrument, g.line, f"{g.place}.instrument") for g in all_given(job)]
    named += [(s.instrument, s.line, f"{s.place}.instrument") for s in _all_listed(job)]
    named += [(s.instrument, s.line, f"{s.place}.instrument") for s in job.series]
    for key in ("scale", "gauge"):
        named += [(s.choices.get(key, ""), s.line, f"{s.place}.{key}") for s in job.series]
    named += [(UNSAID_GAUGE, None, "") for s in job.series if GAUGE in STEPS[s.step].choices]
    return _once(job, [*named, *((name, None, "") for name in job.instruments)])


def _fluid_names(job: Job) -> list[Named]:
    named: list[Named] = [(s.fluid or STEPS[s.step].fluid, s.line, f"{s.place}.fluid") for s in job.series]
    return _once(job, [*named, *((name, None, "") for name in job.fluids)])


def _once(job: Job, named: list[Named]) -> list[Named]:
    """Each name once, the last first, at the line of the place where it first stands."""
    first = {entry[0]: entry for entry in reversed(named) if entry[0]}
    return [(name, job.line_at(place) or line, place) for name, line, place in first.values()]


def _air_pressure(job: Job) -> float | None:
    given = job.engine.get("air_pressure")
    try:
        return parse(given.texts[0], "air_pressure", system=job.bare).value if given else None
    except InputError:
        return None  # its finding comes with the other stated values


def _own_instrument(name: str, job: Job, findings: list[Finding]) -> Instrument | None:
    """The user's own instrument, described in an [instrument] section."""
    said = job.instruments[name]
    like = said.get("like", "")
    base = instrument_list.find(like) if like else None
    kind = base.kind if base else _kind_of(said)
    faults: list[Finding] = []
    numbers: dict[str, float] = {}
    for key in ("resolution", "permissible_error", "repeatability", "capacity", "share"):
        if key in said:
            try:
                wanted = Kind.RATIO if key == "share" else kind
                numbers[key] = read_amount(said[key], wanted, name=key.replace("_", " "), system=job.bare)
            except InputError as fault:
                faults += _placed(fault, f"instrument.{name}.{key}", job)
    try:
        own = instrument_list.own_instrument(
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
        faults += _placed(fault, f"instrument.{name}", job)
    findings += faults
    return None if faults else own


def _placed(fault: InputError, place: str, job: Job) -> list[Finding]:
    """A fault's findings at their place in the file."""
    found = []
    for finding in fault.findings:
        at = f"{place}.like" if finding.code in ("unknown-instrument", "unknown-fluid") else place
        found.append(replace(finding, file=job.file, line=job.line_at(at) or job.line_at(place), place=at))
    return found


def _kind_of(said: Mapping[str, str]) -> Kind:
    """The kind an instrument reads, from the unit of its resolution or error."""
    for text in (said.get("resolution", ""), said.get("permissible_error", ""), said.get("repeatability", "")):
        for kind in _READ_KINDS:
            if any(text.rstrip().endswith(unit) for unit in units_of(kind)):
                return kind
    return Kind.VOLUME


def _own_fluid(name: str, job: Job, findings: list[Finding]) -> Fluid | None:
    """The user's own fluid, described in a [fluid] section."""
    said, section = job.fluids[name], f"fluid.{name}"
    if "density" not in said:
        lack = error("missing-value", "the density is not given", right='density = "0.80 +/- 0.01 g/cc"')
        findings += _placed(InputError(lack), section, job)
        return None
    place = f"{section}.density"
    try:
        density = parse(said["density"], "density", system=job.bare)
        place = f"{section}.temperature"
        warmth = (
            parse(said["temperature"], "temperature", system=job.bare).value if "temperature" in said else REFERENCE
        )
        place = section
        doubt = density.standard or (density.spread or 5 * density.step) / SHAPES[Shape.NORMAL]
        return fluid_list.own_fluid(name, density.value, doubt, temperature=warmth, like=said.get("like", ""))
    except InputError as fault:
        findings += _placed(fault, place, job)
        return None


# Readings taken, or a job begun, after a calibration was due again.


def overdue(job: Job, calibrations: Mapping[str, Calibration]) -> list[Finding]:
    """A warning for each instrument used after the day until which its calibration is good.

    A series without a date was read on the day of the job.
    """
    found = []
    for name, made in calibrations.items():
        used = [s for s in job.series if s.instrument == name and STEPS[s.step].part]
        days = [(day, s) for s in used if (day := read_date(s.date or job.about.get("date", "")))]
        late = [(day, s) for day, s in days if made.due is not None and day > made.due]
        if late:
            day, series = late[0]
            wrong = f"its calibration of {made.made} was due again on {made.due}, and it was used on {day}"
            finding = warning("calibration-due", wrong, read=name, right="calibrate it again")
            found.append(finding.at(line=series.line, place=series.place))
    return found
