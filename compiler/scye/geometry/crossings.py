"""Where two paths meet: short chords that may cross are found first, then Newton's method on each.

Whatever may meet is listed flat, one row a candidate, so that the work grows with what is near and each
candidate is worked by itself.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np

from scye.geometry import curve
from scye.geometry.meets import PARALLEL, TOUCHING, Meets, in_order
from scye.geometry.memory import again_and_again
from scye.geometry.path import Path, nearest
from scye.geometry.vector import Array, Flags, Ints, bodies, cross, dot, norm, rows_of

_CHORDS = 16  # a segment
_CHUNK = 8192  # candidates at a time: 16 x 16 pairs of chords of so many stay under 20 MB
_STEPS = 40
_STILL = 1e-13  # of a segment: a smaller step changes nothing
_FEW = 8  # columns that are sooner looked at one by one where that is done figure by figure
_TOUCH_LOOKS = 8  # a segment, when asking whether an end may touch it
_BEYOND = 1e-9  # of a segment: rounding past its ends
_SAME = 1e-9  # of a segment: candidates that came to the same place
_NEAR_PARALLEL = 1e-4  # sine of the angle below which two curves may lie along each other
_ALONG = 1.0 / 32.0  # of a segment away, where curves that only touch have parted
_ONE_LINE = 1e-6  # mm: less apart than this, before and after, is lying along each other


@dataclass(frozen=True, slots=True)
class _Pairs:
    """Candidates, one a column: whose (k,), which segments (k,), and their cubics (4, 2, k)."""

    body: Ints
    first: Ints
    second: Ints
    a: Array
    b: Array

    def pick(self, chosen: Ints | Flags) -> _Pairs:
        return _Pairs(
            self.body[chosen],
            self.first[chosen],
            self.second[chosen],
            self.a[..., chosen],
            self.b[..., chosen],
        )


@dataclass(frozen=True, slots=True)
class _Row:
    """A path for each of n columns: cubics (S, 4, 2, n), of which a column has as many as `sizes` (n,) says,
    the others NaN; and which of them are straight, (S, n)."""

    ctrl: Array
    sizes: Ints
    straight: Flags

    def pick(self, chosen: Ints) -> _Row:
        # taken, so that what is of the columns side by side stays so in memory
        return _Row(self.ctrl.take(chosen, axis=-1), self.sizes[chosen], self.straight[:, chosen])

    def ends(self) -> tuple[Array, Array]:
        """The points (2, n) that the paths begin and end at."""
        last: Array = rows_of(self.ctrl, (self.sizes - 1)[None])[0][3]
        return self.ctrl[0, 0], last

    def path(self, column: int) -> Path:
        """The path of one column."""
        size = int(self.sizes[column])
        return Path(self.ctrl[:size, ..., column : column + 1], (False,) * size)

    def locate(self, u: Array) -> Array:
        """The points (2, n) at u (n,)."""
        which = np.fmin(np.fmax(np.floor(u), 0.0), self.sizes - 1.0).astype(np.int64)
        return curve.evaluate(rows_of(self.ctrl, which[None])[0], u - which)


def paths_meet(a: Path, b: Path, reach: float) -> Meets:
    """The meetings of two paths, in order along the first."""
    n = bodies(a.ctrl, b.ctrl)
    return _rows_meet(_even(a, n), _even(b, n), reach)


def uneven_paths_meet(pairs: Sequence[tuple[Path, Path]], n: int, reach: float) -> Meets:
    """`paths_meet` of several pairs for n bodies each, of any number of segments, side by side."""
    first, second = zip(*pairs, strict=True)
    return _rows_meet(_uneven(first, n), _uneven(second, n), reach)


def _even(path: Path, n: int) -> _Row:
    count = len(path.straight)
    straight = np.broadcast_to(np.array(path.straight)[:, None], (count, n))
    ctrl = np.broadcast_to(path.ctrl, (*path.ctrl.shape[:3], n))
    return _Row(ctrl, np.full(n, count), straight)


def _uneven(paths: Sequence[Path], n: int) -> _Row:
    sizes = [len(path.straight) for path in paths]
    ctrl = np.full((max(sizes), 4, 2, len(paths) * n), np.nan)
    straight = np.zeros((len(ctrl), len(paths) * n), dtype=np.bool_)
    for k, (path, size) in enumerate(zip(paths, sizes, strict=True)):
        its = slice(k * n, (k + 1) * n)
        ctrl[:size, ..., its] = path.ctrl
        straight[:size, its] = np.array(path.straight)[:, None]
    return _Row(ctrl, np.repeat(sizes, n), straight)


def _rows_meet(a: _Row, b: _Row, reach: float) -> Meets:
    pairs = _near_pairs(a.ctrl, b.ctrl, reach)
    ruled = a.straight[pairs.first, pairs.body] & b.straight[pairs.second, pairs.body]
    bent = pairs.pick(~ruled)
    found = [_straights(pairs.pick(ruled))] + [
        _crossings(bent.pick(np.arange(start, min(start + _CHUNK, len(bent.body)))))
        for start in range(0, len(bent.body), _CHUNK)
    ]
    return in_order(*_with_ends(a, b, _padded(found, len(a.sizes)), reach))


def _near_pairs(a: Array, b: Array, reach: float) -> _Pairs:
    """Every body's pairs of segments whose boxes overlap."""
    a_low, a_high = a.min(axis=1) - reach, a.max(axis=1) + reach
    b_low, b_high = b.min(axis=1), b.max(axis=1)
    near = ((a_low[:, None] <= b_high) & (b_low <= a_high[:, None])).all(axis=2)
    first, second, body = np.nonzero(near)
    return _Pairs(body, first, second, *(_columns(c, s, body) for c, s in ((a, first), (b, second))))


