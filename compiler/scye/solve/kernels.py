"""What the generated source calls: one function for each operation that is more than plain arithmetic.

Amounts are (n,) or (1,) arrays or numbers, points and directions (2, n), lines Path, Guide or Circle. What
can't be drawn for a body is NaN for that body, whatever the others do.
"""

from __future__ import annotations

import operator
from collections.abc import Callable, Sequence
from functools import reduce
from itertools import pairwise
from typing import Any

import numpy as np

from scye.geometry import fair, parallel, path, vector
from scye.geometry.intersect import meet
from scye.geometry.memory import once
from scye.geometry.path import Circle, Guide, Line, Path
from scye.geometry.vector import Array, Flags, row
from scye.ir.solution import BlockReport
from scye.solve import fitted as fitted  # the generated source calls it as k.fitted
from scye.solve import search

RUN_ON_MM = 40.0  # how far a panel line runs on past its first and last station
EXTEND_MM = 2000.0  # how far an extended line runs on: longer than any garment
PLAIN_SIDE = 1e-6  # mm, or the sine of an angle, by which a side must be plain
ON_LINE_MM = 0.05  # how far off a line a point may lie and still be on it

sin, cos, arcsin, arccos, arctan2 = vector.sin, vector.cos, vector.arcsin, vector.arccos, vector.arctan2


# --- unknowns ---------------------------------------------------------------------------------


def seek(
    residuals: Callable[..., tuple[Any, ...]],
    lows: Sequence[Any],
    highs: Sequence[Any],
    count: int,
    refs: tuple[int, ...],
    reports: list[BlockReport],
) -> tuple[Array, ...]:
    """The unknowns of a block, each (n,), and a report of how it came out."""
    if len(refs) == 1 and lows[0] is not None:
        x, miss, least, most = search.one(lambda u: residuals(u)[0], row(lows[0]), row(highs[0]), count)
        met = np.abs(miss) <= search.MET
        reports.append(BlockReport(refs, met, miss, (least, most)))
        return (np.where(met, x, np.nan),)
    bounds = [None if b is None else row(b) for b in lows], [None if b is None else row(b) for b in highs]
    found, miss = search.several(lambda us: residuals(*us), *bounds, count)
    met = miss <= search.MET
    reports.append(BlockReport(refs, met, miss))
    return tuple(np.where(met, x, np.nan) for x in found)


# --- amounts ----------------------------------------------------------------------------------


def taken(reading: Array, rule: Any) -> Array:
    """The tape where there is one, else the rule."""
    return np.where(np.isnan(reading), rule, reading)


def divide(a: Any, b: Any) -> Array:
    """a / b, nothing where b is nought."""
    quotient = np.asarray(a, dtype=np.float64) / b
    return np.where(np.isfinite(quotient), quotient, np.nan)


def round_to(a: Any, step: Any, mode: str) -> Array:
    """To a step: halves go up, as on a tape. A hair of slack keeps 7.999999999 from falling to 7."""
    steps = np.asarray(a, dtype=np.float64) / step
    if mode == "nearest":
        whole = np.floor(steps + 0.5 + 1e-9)
    elif mode == "up":
        whole = np.ceil(steps - 1e-9)
    else:
        whole = np.floor(steps + 1e-9)
    return np.asarray(whole * step)


def root(a: Any) -> Array:
    """The square root, nothing where the amount is less than nought."""
    values = np.asarray(a, dtype=np.float64)
    return np.sqrt(np.where(values < 0, np.nan, values))


def tangent_of(angle: Any) -> Array:
    return divide(sin(row(angle)), cos(row(angle)))


def arctangent(slope: Any) -> Array:
    return arctan2(row(slope), row(1.0))


def hold(a: Any, limit: Any, relation: str) -> Array:
    """The amount where it keeps its limit (to a thousandth of a millimetre), else nothing."""
    kept: Flags = a <= limit + 1e-3 if relation == "at most" else a >= limit - 1e-3
    return np.asarray(np.where(kept, a, np.nan))


def total(amounts: Sequence[Any]) -> Any:
    """The sum of a list, from its first on."""
    return reduce(operator.add, amounts)


