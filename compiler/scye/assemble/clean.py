"""Outlines looked at as polygons: which cross themselves, and a cutting line with its loops taken out.

The only module that knows shapely.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import numpy as np
import shapely

from scye.assemble.strokes import SAMPLES, samples, samples_of
from scye.geometry.path import Path, take
from scye.geometry.vector import Array, Flags, Ints, dot, norm
from scye.ir.pattern import Point

GRID = 0.001  # mm to which points are taken before they are compared, so that last bits make no crossing
NEAR = 0.02  # mm between two points of a cutting line that are one
FINEST = 24  # points a curved segment when a loop is taken out
SHARP = 0.86  # cosine of some 30 degrees: what two chords may bend by before a loop may hide between them
CLOSEST = 32  # points a curved segment where chords may hide a loop, or make one that is not there


def simple(outlines: Sequence[Path], drawn: Sequence[Flags]) -> list[Flags]:
    """For which bodies (n,) each outline is a closed polygon that does not cross itself; true for those for
    which it is not drawn."""
    return _simple(samples_of(outlines), drawn)


def _simple(rows: Sequence[Array], drawn: Sequence[Flags]) -> list[Flags]:
    rings = [_rings(points, own) for points, own in zip(rows, drawn, strict=True)]
    polygons = [polygon for row in rings if len(row) for polygon in shapely.polygons(row)]
    sound = iter(shapely.is_valid(polygons).tolist())
    found = []
    for row, own in zip(rings, drawn, strict=True):
        valid = np.ones(own.shape, dtype=bool)
        # points that lie on one another may look like a crossing; only those rings are thinned and seen again
        valid[own] = [next(sound) or _is_simple(ring) for ring in row]
        found.append(valid)
    return found


def _rings(points: Array, drawn: Flags) -> Array:
    """The points of the drawn bodies, (m, K, 2), taken to the grid."""
    rounded: Array = np.round(points[:, :, drawn] / GRID) * GRID
    return np.ascontiguousarray(rounded.transpose(2, 0, 1))


def _is_simple(ring: Array) -> bool:
    return bool(shapely.is_valid(shapely.polygons(_apart(ring))))


def _apart(ring: Array) -> Array:
    """The ring without points that lie on the one before, nor at its end on its first."""
    kept = [ring[0]]
    for point in ring[1:]:
        if _off(point, kept[-1]):
            kept.append(point)
    while len(kept) > 1 and not _off(kept[-1], kept[0]):
        kept.pop()
    return np.array(kept if len(kept) > 2 else list(ring))


def _off(point: Array, other: Array) -> bool:
    return bool(abs(point[0] - other[0]) + abs(point[1] - other[1]) > NEAR)


@dataclass(frozen=True, slots=True)
class Crossing:
    """Two edges (or one twice) of an outline that cross, and how far along each of them (mm)."""

    one: int
    two: int
    along: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Ring:
    """An outline, the edges it is made of, and the bodies (n,) for which it is drawn."""

    outline: Path
    edges: Sequence[Path]
    drawn: Flags


def crossings(pieces: Sequence[Ring]) -> list[dict[int, Crossing]]:
    """Where each outline crosses itself, by the places of the bodies drawn for which it does.

    All are looked at on chords. A loop may hide in a bend between two of them, and chords may cross where the
    curves only come near each other: those bodies alone are looked at closely.
    """
    rows, drawn = samples_of([piece.outline for piece in pieces]), [piece.drawn for piece in pieces]
    found = []
    for piece, points, simple in zip(pieces, rows, _simple(rows, drawn), strict=True):
        doubtful = ~simple | (piece.drawn & _sharp(points, piece.outline.straight))
        bodies: list[int] = np.flatnonzero(doubtful).tolist()
        seen = {body: _crossing(piece.outline, piece.edges, body) for body in bodies}
        found.append({body: crossing for body, crossing in seen.items() if crossing is not None})
    return found


def _sharp(points: Array, straight: tuple[bool, ...]) -> Flags:
    """Whether a curved segment of an outline bends much from one chord of its samples to the next, (n,)."""
    first = _within(straight)
    chords = points[1:] - points[:-1]
    sizes = norm(chords)
    before, after = sizes[first], sizes[first + 1]
    bent = dot(chords[first], chords[first + 1]) < SHARP * before * after
    sharp: Flags = np.logical_or.reduce(bent & (before > NEAR) & (after > NEAR), axis=0)
    return sharp


@lru_cache(maxsize=256)
def _within(straight: tuple[bool, ...]) -> Ints:
    """The numbers of the chords whose next is of the same segment."""
    number = np.repeat(np.arange(len(straight)), [1 if flag else SAMPLES for flag in straight])
    return np.flatnonzero(number[1:] == number[:-1])


def _crossing(outline: Path, edges: Sequence[Path], body: int) -> Crossing | None:
    """Where the outline of one body crosses itself, seen closely; None if it does not."""
    ring = shapely.polygons(_apart(_closely(outline, body)))
    found = re.search(r"\[(\S+) (\S+)\]", str(shapely.is_valid_reason(ring)))
    if found is None:
        return None
    where = np.array([float(found[1]), float(found[2])])
    passes = [_passed(_closely(edge, body), where) for edge in edges]
    order: Ints = np.argsort([away for away, _ in passes], kind="stable")
    one, two = sorted((int(order[0]), int(order[1] if passes[order[1]][0] < 1.0 else order[0])))
    return Crossing(one, two, (passes[one][1], passes[two][1]))


def _passed(line: Array, where: Array) -> tuple[float, float]:
    """How near a line of points (K, 2) comes to a place, and how far along it first does (mm)."""
    chords = np.diff(line, axis=0)
    sizes = np.hypot(chords[:, 0], chords[:, 1])
    towards = ((where - line[:-1]) * chords).sum(axis=1)
    at = np.clip(towards / np.maximum(sizes * sizes, GRID * GRID), 0.0, 1.0)
    off = line[:-1] + at[:, None] * chords - where
    away = np.hypot(off[:, 0], off[:, 1])
    first = int(np.argmax(away <= away.min() + NEAR))
    return float(away.min()), float(sizes[:first].sum() + at[first] * sizes[first])


def _closely(path: Path, body: int) -> Array:
    """Points (K, 2) of one body's path, near enough to each other to stand for its curves."""
    points: Array = _rings(samples(take(path, body), CLOSEST), np.ones(1, dtype=bool))[0]
    return points


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
