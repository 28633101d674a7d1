"""Drawn lines and endless guides, for many bodies at once.

A path is a row of cubics end to start; a place on it is u in [0, S]: the segment's number and the
parameter within it. Segments that were drawn with a ruler are marked straight. mm, x right, y down.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TypeAlias, overload

import numpy as np
from numpy.typing import ArrayLike

from scye.geometry import alone, curve
from scye.geometry.memory import again_and_again
from scye.geometry.newton import solve_rising
from scye.geometry.vector import (
    Array,
    Flags,
    Ints,
    bodies,
    clamp,
    cos,
    dot,
    mirror,
    norm,
    quiet,
    rotated,
    row,
    sin,
    unit,
)

AT_LENGTH_SLACK = 1e-6  # mm a length may run past an end and still mean the end
JOIN_GAP = 0.01  # mm between two lines that are still one line
_STRAIGHT_BY = 1e-9  # mm within which control points lie at thirds of a straight
_SAMPLES = 16  # a segment, when looking for the closest point
_LOOKS = 32  # a segment, when looking at how it bends
ONE = (1,)  # the shape of a figure for one body
FLAT = 1e-3  # curvature times length, in radians, below which a line is as good as straight


@dataclass(frozen=True, slots=True)
class Path:
    """A line with two ends: `ctrl` (S, 4, 2, n), and which of its S segments are straight."""

    ctrl: Array
    straight: tuple[bool, ...]


@dataclass(frozen=True, slots=True)
class Guide:
    """An endless straight: a `point` (2, n) and a unit `direction` (2, n)."""

    point: Array
    direction: Array


@dataclass(frozen=True, slots=True)
class Circle:
    """The sweep of a `radius` (n,) about a `centre` (2, n)."""

    centre: Array
    radius: Array


Line: TypeAlias = Path | Guide | Circle


def _alone(*arrays: Array) -> bool:
    """Whether figures (..., n) are of one body that is drafted again and again."""
    return all(array.shape[-1] == 1 for array in arrays) and again_and_again()


def polyline(points: Sequence[Array]) -> Path:
    """Straights from point to point, each (2, n)."""
    with quiet(all="ignore"):
        segments = [straight_cubic(a, b) for a, b in pairwise(points)]
    return Path(stack_segments(segments), (True,) * len(segments))


def straight_cubic(a: Array, b: Array) -> Array:
    """A straight as a cubic (4, 2, n), its control points at thirds so that t is even along it."""
    chord = b - a
    third = chord / 3.0
    cubic = np.empty((4, *chord.shape))
    cubic[0], cubic[1], cubic[2], cubic[3] = a, a + third, b - third, b
    cubic += 0.0 * (chord[0] + chord[1])  # NaN in either end is NaN in all
    return cubic


def cubic_of(first: Array, second: Array, third: Array, last: Array) -> Array:
    """A cubic (4, 2, n) of its control points, each (2, n or 1)."""
    cubic = np.empty((4, 2, bodies(first, second, third, last)))
    cubic[0], cubic[1], cubic[2], cubic[3] = first, second, third, last
    return cubic


def stack_segments(segments: Sequence[Array]) -> Array:
    """Cubics (4, 2, n or 1) as one array (S, 4, 2, n)."""
    if len(segments) == 1:
        return segments[0][None]
    whole = np.empty((len(segments), *segments[0].shape[:-1], bodies(*segments)))
    for number, segment in enumerate(segments):
        whole[number] = segment
    return whole


def start(path: Path) -> Array:
    """The point it begins at, (2, n)."""
    point: Array = path.ctrl[0, 0]
    return point


def end(path: Path) -> Array:
    """The point it ends at, (2, n)."""
    point: Array = path.ctrl[-1, 3]
    return point


def start_tangent(path: Path) -> Array:
    """The unit direction it leaves its start in, (2, n); NaN for a line of no length."""
    return leaving(path.ctrl.reshape(-1, *path.ctrl.shape[2:]))


def end_tangent(path: Path) -> Array:
    """The unit direction it arrives at its end in, (2, n); NaN for a line of no length."""
    return -leaving(path.ctrl.reshape(-1, *path.ctrl.shape[2:])[::-1])


def segment_lengths(path: Path) -> Array:
    """The length of each segment, (S, n)."""
    with quiet(all="ignore"):
        return _lengths(path)


def length(line: Line) -> Array:
    """The length (n,); of an endless guide infinite, of a sweep its circumference."""
    with quiet(all="ignore"):
        match line:
            case Path():
                return curve.add_up(_lengths(line))
            case Guide():
                return np.where(np.isfinite(line.point[0] + line.direction[0]), np.inf, np.nan)
            case Circle():
                return 2.0 * np.pi * line.radius


def locate(path: Path, u: ArrayLike) -> Array:
    """The point at u, (2, n). u outside [0, S] runs on along the end cubic's own formula."""
    at = row(u)
    if at.shape == ONE and _alone(path.ctrl):
        return alone.locate(path.ctrl, float(at[0]))
    with quiet(all="ignore"):
        cubic, t = segment_at(path, at)
        return curve.evaluate(cubic, t)