def least(amounts: Sequence[Any]) -> Array:
    return row(reduce(np.minimum, amounts))


def most(amounts: Sequence[Any]) -> Array:
    return row(reduce(np.maximum, amounts))


def choose(condition: Any, a: Any, b: Any) -> Array:
    return np.asarray(np.where(condition, a, b))


# --- points -----------------------------------------------------------------------------------


def step(point: Array, x: Any, y: Any) -> Array:
    """A point moved by x to the right and y down."""
    n = vector.bodies(point, row(x), row(y))
    out = np.empty((2, n))
    out[0] = point[0] + x
    out[1] = point[1] + y
    return out


def along(point: Array, direction: Array, amount: Any) -> Array:
    return np.asarray(point + direction * amount)


def meet_point(a: Line, b: Line, near: Array | None) -> Array:
    """The one place where two lines meet, or the one nearest to a point; nothing where that is not plain."""
    if isinstance(a, Guide) and isinstance(b, Guide):
        turned = vector.cross(a.direction, b.direction)
        reach = divide(
            vector.cross(b.point - a.point, b.direction), np.where(np.abs(turned) < 1e-12, 0.0, turned)
        )
        return np.asarray(a.point + a.direction * reach)
    meets = meet(a, b)
    if near is None:
        return np.asarray(np.where(meets.count == 1, meets.point[0], np.nan))
    away = meets.point - near
    square = away[:, 0] * away[:, 0] + away[:, 1] * away[:, 1]
    best = np.argmin(np.where(np.isnan(square), np.inf, square), axis=0)
    picked = np.take_along_axis(meets.point, np.broadcast_to(best, (1, 2, best.shape[-1])), axis=0)[0]
    return np.asarray(picked)


def on_line(line: Line, amount: Any, share: bool, start: Array | None) -> Array:
    """A place a length or a share along a line, from its beginning or from a point on it."""
    if isinstance(line, Guide):
        origin = line.point if start is None else start
        return np.asarray(origin + line.direction * amount)
    assert isinstance(line, Path)
    whole = path.length(line)
    far = whole * amount if share else row(amount)
    if start is None:
        return path.locate(line, path.at_length(line, far))
    u, away = path.nearest(line, start)
    before = path.length_between(line, np.zeros(1), u)
    # From the end that the line is left by: backwards only from its very end.
    far = whole * amount if share else far
    at_end = before > whole - ON_LINE_MM
    at = np.where(away <= ON_LINE_MM, np.where(at_end, whole - far, before + far), np.nan)
    return path.locate(line, path.at_length(line, at))


def part_way(amount: Any, share: bool, a: Array, b: Array) -> Array:
    if share:
        return np.asarray(a + (b - a) * amount)
    return np.asarray(a + vector.unit(b - a) * amount)


def foot(point: Array, line: Line) -> Array:
    """The foot of the perpendicular from a point to a line: on a drawn line its closest place."""
    if isinstance(line, Guide):
        return np.asarray(line.point + line.direction * vector.dot(point - line.point, line.direction))
    if isinstance(line, Path) and line.straight == (True,):
        direction = path.start_tangent(line)
        return np.asarray(path.start(line) + direction * vector.dot(point - path.start(line), direction))
    assert isinstance(line, Path)
    return path.locate(line, path.nearest(line, point)[0])


def axis(line: Line) -> tuple[Array, Array]:
    """A point and the direction of a straight line; nothing of a bent one."""
    if isinstance(line, Guide):
        return line.point, line.direction
    assert isinstance(line, Path)
    straight = vector.unit(path.end(line) - path.start(line))
    bent = np.abs(path.length(line) - vector.norm(path.end(line) - path.start(line))) > ON_LINE_MM
    return path.start(line), np.where(bent, np.nan, straight)


def mirror_point(point: Array, line: Line) -> Array:
    return vector.mirror(point, *axis(line))


def turn_point(point: Array, angle: Any, about: Array) -> Array:
    return np.asarray(about + vector.turn(point - about, row(angle)))


def end_point(line: Line, which: str) -> Array:
    if isinstance(line, Guide):
        return line.point
    if isinstance(line, Circle):
        return line.centre
    return path.start(line) if which == "start" else path.end(line)


