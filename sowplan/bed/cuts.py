"""A tighter bound for beds of odd outline: cut them up, and add the bounds of the parts.

Oler's bound holds for convex regions; of an L it could only speak of the hull, corner and all. Cut
along a line, every plant stands in one part or the other, so that bounds of the parts add up to one
of the whole. Where to cut is tried: along all directions in which the bed has sides.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from sowplan.bed.bounds import bound, oler_convex

TRIES = 16
KEPT = 3
"""So many of the best first cuts are cut once more."""
ROUGH = 5e-4
"""How much wider than it is a shape may be taken, in spacings."""
LARGE = 900
"""With more plants than this cuts are not worth their time: the outline counts for little."""


def cut_bound(shape, spacing_m: float, depth: int = 2) -> int:
    """Return a number that no points ``spacing_m`` apart in a shape exceed.

    Parameters
    ----------
    shape : shapely geometry
        Where plant centres may stand; as large as it is, or larger.
    spacing_m : float
        Least distance between plants [m].
    depth : int
        How many cuts one behind the other are tried.
    """
    # Arcs in fewer corners, drawn a hair wider so that nothing of the shape is lost.
    hair = ROUGH * spacing_m
    rough = shape.simplify(hair).buffer(hair, join_style="mitre")
    return _cut(rough, spacing_m, depth, _directions(rough))


def _cut(shape, s: float, depth: int, directions: list[float]) -> int:
    whole = _parts([shape], s)[0]
    if depth == 0 or whole < 2 or whole > LARGE:
        return whole
    firsts = []
    for angle in directions:
        low, high = _halves(shape, angle, _places(shape, angle))
        totals = [a + b for a, b in zip(_parts(low, s), _parts(high, s), strict=True)]
        firsts += [(total, angle, k, low[k], high[k]) for k, total in enumerate(totals)]
    firsts.sort(key=lambda first: first[:3])
    best = min([whole, *(first[0] for first in firsts[:1])])
    if depth > 1:
        for *_, low, high in firsts[:KEPT]:
            best = min(best, sum(_cut(part, s, depth - 1, directions) for part in (low, high)))
    return best


def _parts(shapes: Sequence, s: float) -> list[int]:
    """Return for each shape the least of its plain bounds, pieces that lie apart added up."""
    import shapely

    hulls = shapely.convex_hull(shapes)
    areas, rims = shapely.area(hulls).tolist(), shapely.length(hulls).tolist()
    boxes = shapely.bounds(hulls).tolist()
    apart = (shapely.get_num_geometries(shapes) > 1).tolist()
    found = []
    for k, shape in enumerate(shapes):
        if shape.is_empty:
            found.append(0)
        elif apart[k]:
            found.append(sum(_parts(list(shape.geoms), s)))
        else:
            x0, y0, x1, y1 = boxes[k]
            found.append(min(bound(x1 - x0, y1 - y0, s)[0], oler_convex(areas[k], rims[k], s)))
    return found


def _directions(shape) -> list[float]:
    """Return the directions of a shape's sides as angles [rad], those of a few degrees as one."""
    found = [0.0, math.pi / 2]
    rough = shape.simplify(0.02 * math.sqrt(shape.area))
    for piece in getattr(rough, "geoms", [rough]):
        if piece.is_empty or not hasattr(piece, "exterior"):
            continue
        steps = np.diff(np.array(piece.exterior.coords), axis=0)
        for dx, dy in steps[np.argsort(-np.hypot(*steps.T))][:12].tolist():
            angle = math.atan2(dy, dx) % math.pi
            if all(abs(math.sin(angle - other)) > 0.05 for other in found):
                found.append(angle)
    return found[:6]


def _places(shape, angle: float) -> list[float]:
    """Return how far from the origin cuts in a direction are tried: evenly, and at its corners."""
    rough = shape.simplify(0.005 * math.sqrt(shape.area))
    across = np.array([-math.sin(angle), math.cos(angle)])
    corners = [
        np.array(piece.exterior.coords) @ across
        for piece in getattr(rough, "geoms", [rough])
        if hasattr(piece, "exterior")
    ]
    at = np.concatenate(corners) if corners else np.zeros(1)
    even = np.linspace(at.min(), at.max(), TRIES + 2)[1:-1]
    inner = np.unique(np.round(at, 6))
    found = np.concatenate([even, inner[(inner > at.min()) & (inner < at.max())][:16]])
    return sorted(set(np.round(found, 6).tolist()))


def _halves(shape, angle: float, places: Sequence[float]) -> tuple[list, list]:
    """Return what lies on one side and on the other of each of several parallel lines."""
    import shapely

    along = np.array([math.cos(angle), math.sin(angle)])
    across = np.array([-along[1], along[0]])
    far = 4 * (max(map(abs, shape.bounds)) + 1.0)
    at = np.array(places)[:, None]
    sides = []
    for way in (1.0, -1.0):
        a, b = at * across - far * along, at * across + far * along
        corners = np.stack([a, b, b + way * far * across, a + way * far * across], axis=1)
        sides.append(list(shapely.intersection(shape, shapely.polygons(corners))))
    return sides[0], sides[1]
