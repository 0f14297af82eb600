"""What a measuring instrument is, the step it is read to and how far it may be out; and the tables of the families.

One row adds an instrument: to BURETTES, CYLINDERS, PIPETTES, FLASKS, SYRINGES, SCALES or _TABLE (lengths).
"""

from __future__ import annotations

from collections.abc import Iterator
from math import inf, isfinite, nan, sqrt

from ccassist.vocabulary import Kind
from ccassist.vocabulary.record import record

ML, G, MM = 1e-6, 1e-3, 1e-3  # SI of the units in which the tables stand
KNOWN = ("seen", "memory", "common practice", "own figure")


@record
class Limit:
    """Permissible error, either way, up to an amount: fixed + share × amount.  All SI; share of 1."""

    up_to: float = inf
    fixed: float = 0.0
    share: float = 0.0


@record
class Instrument:
    """One instrument, or one member of a family of them.

    key, name, synonyms : as the job file writes it, as a page shows it, other names.
    kind : length, volume or mass; decides what SI unit the rest is in.
    resolution : smallest step read; for glass and syringes half a division.
    limits : permissible errors by amount, smallest amount first; none where nothing is known.  They hold between any
        two points of a scale, and are charged once a delivery or net load, or once for a length.
    repeatability : standard deviation of one reading in a usual hand (common practice, no source); None where the
        user's own repeats must show it, as with every fill, whose scatter is of plate and seal more than of the tool.
    capacity : largest amount it measures at once.
    expansion, expansion_uncertainty : cubic, with its standard uncertainty [1/K]; of length instruments that of their
        scale, 0 for scales.
    rises : whether its scale grows as fluid leaves it; None where it may be read either way.
    source, known : where the limits are from; "seen", "memory", "common practice" or "own figure".
    advice : what to mind when it is used.
    """

    key: str
    name: str
    kind: Kind
    resolution: float
    limits: tuple[Limit, ...]
    capacity: float
    source: str
    known: str
    repeatability: float | None = None
    expansion: float = 0.0
    expansion_uncertainty: float = 0.0
    synonyms: tuple[str, ...] = ()
    advice: str = ""
    rises: bool | None = None

    @property
    def fills(self) -> bool:
        """Whether fluid is delivered or contained by it."""
        return self.kind is Kind.VOLUME

    def holds(self, amount: float) -> bool:
        """Whether an amount (SI, of either sign) is within its range, one step over allowed."""
        return abs(amount) <= self.capacity * (1 + 1e-9) + self.resolution


def permissible(instrument: Instrument, amount: float) -> float:
    """Permissible error, as a half-width in SI, for an amount delivered, weighed or measured.

    The amount's sign does not matter.  NaN ("not known") where the instrument has no stated limit, or none for so large
    an amount.

    >>> from ccassist.bench.instruments import INSTRUMENTS
    >>> round(permissible(INSTRUMENTS["syringe 10 ml"], 4e-6) * 1e6, 3)
    0.19
    """
    size = abs(amount)
    if not (isfinite(size) and instrument.holds(size)):
        return nan
    for limit in instrument.limits:
        if size <= limit.up_to * (1 + 1e-9):
            return limit.fixed + limit.share * size
    last = instrument.limits[-1] if instrument.limits else Limit(fixed=nan)
    return last.fixed + last.share * size


# ---- glass, stated at 20 °C: the error holds at any point and between any two points of a scale, so it is charged
# once a delivery
# Class A is taken as borosilicate 3.3, with room for 5.0; class B is anything
# from that to soda-lime (ISO 4787:2010: 9.9e-6 and 27e-6, seen as quoted).
EXPANSION = {"A": (9.9e-6, 3e-6), "B": ((9.9e-6 + 27e-6) / 2, (27e-6 - 9.9e-6) / sqrt(12))}