def off_line(point: Array, line: Line) -> Array:
    """How far a point lies off a line, to its right positive."""
    if isinstance(line, Guide):
        return vector.cross(line.direction, point - line.point)
    if isinstance(line, Circle):
        return np.asarray(vector.norm(point - line.centre) - line.radius)
    u, away = path.nearest(line, point)
    side = vector.cross(path.tangent(line, u), point - path.locate(line, u))
    return np.where(side < 0, -away, away)


# --- directions -------------------------------------------------------------------------------


def tangent_at(line: Line, at: Array | None) -> Array:
    """The way a line runs at the place of it that is nearest to a point."""
    if isinstance(line, Guide):
        return line.direction
    assert isinstance(line, Path)
    if at is None:
        return path.start_tangent(line)
    if line.straight == (True,):
        return path.start_tangent(line)
    first, last = path.start(line), path.end(line)
    near_start = vector.norm(at - first) <= ON_LINE_MM
    if near_start.all():
        return path.start_tangent(line)
    near_end = vector.norm(at - last) <= ON_LINE_MM
    if near_end.all() and not near_start.any():
        return path.end_tangent(line)
    inside = path.tangent(line, path.nearest(line, at)[0])
    out = np.where(near_end, path.end_tangent(line), inside)
    return np.where(near_start, path.start_tangent(line), out)


def along_line(line: Line, at: Array | None, back: bool) -> Array:
    way = tangent_at(line, at)
    return -way if back else way


def square_to(line: Line, at: Array, lean: Array) -> Array:
    """Square to a line at a place, on the side that `lean` leans to."""
    way = vector.quarter_turn(tangent_at(line, at))
    return np.where(vector.dot(way, lean) < 0, -way, way)


def towards(a: Array, b: Array) -> Array:
    return vector.unit(b - a)


def turned(base: Array, angle: Any, toward: Array) -> Array:
    """A direction turned by an angle to the side on which `toward` lies."""
    sign = np.where(vector.cross(base, toward) < 0, -1.0, 1.0)
    return vector.turn(base, row(angle) * sign)


def between(a: Array, b: Array) -> Array:
    return vector.unit(vector.unit(a) + vector.unit(b))


# --- lines ------------------------------------------------------------------------------------


def polyline(points: Sequence[Array]) -> Path:
    return path.polyline(points)


def curve(points: Sequence[Array], goings: Sequence[Array | None], fulness: Any) -> Path:
    return once(fair.fair_curve, points, goings, row(1.0 if fulness is None else fulness))


def curve_of_length(points: Sequence[Array], goings: Sequence[Array | None], target: Any) -> Path:
    return once(fair.curve_of_length, points, goings, row(target))[0]


def arc_of_length(a: Array, b: Array, target: Any, side: Array) -> Path:
    return once(fair.arc_of_length, a, b, row(target), side)[0]


def bow_side(a: Array, b: Array, side: Array, is_point: bool, away: bool) -> Array:
    """+1 where the side that is meant lies to the right of the straight from a to b, else -1."""
    toward = side - (a + b) * 0.5 if is_point else side
    leans = vector.dot(vector.quarter_turn(b - a), toward)
    sign = np.where(leans < 0, -1.0, 1.0)
    return -sign if away else sign


def bowed(
    a: Array, b: Array, depth: Any, sign: Array, at: Any, leaving: Array | None, arriving: Array | None
) -> Path:
    share = row(0.5 if at is None else at)
    return once(fair.bowed_curve, a, b, row(depth), sign, share, leaving, arriving)


def bow_direction(a: Array, b: Array, sign: Array) -> Array:
    return np.asarray(vector.quarter_turn(b - a) * sign)


def part(line: Line, start: Array, end: Array) -> Path:
    """The stretch of a line between two points on it."""
    if isinstance(line, Guide):
        return path.polyline([foot(start, line), foot(end, line)])
    if isinstance(line, Circle):
        return arc(line, start, end)
    assert isinstance(line, Path)
    u0, off0 = path.nearest(line, start)
    u1, off1 = path.nearest(line, end)
    keep = (off0 <= ON_LINE_MM) & (off1 <= ON_LINE_MM)
    return path.part(line, np.where(keep, u0, np.nan), np.where(keep, u1, np.nan))