def _columns(ctrl: Array, segment: Ints, body: Ints) -> Array:
    return np.ascontiguousarray(np.moveaxis(ctrl[segment, :, :, body], 0, -1))


Found: TypeAlias = tuple[Ints, Array, Array, Array]  # body (k,), u (k,), v (k,), point (2, k)
Meetings: TypeAlias = tuple[Array, Array, Array]  # u (M, n), v (M, n), point (M, 2, n)


def _straights(pairs: _Pairs) -> Found:
    """The meetings of pairs of straights."""
    u, v, gap = pairs.a[3] - pairs.a[0], pairs.b[3] - pairs.b[0], pairs.b[0] - pairs.a[0]
    lean = cross(u, v)
    apart = np.where(np.abs(lean) > PARALLEL * norm(u) * norm(v), lean, np.nan)
    return _found(pairs, cross(gap, v) / apart, cross(gap, u) / apart)


def _crossings(pairs: _Pairs) -> Found:
    """The meetings of a chunk of pairs of segments, most of them several times."""
    first_chord, second_chord, pair = _near_chords(pairs)
    pairs = pairs.pick(pair)
    t, s = _newton(pairs.a, pairs.b, first_chord, second_chord)
    there = norm(curve.evaluate(pairs.a, t) - curve.evaluate(pairs.b, s)) <= TOUCHING
    met = np.nonzero(there & _inside(t) & _inside(s))[0]
    pairs, t, s = pairs.pick(met), t[met], s[met]
    parallel = np.nonzero(_lean(pairs.a, pairs.b, t, s) <= _NEAR_PARALLEL)[0]
    if len(parallel):
        t[parallel] = _unless_along(pairs.pick(parallel), t[parallel], s[parallel])
    return _found(pairs, t, s)


def _found(pairs: _Pairs, t: Array, s: Array) -> Found:
    """The meetings at these parameters, of the pairs where both lie within their segments."""
    met = np.nonzero(_inside(t) & _inside(s))[0]
    pairs, t, s = pairs.pick(met), np.clip(t[met], 0.0, 1.0), np.clip(s[met], 0.0, 1.0)
    return pairs.body, pairs.first + t, pairs.second + s, curve.evaluate(pairs.a, t)


def _inside(t: Array) -> Flags:
    within: Flags = (t >= -_BEYOND) & (t <= 1.0 + _BEYOND)
    return within


def _near_chords(pairs: _Pairs) -> tuple[Ints, Ints, Ints]:
    """The pairs of chords whose boxes, grown by what the curve may leave its chord, overlap."""
    a_low, a_high = _chord_boxes(pairs.a)
    b_low, b_high = _chord_boxes(pairs.b)
    # Only chords that come near the whole of the other segment are looked at with each of its chords.
    first_near = _overlap(a_low, a_high, b_low.min(axis=0), b_high.max(axis=0))
    second_near = _overlap(b_low, b_high, a_low.min(axis=0), a_high.max(axis=0))
    near_both = first_near[:, None] & second_near
    first, second, pair = np.unravel_index(np.flatnonzero(near_both), near_both.shape)
    sides = (
        low_or_high[which, :, pair].T
        for which, low_or_high in ((first, a_low), (first, a_high), (second, b_low), (second, b_high))
    )
    near = np.flatnonzero(_overlap(*sides))
    return first[near], second[near], pair[near]


def _overlap(low: Array, high: Array, other_low: Array, other_high: Array) -> Flags:
    """Whether boxes overlap, by the lowest and highest x and y (..., 2, k) of each."""
    within = (low <= other_high) & (other_low <= high)
    both: Flags = within[..., 0, :] & within[..., 1, :]
    return both