# fmt: off
# capacity, division, permissible error of class A, of class B [ml]
BURETTES: tuple[tuple[float, float, float, float], ...] = (  # ISO 385:2005, Table 1
    (1, 0.01, 0.006, 0.02), (2, 0.01, 0.01, 0.02), (5, 0.02, 0.01, 0.02), (10, 0.02, 0.02, 0.05),
    (10, 0.05, 0.03, 0.05), (25, 0.05, 0.03, 0.05), (25, 0.1, 0.05, 0.1), (50, 0.1, 0.05, 0.1), (100, 0.2, 0.1, 0.2),
)
FINER = {(10, 0.02), (25, 0.05)}  # the less usual division of its size: named by it
SHAKY = {(1, 0.01), (10, 0.02)}  # of class B: rows that differ between copies of the table
CYLINDERS: tuple[tuple[float, float, float, float], ...] = (  # ISO 4788:2005, Table 1
    (5, 0.1, 0.05, 0.1), (10, 0.2, 0.1, 0.2), (25, 0.5, 0.25, 0.5), (50, 1, 0.5, 1), (100, 1, 0.5, 1),
    (250, 2, 1, 2), (500, 5, 2.5, 5), (1000, 10, 5, 10), (2000, 20, 10, 20),
)
PIPETTES: tuple[tuple[float, float, float, float], ...] = (  # ISO 648:2008: one mark
    (0.5, 0, 0.005, 0.010), (1, 0, 0.008, 0.015), (2, 0, 0.010, 0.020), (5, 0, 0.015, 0.030), (10, 0, 0.020, 0.040),
    (20, 0, 0.030, 0.060), (25, 0, 0.030, 0.060), (50, 0, 0.050, 0.100), (100, 0, 0.080, 0.150),
)
FLASKS: tuple[tuple[float, float, float, float], ...] = (  # ISO 1042:1998: one mark
    (10, 0, 0.025, 0.05), (20, 0, 0.040, 0.08), (25, 0, 0.040, 0.08), (50, 0, 0.060, 0.12), (100, 0, 0.100, 0.20),
    (200, 0, 0.150, 0.30), (250, 0, 0.150, 0.30), (500, 0, 0.250, 0.50), (1000, 0, 0.400, 0.80),
    (2000, 0, 0.600, 1.20),
)
# kind, table, source, how it is known, advice
GLASS = (
    ("burette", BURETTES, "ISO 385:2005, Table 1", "seen",
     "Read the bottom of the meniscus at eye level; tip clear of air; wait half a minute for the walls to drain."),
    ("measuring cylinder", CYLINDERS, "ISO 4788:2005, Table 1", "memory",
     "Made to contain: what clings to the wall when poured is not in its scale."),
    ("pipette", PIPETTES, "ISO 648:2008", "seen",
     "One mark, one volume: let it run out by itself against the wall, do not blow."),
    ("flask", FLASKS, "ISO 1042:1998", "seen", "Made to contain: weigh it dry and full to find a fluid's density."),
)
# fmt: on

_DOUBTFUL = "; this row differs between copies of the table, the wider figure is taken"


def glassware() -> Iterator[Instrument]:
    """Every member of the glass families, classes A and B."""
    for kind, table, source, known, advice in GLASS:
        for capacity, division, a, b in table:
            fine = f" by {division:g}" if (capacity, division) in FINER else ""
            for grade, error in (("A", a), ("B", b)):
                shaky = _DOUBTFUL if grade == "B" and (capacity, division) in SHAKY else ""
                known_as = _glass_names(kind, f"{capacity:g} ml{fine}", grade)
                yield Instrument(
                    key=known_as[0],
                    name=known_as[0].replace(" class", ", class"),
                    kind=Kind.VOLUME,
                    resolution=division / 2 * ML,
                    limits=(Limit(up_to=capacity * ML, fixed=error * ML),),
                    capacity=capacity * ML,
                    expansion=EXPANSION[grade][0],
                    expansion_uncertainty=EXPANSION[grade][1],
                    source=source + shaky,
                    known=known,
                    synonyms=known_as[1:],
                    advice=advice,
                    rises=True if kind == "burette" else None,  # nought at the top
                )


