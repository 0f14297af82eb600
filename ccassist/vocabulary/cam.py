"""The cam: valve events in crank degrees, counted from true dead centres, the lift they were read at, and the lobes."""

from ccassist.vocabulary.make import MM, Range, angle, length
from ccassist.vocabulary.signs import ADVANCE_SIGN, OVERLAP_SIGN, after, before
from ccassist.vocabulary.silent import mm, silent
from ccassist.vocabulary.term import Kind, Sign, Term


def event(key: str, name: str, symbol: str, meaning: str, plausible: Range, sign: Sign) -> Term:
    """A valve event; its plausible range in crank degrees."""
    caution = "crank degrees, as installed, at a stated lift"
    return angle(key, name, symbol, meaning, plausible, (-90, 150), sign=sign, caution=caution)


def _of(valve: str, letter: str) -> tuple[Term, ...]:
    """Duration, centreline and phasing of one valve's lobe."""
    side, sign = ("after", after("TDC")) if valve == "intake" else ("before", before("TDC"))
    return (
        angle(
            f"{valve}_duration",
            f"{valve} duration",
            f"D{letter}",
            "crank degrees from opening to closing, at the lift at which the events were read",
            (180, 340),
            (60, 600),
        ),
        angle(
            f"{valve}_centreline",
            f"{valve} centreline",
            f"{letter.upper()}CL",
            f"middle between opening and closing, crank degrees {side} top dead centre",
            (95, 130),
            (30, 200),
            sign=sign,
            caution="of an unsymmetrical lobe it is not where the lift is largest",
        ),
        angle(
            f"{valve}_phase_advance",
            f"{valve} cam, most it can be advanced",
            f"φa{letter}",
            "crank degrees by which phasing brings all events earlier than as read",
            (0, 60),
            (0, 120),
        ),
        angle(
            f"{valve}_phase_retard",
            f"{valve} cam, most it can be retarded",
            f"φr{letter}",
            "crank degrees by which phasing brings all events later than as read",
            (0, 60),
            (0, 120),
        ),
    )


CAM: tuple[Term, ...] = (
    event("intake_opening", "intake opening", "IVO", "crank angle before top dead centre", (-40, 70), before("TDC")),
    event("intake_closing", "intake closing", "IVC", "crank angle after bottom dead centre", (0, 100), after("BDC")),
    event(
        "exhaust_opening", "exhaust opening", "EVO", "crank angle before bottom dead centre", (0, 100), before("BDC")
    ),
    event("exhaust_closing", "exhaust closing", "EVC", "crank angle after top dead centre", (-40, 70), after("TDC")),
    length(
        "event_lift",
        "lift at which the events were read",
        "hev",
        "lift at opening and closing as the card counts them; nothing for seat to seat",
        (0, 1.5),
        possible=(0.0, 5 * MM),
        small=True,
        caution="the same cam read at the seat and at 0.050 in differs by a whole ratio",
        silent=mm(0.02, 0.02, 0.1),
    ),
    *_of("intake", "i"),
    *_of("exhaust", "e"),
    angle(
        "lobe_separation",
        "lobe separation",
        "LSA",
        "cam degrees between the middles of the exhaust and the intake lobe",
        (95, 122),
        (45, 180),
        caution="cam degrees, where all others are crank degrees",
    ),
    angle(
        "cam_advance",
        "cam advance",
        "a",
        "crank degrees by which the cam stands before the position with both centrelines alike",
        (-12, 12),
        (-60, 60),
        sign=ADVANCE_SIGN,
    ),
    angle(
        "valve_overlap",
        "valve overlap",
        "OL",
        "crank degrees during which both valves are open, at the lift at which the events were read",
        (-40, 110),
        (-200, 300),
        sign=OVERLAP_SIGN,
    ),
    angle(
        "wheel_doubt",
        "how well the degree wheel's zero is held",
        "±z",
        "half-width of what the wheel may be out against true top dead centre",
        (0, 3),
        (0, 20),
    ),
    angle(
        "crank_angle",
        "crank angle",
        "θ",
        "from true top dead centre at overlap",
        (-180, 180),
        (-360, 360),
        sign=after("TDC"),
    ),
    length(
        "lobe_height",
        "lobe, over the nose",
        "hn",
        "overall height of the lobe, nose to heel",
        (12, 140),
        possible=(2 * MM, 500 * MM),
        silent=mm(0.02, 0.05, 0.3),
    ),
    length(
        "base_circle",
        "base circle",
        "b0",
        "diameter of the lobe's base circle",
        (10, 110),
        possible=(1 * MM, 500 * MM),
        caution="across the heel, clear of the ramps: a long lobe leaves none to measure across",
        silent=mm(0.02, 0.05, 0.3),
    ),
    Term(
        key="rocker_ratio",
        name="rocker ratio",
        symbol="RR",
        kind=Kind.RATIO,
        meaning="valve movement over tappet movement, as measured; 1 for a bucket on the valve",
        possible=(0.3, 4.0),
        plausible=(0.9, 2.0),
        caution="the actual ratio: it changes over the lift",
        silent=silent((0.0, 0.01), (0.0, 0.02), (0.0, 0.05)),
    ),
    length(
        "lash",
        "lash",
        "ls",
        "running clearance at the valve that the cam takes up first",
        (0, 1.2),
        possible=(0.0, 5 * MM),
        small=True,
        silent=mm(0.02, 0.02, 0.1),
    ),
    length("lobe_lift", "lobe lift", "hc", "over the nose less base circle", (1.5, 30), possible=(0.0, 200 * MM)),
    length(
        "valve_lift",
        "valve lift",
        "hv",
        "travel of the valve off its seat, along its stem",
        (0, 35),
        possible=(0.0, 200 * MM),
        silent=mm(0.05, 0.10, (0.3, 0.05)),
    ),
)