def tangent(path: Path, u: ArrayLike) -> Array:
    """The unit direction at u, (2, n), also where a handle has no length."""
    at = row(u)
    if at.shape == ONE and _alone(path.ctrl):
        alone_there = alone.tangent(path.ctrl, float(at[0]))
        if alone_there is not None:
            return alone_there
    with quiet(all="ignore"):
        cubic, t = segment_at(path, at)
        velocity = curve.derivative(cubic, t)
        size = norm(cubic[3] - cubic[0]) + norm(cubic[1] - cubic[0])
        if not (norm(velocity) <= 1e-9 * size).any():
            return unit(velocity)
        # a handle of no length: the direction is that of the acceleration, backwards at the end
        forward = np.where(t < 0.5, 1.0, -1.0) * curve.second(cubic, t)
        found = unit(np.where(norm(velocity) <= 1e-9 * size, forward, velocity))
        return _beside_nothing(path, at, found)


def _beside_nothing(path: Path, u: Array, found: Array) -> Array:
    """Directions, where a segment has no length that of the next which has one, or else of the one before."""
    lacking = np.isfinite(u) & np.isnan(found[0])
    which = np.broadcast_to(segment_number(path, u), lacking.shape)
    points = path.ctrl.reshape(-1, *path.ctrl.shape[2:])
    for number in sorted(set(which[lacking].tolist())) if lacking.any() else ():
        ahead, behind = leaving(points[4 * number :]), -leaving(points[: 4 * number + 4][::-1])
        here = np.where(np.isnan(ahead), behind, ahead)
        found = np.where(lacking & (which == number), here, found)
    return found


def segment_at(path: Path, u: ArrayLike) -> tuple[Array, Array]:
    """Each body's own segment at its u, as a cubic (4, 2, n), and the parameter within it, (n,)."""
    at = row(u)
    if len(path.straight) == 1:
        return path.ctrl[0], at
    which = segment_number(path, at)
    if (which == which[0]).all():
        return path.ctrl[which[0]], at - which
    n = bodies(at, path.ctrl)
    picked = np.broadcast_to(path.ctrl, (*path.ctrl.shape[:3], n))
    index = np.broadcast_to(which, (n,))
    return np.moveaxis(picked[index, :, :, np.arange(n)], 0, -1), at - which


def segment_number(path: Path, u: Array) -> Ints:
    """The number of the segment u lies in; at a joint the one that begins there."""
    return np.fmin(np.fmax(np.floor(u), 0.0), len(path.straight) - 1.0).astype(np.int64)  # 0 for NaN


