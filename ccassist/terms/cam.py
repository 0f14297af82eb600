"""The cam: valve events in crank degrees, counted from true dead centres, and the lift they were read at."""

from math import radians

from ccassist.terms.make import MM, length
from ccassist.terms.signs import after, before
from ccassist.terms.term import Kind, Sign, Term


def event(key: str, name: str, symbol: str, meaning: str, plausible: tuple[float, float], sign: Sign) -> Term:
    """A valve event; ranges in crank degrees."""
    return Term(
        key=key,
        name=name,
        symbol=symbol,
        kind=Kind.ANGLE,
        meaning=meaning,
        plausible=(radians(plausible[0]), radians(plausible[1])),
        possible=(radians(-90), radians(150)),
        sign=sign,
        caution="crank degrees, as installed, at a stated lift",
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
        "hl",
        "lift at opening and closing as the card counts them; nothing for seat to seat",
        (0, 1.5),
        possible=(0.0, 5 * MM),
        small=True,
        caution="the same cam read at the seat and at 0.050 in differs by a whole ratio",
    ),
)