def _glass_names(kind: str, size: str, grade: str) -> tuple[str, ...]:
    """The key and other names: the class not said is the wider one; class AS has the errors of class A."""
    names = (f"{kind} {size} class {grade}", f"{kind} {size}" if grade == "B" else f"{kind} {size} class AS")
    return (*names, *(name.replace("measuring", "graduated") for name in names if "measuring" in name))


# ---- plastic
# capacity, division [ml]; divisions differ between makes (common practice, no source): declare your own
SYRINGES = ((1, 0.01), (2, 0.1), (3, 0.1), (5, 0.2), (10, 0.5), (20, 1), (30, 1), (50, 1), (60, 1), (100, 2))

# ISO 7886-1:2017, clause 8, Table 1: half of capacity downwards, capacity share + share of what is expelled; upwards,
# one share of what is expelled.  The two meet at half capacity.
SMALL, LARGE = (0.015, 0.02, 0.05), (0.015, 0.01, 0.04)
BREAK = 5  # ml, where the larger family begins (from memory)

# Polypropylene: handbook figures lie between 240e-6 and 450e-6 and are partly exchanged with another plastic's; ± 50 %.
POLYPROPYLENE, POLYPROPYLENE_UNCERTAINTY = 345e-6, 0.5 * 345e-6 / sqrt(3)

_ONE_WAY = (
    "Press the plunger in one direction only, to the same stop each time; do not use the last few per cent; "
    "no air, no needle. Weighing a few fills makes it several times better."
)


def plastics() -> Iterator[Instrument]:
    """Syringes, a beaker and an unmarked bottle."""
    for capacity, division in SYRINGES:
        yield _syringe(capacity, division)
    yield Instrument(
        key="beaker",
        name="beaker, by its marks",
        kind=Kind.VOLUME,
        resolution=5 * ML,
        limits=(Limit(up_to=1000 * ML, share=0.10),),
        capacity=1000 * ML,
        synonyms=("jug",),
        source="ISO 3819, marks ± 10 %",
        known="memory",
        advice="Its marks are for orientation: gross-error check only.",
    )
    yield Instrument(
        key="unmarked bottle",
        name="bottle or tube without a known scale",
        kind=Kind.VOLUME,
        resolution=0.0,
        limits=(),
        capacity=2000 * ML,
        source="nothing is known of its scale",
        known="common practice",
        synonyms=("bottle", "marked bottle", "squeeze bottle", "tube"),
        advice="Calibrate it first, or weigh it before and after the fill.",
    )


def _syringe(capacity: float, division: float) -> Instrument:
    of_capacity, of_expelled, upper = SMALL if capacity < BREAK else LARGE
    return Instrument(
        key=f"syringe {capacity:g} ml",
        name=f"plastic syringe, {capacity:g} ml",
        kind=Kind.VOLUME,
        resolution=division / 2 * ML,
        limits=(
            Limit(up_to=capacity / 2 * ML, fixed=of_capacity * capacity * ML, share=of_expelled),
            Limit(up_to=capacity * ML, share=upper),
        ),
        capacity=capacity * ML,
        expansion=POLYPROPYLENE,
        expansion_uncertainty=POLYPROPYLENE_UNCERTAINTY,
        source="ISO 7886-1:2017, clause 8, Table 1",
        known="seen" if capacity in {1, 10} else "memory",
        synonyms=(f"plastic syringe {capacity:g} ml", f"catheter-tip syringe {capacity:g} ml"),
        advice=_ONE_WAY,
    )


# ---- scales: permissible errors by load steps, doubled where no one verified them
# OIML R 76-1:2006, Table 6: up to this many verification steps, this many steps of error.
LOAD_STEPS = {
    "II": ((5_000, 0.5), (20_000, 1.0), (100_000, 1.5)),
    "III": ((500, 0.5), (2_000, 1.0), (10_000, 1.5)),
    "IIII": ((50, 0.5), (200, 1.0), (1_000, 1.5)),
}
UNVERIFIED = 2.0  # twice, as R 76 allows in service; for household scales common practice, no source