def at_length(path: Path, s: ArrayLike) -> Array:
    """The u whose length from the start is s (n,) mm. NaN beyond the ends by more than 1e-6 mm."""
    with quiet(all="ignore"):
        lengths = _lengths(path)
        ends = np.add.accumulate(lengths, axis=0)
        wanted = row(s) + 0.0 * ends[-1]
        inside = (wanted >= -AT_LENGTH_SLACK) & (wanted <= ends[-1] + AT_LENGTH_SLACK)
        wanted = np.where(inside, np.clip(wanted, 0.0, ends[-1]), np.nan)
        which = np.zeros(wanted.shape)
        for boundary in ends[:-1]:
            which = which + (wanted > boundary)
        cubic, _ = segment_at(path, which)
        starts = np.concatenate((0.0 * ends[:1], ends[:-1]))
        before = wanted - _pick(starts, which)
        long = _pick(lengths, which)
        share = np.where(long > 0.0, np.clip(before / long, 0.0, 1.0), 0.0 * before)
        if all(path.straight):
            return which + share
        t = curve.parameter_at_length(cubic, np.minimum(before, curve.arc_length(cubic)))
        return which + np.where(long > 0.0, t, share)


def nearest(line: Path | Guide, point: Array) -> tuple[Array, Array]:
    """Where the line is closest to a point: u (n,) and the distance (n,) mm.

    For a guide u is the signed distance along it from its point. Of two places equally close the earlier
    one is meant.
    """
    with quiet(all="ignore"):
        match line:
            case Guide():
                along = dot(point - line.point, line.direction)
                return along, norm(point - line.point - along * line.direction)
            case Path():
                return _nearest_on_path(line, point)


def length_between(path: Path, u0: ArrayLike, u1: ArrayLike) -> Array:
    """The length (n,) along the path from u0 to u1; negative where u1 comes first."""
    with quiet(all="ignore"):
        first, last = row(u0), row(u1)
        low, high = np.minimum(first, last), np.maximum(first, last)
        between = curve.add_up(_lengths(_forward_part(path, low, high)))
        return np.where(first <= last, between, -between)


def part(path: Path, u0: ArrayLike, u1: ArrayLike) -> Path:
    """The stretch from u0 to u1, with as many segments; those outside it shrink to the cut.

    A body whose u1 comes first gets its stretch walked backwards. Where the bodies of one batch disagree
    on the way, a segment stays marked straight only if it is straight both ways; `take` marks it again.
    """
    with quiet(all="ignore"):
        first, last = row(u0), row(u1)
        if first.shape == last.shape == ONE and _alone(path.ctrl):
            return _part_alone(path, float(first[0]), float(last[0]))
        lost = np.isnan(first + last)  # a stretch with but one end is nothing, whoever stands beside it
        first, last = np.where(lost, np.nan, first), np.where(lost, np.nan, last)
        if (first <= 0.0).all() and (last >= len(path.straight)).all():
            return Path(path.ctrl + 0.0, path.straight)  # as of any other part, no nought is negative
        backwards, forwards = first > last, first <= last  # of nothing (NaN) neither: it has no say
        if not backwards.any():
            return _forward_part(path, first, last)
        kept = _forward_part(path, np.minimum(first, last), np.maximum(first, last))
        turned = reverse(kept)
        if not forwards.any():
            return turned
        both = tuple(a and b for a, b in zip(kept.straight, turned.straight, strict=True))
        return Path(np.where(backwards, turned.ctrl, kept.ctrl), both)


def _part_alone(path: Path, first: float, last: float) -> Path:
    """`part` for one body."""
    if first > last:
        return reverse(Path(alone.part_between(path.ctrl, last, first), path.straight))
    return Path(alone.part_between(path.ctrl, first, last), path.straight)


def reverse(path: Path) -> Path:
    """The same line walked from its end."""
    return Path(path.ctrl[::-1, ::-1], path.straight[::-1])