def arc(circle: Circle, start: Array, end: Array) -> Path:
    """The shorter way round a sweep between two points on it, in four cubics (each within 1e-6 of true)."""
    first, last = start - circle.centre, end - circle.centre
    off = np.maximum(np.abs(vector.norm(first) - circle.radius), np.abs(vector.norm(last) - circle.radius))
    whole = np.where(off <= ON_LINE_MM, vector.angle_between(first, last), np.nan)
    step = whole / 4.0
    # The handle of a cubic that follows an arc: 4/3 tan(a/4) of the radius (Goldapp 1991).
    handle = tangent_of(step / 4.0) * (4.0 / 3.0)
    spokes = [vector.turn(first, step * i) for i in range(4)] + [last]
    segments = []
    for a, b in pairwise(spokes):
        corners = (a, a + vector.quarter_turn(a) * handle, b - vector.quarter_turn(b) * handle, b)
        segments.append(np.stack([circle.centre + c for c in np.broadcast_arrays(*corners)]))
    return Path(path.stack_segments(segments), (False,) * 4)


def line_length(line: Line, start: Array | None, end: Array | None) -> Array:
    """The length of a line, or of its stretch between two points on it."""
    if start is None and end is None:
        return path.length(line)
    if start is not None and end is not None and not isinstance(line, Path):
        return path.length(part(line, start, end))
    assert isinstance(line, Path)
    whole = len(line.straight)
    at = []
    for point, default in ((start, 0.0), (end, float(whole))):
        if point is None:
            at.append(np.full(1, default))
        else:
            u, off = path.nearest(line, point)
            at.append(np.where(off <= ON_LINE_MM, u, np.nan))
    return np.abs(path.length_between(line, at[0], at[1]))


def as_path(line: Line) -> Path:
    assert isinstance(line, Path)
    return line


def mirror_line(line: Line, mirror: Line) -> Line:
    through, direction = axis(mirror)
    if isinstance(line, Guide):
        tip = vector.mirror(line.point + line.direction, through, direction)
        point = vector.mirror(line.point, through, direction)
        return Guide(point, tip - point)
    if isinstance(line, Circle):
        return Circle(vector.mirror(line.centre, through, direction), line.radius)
    return path.mirror_path(line, through, direction)


def turn_line(line: Line, angle: Any, about: Array) -> Line:
    turn = row(angle)
    if isinstance(line, Guide):
        return Guide(turn_point(line.point, turn, about), vector.turn(line.direction, turn))
    if isinstance(line, Circle):
        return Circle(turn_point(line.centre, turn, about), line.radius)
    return path.turn_path(line, about, turn)


def move_line(line: Line, a: Array, b: Array) -> Line:
    by = b - a
    if isinstance(line, Guide):
        return Guide(line.point + by, line.direction)
    if isinstance(line, Circle):
        return Circle(line.centre + by, line.radius)
    return path.move_path(line, by)


def reverse_line(line: Line) -> Line:
    if isinstance(line, Guide):
        return Guide(line.point, -line.direction)
    return line if isinstance(line, Circle) else path.reverse(line)


def extend_line(line: Line) -> Line:
    return path.extend(line, EXTEND_MM) if isinstance(line, Path) else line


Laying = tuple[Array, Array, Array, Array]


def _turning(laying: Laying) -> Array:
    """The angle (n,) of a move that brings the way from a to b on to the way from c to d; NaN for no way."""
    a, b, c, d = laying
    return vector.angle_between(vector.unit(b - a), vector.unit(d - c))


def lay_point(point: Array, laying: Laying) -> Array:
    a, _, c, _ = laying
    return turn_point(point, _turning(laying), a) + (c - a)


def lay_line(line: Line, laying: Laying) -> Line:
    a, _, c, _ = laying
    return move_line(turn_line(line, _turning(laying), a), a, c)


