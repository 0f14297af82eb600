"""What a piston maker must be told besides the compression height and the net crown volume."""

from ccassist.vocabulary.make import MM, angle, length, volume
from ccassist.vocabulary.silent import cc, mm
from ccassist.vocabulary.term import Kind, Term


def count(key: str, name: str, symbol: str, meaning: str, most: int, *, least: int = 0) -> Term:
    """A whole number of things."""
    return Term(
        key=key, name=name, symbol=symbol, kind=Kind.COUNT, meaning=meaning, possible=(least, 1000),
        plausible=(least, most),
    )  # fmt: skip


PISTON: tuple[Term, ...] = (
    count("pieces", "number of pistons", "np", "pistons ordered, without spares", 23, least=1),
    count("spares", "number of spares", "ns", "further pistons of the same kind", 24),
    length(
        "wall_clearance",
        "piston-to-wall clearance",
        "cw",
        "bore less piston diameter where the maker gauges it, cold",
        (0.01, 0.5),
        possible=(0.0, 3 * MM),
        small=True,
        caution="built in by the maker: never added to the bore",
        silent=mm(0.005, 0.01, 0.03),
    ),
    length("pin_length", "pin length", "Lp", "piston pin, end to end", (20, 260), possible=(2 * MM, 1500 * MM)),
    length(
        "rod_width",
        "small-end width",
        "ws",
        "width of the rod's small end between the piston's bosses",
        (6, 120),
        possible=(1 * MM, 900 * MM),
    ),
    *(
        length(key, name, symbol, "axial width of the ring itself, not of its groove", span, possible=(0.0, 100 * MM))
        for key, name, symbol, span in (
            ("top_ring_width", "top-ring width", "w1", (0.5, 8)),
            ("second_ring_width", "second-ring width", "w2", (0.5, 8)),
            ("oil_ring_width", "oil-ring width", "w3", (1, 12)),
        )
    ),
    length(
        "ring_radial_depth",
        "radial depth of the top ring",
        "tr",
        "outer to inner edge of the ring",
        (1, 10),
        possible=(0.1 * MM, 100 * MM),
    ),
    length(
        "crown_thickness",
        "least crown thickness",
        "tc",
        "least metal wanted under the deepest dish or pocket",
        (2, 60),
        possible=(0.1 * MM, 300 * MM),
        caution="the maker's to judge",
    ),
    length(
        "dome_clearance",
        "dome to chamber and plug",
        "cd",
        "least gap wanted between dome, chamber wall and plug",
        (0.5, 5),
        possible=(0.0, 50 * MM),
        small=True,
    ),
    length(
        "skirt_clearance",
        "skirt to counterweight",
        "cs",
        "least gap wanted between skirt and crank at bottom dead centre",
        (0.5, 10),
        possible=(0.0, 100 * MM),
        small=True,
    ),
    length(
        "free_thickness",
        "free gasket thickness",
        "hf0",
        "gasket as bought, before tightening",
        (0.1, 6),
        possible=(0.0, 40 * MM),
        small=True,
        caution="never the thickness for the sum",
    ),
    length(
        "height_tolerance",
        "tolerance of the compression height",
        "ΔCH",
        "half-width within which the maker holds it",
        (0.005, 0.1),
        possible=(0.0, 10 * MM),
        small=True,
        silent=mm(0.0, 0.0, 0.0),
    ),
    volume(
        "crown_tolerance",
        "tolerance of the crown volume",
        "ΔVp",
        "half-width within which the maker holds it",
        (0.1, 2),
        possible=(0.0, 1e-3),
        silent=cc(0.0, 0.0, 0.0),
    ),
    Term(
        key="rev_limit",
        name="rev limit",
        symbol="Nmax",
        kind=Kind.TURNS,
        meaning="highest crankshaft speed intended",
        possible=(0.1, 600),
        plausible=(4, 350),
        typical=55.0,
    ),
    Term(
        key="piston_mass",
        name="piston mass",
        symbol="mpd",
        kind=Kind.MASS,
        meaning="of the bare piston, or of the one to be matched",
        possible=(1e-3, 300.0),
        plausible=(0.02, 60.0),
    ),
    length(
        "dish_diameter", "dish diameter", "Dd", "of the dish at the crown flat", (20, 190), possible=(MM, 1500 * MM)
    ),
    length(
        "dish_depth", "dish depth", "hd", "crown flat to the dish's floor, at its middle", (0.3, 20),
        possible=(0.0, 500 * MM),
    ),
    length(
        "dish_corner", "dish corner radius", "rd", "between its wall and floor", (0, 10), possible=(0.0, 300 * MM)
    ),
    length(
        "squish_band",
        "squish band",
        "wq",
        "width of the flat left between the dish and the edge of the crown",
        (3, 40),
        possible=(0.0, 700 * MM),
    ),
    length(
        "dome_diameter", "dome diameter", "Dk", "of the dome at the crown flat", (20, 190), possible=(MM, 1500 * MM)
    ),
    length("dome_top", "dome top diameter", "Dt", "of the dome's flat top", (0, 190), possible=(0.0, 1500 * MM)),
    length(
        "dome_height", "dome height", "hk", "crown flat to the top of the dome", (0.3, 20), possible=(0.0, 500 * MM)
    ),
    count("pockets", "number of pockets", "kp", "pockets of this kind in one piston", 4),
    length("pocket_diameter", "pocket diameter", "Dpk", "of the pocket's floor", (15, 70), possible=(MM, 500 * MM)),
    length(
        "pocket_depth",
        "pocket depth",
        "hpk",
        "crown flat to the middle of the pocket's floor, along the valve",
        (0.1, 10),
        possible=(-50 * MM, 200 * MM),
        caution="along the valve, not along the bore",
    ),
    angle(
        "pocket_tilt", "pocket tilt", "θv", "of the pocket's axis to the bore axis, as the valve's", (0, 35), (0, 59.9)
    ),
    length(
        "pocket_offset",
        "pocket offset",
        "av",
        "bore axis to the middle of the pocket's floor, square to the bore axis",
        (5, 70),
        possible=(0.0, 700 * MM),
    ),
)  # fmt: skip