def join(paths: Sequence[Path]) -> Path:
    """One line of several, end to start. Nothing is moved: a gap up to 0.01 mm is no gap, a larger is NaN."""
    ctrl = end_to_end([path.ctrl for path in paths])
    with quiet(all="ignore"):
        gaps = norm(ctrl[1:, 0] - ctrl[:-1, 3])
        whole = np.where((gaps <= JOIN_GAP).all(axis=0), 0.0, np.nan)
    return Path(ctrl + whole, tuple(flag for path in paths for flag in path.straight))


def mirror_path(path: Path, through: Array, direction: Array) -> Path:
    """The line mirrored in the straight through a point (2, n) in a direction (2, n)."""
    return Path(mirror(path.ctrl, through, direction), path.straight)


def turn_path(path: Path, about: Array, angle: ArrayLike) -> Path:
    """The line turned about a point by an angle (n,), clockwise on the paper."""
    with quiet(all="ignore"):
        return Path(about + rotated(path.ctrl - about, cos(angle), sin(angle)), path.straight)


def move_path(path: Path, by: Array) -> Path:
    """The line moved by (2, n)."""
    with quiet(all="ignore"):
        return Path(path.ctrl + by, path.straight)


def extend(path: Path, by: ArrayLike) -> Path:
    """The line run straight past both its ends by mm, along its end tangents: two segments more."""
    reach = row(by)
    first, last = start(path), end(path)
    with quiet(all="ignore"):
        before = straight_cubic(first - reach * start_tangent(path), first)
        after = straight_cubic(last, last + reach * end_tangent(path))
    return Path(end_to_end((before[None], path.ctrl, after[None])), (True, *path.straight, True))


def bends(path: Path) -> tuple[Array, Array]:
    """Curvature (k, n), per mm, and speed (k, n), mm a segment, in the middles of even steps along."""
    at = (np.arange(_LOOKS)[:, None] + 0.5) / _LOOKS
    with quiet(all="ignore"):
        bend = curve.curvature(path.ctrl[:, None], at)
        speed = norm(curve.derivative(path.ctrl[:, None], at))
    return bend.reshape(-1, bend.shape[-1]), speed.reshape(-1, speed.shape[-1])


def inflections(path: Path) -> Ints:
    """How often the curvature changes sign along the line, (n,), passing over what is as good as straight."""
    with quiet(all="ignore"):
        return sign_changes(bends(path)[0] * length(path), FLAT)


def sign_changes(values: Array, least: float) -> Ints:
    """How often the values (k, n) change sign, (n,), passing over what is smaller than `least`, and NaN."""
    sign = np.where(np.abs(values) >= least, np.sign(values), 0.0)
    number = np.where(sign != 0.0, np.arange(len(sign))[:, None], -1)
    last = np.maximum.accumulate(number, axis=0)
    before = np.take_along_axis(sign, np.maximum(last, 0), axis=0)
    changes: Ints = (before[:-1] * before[1:] < 0.0).sum(axis=0)
    return changes


@overload
def take(line: Path, index: int) -> Path: ...
@overload
def take(line: Line, index: int) -> Line: ...
def take(line: Line, index: int) -> Line:
    """One body's line, with n = 1. A segment that runs straight for this body is marked straight."""
    match line:
        case Path():
            ctrl = _one(line.ctrl, index)
            return Path(ctrl, tuple(_runs_straight(ctrl)))
        case Guide():
            return Guide(_one(line.point, index), _one(line.direction, index))
        case Circle():
            return Circle(_one(line.centre, index), _one(line.radius, index))


def _one(array: Array, index: int) -> Array:
    place = index if array.shape[-1] > 1 else 0
    return np.ascontiguousarray(array[..., place : place + 1])


def _runs_straight(ctrl: Array) -> list[bool]:
    return [bool(even.all()) for even in even_cubics(ctrl)]


def even_cubics(ctrl: Array) -> Flags:
    """For which bodies cubics (S, 4, 2, n) run straight and evenly, (S, n); nothing (NaN) does not."""
    first, last = ctrl[:, 0], ctrl[:, 3]
    third = (last - first) / 3.0
    off = np.maximum(np.abs(ctrl[:, 1] - (first + third)), np.abs(ctrl[:, 2] - (last - third)))
    return np.asarray((off <= _STRAIGHT_BY).all(axis=1))


