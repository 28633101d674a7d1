"""The corners of the cutting line: how one edge's allowance goes over into the next one's."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from scye.assemble.figures import known
from scye.assemble.strokes import straight
from scye.geometry.abreast import bodies_of, paths_abreast
from scye.geometry.intersect import Meets, meet_all
from scye.geometry.memory import each
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
from scye.geometry.vector import (
    Array,
    Flags,
    angle_between,
    clamp,
    cross,
    dot,
    norm,
    quarter_turn,
    rows_of,
    unit,
)
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
class Asked:
    """A corner to be made; for `mirrored`, `turned` says which of its sides is turned back."""

    a: Side
    b: Side
    treatment: CornerTreatment
    turned: Literal["", "first", "second"]


@dataclass(frozen=True, slots=True)
class _Bends:
    """The figures of K corners: stitch-line corners, directions and cutting ends (K, 2, n); angles, widths
    and the runs-on to where the cutting lines cross (negative: they cross already), (K, n)."""

    at: Array
    going_in: Array
    going_out: Array
    first: Array
    second: Array
    angle: Array
    run_first: Array
    run_second: Array
    widths: tuple[Array, Array]
    larger: Array

    def crossing(self) -> Array:
        return self.first + self.run_first[:, None] * self.going_in


@dataclass(frozen=True, slots=True)
class _Straights:
    """K corners, between each two cutting lines a straight from `one` to `two` (K, 2, n); u and v (K, n)."""

    u: Array
    v: Array
    one: Array
    two: Array


def corners(asked: Sequence[Asked]) -> Sequence[Corner]:
    """The corners from one side to the next, those of a treatment together."""
    # a cutting line is the same one as long as it is that of the same stitch line
    return each(
        "corners", asked, lambda one: (id(one.a.cut), id(one.b.cut), one.treatment, one.turned), _corners
    )


def _corners(asked: Sequence[Asked]) -> list[Corner]:
    made: dict[int, Corner] = {}
    rows: dict[CornerTreatment, list[int]] = {}
    turned = [number for number, corner in enumerate(asked) if corner.turned]
    made.update(zip(turned, _turned_up([asked[number] for number in turned]), strict=True))
    for number, corner in enumerate(asked):
        if not corner.turned:
            rows.setdefault(corner.treatment, []).append(number)
    for treatment, numbers in rows.items():
        chosen = [asked[number] for number in numbers]
        made.update(zip(numbers, _straight_corners(chosen, treatment), strict=True))
    return [made[number] for number in range(len(asked))]


def _straight_corners(asked: Sequence[Asked], treatment: CornerTreatment) -> Iterator[Corner]:
    bends = _bends(asked)
    match treatment:
        case "stepped":
            found = _stepped(asked, bends)
        case "blunt":
            found = _extended(asked, bends, _cut_across(bends, bends.larger))
        case "mitred":
            found = _extended(asked, bends, _cut_across(bends, 0.0 * bends.larger + MITRE_SEAM))
        case "extended" | "mirrored":
            found = _extended(asked, bends, _capped(bends))
    there: Flags = np.logical_and.reduce(np.isfinite(found.one + found.two), axis=1)
    one, two = (np.where(there[:, None], point, bends.first) for point in (found.one, found.two))
    u = np.where(np.isfinite(found.u), found.u, _wholes([corner.a for corner in asked]))
    v = np.where(np.isfinite(found.v), found.v, 0.0)
    for k in range(len(asked)):
        yield Corner(u[k], v[k], (straight(one[k], two[k]),))


def _turned_up(asked: Sequence[Asked]) -> Iterator[Corner]:
    """Corners at edges that are turned back. Where the edge comes first, they are made walking backwards."""
    onward = [corner.turned == "second" for corner in asked]
    made = _mirrored(
        [
            (corner.a, corner.b) if on else (_backwards(corner.b), _backwards(corner.a))
            for corner, on in zip(asked, onward, strict=True)
        ]
    )
    for corner, found, on in zip(asked, made, onward, strict=True):
        a, b = corner.a, corner.b
        yield _sound(found if on else _turned_round(found, a, b), a, b)


def _sound(made: Corner, a: Side, b: Side) -> Corner:
    """The corner, with a straight wherever it has no figures (lines all but parallel)."""
    between = []
    for path in made.between:
        between.append(Path(np.where(known(path.ctrl), path.ctrl, end(a.cut)), path.straight))
    u = np.where(np.isfinite(made.u), made.u, _whole(a))
    return Corner(u, np.where(np.isfinite(made.v), made.v, 0.0), tuple(between))


def _bends(asked: Sequence[Asked]) -> _Bends:
    firsts, seconds = [corner.a for corner in asked], [corner.b for corner in asked]
    n = bodies_of(*(side.cut for side in (*firsts, *seconds)))
    going_in, going_out = _ends([side.net for side in firsts], n), _starts([side.net for side in seconds], n)
    at, first = (_stacked(row, n) for row in ([end(s.net) for s in firsts], [end(s.cut) for s in firsts]))
    second = _stacked([start(side.cut) for side in seconds], n)
    lean, gap = cross(going_in, going_out), second - first
    widths = _stacked([s.width for s in firsts], n), _stacked([s.width for s in seconds], n)
    return _Bends(
        at=at,
        going_in=going_in,
        going_out=going_out,
        first=first,
        second=second,
        angle=angle_between(going_in, going_out),
        run_first=cross(gap, going_out) / lean,
        run_second=cross(going_in, gap) / lean,
        widths=widths,
        larger=np.maximum(*widths),
    )


def _stacked(rows: Sequence[Array], n: int) -> Array:
    """Arrays (..., n or 1) as one (K, ..., n)."""
    return np.stack(
        [row if row.shape[-1] == n else np.broadcast_to(row, (*row.shape[:-1], n)) for row in rows]
    )


def _starts(paths: Sequence[Path], n: int) -> Array:
    """The unit directions that paths leave their starts in, (K, 2, n)."""
    return _directions(paths, n, start_tangent)


def _ends(paths: Sequence[Path], n: int) -> Array:
    """The unit directions that paths arrive at their ends in, (K, 2, n)."""
    return _directions(paths, n, end_tangent)


def _directions(paths: Sequence[Path], n: int, of: Callable[[Path], Array]) -> Array:
    found = np.empty((len(paths), 2, n))
    for numbers, path in paths_abreast(paths, n):
        found[numbers] = np.moveaxis(of(path).reshape(2, len(numbers), n), 0, 1)
    return found


def _whole(side: Side) -> Array:
    return float(len(side.cut.straight)) + 0.0 * side.width


def _wholes(sides: Sequence[Side]) -> Array:
    """How many segments each cutting line has, (K, 1)."""
    return np.array([[float(len(side.cut.straight))] for side in sides])


Runs = tuple[Array, Array]  # how far past the end of each cutting line the corner goes, mm, (K, n)


def _extended(asked: Sequence[Asked], bends: _Bends, runs: Runs) -> _Straights:
    """Run on straight by `runs` (back where negative), or cut back to where the cutting lines cross."""
    smooth = np.abs(bends.angle) < SMOOTH
    outward = (bends.angle >= SMOOTH) & (bends.run_first >= 0.0) & (bends.run_second >= 0.0)
    one, two = (
        bends.first + runs[0][:, None] * bends.going_in,
        bends.second - runs[1][:, None] * bends.going_out,
    )
    u, v = _wholes([corner.a for corner in asked]) + 0.0 * bends.larger, 0.0 * bends.larger
    back, on = outward & (runs[0] < 0.0), outward & (runs[1] < 0.0)
    for k in _having(back):
        u[k] = np.where(back[k], _back_from_end(asked[k].a.cut, runs[0][k]), u[k])
    for k in _having(on):
        v[k] = np.where(on[k], _on_from_start(asked[k].b.cut, runs[1][k]), v[k])
    # a smooth joint gets no segment of its own: the next line goes on from it
    hard = ~smooth[:, None]
    two = np.where(outward[:, None], two, np.where(hard, bends.second, bends.first))
    one = np.where(outward[:, None], one, bends.first)
    made = _Straights(u, v, one, two)
    _cut_back(asked, bends, ~smooth & ~outward & np.isfinite(bends.angle), made)
    return made


def _capped(bends: _Bends) -> Runs:
    """To the crossing; if that is farther from the corner than the cap, each line only as far as the cap."""
    cap = SPIKE * bends.larger
    far = ~(norm(bends.crossing() - bends.at) <= cap)
    first, second = (np.sqrt(cap * cap - width * width) for width in bends.widths)
    return np.where(far, first, bends.run_first), np.where(far, second, bends.run_second)


def _cut_across(bends: _Bends, limit: Array) -> Runs:
    """To a line square to the corner and `limit` away from it; to the crossing if that is nearer."""
    tip = bends.crossing()
    sharp = ~(norm(tip - bends.at) < FARTHEST)
    outward = unit(np.where(sharp[:, None], bends.going_in - bends.going_out, tip - bends.at))
    near = ~sharp & (norm(tip - bends.at) <= limit)
    first = (limit - dot(bends.first - bends.at, outward)) / dot(bends.going_in, outward)
    second = (limit - dot(bends.second - bends.at, outward)) / dot(-bends.going_out, outward)
    return np.where(near, bends.run_first, first), np.where(near, bends.run_second, second)


def _back_from_end(path: Path, step: Array) -> Array:
    return at_length(path, np.maximum(length(path) + np.minimum(step, 0.0), 0.0))


def _on_from_start(path: Path, step: Array) -> Array:
    return at_length(path, np.minimum(-np.minimum(step, 0.0), length(path)))


def _having(flags: Flags) -> list[int]:
    """The corners (of K, n) that any body has a flag at."""
    numbers: list[int] = np.flatnonzero(flags.any(axis=1)).tolist()
    return numbers


def _cut_back(asked: Sequence[Asked], bends: _Bends, wanted: Flags, made: _Straights) -> None:
    """The corners `wanted` (K, n) put where two cutting lines, run on straight, cross nearest to them."""
    numbers = _having(wanted)
    pairs = [(extend(asked[k].a.cut, FAR), extend(asked[k].b.cut, FAR)) for k in numbers]
    for k, found in zip(numbers, meet_all(pairs), strict=True):
        u, v, place, away = _nearest(found, bends.at[k])
        near = wanted[k] & (away <= WITHIN * bends.larger[k])
        a, b = asked[k].a, asked[k].b
        made.u[k] = np.where(near, clamp(u - 1.0, 0.0, _whole(a)), made.u[k])
        made.v[k] = np.where(near, clamp(v - 1.0, 0.0, _whole(b)), made.v[k])
        made.one[k], made.two[k] = np.where(near, place, made.one[k]), np.where(near, place, made.two[k])


def _nearest(found: Meets, to: Array) -> tuple[Array, Array, Array, Array]:
    """Of several meetings the nearest to a point (2, n): u, v (n,), its point, and how far away it is."""
    away = norm(found.point - to)
    away = np.where(np.isnan(away), np.inf, away)
    best = np.argmin(away, axis=0)[None]
    u, v, point, least = (rows_of(x, best)[0] for x in (found.u, found.v, found.point, away))
    return u, v, point, least


def _stepped(asked: Sequence[Asked], bends: _Bends) -> _Straights:
    """The wider cutting line runs on until it is square over the corner, and steps there to the narrower."""
    square_in, square_out = -quarter_turn(bends.going_in), -quarter_turn(bends.going_out)
    to_first = cross(bends.at - bends.first, square_out) / cross(bends.going_in, square_out)
    to_second = cross(bends.at - bends.second, square_in) / cross(-bends.going_out, square_in)
    wider = bends.widths[0] >= bends.widths[1]
    run = np.where(wider, to_first, to_second)
    fits = ((run >= 0.0) & (run <= SPIKE * bends.larger))[:, None]
    first = bends.first + to_first[:, None] * bends.going_in
    second = bends.second - to_second[:, None] * bends.going_out
    first, second = np.where(fits, first, bends.first), np.where(fits, second, bends.second)
    one, two = np.where(wider[:, None], first, bends.first), np.where(wider[:, None], bends.second, second)
    u = _wholes([corner.a for corner in asked]) + 0.0 * bends.larger
    return _Straights(u, 0.0 * bends.larger, one, two)


def _mirrored(pairs: Sequence[tuple[Side, Side]]) -> Iterator[Corner]:
    """The allowance of an edge beside a hem: its cutting line below the hem's fold is the mirror image of
    what lies above, so that the two lie on each other when the hem is turned up."""
    longer = [extend(a.cut, FAR) for a, _ in pairs]
    folds = [Guide(end(a.net), start_tangent(hem.net)) for a, hem in pairs]
    depths = [
        Guide(2.0 * fold.point - start(hem.cut), fold.direction)
        for (_, hem), fold in zip(pairs, folds, strict=True)
    ]
    met = meet_all([*zip(longer, folds, strict=True), *zip(longer, depths, strict=True)])
    for k, (a, hem) in enumerate(pairs):
        at, along = folds[k].point, folds[k].direction
        at_fold = _nearest(met[k], at)[0]
        at_depth = _nearest(met[len(pairs) + k], depths[k].point)[0]
        fold = locate(longer[k], at_fold)
        turned_up = mirror_path(part(longer[k], at_fold, at_depth), at, along)
        last = end(turned_up)
        inside = dot(last - start(hem.cut), along) > 0.0
        v = np.where(inside, nearest(hem.cut, last)[0], 0.0) if inside.any() else np.zeros(inside.shape)
        u = np.clip(at_fold - 1.0, 0.0, _whole(a))
        yield Corner(u, v, (straight(fold, fold), turned_up))


def _backwards(side: Side) -> Side:
    return Side(reverse(side.net), reverse(side.cut), side.width, side.edge)


def _turned_round(made: Corner, a: Side, b: Side) -> Corner:
    """A corner made on the outline walked backwards, as it is walked forwards."""
    return Corner(
        _whole(a) - made.v, _whole(b) - made.u, tuple(reverse(path) for path in reversed(made.between))
    )
