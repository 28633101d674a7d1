"""Lines of one body, figure by figure: for so few figures the calls of numpy cost far more than the sums.

They are for a body that is drafted again and again, as while a slider is dragged. Each gives to the bit what
its namesake gives for many bodies, in whose words it is explained; tests/laws/test_laws_alone.py holds them
to it. Every line is for one body (n = 1). mm; x right, y down.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise
from math import ceil, copysign, floor, inf, isfinite, isnan, nan, sqrt

import numpy as np

from scye.geometry.meets import LYING, SAME_PLACE, TOUCHING, Meets
from scye.geometry.newton import LAST_HALVING, LAST_NEWTON, MOST_STEPS
from scye.geometry.vector import Array

Point = tuple[float, float]
Cubic = list[list[float]]  # four points
Rates = Callable[[float], tuple[float, float]]
Powers = tuple[float, float, float, float]

_A_HAIR = 1e-6  # mm: far more than rounding

__all__ = ["guide_meets", "leaving", "locate", "nearest_on_path", "part_between", "solve_rising", "tangent"]


def solve_rising(function: Rates, low: float, high: float, guess: float) -> float:
    """The x in [low, high] where `function` (value and slope) rises through 0; see `newton.solve_rising`."""
    if isnan(guess):
        return nan
    x = guess
    step = width = high - low
    if isnan(width):
        return x
    for _ in range(MOST_STEPS):
        value, slope = function(x)
        if value < 0.0:
            low = x
        elif value > 0.0:
            high = x
        newton = x - _share(value, slope)
        if value < 0.0 and newton > high:
            newton = high
        elif value > 0.0 and newton < low:
            newton = low
        usable = (newton - low) * (high - newton) >= 0.0 and abs(newton - x) <= 0.5 * step
        better = newton if usable else 0.5 * (low + high) + 0.0 * value
        step = abs(better - x)
        x = better
        if not step > width * (LAST_NEWTON if usable else LAST_HALVING):
            break
    return x


def _share(over: float, under: float) -> float:
    """over / under, as numpy divides by nothing."""
    if under:
        return over / under
    return copysign(inf, over) * copysign(1.0, under) if over > 0.0 or over < 0.0 else nan


def nearest_on_path(ctrl: Array, point: Array, samples: int) -> tuple[Array, Array]:
    """Where a path (S, 4, 2, 1) is closest to a point (2, 1): u and the distance; see `path.nearest`."""
    px, py = _figures(point)
    cubics: list[Cubic] = ctrl[..., 0].tolist()
    if not isfinite(sum(map(sum, cubics[0]), px + py)):
        return np.full(1, nan), np.full(1, nan)
    bounds = [_beyond(cubic, px, py) for cubic in cubics]
    best, best_u, least = 0, nan, inf
    # the likeliest first: the others are then mostly too far to be looked at
    for number in sorted(range(len(cubics)), key=bounds.__getitem__):
        if bounds[number] > least + _A_HAIR:
            continue
        t, distance = _nearest_on_cubic(cubics[number], px, py, samples)
        if distance < least or (distance == least and number < best):
            best, best_u, least = number, t if number == 0 else number + t, distance
    return np.array([best_u]), np.array([least])


def _beyond(cubic: Cubic, x: float, y: float) -> float:
    """How far a point lies outside the box of a cubic's control points, which it does not leave."""
    xs, ys = [p[0] for p in cubic], [p[1] for p in cubic]
    return _norm(max(min(xs) - x, x - max(xs), 0.0), max(min(ys) - y, y - max(ys), 0.0))


