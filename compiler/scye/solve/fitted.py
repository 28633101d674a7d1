"""Fitting corrections on drawn lines: an edge moved at one place and faded to nothing at others.

The move fades as 3t2 - 2t3 of the length along the line: it leaves and arrives without a corner, as
a curve drawn into the old line. Where the end of a straight line is moved the fade is even, so that it stays
straight. All is in mm; the last axis is bodies. What cannot be placed for a body is no move for that body.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np

from scye.geometry import curve, path
from scye.geometry.area import signed_area
from scye.geometry.intersect import meet
from scye.geometry.path import Circle, Guide, Line, Path
from scye.geometry.vector import Array, Flags, cross, norm, quarter_turn, quiet, unit

PARTS = 4  # of each curved segment that is moved; a straight one needs none
RUN_PAST = 200.0  # mm that an endless line is drawn on past both its corners
COMMON_END = 0.05  # mm between two ends that are one point, or a point and the line it is on
AT_END = 0.5  # mm within which a place is the end of a stretch
NEAR_END = 25.4  # mm from an end within which a move that names no place to fade at is carried on to it
SHORTEST = 1e-4  # mm; a part of a line that is shorter is nothing
STUCK = 1e-9  # share of a segment below which a handle has no length


Region = Literal["before", "rise", "full", "fall", "after"]
REGIONS: tuple[Region, ...] = ("before", "rise", "full", "fall", "after")


@dataclass(frozen=True, slots=True)
class Move:
    """How `was` is moved: by `amount` (n,) all the way from `full_from` to `full_to`, nothing before
    `none_from` and after `none_to` (mm along the line). A move that is full at an end goes on past it.
    `toward` is a direction (2, n), or None for square to the line."""

    was: Path
    amount: Array
    toward: Array | None
    none_from: Array
    full_from: Array
    full_to: Array
    none_to: Array
    open_start: Flags
    open_end: Flags
    even: Flags
    placed: Flags

    def share(self, s: Array) -> Array:
        """The share of the whole amount (n,) at a length (n,) along the line."""
        rise, fall = (self.run(region, s)[0] for region in ("rise", "fall"))
        inner = np.where(s > self.full_to, fall, 1.0 + 0.0 * fall)
        return np.where(s < self.full_from, rise, inner)

    def run(self, region: Region, s: Array) -> tuple[Array, Array]:
        """The share (..., n) at lengths within a region of the line, and how fast it changes, per mm."""
        flat = 0.0 * (s + self.full_from)
        match region:
            case "before":
                return np.where(self.open_start, 1.0, 0.0) + flat, flat
            case "rise":
                t, over = _within(s - self.none_from, self.full_from - self.none_from)
                share, slope = _faded(t, self.even)
                return np.where(self.open_start, 1.0, share), np.where(self.open_start, 0.0, slope / over)
            case "full":
                return 1.0 + flat, flat
            case "fall":
                t, over = _within(self.none_to - s, self.none_to - self.full_to)
                share, slope = _faded(t, self.even)
                return np.where(self.open_end, 1.0, share), np.where(self.open_end, 0.0, -slope / over)
            case "after":
                return np.where(self.open_end, 1.0, 0.0) + flat, flat


def _within(s: Array, whole: Array) -> tuple[Array, Array]:
    over = np.where(whole > 0.0, whole, 1.0)
    return np.clip(s / over, 0.0, 1.0), over


def _faded(t: Array, even: Flags | bool) -> tuple[Array, Array]:
    """How far a fade has come at t in [0, 1], and how fast it goes."""
    return np.where(even, t, t * t * (3.0 - 2.0 * t)), np.where(even, 1.0, 6.0 * t * (1.0 - t))


def move(
    was: Line,
    start: Array,
    end: Array,
    amount: Array | float,
    toward: Array | None,
    at: Line | Array | None,
    nothing: Sequence[Line | Array],
    carried: Sequence[Line | Array],
) -> Move:
    """The move of the stretch of a line from `start` to `end`; see `ir.equations.FitMove`."""
    with quiet(all="ignore"):
        line = drawn(was, start, end)
        ends = [_along(line, path.nearest(line, point)[0]) for point in (start, end)]
        low, high = np.minimum(*ends), np.maximum(*ends)
        places = [_place(line, place, low, high) for place in (*nothing, *carried)]
        nones, fulls = places[: len(nothing)], places[len(nothing) :]
        middle = [low, high] if at is None else [_place(line, at, low, high)] * 2
        full_from, full_to = middle
        for place in fulls:
            full_from, full_to = np.fmin(full_from, place), np.fmax(full_to, place)
        none_from, none_to = low, high
        for place in nones:
            none_from = np.where(place < full_from - AT_END, np.maximum(none_from, place), none_from)
            none_to = np.where(place > full_to + AT_END, np.minimum(none_to, place), none_to)
        open_start = full_from <= low + np.where(none_from > low, AT_END, NEAR_END)
        open_end = full_to >= high - np.where(none_to < high, AT_END, NEAR_END)
        placed = np.isfinite(full_from)
        for place in places:
            placed = placed & np.isfinite(place)
        ruled = np.full(placed.shape, all(line.straight)) & (open_start | open_end)
        size = np.where(placed, amount, 0.0)
        begin, first, last, finish = (
            np.where(placed, x, low) for x in (none_from, full_from, full_to, none_to)
        )
        return Move(
            line,
            size,
            toward,
            begin,
            first,
            last,
            finish,
            open_start & placed,
            open_end & placed,
            ruled,
            placed,
        )


def drawn(line: Line, start: Array, end: Array) -> Path:
    """A line as one with two ends: an endless one from a little before its first corner to a little after
    its last."""
    match line:
        case Path():
            return line
        case Guide() | Circle():
            return path.extend(path.polyline([start, end]), RUN_PAST)


def _along(line: Path, u: Array) -> Array:
    return path.length_between(line, 0.0, u)


def _place(line: Path, place: Line | Array, low: Array, high: Array) -> Array:
    """Where a place lies along a line, between two others of it; NaN where a line does not cross it there."""
    if isinstance(place, np.ndarray):
        return np.clip(_along(line, path.nearest(line, place)[0]), low, high)
    found = meet(line, place)
    first: Array = np.full(low.shape, np.nan) + 0.0 * found.u[0]
    for u in found.u[::-1]:
        s = _along(line, u)
        first = np.where((s >= low - AT_END) & (s <= high + AT_END), np.clip(s, low, high), first)
    return first


# --- what moves -------------------------------------------------------------------------------


def fitted_line(move: Move, past: float = 0.0) -> Path:
    """The line after the move, run on straight by `past` mm at both ends."""
    line = _fitted(move)  # also where nothing is moved: others in the batch may have a move
    return path.extend(line, past) if past else line


def _fitted(move: Move) -> Path:
    with quiet(all="ignore"):
        cuts = [path.at_length(move.was, s) for s in _knots(move)]
        ends = [0.0 * cuts[0], *cuts, 0.0 * cuts[0] + len(move.was.straight)]
        parts = [path.part(move.was, a, b) for a, b in pairwise(ends)]
        begins = [0.0 * move.none_from, *_knots(move)]
        return _without_nothing(
            [_moved(part, s, move, region) for part, s, region in zip(parts, begins, REGIONS, strict=True)]
        )


def _knots(move: Move) -> tuple[Array, Array, Array, Array]:
    """Where the move changes its rule, in order along the line; a fade that is not there is nothing long."""
    return (
        np.where(move.open_start, move.full_from, move.none_from),
        move.full_from,
        move.full_to,
        np.where(move.open_end, move.full_to, move.none_to),
    )


def _moved(part: Path, begin: Array, move: Move, region: Region) -> Path:
    """A region of the line that begins at a length `begin` (n,) along it, moved. Each cubic has the exact
    ends and directions of the moved line."""
    cubics, flags = _split(part)
    lengths = np.stack([curve.arc_length(c) for c in cubics])
    last = begin + np.add.accumulate(lengths, axis=0)
    first = np.concatenate(((begin + 0.0 * last[0])[None], last[:-1]))
    a, leaving = _shifted(cubics, 0.0, move, *move.run(region, first))
    b, arriving = _shifted(cubics, 1.0, move, *move.run(region, last))
    ruled = bool(move.even.all()) or region not in ("rise", "fall")
    ctrl = _cubics(a, leaving, b, arriving) + np.where(lengths > SHORTEST, 0.0, np.nan)[:, None, None]
    return Path(ctrl, tuple(flag and ruled for flag in flags))


def _cubics(a: Array, leaving: Array, b: Array, arriving: Array) -> Array:
    """Cubics (K, 4, 2, n) from their ends and the velocities there, each (K, 2, n)."""
    return np.stack((a, a + leaving / 3.0, b - arriving / 3.0, b), axis=1)


def _split(part: Path) -> tuple[Array, list[bool]]:
    """The segments of a path, curved ones in parts: (K, 4, 2, n), and which are straight."""
    rows: list[Array] = []
    flags: list[bool] = []
    for cubic, straight in zip(part.ctrl, part.straight, strict=True):
        count = 1 if straight else PARTS
        rows += [curve.portion(cubic, i / count, (i + 1) / count) for i in range(count)]
        flags += [straight] * count
    return np.stack(rows), flags


def _shifted(cubics: Array, t: float, move: Move, share: Array, slope: Array) -> tuple[Array, Array]:
    """The ends of cubics (K, 2, n) at t = 0 or 1 and the velocities there, after the move."""
    point, velocity, bend = _end_of(cubics, t), curve.derivative(cubics, t), curve.second(cubics, t)
    speed = norm(velocity)
    still = speed <= STUCK * norm(bend)
    heading = unit(np.where(still[:, None], (1.0 - 2.0 * t) * bend, velocity))
    size, change = move.amount * share, move.amount * slope * speed
    if move.toward is not None:
        way = move.toward + 0.0 * heading
        return point + size[:, None] * way, velocity + change[:, None] * way
    way = quarter_turn(heading)
    turning = np.where(still, 0.0, cross(velocity, bend) / (speed * speed))
    # the square turns with the line: d(way)/dt = -turning * heading
    return point + size[:, None] * way, velocity + change[:, None] * way - (size * turning)[:, None] * heading


def _end_of(cubics: Array, t: float) -> Array:
    return cubics[:, 0] if t == 0.0 else cubics[:, 3]


def _without_nothing(parts: Sequence[Path]) -> Path:
    """The parts as one line, end to start; cubics that are nothing for every body are left out, and those
    that are nothing for some close up to their neighbours."""
    ctrl = np.concatenate([part.ctrl for part in parts])
    flags = [flag for part in parts for flag in part.straight]
    kept = [k for k in range(len(ctrl)) if not np.isnan(ctrl[k]).any(axis=(0, 1)).all()] or [0]
    whole = [ctrl[k] for k in kept]
    for k in range(1, len(whole)):
        here = whole[k - 1][3]
        joined = np.concatenate((here[None], whole[k][1:]))
        whole[k] = np.where(np.isnan(whole[k]), here, np.where(np.isnan(here), whole[k], joined))
    for k in range(len(whole) - 2, -1, -1):
        whole[k] = np.where(np.isnan(whole[k]), whole[k + 1][0], whole[k])
    return Path(np.stack(whole), tuple(flags[k] for k in kept))


def followed_line(line: Line, move: Move) -> Line:
    """A neighbour whose ends go with the moved line where they lie on it; endless lines are left alone."""
    if not isinstance(line, Path):
        return line
    with quiet(all="ignore"):
        first, last = (_shift_of(point, move) for point in (path.start(line), path.end(line)))
        return _carried(line, first, last)


def _carried(line: Path, first: Array, last: Array) -> Path:
    """A line whose start and end were carried by (2, n), each fading to nothing at the other."""
    cubics, flags = _split(line)
    lengths = np.stack([curve.arc_length(c) for c in cubics])
    ends = np.add.accumulate(lengths, axis=0)
    begins = np.concatenate((0.0 * ends[:1], ends[:-1]))
    ruled = all(line.straight)
    rows: list[Array] = []
    for t, s in ((0.0, begins), (1.0, ends)):
        share, slope = _faded(s / ends[-1], ruled)
        speed = norm(curve.derivative(cubics, t)) / ends[-1]
        rows.append(_end_of(cubics, t) + (1.0 - share)[:, None] * first + share[:, None] * last)
        rows.append(curve.derivative(cubics, t) + (slope * speed)[:, None] * (last - first))
    return Path(_cubics(*rows), tuple(flag and ruled for flag in flags))


def _shift_of(point: Array, move: Move) -> Array:
    """How far a point goes (2, n) with the moved line; nothing where it is not on it."""
    u, away = path.nearest(move.was, point)
    way = quarter_turn(path.tangent(move.was, u)) if move.toward is None else move.toward
    shift = move.amount * move.share(_along(move.was, u)) * way
    return np.where(away <= COMMON_END, shift, 0.0)


def followed_point(point: Array, move: Move) -> Array:
    """A point that goes with the moved line where it lies on it."""
    with quiet(all="ignore"):
        return np.asarray(point + _shift_of(point, move))


def fitted_at(level: Line, move: Move) -> Array:
    """By how much the line was moved where `level` crosses it (n,), 0 where it does not."""
    with quiet(all="ignore"):
        crossed = meet(move.was, level).u[0]
        return np.where(np.isfinite(crossed), move.amount * move.share(_along(move.was, crossed)), 0.0)


def fit_placed(move: Move) -> Array:
    """1 where every place of the correction was found, else 0."""
    return np.where(move.placed, 1.0, 0.0)


# --- round a piece ----------------------------------------------------------------------------


def corner(a: Line, b: Line, named: Array | None) -> Array:
    """Where an edge meets its neighbour (2, n): at the one end they share, else where they cross once, else
    nearest to a named point."""
    with quiet(all="ignore"):
        found = meet(a, b)
        ends = _shared_ends(a, b, found.point[0])
        if named is not None:
            return _closest(np.concatenate((found.point, ends, (named + 0.0 * ends[0])[None])), named)
        shared = np.isfinite(ends[:, 0])
        by_end = np.nansum(np.where(shared[:, None], ends, 0.0), axis=0)
        crossed = np.where(found.count == 1, found.point[0], np.nan)
        return np.where(shared.sum(axis=0) == 1, by_end, crossed)


def _shared_ends(a: Line, b: Line, like: Array) -> Array:
    """Ends of two drawn lines that are one point, (4, 2, n); NaN where they are not."""
    if not (isinstance(a, Path) and isinstance(b, Path)):
        return np.full((1, *like.shape), np.nan)
    pairs = [(p, q) for p in (path.start(a), path.end(a)) for q in (path.start(b), path.end(b))]
    return np.stack([np.where(norm(p - q) <= COMMON_END, p, np.nan) + np.zeros(like.shape) for p, q in pairs])


def _closest(points: Array, named: Array) -> Array:
    away = norm(points - named)
    best = np.argmin(np.where(np.isnan(away), np.inf, away), axis=0)[None, None]
    picked: Array = np.take_along_axis(points, np.broadcast_to(best, (1, *points.shape[1:])), axis=0)[0]
    return picked


def piece_side(lines: Sequence[Line], meets: Sequence[Array | None], edge: int) -> Array:
    """1 where a piece lies to the right of one of its lines as it was drawn, else -1 (n,)."""
    with quiet(all="ignore"):
        count = len(lines)
        corners = [corner(lines[i], lines[(i + 1) % count], meets[i]) for i in range(count)]
        points: list[Array] = []
        for i, line in enumerate(lines):
            points += [corners[i - 1], _middle(line, corners[i - 1], corners[i])]
        outline = path.polyline([*points, points[0]])
        line = drawn(lines[edge], corners[edge - 1], corners[edge])
        onward = path.nearest(line, corners[edge - 1])[0] <= path.nearest(line, corners[edge])[0]
        return np.where((signed_area(outline) >= 0.0) == onward, 1.0, -1.0)


def _middle(line: Line, a: Array, b: Array) -> Array:
    if not isinstance(line, Path):
        return np.asarray((a + b) / 2.0)
    middle = (path.nearest(line, a)[0] + path.nearest(line, b)[0]) / 2.0
    return path.locate(line, middle)


def end_of(a: Array, b: Array, which: str) -> Array:
    """The upper or lower of two points (2, n)."""
    first = a[1] <= b[1] if which == "upper" else a[1] >= b[1]
    return np.where(first, a, b)
