"""The corners of the cutting line: how one edge's allowance goes over into the next one's."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from scye.assemble.figures import known
from scye.assemble.strokes import straight
from scye.geometry.intersect import meet
from scye.geometry.path import (
    Guide,
    Path,
    at_length,
    end,
    end_tangent,
    extend,
    length,
    locate,
    mirror_path,
    nearest,
    part,
    reverse,
    start,
    start_tangent,
)
from scye.geometry.vector import Array, Flags, angle_between, cross, dot, norm, quarter_turn, unit
from scye.ir.plan import CornerTreatment

SMOOTH = 1e-3  # radians of turn that is no corner
SPIKE = 2.0  # times the larger allowance that a corner may reach from the stitch line
MITRE_SEAM = 6.35  # mm left beyond the fold of a mitred corner (1/4 in)
FAR = 500.0  # mm an edge's cutting line is run on to find its neighbour's
FARTHEST = 1e6  # mm; beyond it two cutting lines are as good as parallel
WITHIN = 4.0  # times the larger allowance within which two cutting lines must meet


@dataclass(frozen=True, slots=True)
class Side:
    """A smooth stretch of the stitch line with one allowance, and its cutting line."""

    net: Path
    cut: Path
    width: Array
    edge: int


@dataclass(frozen=True, slots=True)
class Corner:
    """The first cutting line stops at u, `between` follows, the second begins at v, each (n,)."""

    u: Array
    v: Array
    between: tuple[Path, ...]


@dataclass(frozen=True, slots=True)
class _Bend:
    """The figures of a corner: stitch-line corner, directions, cutting ends, and the runs-on to where the
    cutting lines cross (negative: they cross already)."""

    at: Array
    going_in: Array
    going_out: Array
    first: Array
    second: Array
    angle: Array
    run_first: Array
    run_second: Array
    larger: Array

    def crossing(self) -> Array:
        return self.first + self.run_first * self.going_in


def corner(a: Side, b: Side, treatment: CornerTreatment, turned: Literal["", "first", "second"]) -> Corner:
    """The corner from one side to the next; for `mirrored`, `turned` says which of them is turned back."""
    return _sound(_treated(a, b, treatment, turned), a, b)


def _treated(a: Side, b: Side, treatment: CornerTreatment, turned: Literal["", "first", "second"]) -> Corner:
    if treatment == "mirrored" and turned == "second":
        return _mirrored(a, b)
    if treatment == "mirrored" and turned == "first":
        return _turned_round(_mirrored(_backwards(b), _backwards(a)), a, b)
    bend = _bend(a, b)
    match treatment:
        case "stepped":
            return _stepped(a, b, bend)
        case "blunt":
            return _extended(a, b, bend, _cut_across(bend, bend.larger))
        case "mitred":
            return _extended(a, b, bend, _cut_across(bend, 0.0 * bend.larger + MITRE_SEAM))
        case _:
            return _extended(a, b, bend, _capped(a, b, bend))


def _sound(made: Corner, a: Side, b: Side) -> Corner:
    """The corner, with a straight wherever it has no figures (lines all but parallel)."""
    between = []
    for path in made.between:
        between.append(Path(np.where(known(path.ctrl), path.ctrl, end(a.cut)), path.straight))
    u = np.where(np.isfinite(made.u), made.u, _whole(a))
    return Corner(u, np.where(np.isfinite(made.v), made.v, 0.0), tuple(between))


def _bend(a: Side, b: Side) -> _Bend:
    going_in, going_out = end_tangent(a.net), start_tangent(b.net)
    first, second = end(a.cut), start(b.cut)
    lean = cross(going_in, going_out)
    gap = second - first
    return _Bend(
        at=end(a.net),
        going_in=going_in,
        going_out=going_out,
        first=first,
        second=second,
        angle=angle_between(going_in, going_out),
        run_first=cross(gap, going_out) / lean,
        run_second=cross(going_in, gap) / lean,
        larger=np.maximum(a.width, b.width),
    )


def _whole(a: Side) -> Array:
    return float(len(a.cut.straight)) + 0.0 * a.width


Runs = tuple[Array, Array]  # how far past the end of each cutting line the corner goes, mm


def _extended(a: Side, b: Side, bend: _Bend, runs: Runs) -> Corner:
    """Run on straight by `runs` (back where negative), or cut back to where the cutting lines cross."""
    smooth = np.abs(bend.angle) < SMOOTH
    outward = (bend.angle >= SMOOTH) & (bend.run_first >= 0.0) & (bend.run_second >= 0.0)
    one, two = bend.first + runs[0] * bend.going_in, bend.second - runs[1] * bend.going_out
    u, v = _whole(a), 0.0 * b.width
    back, on = outward & (runs[0] < 0.0), outward & (runs[1] < 0.0)
    if back.any():
        u = np.where(back, _back_from_end(a.cut, runs[0]), u)
    if on.any():
        v = np.where(on, _on_from_start(b.cut, runs[1]), v)
    across = ~smooth & ~outward & np.isfinite(bend.angle)
    # a smooth joint gets no segment of its own: the next line goes on from it
    two = np.where(outward, two, np.where(smooth, bend.first, bend.second))
    one = np.where(outward, one, bend.first)
    if across.any():
        met_u, met_v, place, found = _cut_back(a, b, bend)
        found &= across
        u, v = np.where(found, met_u, u), np.where(found, met_v, v)
        one, two = np.where(found, place, one), np.where(found, place, two)
    return Corner(u, v, (straight(one, two),))


def _capped(a: Side, b: Side, bend: _Bend) -> Runs:
    """To the crossing; if that is farther from the corner than the cap, each line only as far as the cap."""
    cap = SPIKE * bend.larger
    far = ~(norm(bend.crossing() - bend.at) <= cap)
    first, second = (np.sqrt(cap * cap - side.width * side.width) for side in (a, b))
    return np.where(far, first, bend.run_first), np.where(far, second, bend.run_second)


def _cut_across(bend: _Bend, limit: Array) -> Runs:
    """To a line square to the corner and `limit` away from it; to the crossing if that is nearer."""
    tip = bend.crossing()
    sharp = ~(norm(tip - bend.at) < FARTHEST)
    outward = unit(np.where(sharp, bend.going_in - bend.going_out, tip - bend.at))
    near = ~sharp & (norm(tip - bend.at) <= limit)
    first = (limit - dot(bend.first - bend.at, outward)) / dot(bend.going_in, outward)
    second = (limit - dot(bend.second - bend.at, outward)) / dot(-bend.going_out, outward)
    return np.where(near, bend.run_first, first), np.where(near, bend.run_second, second)


def _back_from_end(path: Path, step: Array) -> Array:
    return at_length(path, np.maximum(length(path) + np.minimum(step, 0.0), 0.0))


def _on_from_start(path: Path, step: Array) -> Array:
    return at_length(path, np.minimum(-np.minimum(step, 0.0), length(path)))


def _cut_back(a: Side, b: Side, bend: _Bend) -> tuple[Array, Array, Array, Flags]:
    """Where two cutting lines, run on straight, cross nearest to the corner: u, v, the point, and whether."""
    found = meet(extend(a.cut, FAR), extend(b.cut, FAR))
    away = norm(found.point - bend.at)
    away = np.where(np.isnan(away), np.inf, away)
    best = np.argmin(away, axis=0)[None]
    near = np.take_along_axis(away, best, axis=0)[0] <= WITHIN * bend.larger
    u, v = (np.take_along_axis(x, best, axis=0)[0] - 1.0 for x in (found.u, found.v))
    place = np.take_along_axis(found.point, best[:, None], axis=0)[0]
    return np.clip(u, 0.0, _whole(a)), np.clip(v, 0.0, _whole(b)), place, near


def _stepped(a: Side, b: Side, bend: _Bend) -> Corner:
    """The wider cutting line runs on until it is square over the corner, and steps there to the narrower."""
    square_in, square_out = -quarter_turn(bend.going_in), -quarter_turn(bend.going_out)
    to_first = cross(bend.at - bend.first, square_out) / cross(bend.going_in, square_out)
    to_second = cross(bend.at - bend.second, square_in) / cross(-bend.going_out, square_in)
    wider = a.width >= b.width
    run = np.where(wider, to_first, to_second)
    fits = (run >= 0.0) & (run <= SPIKE * bend.larger)
    step = np.where(wider, bend.first + to_first * bend.going_in, bend.second - to_second * bend.going_out)
    step = np.where(fits, step, np.where(wider, bend.first, bend.second))
    one, two = np.where(wider, step, bend.first), np.where(wider, bend.second, step)
    return Corner(_whole(a), 0.0 * b.width, (straight(one, two),))


def _mirrored(a: Side, hem: Side) -> Corner:
    """The allowance of an edge beside a hem: its cutting line below the hem's fold is the mirror image of
    what lies above, so that the two lie on each other when the hem is turned up."""
    at, along = end(a.net), start_tangent(hem.net)
    longer = extend(a.cut, FAR)
    at_fold, fold = _meets_level(longer, at, along)
    at_depth, _ = _meets_level(longer, 2.0 * at - start(hem.cut), along)
    turned_up = mirror_path(part(longer, at_fold, at_depth), at, along)
    last = end(turned_up)
    inside = dot(last - start(hem.cut), along) > 0.0
    v = np.where(inside, nearest(hem.cut, last)[0], 0.0)
    u = np.clip(at_fold - 1.0, 0.0, _whole(a))
    return Corner(u, v, (straight(fold, fold), turned_up))


def _meets_level(path: Path, point: Array, along: Array) -> tuple[Array, Array]:
    """Where a path crosses the straight through a point, nearest to that point."""
    found = meet(path, Guide(point, along))
    away = norm(found.point - point)
    best = np.argmin(np.where(np.isnan(away), np.inf, away), axis=0)[None]
    u = np.take_along_axis(found.u, best, axis=0)[0]
    return u, locate(path, u)


def _backwards(side: Side) -> Side:
    return Side(reverse(side.net), reverse(side.cut), side.width, side.edge)


def _turned_round(made: Corner, a: Side, b: Side) -> Corner:
    """A corner made on the outline walked backwards, as it is walked forwards."""
    return Corner(
        _whole(a) - made.v, _whole(b) - made.u, tuple(reverse(path) for path in reversed(made.between))
    )
