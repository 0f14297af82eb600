"""Callipers, micrometers, gauges, indicators, feelers and rules.

Permissible errors are those usual for sound workshop tools of their kind:
from memory of the standards named, or common practice.  A tool with a
certificate is worth declaring as your own.  Repeatabilities are a usual
hand's on the part (feel, zero, place, light), not the tool's best on a bench:
half as much again to three times that; common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from ccassist.bench.instruments.instrument import Instrument, Limit
from ccassist.vocabulary import Kind

MM = 1e-3
STEEL, STEEL_DOUBT = 34e-6, 2e-6  # cubic, 1/K: steels 32.4e-6 to 39e-6 in handbooks (seen), tool steel near 34.5e-6

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
            expansion_doubt=STEEL_DOUBT,
            source=source,
            known=known,
            synonyms=synonyms,
            advice=advice,
        )