def _nearest_on_cubic(cubic: Cubic, px: float, py: float, samples: int) -> tuple[float, float]:
    """The parameter of the nearest point, and its distance, from the best of some samples."""
    xs, ys = _powers(*[x - px for x, _ in cubic]), _powers(*[y - py for _, y in cubic])
    (x0, x1, x2, x3), (y0, y1, y2, y3) = xs, ys
    best, least = 0, inf
    for k in range(samples + 1):
        t = k / samples
        x, y = x0 + t * (x1 + t * (x2 + t * x3)), y0 + t * (y1 + t * (y2 + t * y3))
        square = x * x + y * y
        if square < least:
            best, least = k, square
    guess = best / samples

    def going_away(t: float) -> tuple[float, float]:
        x, vx = _motion(xs, t)
        y, vy = _motion(ys, t)
        pull = x * _force(xs, t) + y * _force(ys, t)
        return x * vx + y * vy, (vx * vx + vy * vy) + pull

    low, high = max(guess - 1.0 / samples, 0.0), min(guess + 1.0 / samples, 1.0)
    t = solve_rising(going_away, low, high, guess)
    x, y = _at(cubic, t)
    return t, _norm(x - px, y - py)


def guide_meets(ctrl: Array, point: Array, direction: Array, reach: float) -> Meets:
    """The meetings of a path (S, 4, 2, 1) with a guide, in order along the path; see `implicit`."""
    (gx, gy), (dx, dy) = _figures(point), _figures(direction)
    cubics: list[Cubic] = ctrl[..., 0].tolist()

    def away(x: float, y: float) -> float:
        return dx * (y - gy) - dy * (x - gx)

    heights: list[list[float]] = (dx * (ctrl[..., 1, 0] - gy) - dy * (ctrl[..., 0, 0] - gx)).tolist()
    lying = [
        abs(own[0]) <= TOUCHING and _lies_along(cubic, away)
        for cubic, own in zip(cubics, heights, strict=True)
    ]
    inner = _inner(heights, lying)
    places = inner + _joints(heights, lying) + _ends(cubics, heights, lying, inner, away, reach)
    found = [(u, *_locate(cubics, u)) for u in places if not isnan(u)]
    return _in_order([(u, (x - gx) * dx + (y - gy) * dy, x, y) for u, x, y in found])


def _lies_along(cubic: Cubic, away: Callable[[float, float], float]) -> bool:
    """Whether a cubic that begins on the guide stays on it."""
    (ax, ay), (bx, by) = cubic[0], cubic[3]
    quarters = all(abs(away(*_at(cubic, k / 4.0))) <= TOUCHING for k in range(1, 5))
    return quarters and _norm(bx - ax, by - ay) > LYING


def _inner(heights: Sequence[Sequence[float]], lying: Sequence[bool]) -> list[float]:
    """Crossings, then touches, within segments: by the number of the bracket, then by segment."""
    looked = []
    for s, own in enumerate(heights):
        # a cubic does not leave its control points, so that one wholly to one side is not met
        if not _to_one_side(*own) and not lying[s]:
            powers = _powers(*own)
            at = (0.0, *_extremes(powers), 1.0)
            looked.append((s, powers, at, [_height(powers, t) for t in at]))
    crossings, touches = [], []
    for k in range(3):
        for s, powers, at, values in looked:
            if values[k] * values[k + 1] < 0.0:
                crossings.append(s + _crossing(powers, at[k], at[k + 1], values[k + 1] - values[k]))
    for k in range(1, 3):
        for s, _, at, values in looked:
            beside = values[k - 1] * values[k] < 0.0 or values[k] * values[k + 1] < 0.0
            if abs(values[k]) <= TOUCHING and at[k] < 1.0 and not beside:
                touches.append(s + at[k])
    return crossings + touches


def _to_one_side(a: float, b: float, c: float, d: float) -> bool:
    if a > TOUCHING:
        return b > TOUCHING and c > TOUCHING and d > TOUCHING
    return a < -TOUCHING and b < -TOUCHING and c < -TOUCHING and d < -TOUCHING


def _extremes(own: Powers) -> tuple[float, float]:
    """The roots of the quadratic that a cubic has for derivative, within (0, 1), filled up with 1."""
    _, constant, half, square = own
    under = half * half - 3.0 * square * constant
    root = half + copysign(sqrt(under), half) if under >= 0.0 else nan
    one = -root / (3.0 * square) if square else nan
    two = -constant / root if root else nan
    one, two = (t if 0.0 < t < 1.0 else 1.0 for t in (one, two))
    return (one, two) if one <= two else (two, one)


