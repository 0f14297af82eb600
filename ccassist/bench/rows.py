"""What one row of readings finds by itself, in plain SI numbers: one line of :data:`ARITHMETIC` a method.

Every other module asks :func:`arithmetic` of a method and never which method it is.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import pairwise

from ccassist.bench.calibrated import fit
from ccassist.bench.cell import Reading
from ccassist.bench.repeats import points_apart
from ccassist.bench.step import Method
from ccassist.bench.traced import Point, bulge, corner_slopes, crosses_itself, edge_half_width, polygon_area
from ccassist.engine.relations import gasket_area_ellipse
from ccassist.values.display import percent
from ccassist.values.findings import Finding, error, question, warning
from ccassist.values.statistics import mean
from ccassist.vocabulary.record import record

FEWEST, MOST_POINTS = 3, 1000  # points of an outline
SWAP, FEWEST_SEEN = 3.0, 6  # times the usual way from neighbour to neighbour; points that show what is usual
COARSE = 0.01  # of the area: a doubt between the points beyond it is said (common practice, no source)


@record
class Arithmetic:
    """What is reckoned of the rows of one method.

    finds : what a row finds [m³, m², m], from the volume of an apparent kilogram [m³/kg] where it was weighed.
    unit : what one unit of its instrument's reading is in that.
    read : how many rounded readings one row holds, counted in that unit.
    rounded : of each rounded reading of several rows, at how many points of a scale of such steps it was read.
    deliveries : its separate deliveries by a scale [m³], all positive; none where none was read.
    faults : what makes a row unusable, or doubtful.
    """

    finds: Callable[[Reading, float], float]
    unit: Callable[[Reading, float], float] = lambda row, per_mass: 1.0
    read: Callable[[Reading], int] = lambda row: 1
    rounded: Callable[[Sequence[Reading], float], list[int]] = lambda rows, step: [1]
    deliveries: Callable[[Reading], list[float]] = lambda row: []
    faults: Callable[[Reading], list[Finding]] = lambda row: []


def arithmetic(method: Method) -> Arithmetic:
    """What is reckoned of the rows of a method; of one without a line of its own, the mean of its lengths."""
    return ARITHMETIC.get(method.key, _LENGTH)


def deliveries(row: Reading) -> list[float]:
    """The separate deliveries of a burette or syringe row [m³], all positive."""
    return arithmetic(row.method).deliveries(row)


# ---- lengths ----------------------------------------------------------------------------------------------------


def _mean_length(row: Reading, per_mass: float) -> float:
    """The mean of a row's readings [m].

    Front and rear of the pin axis, or both thrust sides: rocking shows as equal and opposite readings and cancels.
    Source: common practice, no source.
    """
    return mean([q.value for field in row.fields.values() for q in field])


# ---- fills ------------------------------------------------------------------------------------------------------


@record
class Leak:
    """A leak of one fill, found by timed readings.

    ``rate`` [m³/s], never under nothing; ``fill_time`` [s].  ``above`` [m³] is how far the reading at the end of the
    fill lies above the line through the timed readings there, in the sense in which the burette counts.
    """

    rate: float
    fill_time: float
    above: float = 0.0

    @property
    def lost(self) -> float:
        """The most that can have run away during the fill, m³."""
        return self.rate * self.fill_time


def leak_of(row: Reading) -> Leak | None:
    """The leak that a row's timed readings show; None where none were taken.

    Time counts from the moment when fluid first stands over the leak.  Readings are of the burette; they rise, or fall
    on a scale that counts down, as the space asks for more.  Source: common practice, no source; trade example C5 for
    the straight line.
    """
    if "settle" not in row.fields:
        return None
    fill_time = row.one("fill_time")
    end = row.fields["end"][-1].value
    times = [fill_time, *(q.value for q in row.fields["settle_at"])]
    readings = [end, *(q.value for q in row.fields["settle"])]
    if len(set(times)) < 2:
        return None
    way = 1.0 if end >= row.fields["start"][-1].value else -1.0
    line = fit(times, [way * r for r in readings])
    if line.slope <= 0:
        return Leak(rate=0.0, fill_time=fill_time)
    return Leak(rate=line.slope, fill_time=fill_time, above=way * end - line.at(fill_time))


def taken_off(row: Reading) -> float:
    """What is taken off a row's delivered volume for its leak [m³]; negative where the end was read below the line.

    During the fill the leak ran for somewhere between none and all of the time: half of rate × fill time is taken off,
    the other half is doubt.
    """
    leak = leak_of(row)
    return 0.0 if leak is None else leak.above + leak.lost / 2


def _delivered(row: Reading, per_mass: float) -> float:
    return math.fsum(deliveries(row)) - taken_off(row)


def _along(row: Reading) -> list[float]:
    """Stages of a burette that is read on the way and not refilled are one delivery."""
    starts, ends = ([q.value for q in row.fields[name]] for name in ("start", "end"))
    if "depth" in row.fields:
        cut = [i for i in range(1, len(starts)) if starts[i] != ends[i - 1]]
        starts, ends = [starts[i] for i in (0, *cut)], [ends[i - 1] for i in (*cut, len(ends))]
    return [abs(end - start) for start, end in zip(starts, ends, strict=True)]


def _read(*names: str) -> Callable[[Sequence[Reading], float], list[int]]:
    """Of each of these readings of a row (all of them where none is named), at how many points it was read."""

    def points(rows: Sequence[Reading], step: float) -> list[int]:
        columns = ([row.one(name) for row in rows if name in row.fields] for name in names or rows[0].fields)
        return [points_apart(column, step) for column in columns]

    return points


def _read_along(rows: Sequence[Reading], step: float) -> list[int]:
    """Which readings of one fill by a scale are rounded, and at how many points of it.

    Where a scale is read, it is rounded; where it is set to a mark, as for full syringes or for a start at nought in
    every fill, nothing is: what the setting is out by goes into the space and shows in the scatter of the fills.  The
    last end is always read.
    """
    starts = zip(*([q.value for q in row.fields["start"]] for row in rows), strict=False)
    ends = zip(*([q.value for q in row.fields["end"][:-1]] for row in rows), strict=False)
    read = [same for same in (*starts, *ends) if len(set(same)) > 1 or len(rows) == 1]
    return [points_apart(same, step) for same in (*read, [row.fields["end"][-1].value for row in rows])]


def _one_way(row: Reading) -> list[Finding]:
    """Each delivery moves along the scale, and all of them the same way."""
    moves = [e.value - s.value for s, e in zip(row.fields["start"], row.fields["end"], strict=True)]
    if 0 in moves:
        return _no_delivery(row, "start and end are the same: nothing was delivered", "read the end after the fill")
    if min(moves) < 0 < max(moves):
        wrong = "one delivery rises along the scale and another falls"
        return _no_delivery(row, wrong, "each runs the same way: look for start and end changed over")
    return []


def _by_syringe(row: Reading) -> list[float]:
    rest = [row.one("rest")] if "rest" in row.fields and row.one("rest") > 0 else []
    return [row.one("each")] * round(row.one("full")) + rest


def _delivers(row: Reading) -> list[Finding]:
    """Syringes deliver something, and never take back."""
    rest = row.one("rest") if "rest" in row.fields else 0.0
    if row.one("each") <= 0 or rest < 0:
        return _no_delivery(row, "a delivery is more than nothing", 'full = 1, each = "60 ml", rest = "2.5 ml"')
    if row.one("full") == 0 and rest == 0:
        return _no_delivery(row, "nothing was delivered", 'full = 1, each = "60 ml", or full = 0 and a rest')
    return []


def apparent_mass(row: Reading) -> float:
    """Mass that left the bottle as the scale says, kg."""
    return row.one("before") - row.one("after")


def _lighter(row: Reading) -> list[Finding]:
    """A bottle that gave something is lighter afterwards."""
    if apparent_mass(row) > 0:
        return []
    return _no_delivery(row, "the bottle did not get lighter", "before is the heavier reading")


def _half_a_leak(row: Reading) -> list[Finding]:
    if len({"settle", "settle_at", "fill_time"} & set(row.fields)) not in (1, 2):
        return []
    wrong = "timed readings need their times and the time of the fill"
    return [error("half-a-leak", wrong, read=row.said, right="settle, settle_at and fill_time go together")]


def _no_delivery(row: Reading, wrong: str, right: str) -> list[Finding]:
    return [error("no-delivery", wrong, read=row.said, right=right)]


def _levels_fault(row: Reading) -> list[Finding]:
    """What keeps the levels of a staged fill from making a curve."""
    depths = [q.value for q in row.fields.get("depth", ())]
    right = "such as depth 3.00 mm; 2.00 mm; 1.00 mm; 0 mm (in the file a list), the last one at the plate"
    if not depths:
        return []
    if len(depths) < 2:
        return [error("few-levels", "one level shows no area: two at least, the plate one of them", right=right)]
    if depths[-1] != 0:
        return [error("not-to-the-plate", "the last stage must be filled to the plate, depth 0", right=right)]
    if any(upper >= lower for lower, upper in pairwise(depths)):
        return [error("levels-not-rising", "every stage must end higher than the one before", right=right)]
    return []


# ---- areas ------------------------------------------------------------------------------------------------------


def points_of(row: Reading) -> list[Point]:
    """The points of a traced outline [m], in order."""
    return [(x.value, y.value) for x, y in zip(row.fields["x"], row.fields["y"], strict=True)]


def _oval(row: Reading, per_mass: float) -> float:
    return float(gasket_area_ellipse(row.one("long"), row.one("short")))


def _oval_slope(row: Reading, per_mass: float) -> float:
    return math.pi / 4 * math.hypot(row.one("long"), row.one("short"))


def _traced(row: Reading, per_mass: float) -> float:
    """Between the points the edge is taken as evenly curved but in its corners (:mod:`ccassist.bench.traced`)."""
    points = points_of(row)
    return polygon_area(points) + bulge(points)


def _traced_slope(row: Reading, per_mass: float) -> float:
    """½ √Σ((xᵢ₊₁ − xᵢ₋₁)² + (yᵢ₊₁ − yᵢ₋₁)²), slopes of the shoelace formula (JCGM 100:2008, 5.1.2), and corners'."""
    points = points_of(row)
    across = zip([points[-1], *points[:-1]], [*points[1:], points[0]], strict=True)
    straight = 0.5 * math.sqrt(math.fsum((u - x) ** 2 + (v - y) ** 2 for (x, y), (u, v) in across))
    return math.hypot(straight, *corner_slopes(points))