def end_to_end(rows: Sequence[Array]) -> Array:
    """Cubics (k, 4, 2, n or 1) of several paths one after another, (S, 4, 2, n)."""
    if len(rows) == 1:
        return rows[0]
    n = bodies(*rows)
    return np.concatenate([c if c.shape[-1] == n else np.broadcast_to(c, (*c.shape[:3], n)) for c in rows])


def _lengths(path: Path) -> Array:
    """(S, n). A straight needs no quadrature."""
    chords = norm(path.ctrl[:, 3] - path.ctrl[:, 0])
    if all(path.straight):
        return chords
    if not any(path.straight):
        return curve.arc_length(path.ctrl)
    curved = [number for number, flag in enumerate(path.straight) if not flag]
    chords[curved] = curve.arc_length(path.ctrl[curved])
    return chords


def _pick(rows: Array, which: Array) -> Array:
    """rows[which[i], i] of (S, n) for every body, without moving bodies about."""
    chosen: Array = rows[0]
    for number in range(1, len(rows)):
        chosen = np.where(which == number, rows[number], chosen)
    return chosen


def leaving(points: Array) -> Array:
    """The direction from the first of the points (k, ..., 2, n) to the next that is apart from it."""
    if points.ndim == 3 and _alone(points):
        return alone.leaving(points)
    with quiet(all="ignore"):
        going = points[1] - points[0]
        for later in points[2:]:
            stuck = norm(going) <= 1e-9
            if not stuck.any():
                return unit(going)
            going = np.where(stuck[..., None, :], later - points[0], going)
        return unit(np.where(norm(going)[..., None, :] <= 1e-9, np.nan, going))


def _forward_part(path: Path, low: Array, high: Array) -> Path:
    number = np.arange(len(path.straight), dtype=np.float64)[:, None]
    t0 = clamp(low - number, 0.0, 1.0)
    t1 = clamp(high - number, 0.0, 1.0)
    ctrl = curve.portion(path.ctrl, t0, t1)
    if len(path.straight) == 1:
        return Path(ctrl + 0.0, path.straight)
    before = (low >= number + 1.0)[:, None, None, :]
    after = (high <= number)[:, None, None, :]
    at_low, at_high = locate(path, low), locate(path, high)
    return Path(np.where(before, at_low, np.where(after, at_high, ctrl)) + 0.0, path.straight)


def _nearest_on_path(path: Path, point: Array) -> tuple[Array, Array]:
    """The best of each segment's best sample, made exact by Newton, then the best of those."""
    if _alone(path.ctrl, point):
        return alone.nearest_on_path(path.ctrl, point, _SAMPLES)
    gap = curve.Powers.of(path.ctrl - point)
    away = curve.Powers.of(path.ctrl[:, None] - point).point(np.arange(_SAMPLES + 1)[:, None] / _SAMPLES)
    squares = dot(away, away)
    best = np.argmin(np.where(np.isnan(squares), np.inf, squares), axis=1) / _SAMPLES
    guess = best + 0.0 * squares[:, 0]
    low, high = np.maximum(guess - 1.0 / _SAMPLES, 0.0), np.minimum(guess + 1.0 / _SAMPLES, 1.0)

    def going_away(t: Array) -> tuple[Array, Array]:
        spoke, velocity = gap.motion(t)
        return dot(spoke, velocity), dot(velocity, velocity) + dot(spoke, gap.acceleration(t))

    t = solve_rising(going_away, low, high, guess)
    distance = norm(curve.evaluate(path.ctrl, t) - point)
    u, least = t[0], distance[0]
    for number in range(1, len(distance)):
        closer = distance[number] < least
        u, least = np.where(closer, number + t[number], u), np.where(closer, distance[number], least)
    return u, least