def _crossing(own: Powers, low: float, high: float, change: float) -> float:
    """Where a cubic changes its sign between two parameters."""
    way = 1.0 if change > 0.0 else -1.0

    def upward(t: float) -> tuple[float, float]:
        value, slope = _motion(own, t)
        return way * value, way * slope

    return solve_rising(upward, low, high, 0.5 * (low + high) + 0.0 * way)


def _joints(heights: Sequence[Sequence[float]], lying: Sequence[bool]) -> list[float]:
    there = [
        s
        for s, ((_, _, _, before), (after, _, _, _)) in enumerate(pairwise(heights), 1)
        if before * after <= 0.0 or (abs(before) <= TOUCHING and not isnan(after))
    ]
    return [float(s) for s in there if not lying[s - 1] and not lying[s]]


def _ends(
    cubics: Sequence[Cubic],
    heights: Sequence[Sequence[float]],
    lying: Sequence[bool],
    inner: Sequence[float],
    away: Callable[[float, float], float],
    reach: float,
) -> list[float]:
    found = []
    for place, own, lies in ((0.0, heights[0][0], lying[0]), (float(len(cubics)), heights[-1][3], lying[-1])):
        if abs(own) <= reach and not lies:
            beside = [0.5 * (u + place) for u in inner if abs(u - place) <= 1.0]
            if not any(abs(away(*_locate(cubics, u))) <= reach for u in beside):
                found.append(place)
    return found


def _in_order(found: list[tuple[float, float, float, float]]) -> Meets:
    """Meetings (u, v, x, y) by u, without doubles; see `meets.in_order`."""
    kept: list[tuple[float, float, float, float]] = []
    for meeting in sorted(found, key=lambda row: row[0]):
        apart = ((meeting[2] - x, meeting[3] - y) for _, _, x, y in kept)
        if not any(x * x + y * y <= SAME_PLACE * SAME_PLACE for x, y in apart):
            kept.append(meeting)
    rows = np.array(kept or [(nan, nan, nan, nan)])
    return Meets(np.array([len(kept)]), rows[:, :1], rows[:, 1:2], rows[:, 2:, None])


def part_between(ctrl: Array, low: float, high: float) -> Array:
    """The stretch of a path (S, 4, 2, 1) from u `low` to `high`, which is no less; see `path.part`."""
    if low <= 0.0 and high >= len(ctrl):
        return ctrl + 0.0
    if isnan(low + high):
        return np.full(ctrl.shape, nan)
    size, kept = len(ctrl), ctrl.copy()
    begin, end = 0, 1
    if size > 1:  # what lies before and after shrinks to the cuts
        begin, end = floor(_between_bounds(low, size)), ceil(_between_bounds(high, size))
        if begin > 0:
            kept[:begin] = locate(ctrl, low)
        if end < size:
            kept[end:] = locate(ctrl, high)
    for number in range(begin, end):
        if not (low <= number and high >= number + 1.0 and np.isfinite(kept[number]).all()):
            cubic: Cubic = ctrl[number, ..., 0].tolist()
            kept[number, ..., 0] = _portion(cubic, _clamped(low - number), _clamped(high - number))
    kept += 0.0
    return kept


def locate(ctrl: Array, u: float) -> Array:
    """The point (2, 1) of a path (S, 4, 2, 1) at u; see `path.locate`."""
    if not isfinite(u):
        return np.full((2, 1), nan)
    number = min(max(floor(u), 0), len(ctrl) - 1)
    x, y = _at(ctrl[number, ..., 0].tolist(), u - number)
    return np.array([[x], [y]])


