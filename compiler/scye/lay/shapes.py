"""Outlines as polygons: opened out, widened, cut into columns, and whether two lie on each other.

The only module of the lay that knows shapely.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import combinations

import numpy as np
import shapely

from scye.ir.pattern import Point
from scye.lay.flat import Ring, over

# mm to which places are taken before two halves are joined, so that last bits leave no slit between them
GRID = 1e-4

Strip = tuple[int, float, float]


def opened_out(half: Ring, fold: tuple[Point, Point]) -> Ring:
    """A piece and itself turned over on its fold edge, as one outline."""
    halves = [shapely.polygons(half), shapely.polygons(over(half, fold))]
    return _outside(shapely.union_all(halves, grid_size=GRID))


def widened(ring: Ring, by: float) -> Ring:
    """An outline `by` mm larger all round, corners kept. Hollows that the widening closes count as taken."""
    return _outside(shapely.buffer(shapely.polygons(ring), by, join_style="mitre", mitre_limit=2.0))


def _outside(shape: object) -> Ring:
    """The outside of the largest part, without holes; always the same way round."""
    largest = max(shapely.get_parts(shape), key=shapely.area)
    whole = shapely.orient_polygons(shapely.polygons(shapely.get_exterior_ring(largest)))
    return tuple((float(x), float(y)) for x, y in shapely.get_coordinates(whole)[:-1])


def strips(ring: Ring, breadth: float) -> tuple[Strip, ...]:
    """What an outline takes of strips across the cloth, each `breadth` mm of its length, from x = 0.

    Each is (number of the strip, least y, greatest y), together never less than the outline; a strip that the
    outline leaves and enters again has several.
    """
    shape = shapely.polygons(ring)
    _, low, right, high = shape.bounds
    count = max(1, math.ceil(right / breadth - 1e-9))
    lefts = np.arange(count) * breadth
    across = shapely.box(lefts, low - 1, lefts + breadth, high + 1)
    parts, owner = shapely.get_parts(shapely.intersection(shape, across), return_index=True)
    # a side that runs along the border of a strip takes nothing of it
    within = shapely.get_dimensions(parts) == 2
    ranges = shapely.bounds(parts[within])[:, (1, 3)]
    found = sorted((int(k), float(a), float(b)) for k, (a, b) in zip(owner[within], ranges, strict=True))
    return tuple(_joined(found))


def _joined(found: Sequence[Strip]) -> list[Strip]:
    """Parts of one strip that reach over each other made one."""
    joined: list[Strip] = []
    for number, low, high in found:
        if joined and joined[-1][0] == number and low <= joined[-1][2]:
            joined[-1] = (number, joined[-1][1], max(joined[-1][2], high))
        else:
            joined.append((number, low, high))
    return joined


def alike(one: Ring, two: Ring, within: float) -> bool:
    """Whether two outlines are the same to `within` mm."""
    a, b = shapely.linearrings(one), shapely.linearrings(two)
    return bool(shapely.hausdorff_distance(a, b, densify=0.2) <= within)


def sound(ring: Ring) -> bool:
    """Whether an outline is a closed one that does not cross itself."""
    return bool(shapely.is_valid(shapely.polygons(ring)))


def clear(rings: Sequence[Ring], least: float = 1e-6) -> bool:
    """Whether no two outlines share more than `least` mm2."""
    shapes = [shapely.polygons(ring) for ring in rings]
    return all(
        not shapely.intersects(a, b) or shapely.area(shapely.intersection(a, b)) <= least
        for a, b in combinations(shapes, 2)
    )