# step [g], class it is taken as, capacity [g], key, other names
SCALES = (
    (5.0, "IIII", 5_000, "kitchen scale 5 g", ("scale 5 g",)),
    (1.0, "III", 5_000, "kitchen scale 1 g", ("scale 1 g", "kitchen scale", "household scale 1 g")),
    (0.5, "III", 5_000, "scale 0.5 g", ("kitchen scale 0.5 g",)),
    (0.1, "III", 1_000, "scale 0.1 g", ("kitchen scale 0.1 g", "pocket scale 0.1 g", "bench scale 0.1 g")),
    (0.01, "II", 500, "scale 0.01 g", ("pocket scale 0.01 g", "balance 0.01 g", "kitchen scale 0.01 g")),
)
_ADVICE = (
    "Check it with a known mass before and after. Lift the bottle off, squirt, put it back: many scales swallow "
    "a slow trickle as drift. Off draughts, in the middle of the pan."
)


def load_limits(step: float, accuracy: str, factor: float = 1.0) -> tuple[Limit, ...]:
    """Permissible errors [kg] of a scale with a verification step [kg] and an accuracy class.

    Source: OIML R 76-1:2006, Table 6, on initial verification (seen); times factor.

    >>> [(limit.up_to, limit.fixed) for limit in load_limits(0.001, "III")][:2]
    [(0.5, 0.0005), (2.0, 0.001)]
    """
    return tuple(Limit(up_to=steps * step, fixed=factor * errors * step) for steps, errors in LOAD_STEPS[accuracy])


def scales() -> Iterator[Instrument]:
    """Household and bench scales, none of them verified."""
    for step, accuracy, capacity, key, synonyms in SCALES:
        yield Instrument(
            key=key,
            name=f"{key.rsplit(' ', 2)[0]} reading to {step:g} g",
            kind=Kind.MASS,
            resolution=step * G,
            limits=load_limits(step * G, accuracy, UNVERIFIED),
            capacity=capacity * G,
            source=f"OIML R 76-1:2006, Table 6, class {accuracy} with e = {step:g} g, doubled as not verified",
            known="common practice",
            synonyms=synonyms,
            advice=_ADVICE,
        )


# ---- lengths.  # Permissible errors are those usual for sound workshop tools of their kind:
# from memory of the standards named, or common practice.  A tool with a certificate is worth declaring as your own.
# Repeatabilities are a usual hand's on the part (feel, zero, place, light), not the tool's best on a bench: half as
# much again to three times that; common practice, no source.

STEEL, STEEL_UNCERTAINTY = (
    34e-6,
    2e-6,
)  # cubic, 1/K: steels 32.4e-6 to 39e-6 in handbooks (seen), tool steel near 34.5e-6

Row = tuple[str, float, tuple[tuple[float, float], ...], float, str, str, tuple[str, ...], str]