def _chord_boxes(cubic: Array) -> tuple[Array, Array]:
    """Lowest and highest x and y of each chord, (16, 2, k). A curve leaves a chord by at most |P''| h2/8."""
    at = np.arange(_CHORDS + 1)[:, None] / _CHORDS
    point = curve.Powers.of(cubic).point(at)
    bend = np.maximum(np.abs(curve.second(cubic, 0.0)), np.abs(curve.second(cubic, 1.0)))
    margin = bend / (8.0 * _CHORDS * _CHORDS) + TOUCHING
    low, high = np.minimum(point[:-1], point[1:]), np.maximum(point[:-1], point[1:])
    low -= margin
    high += margin
    return low, high


def _newton(a: Array, b: Array, first: Ints, second: Ints) -> tuple[Array, Array]:
    """Both parameters of each candidate, from the middles of its chords, never far from them."""
    t, s = (first + 0.5) / _CHORDS, (second + 0.5) / _CHORDS
    middle_t, middle_s, room = t, s, 1.5 / _CHORDS
    moving = np.ones(t.shape, dtype=np.bool_)
    first_curve, second_curve = curve.Powers.of(a), curve.Powers.of(b)
    for _ in range(_STEPS):
        (point, along), (goal, other) = first_curve.motion(t), second_curve.motion(s)
        gap, lean = goal - point, cross(along, other)
        lean = np.where(lean == 0.0, np.inf, lean)  # parallel here: stay
        next_t = np.clip(t + cross(gap, other) / lean, middle_t - room, middle_t + room)
        next_s = np.clip(s + cross(gap, along) / lean, middle_s - room, middle_s + room)
        step = np.maximum(np.abs(next_t - t), np.abs(next_s - s))
        t, s = np.where(moving, next_t, t), np.where(moving, next_s, s)
        moving &= step > _STILL
        if not moving.any():
            break
    return t, s


def _lean(a: Array, b: Array, t: Array, s: Array) -> Array:
    """The sine of the angle between two curves."""
    u, v = curve.derivative(a, t), curve.derivative(b, s)
    sine: Array = np.abs(cross(u, v)) / (norm(u) * norm(v))
    return sine


def _unless_along(pairs: _Pairs, t: Array, s: Array) -> Array:
    """t, but NaN where two curves parallel in a point lie on each other on both sides of it."""
    u, v = curve.derivative(pairs.a, t), curve.derivative(pairs.b, s)
    pace = np.where(dot(u, v) < 0.0, -1.0, 1.0) * norm(u) / norm(v)
    apart = [_apart(pairs.a, pairs.b, t + step, s + pace * step) for step in (-_ALONG, _ALONG)]
    return np.where(np.maximum(*apart) <= _ONE_LINE, np.nan, t)


def _apart(a: Array, b: Array, t: Array, s: Array) -> Array:
    """How far from the point of `a` at t the curve `b` runs, near its s."""
    point = curve.evaluate(a, t)
    for _ in range(3):
        along = curve.derivative(b, s)
        s = s + dot(point - curve.evaluate(b, s), along) / dot(along, along)
    return norm(point - curve.evaluate(b, s))


def _padded(found: list[Found], n: int) -> Meetings:
    """Flat meetings as columns of bodies: u (M, n), v (M, n), point (M, 2, n), NaN where there is none."""
    body = np.concatenate([meetings[0] for meetings in found])
    u, v = (np.concatenate([meetings[k] for meetings in found]) for k in (1, 2))
    point = np.concatenate([meetings[3] for meetings in found], axis=1)
    order = np.lexsort((point[1], point[0], v, u, body))
    body, u, v, point = body[order], u[order], v[order], point[:, order]
    again = np.zeros(len(body), dtype=np.bool_)
    again[1:] = (np.diff(body) == 0) & (np.diff(u) <= _SAME) & (np.abs(np.diff(v)) <= _SAME)
    body, u, v, point = body[~again], u[~again], v[~again], point[:, ~again]
    rank = np.arange(len(body)) - np.searchsorted(body, body)
    most = int(rank.max(initial=0)) + 1
    out_u, out_v, out_point = (np.full(shape, np.nan) for shape in ((most, n), (most, n), (most, 2, n)))
    out_u[rank, body], out_v[rank, body] = u, v
    out_point[rank, :, body] = point.T
    return out_u, out_v, out_point


def _with_ends(a: _Row, b: _Row, inner: Meetings, reach: float) -> Meetings:
    """The crossings and the four ends that meet the other path without a crossing that means the same."""
    at, met = _ends_meet(a, b, inner, reach)
    rows = [inner]
    for k, row in enumerate((a, a, b, b)):
        if met[k].any():
            here, there = np.where(met[k], row.sizes if k % 2 else 0.0, np.nan), at[k]
            pair = (here, there) if k < 2 else (there, here)
            rows.append((pair[0][None], pair[1][None], a.locate(pair[0])[None]))
    u, v, point = (np.concatenate(parts) for parts in zip(*rows, strict=True))
    return u, v, point