def _outline_fault(row: Reading) -> list[Finding]:
    """Too few points, a line that crosses itself, or an edge that is hardly known."""
    points = points_of(row)
    if len(points) < FEWEST:
        wrong = f"an outline of {len(points)} points holds no area"
        return [error("few-points", wrong, right="trace some forty points")]
    if len(points) > MOST_POINTS:
        right = f"{MOST_POINTS} points are more than enough"
        return [error("many-points", f"an outline of {len(points)} points", right=right)]
    if len(set(points)) < len(points):
        wrong = "a point of the outline is given twice"
        return [error("twice-a-point", wrong, right="the last point joins the first by itself")]
    swapped = swapped_pair(points)
    if swapped is not None:
        wrong = f"point {swapped + 1} stands far out, and in the line with its two numbers changed over"
        return [question("swapped-pair", wrong, right="look at that pair: across first, then up")]
    if crosses_itself(points) or polygon_area(points) == 0:
        right = "give the points in order round the opening"
        return [error("crossed-outline", "the outline crosses itself", right=right)]
    share = edge_half_width(points) / polygon_area(points)
    if share <= COARSE:
        return []
    wrong = f"{len(points)} points leave {percent(share)} of the area in doubt, the edge between them being unknown"
    right = "trace more points, close together in bends, and one in every corner"
    return [warning("coarse-outline", wrong, right=right)]


