"""Outlines looked at as polygons: which cross themselves, and a cutting line with its loops taken out.

The only module that knows shapely.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import shapely

from scye.assemble.strokes import samples
from scye.geometry.path import Path, take
from scye.geometry.vector import Array, Flags, Ints
from scye.ir.pattern import Point

GRID = 0.001  # mm to which points are taken before they are compared, so that last bits make no crossing
NEAR = 0.02  # mm between two points of a cutting line that are one
FINEST = 24  # points a curved segment when a loop is taken out


def simple(outline: Path, drawn: Flags) -> Flags:
    """Which outlines (n,) are closed polygons that do not cross themselves; true for those not drawn."""
    valid = np.ones(drawn.shape, dtype=bool)
    rings = _rings(samples(outline), drawn)
    sound = shapely.is_valid(shapely.polygons(rings)) if len(rings) else np.ones(0, dtype=bool)
    # points that lie on one another may look like a crossing; only those rings are thinned and seen again
    valid[drawn] = [ok or _is_simple(ring) for ok, ring in zip(sound, rings, strict=True)]
    return valid


def _rings(points: Array, drawn: Flags) -> Array:
    """The points of the drawn bodies, (m, K, 2), taken to the grid."""
    rounded: Array = np.round(points[:, :, drawn] / GRID) * GRID
    return np.ascontiguousarray(np.moveaxis(rounded, -1, 0))


def _is_simple(ring: Array) -> bool:
    return bool(shapely.is_valid(shapely.polygons(_apart(ring))))


def _apart(ring: Array) -> Array:
    """The ring without points that lie on the one before."""
    kept = [ring[0]]
    for point in ring[1:]:
        if abs(point[0] - kept[-1][0]) + abs(point[1] - kept[-1][1]) > NEAR:
            kept.append(point)
    return np.array(kept if len(kept) > 2 else list(ring))


def crossing_edges(outline: Path, edges: Sequence[Path], body: int) -> tuple[int, int]:
    """The two edges (or one twice) that cross in the outline of one body."""
    only = np.zeros(outline.ctrl.shape[-1], dtype=bool)
    only[body] = True
    ring = _apart(_rings(samples(outline), only)[0])
    reason = str(shapely.is_valid_reason(shapely.polygons(ring)))
    found = re.search(r"\[(\S+) (\S+)\]", reason)
    if found is None:
        return 0, 0
    where = np.array([[float(found[1])], [float(found[2])]])
    away = [_distance(samples(edge)[:, :, body], where[:, 0]) for edge in edges]
    order: Ints = np.argsort(np.array(away), kind="stable")
    return (int(order[0]), int(order[1] if away[order[1]] < 1.0 else order[0]))


def _distance(line: Array, point: Array) -> float:
    return float(shapely.distance(shapely.linestrings(line), shapely.points(point)))


def tidied(outline: Path, body: int) -> tuple[tuple[Point, ...], float]:
    """The cutting line of one body as a polygon without its loops, and how far (mm) that moved the line.

    Kept is what the line goes round clockwise, once or more (its winding number is above nought); a loop
    that an offset makes in a tight hollow is gone round the other way.
    """
    ring = _closed(outline, body)
    line = shapely.linestrings(ring)
    faces = shapely.get_parts(shapely.polygonize([shapely.union_all([line])]))
    kept = [face for face in faces if _winding(ring, shapely.point_on_surface(face)) > 0]
    whole = shapely.union_all(kept)
    largest = max(shapely.get_parts(whole), key=shapely.area, default=shapely.polygons(ring))
    shell = shapely.orient_polygons(shapely.polygons(shapely.get_exterior_ring(largest)), exterior_cw=False)
    points = shapely.get_coordinates(shell)[:-1]
    moved = float(shapely.hausdorff_distance(line, shapely.get_exterior_ring(largest)))
    return tuple((float(x), float(y)) for x, y in points), moved


def _closed(outline: Path, body: int) -> Array:
    one = take(outline, body)  # marks anew what is straight, so that the batch has no say in the points
    ring = _apart(np.round(samples(one, FINEST)[:, :, 0] / GRID) * GRID)
    return np.concatenate((ring, ring[:1]))


def _winding(ring: Array, point: object) -> int:
    """How many times the ring goes round a point, clockwise on the paper counted positive."""
    x, y = shapely.get_coordinates(point)[0]
    count = 0
    for (ax, ay), (bx, by) in pairwise(ring):
        if (ay > y) != (by > y) and x < ax + (y - ay) * (bx - ax) / (by - ay):
            count += 1 if by > ay else -1
    return count