def _abreast(a: _Row, b: _Row) -> _Row:
    """The columns of one, then those of the other."""
    most = max(len(a.ctrl), len(b.ctrl))
    parts = zip(_filled(a, most), _filled(b, most), strict=True)
    return _Row(*(np.concatenate(both, axis=-1) for both in parts))


def _filled(row: _Row, most: int) -> tuple[Array, Ints, Flags]:
    """The parts of a row, filled up to so many segments."""
    lacking = most - len(row.ctrl)
    if not lacking:
        return row.ctrl, row.sizes, row.straight
    none = np.full((lacking, *row.ctrl.shape[1:]), np.nan)
    bent = np.zeros((lacking, len(row.sizes)), dtype=np.bool_)
    return np.concatenate((row.ctrl, none)), row.sizes, np.concatenate((row.straight, bent))


def _ends_meet(a: _Row, b: _Row, inner: Meetings, reach: float) -> tuple[Array, Flags]:
    """Where on the other path (4, n) the start and end of `a` and those of `b` lie, NaN where they do not;
    and whether they do (4, n)."""
    n = len(a.sizes)
    tips = np.stack((*a.ends(), *b.ends()))
    may = np.concatenate((_may_touch(tips[:2], b.ctrl, reach), _may_touch(tips[2:], a.ctrl, reach)))
    at, met = np.full(may.shape, np.nan), np.zeros(may.shape, dtype=np.bool_)
    end, column = np.nonzero(may)
    if not len(end):
        return at, met
    both, second = _abreast(a, b), n * (end >= 2)
    other = both.pick(column + n - second)
    there, distance = _nearest(other, tips[end, :, column].T)
    touches = np.flatnonzero(distance <= reach)
    if not len(touches):
        return at, met
    end, column, there = end[touches], column[touches], there[touches]
    own, other = both.pick(column + second[touches]), other.pick(touches)
    last = end % 2 == 1
    place, inwards = np.where(last, own.sizes, 0.0), np.where(last, -1.0, 1.0)
    crossings = np.where(end < 2, inner[0][:, column], inner[1][:, column])
    lying = _nearest(other, own.locate(place + inwards * _ALONG))[1] <= _ONE_LINE
    meets = ~lying & ~_crosses_beside(own, other, place, crossings, reach)
    at[end, column], met[end, column] = np.where(meets, there, np.nan), meets
    return at, met


def _nearest(row: _Row, point: Array) -> tuple[Array, Array]:
    """Where the path of each column is closest to the point (2, n) of it: u and the distance, (n,) both."""
    columns = range(len(row.sizes))
    if len(columns) > _FEW or not again_and_again():
        return nearest(Path(row.ctrl, (False,) * len(row.ctrl)), point)
    found = [nearest(row.path(k), point[:, k : k + 1]) for k in columns]
    return np.concatenate([u for u, _ in found]), np.concatenate([away for _, away in found])


def _crosses_beside(own: _Row, other: _Row, place: Array, crossings: Array, reach: float) -> Flags:
    """Whether the line stays within reach of the other from its end to a crossing in the same segment."""
    same = np.zeros(crossings.shape[-1], dtype=np.bool_)
    for crossing in np.where(np.abs(crossings - place) <= 1.0, crossings, np.nan):
        if not np.isnan(crossing).all():
            same |= _nearest(other, own.locate(0.5 * (crossing + place)))[1] <= reach
    return same


def _may_touch(ends: Array, ctrl: Array, reach: float) -> Flags:
    """Whether ends (E, 2, n) can be within reach of some segment of paths (S, 4, 2, n): in its box, and near
    one of a few looks at it, (E, n)."""
    low, high = ctrl.min(axis=1) - reach, ctrl.max(axis=1) + reach
    boxed = ((low <= ends[:, None]) & (ends[:, None] <= high)).all(axis=2)
    end, segment, column = np.nonzero(boxed)
    may = np.zeros((len(ends), ends.shape[-1]), dtype=np.bool_)
    if not len(end):
        return may
    cubic = _columns(ctrl, segment, column)
    looks = curve.evaluate(cubic, np.arange(_TOUCH_LOOKS + 1)[:, None] / _TOUCH_LOOKS)
    away = norm(looks - ends[end, :, column].T).min(axis=0)
    # between two looks the curve runs at most half of this from the nearer one
    stride = 3.0 * norm(cubic[1:] - cubic[:-1]).max(axis=0) / _TOUCH_LOOKS
    near = away <= reach + 0.5 * stride
    may[end[near], column[near]] = True
    return may