def swapped_pair(points: Sequence[Point]) -> int | None:
    """The point that lies out of line and falls into it with x and y changed over; None where none does.

    Out of line: its way from neighbour to neighbour is several times the usual one (common practice, no source).
    """
    count = len(points)
    ways = [math.dist(points[i - 1], p) + math.dist(p, points[(i + 1) % count]) for i, p in enumerate(points)]
    usual = sorted(ways)[count // 2]
    for i, (x, y) in enumerate(points):
        turned = math.dist(points[i - 1], (y, x)) + math.dist((y, x), points[(i + 1) % count])
        if count >= FEWEST_SEEN and ways[i] > SWAP * usual and turned < ways[i] / SWAP:
            return i
    return None


def _cut_out(row: Reading, per_mass: float) -> float:
    """The cut-out's area is to the square's as their masses are; trade example C7.  Source: common practice."""
    copies = row.one("copies") if "copies" in row.fields else 1.0
    return row.one("reference") * row.one("cutout_mass") / row.one("reference_mass") / copies


def _cut_out_slope(row: Reading, per_mass: float) -> float:
    return _cut_out(row, per_mass) * math.hypot(1 / row.one("reference_mass"), 1 / row.one("cutout_mass"))


# For an area ``unit`` is how far it moves, at the root of the sum of squares, for one unit in each reading by itself
# [m² per m, m² per kg]; so a row of it counts as one reading.
_LENGTH = Arithmetic(finds=_mean_length, rounded=_read())
ARITHMETIC: dict[str, Arithmetic] = {
    "burette": Arithmetic(
        finds=_delivered,
        read=lambda row: 2 * len(row.fields["start"]),
        rounded=_read_along,
        deliveries=_along,
        faults=lambda row: [*_levels_fault(row), *_half_a_leak(row), *_one_way(row)],
    ),
    "syringes": Arithmetic(finds=_delivered, deliveries=_by_syringe, faults=_delivers),
    "weighing": Arithmetic(
        finds=lambda row, per_mass: apparent_mass(row) * per_mass,
        unit=lambda row, per_mass: per_mass,
        read=lambda row: 2,
        rounded=_read("before", "after"),
        faults=_lighter,
    ),
    "ellipse": Arithmetic(finds=_oval, unit=_oval_slope, rounded=_read("long", "short")),
    "outline": Arithmetic(
        finds=_traced,
        unit=_traced_slope,
        rounded=lambda rows, step: [1] * (2 * len(rows[0].fields["x"])),
        faults=_outline_fault,
    ),
    "cut-out": Arithmetic(finds=_cut_out, unit=_cut_out_slope, rounded=_read("reference_mass", "cutout_mass")),
}