def tangent(ctrl: Array, u: float) -> Array | None:
    """The direction (2, 1) of a path (S, 4, 2, 1) at u; None where a handle has no length, so that it takes
    more to tell. See `path.tangent`."""
    if not isfinite(u):
        return None
    number = min(max(floor(u), 0), len(ctrl) - 1)
    t = u - number
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = ctrl[number, ..., 0].tolist()
    x, y = _velocity(bx - ax, cx - bx, dx - cx, t), _velocity(by - ay, cy - by, dy - cy, t)
    speed = _norm(x, y)
    if not speed > 1e-9 * (_norm(dx - ax, dy - ay) + _norm(bx - ax, by - ay)):
        return None
    return np.array([[x / speed], [y / speed]])


def _velocity(first: float, middle: float, last: float, t: float) -> float:
    """From the steps of the control points, in the order of `curve.derivative`."""
    rest = 1.0 - t
    return 3.0 * (rest * rest * first + 2.0 * rest * t * middle + t * t * last)


def leaving(points: Array) -> Array:
    """The direction (2, 1) from the first of the points (k, 2, 1) to the next that is apart from it."""
    ax, ay = points[0, :, 0].tolist()
    for other in points[1:]:  # mostly the first of them is apart
        bx, by = other[:, 0].tolist()
        x, y = bx - ax, by - ay
        apart = _norm(x, y)
        if not apart <= 1e-9:
            return np.array([[x / apart], [y / apart]])
    return np.full((2, 1), nan)


def _clamped(t: float) -> float:
    return _between_bounds(t, 1)


def _between_bounds(u: float, last: int) -> float:
    return min(max(u, 0.0), float(last))


def _portion(cubic: Cubic, low: float, high: float) -> Cubic:
    x = _portion_of([p[0] for p in cubic], low, high)
    y = _portion_of([p[1] for p in cubic], low, high)
    return [list(p) for p in zip(x, y, strict=True)]


def _portion_of(c: Sequence[float], low: float, high: float) -> tuple[float, float, float, float]:
    """By polar forms, as `curve.portion`."""
    a, b, d = (_between(c[k], c[k + 1], low) for k in range(3))
    ab, bd = _between(a, b, low), _between(b, d, low)
    am, bm = _between(a, b, high), _between(b, d, high)
    e, f, g = (_between(c[k], c[k + 1], high) for k in range(3))
    ef, fg = _between(e, f, high), _between(f, g, high)
    return _between(ab, bd, low), _between(ab, bd, high), _between(am, bm, high), _between(ef, fg, high)


def _between(a: float, b: float, t: float) -> float:
    return (1.0 - t) * a + t * b


def _locate(cubics: Sequence[Cubic], u: float) -> Point:
    number = min(max(floor(u), 0), len(cubics) - 1)
    return _at(cubics[number], u - number)


def _at(cubic: Cubic, t: float) -> Point:
    """The point at t, in the order of `curve.evaluate`."""
    rest = 1.0 - t
    near, far = rest * rest, t * t
    second, third = 3.0 * t, 3.0 * rest
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = cubic
    return (
        near * (rest * ax + second * bx) + far * (third * cx + t * dx),
        near * (rest * ay + second * by) + far * (third * cy + t * dy),
    )


def _figures(point: Array) -> Point:
    """The figures of a point (2, 1)."""
    x, y = point[:, 0].tolist()
    return x, y


def _powers(first: float, second: float, third: float, last: float) -> Powers:
    one = 3.0 * (second - first)
    two = 3.0 * (third - second) - one
    return first, one, two, last - first - one - two


def _height(own: Powers, t: float) -> float:
    nought, one, two, three = own
    return nought + t * (one + t * (two + t * three))


def _motion(own: Powers, t: float) -> tuple[float, float]:
    nought, one, two, three = own
    bend = t * three
    slope = t * (two + bend)
    return nought + t * (one + slope), one + 2.0 * slope + t * bend


def _force(own: Powers, t: float) -> float:
    return 2.0 * own[2] + (6.0 * t) * own[3]


def _norm(x: float, y: float) -> float:
    return sqrt(x * x + y * y)