def parallel_line(line: Line, amount: Any, side: Array, is_point: bool) -> Line:
    """A line beside another, on the side where a point or a direction lies; nothing where that is not plain,
    or where the line bends too sharply for it."""
    if isinstance(line, Circle):
        inward = np.sign(line.radius - vector.norm(side - line.centre)) if is_point else np.nan
        left = line.radius - inward * amount
        return Circle(line.centre + 0.0 * inward, np.where(left > 0.0, left, np.nan))
    aside = row(amount) * parallel_side(line, side, is_point)
    if isinstance(line, Guide):
        return Guide(line.point + vector.quarter_turn(line.direction) * aside, line.direction)
    beside, least = parallel.parallel_path(line, aside)
    return Path(np.where(least > 0.0, beside.ctrl, np.nan), beside.straight)


def parallel_side(line: Path | Guide, side: Array, is_point: bool) -> Array:
    """+1 where a point or a direction lies to the right of a line, -1 to the left, NaN for neither."""
    if isinstance(line, Path):
        half = path.at_length(line, path.length(line) * 0.5)
        at = path.nearest(line, side)[0] if is_point else half
        point, way = path.locate(line, at), path.tangent(line, at)
    else:
        point, way = line.point, line.direction
    lean = vector.cross(way, side - point if is_point else side)
    return np.asarray(np.where(np.abs(lean) > PLAIN_SIDE, np.sign(lean), np.nan))


def join_lines(lines: Sequence[Line]) -> Path:
    return path.join([as_path(x) for x in lines])


def panel_edge(centre: Line, stations: Sequence[Array], offsets: Sequence[Any]) -> Path:
    """One edge of a panel line: through the stations moved off the centre, flat where it turns round.

    Slopes are those of Fritsch and Butland (1984): between two stations the edge never swings past either,
    so that a panel is nowhere wider than at its stations. At the first and last station the edge runs on
    straight by RUN_ON_MM.
    """
    return once(_panel_edge, centre, stations, [row(x) for x in offsets])


def _panel_edge(centre: Line, stations: Sequence[Array], moved: Sequence[Array]) -> Path:
    ways = [tangent_at(centre, point) for point in stations]
    squares = [vector.quarter_turn(way) for way in ways]
    points = [p - square * x for p, square, x in zip(stations, squares, moved, strict=True)]
    if len(points) == 1:
        lone = path.polyline([points[0] - ways[0] * 0.5, points[0] + ways[0] * 0.5])
        return path.extend(lone, RUN_ON_MM)
    runs = [vector.norm(b - a) for a, b in pairwise(stations)]
    slopes = _flat_slopes(moved, runs)
    segments = []
    for i, run in enumerate(runs):
        third = run / 3.0
        first = (ways[i] - squares[i] * slopes[i]) * third
        last = (ways[i + 1] - squares[i + 1] * slopes[i + 1]) * third
        inner = points[i] + first, points[i + 1] - last
        segments.append(path.cubic_of(points[i], *inner, points[i + 1]))
    return path.extend(Path(path.stack_segments(segments), (False,) * len(segments)), RUN_ON_MM)


def _flat_slopes(offsets: Sequence[Array], runs: Sequence[Array]) -> list[Array]:
    """The slope at each station: none where the edge turns round, a harmonic mean between, natural at the
    ends."""
    secants = [divide(b - a, r) for a, b, r in zip(offsets, offsets[1:], runs, strict=False)]
    if len(secants) == 1:
        return [secants[0], secants[0]]
    inner = []
    for (a, b), (h0, h1) in zip(pairwise(secants), pairwise(runs), strict=True):
        weight = (h0 + 2.0 * h1) / (3.0 * (h0 + h1))
        bottom = weight * b + (1.0 - weight) * a
        mean = divide(a * b, np.where(bottom == 0.0, 1.0, bottom))
        inner.append(np.where(a * b > 0.0, mean, 0.0 * a))
    first = _end_slope(secants[0], inner[0])
    last = _end_slope(secants[-1], inner[-1])
    return [first, *inner, last]


def _end_slope(secant: Array, neighbour: Array) -> Array:
    """A natural end: the edge straightens out, but does not turn back."""
    slope = 1.5 * secant - 0.5 * neighbour
    return np.where(slope * secant > 0.0, slope, 0.0 * slope)