# key, step read [mm], ((up to, permissible error) …) [mm], repeatability of a usual hand [mm], source, known, others,
# advice.
# Inch tools stand here at their rounded millimetre steps: half a division where they are read by eye.
# fmt: off
_TABLE: tuple[Row, ...] = (
    ("vernier caliper", 0.02, ((200, 0.03), (300, 0.04)), 0.02, "ISO 13385-1 / DIN 862, 0.02 mm vernier", "memory",
     ("vernier caliper 0.02 mm", "caliper", "vernier"),
     "Close it and note the zero; not for bores that enter squared."),
    ("vernier caliper 0.05 mm", 0.05, ((300, 0.05),), 0.03, "ISO 13385-1 / DIN 862, 0.05 mm vernier", "memory",
     (), "Close it and note the zero; not for bores that enter squared."),
    ("vernier caliper 0.001 in", 0.025, ((150, 0.025), (300, 0.04)), 0.02, "common practice, no source",
     "common practice", ("caliper 0.001 in",), "Close it and note the zero; not for bores that enter squared."),
    ("digital caliper", 0.01, ((100, 0.02), (200, 0.03), (300, 0.04)), 0.015, "ISO 13385-1 / DIN 862, 0.01 mm digital",
     "memory", ("digital caliper 0.01 mm", "dial caliper"),
     "The last digit is finer than the tool is true."),
    ("micrometer", 0.01, ((50, 0.004), (100, 0.005), (150, 0.006), (200, 0.007), (300, 0.009)), 0.004,
     "ISO 3611 / DIN 863-1", "memory", ("outside micrometer", "micrometer 0.01 mm"),
     "Same ratchet feel each time; check it on its setting rod."),
    ("micrometer 0.001 mm", 0.001, ((50, 0.004), (100, 0.005), (150, 0.006), (200, 0.007), (300, 0.009)), 0.003,
     "ISO 3611 / DIN 863-1", "memory", ("digital micrometer",),
     "Same ratchet feel each time; check it on its setting rod."),
    ("micrometer 0.0001 in", 0.0025, ((50, 0.004), (100, 0.005), (150, 0.006), (200, 0.007), (300, 0.009)), 0.003,
     "ISO 3611 / DIN 863-1", "memory", ("tenths micrometer",),
     "Same ratchet feel each time; check it on its setting rod."),
    ("bore gauge", 0.005, ((400, 0.010),), 0.005, "two-point gauge set by a micrometer; common practice, no source",
     "common practice", ("dial bore gauge", "cylinder gauge"),
     "Rock it for the smallest reading; set it on the micrometer that measures the pistons."),
    ("inside micrometer", 0.01, ((150, 0.010), (300, 0.015)), 0.01, "common practice, no source", "common practice",
     ("internal micrometer", "telescopic gauge"), "Feel for the largest across and the smallest along."),
    ("dial indicator", 0.005, ((1, 0.010), (10, 0.017), (30, 0.027)), 0.01,
     "ISO 463 / DIN 878, 0.01 mm dial read to half a division; total error, there and back", "memory",
     ("dial gauge", "dial indicator 0.01 mm", "clock gauge", "dial test indicator", "deck bridge"),
     "Square to the surface; come to each reading from the same side; check the zero again."),
    ("dial indicator 0.001 in", 0.013, ((2.5, 0.015), (25, 0.025)), 0.013,
     "common practice, no source; 0.001 in dial read to half a division", "common practice", ("dial gauge 0.001 in",),
     "Square to the surface; come to each reading from the same side; check the zero again."),
    ("depth gauge", 0.02, ((200, 0.03), (300, 0.04)), 0.025, "ISO 13385-2 / DIN 862, 0.02 mm vernier", "memory",
     ("vernier depth gauge",), "Base flat on a clean face, no rocking."),
    ("depth micrometer", 0.01, ((50, 0.005), (150, 0.008), (300, 0.010)), 0.008, "DIN 863-2", "memory", (),
     "Base flat on a clean face; check the zero with the rod in use."),
    ("height gauge", 0.02, ((300, 0.04), (600, 0.05)), 0.025, "ISO 13225, 0.02 mm vernier", "memory", (),
     "On a surface plate; the block stands on its clean main-bearing line or a known face."),
    ("feeler gauge", 0.05, ((0.3, 0.007), (1.0, 0.012), (3, 0.016)), 0.03, "DIN 2275 for the blades", "memory",
     ("feeler", "feeler blade"),
     "The blade that drags and the next that does not go: the step between them is the reading's own doubt."),
    ("steel rule", 0.5, ((1000, 0.5),), 0.25, "class II rule, 0.3 mm + 0.2 mm per whole metre (2014/32/EU)", "memory",
     ("rule", "ruler", "steel ruler"), "Gross-error check only."),
)
# fmt: on


def length_tools() -> Iterator[Instrument]:
    """The length instruments of the bench."""
    for key, step, errors, scatter, source, known, synonyms, advice in _TABLE:
        yield Instrument(
            key=key,
            name=key,
            kind=Kind.LENGTH,
            resolution=step * MM,
            limits=tuple(Limit(up_to=up_to * MM, fixed=error * MM) for up_to, error in errors),
            repeatability=scatter * MM,
            capacity=errors[-1][0] * MM,
            expansion=STEEL,
            expansion_uncertainty=STEEL_UNCERTAINTY,
            source=source,
            known=known,
            synonyms=synonyms,
            advice=advice,
        )
