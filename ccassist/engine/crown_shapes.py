"""Crown shapes: volume from dimensions, and the one dimension that gives a volume.

Lengths [m], angles [rad], volumes [m³], all positive: the size of the hollow or of the raised metal.  Whether it adds
space (dish, pocket) or takes it (dome) is the caller's to say, in words.  Every function raises ValueError where no
such shape can be cut, saying why.
"""

from __future__ import annotations

from math import acos, asinh, cos, isfinite, pi, sinh, sqrt, tan


def _positive(**lengths: float) -> None:
    for name, value in lengths.items():
        if not (isfinite(value) and value > 0):
            raise ValueError(f"the {name.replace('_', ' ')} must be more than nothing")


def corner_fillet(*, radius: float, corner: float) -> float:
    """Metal left in the corner of a flat-bottomed dish by its corner radius.

    Radius of the dish and of its corner [m] -> [m³].  A ring of spandrel section, by Pappus: 2π (R − x) A with A = (1 −
    π/4) r² and x = r (10 − 3π) ÷ 3 (4 − π).  Source: Pappus; spandrel as Machinery's Handbook 31st ed. (2020) p. 80;
    centroid as in Harris & Stocker (from memory).

    >>> round(corner_fillet(radius=0.043, corner=0.003) * 1e9, 3)
    513.692
    """
    area = (1 - pi / 4) * corner**2
    centre = corner * (10 - 3 * pi) / (3 * (4 - pi))
    return 2 * pi * (radius - centre) * area


def flat_dish(*, radius: float, depth: float, corner: float = 0.0) -> float:
    """Volume of a flat-bottomed dish with upright walls and a corner radius.

    All [m] -> [m³].  ``radius`` of the dish at the crown, ``depth`` at its floor, ``corner`` between wall and floor, no
    larger than either.  A dish inside a squish band is the same with the smaller radius.  Raises ValueError where the
    corner does not fit.  Source: cylinder less corner fillet.

    >>> round(flat_dish(radius=0.043, depth=0.010, corner=0.003) * 1e9, 3)
    57574.356
    """
    _positive(dish_radius=radius, depth=depth)
    if not 0 <= corner <= min(radius, depth):
        raise ValueError("the corner radius must fit within the dish's radius and depth")
    return pi * radius**2 * depth - corner_fillet(radius=radius, corner=corner)


def flat_dish_depth(volume: float, *, radius: float, corner: float = 0.0) -> float:
    """Depth of the flat-bottomed dish that holds a volume.

    [m³], radius and corner [m] -> [m].  Raises ValueError where so small a volume leaves no room for the corner.
    Source: :func:`flat_dish` turned round.

    >>> round(flat_dish_depth(57574.355913e-9, radius=0.043, corner=0.003), 9)
    0.01
    """
    _positive(volume=volume, dish_radius=radius)
    depth = (volume + corner_fillet(radius=radius, corner=corner)) / (pi * radius**2)
    if not 0 <= corner <= min(radius, depth):
        raise ValueError("so small a volume leaves no room for that corner radius: a smaller one, or a narrower dish")
    return depth


def cap(*, radius: float, height: float) -> float:
    """Volume of a spherical cap: a ball-cut dish, or a domed crown.

    [m], [m] -> [m³].  ``radius`` of its edge at the crown, ``height`` (or depth) at its middle: π h (3a² + h²) ÷ 6.
    Source: Machinery's Handbook 31st ed. (2020) p. 91.

    >>> round(cap(radius=0.0625, height=0.050) * 1e9, 4)
    372246.0045
    """
    _positive(edge_radius=radius, height=height)
    return pi * height * (3 * radius**2 + height**2) / 6


def cap_height(volume: float, *, radius: float) -> float:
    """Height (or depth) of the spherical cap of a given edge that has a volume.

    [m³], edge radius [m] -> [m].  The only real root of h³ + 3a²h = 6V ÷ π: 2a sinh(asinh(3V ÷ πa³) ÷ 3).
    Source: depressed cubic in hyperbolic form (handbook algebra).

    >>> round(cap_height(372246.0045e-9, radius=0.0625), 9)
    0.05
    """
    _positive(volume=volume, edge_radius=radius)
    return 2 * radius * sinh(asinh(3 * volume / (pi * radius**3)) / 3)


def frustum(*, base: float, top: float, height: float) -> float:
    """Volume of a dome with sloped sides and a flat top: π h (R² + R r + r²) ÷ 3.

    All [m] -> [m³].  ``base`` and ``top`` are radii; raises ValueError for a top wider than its base.
    Source: Machinery's Handbook
    31st ed. (2020) p. 90.

    >>> round(frustum(base=0.045, top=0.030, height=0.008) * 1e9, 3)
    35814.156
    """
    _positive(base_radius=base, height=height)
    if not 0 <= top <= base:
        raise ValueError("the top of a dome cannot be wider than its base")
    return pi * height * (base**2 + base * top + top**2) / 3


def frustum_height(volume: float, *, base: float, top: float) -> float:
    """Height of the flat-topped dome of given radii that has a volume.  [m³], radii [m] -> [m].

    Source: :func:`frustum` turned round.

    >>> round(frustum_height(35814.156e-9, base=0.045, top=0.030), 9)
    0.008
    """
    _positive(volume=volume)
    return volume / frustum(base=base, top=top, height=1.0)


def pocket(*, radius: float, tilt: float, depth: float) -> float:
    """Volume of a valve pocket: a flat-floored cylinder along the valve, cut by the crown.

    Radius and depth [m], tilt [rad] -> [m³].  ``radius`` of the pocket, ``tilt`` of the valve to the bore axis,
    ``depth`` of the floor's centre below the crown, measured along the valve; negative where only the deep side of the
    floor lies below the crown.  Upright: π r² depth; tilted: the ungula tan θ (⅔ a³ + b S), where b is the distance
    from the floor's centre to the line in which it meets the crown, a half that line's chord and S the floor below the
    crown.  Raises ValueError for a valve tilted by 60 degrees or more.  Source: Machinery's Handbook 31st ed. (2020) p.
    90 (segment of a cylinder).

    >>> from math import radians
    >>> round(pocket(radius=0.018, tilt=radians(12), depth=0.018 * tan(radians(12))) * 1e9, 3)
    3894.412
    """
    _positive(pocket_radius=radius)
    if not 0 <= tilt < pi / 3:
        raise ValueError("a valve is tilted by 0 to 60 degrees")
    slope = tan(tilt)
    if depth >= radius * slope:
        return pi * radius**2 * depth
    if depth <= -radius * slope:
        return 0.0
    line = depth / slope
    half_chord = sqrt(radius**2 - line**2)
    below = radius**2 * acos(-line / radius) + line * half_chord
    return slope * (2 / 3 * half_chord**3 + line * below)


def deepest_point(*, radius: float, tilt: float, depth: float) -> float:
    """How far the pocket's deepest edge lies below the crown, measured along the bore.

    Radius and depth along the valve [m], tilt [rad] -> [m].  The crown left under it is the maker's to judge.
    Source: geometry.

    >>> round(deepest_point(radius=0.018, tilt=0.2, depth=0.004) * 1e3, 3)
    7.496
    """
    return depth * cos(tilt) + radius * tan(tilt) * cos(tilt)
