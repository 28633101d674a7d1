"""Finding unknowns: one between two bounds by bracketing, several together by damped least squares.

Every body is searched by itself: one that has been found no longer changes, so it comes out the same alone
and in any company.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from scye.geometry.vector import Array, Flags, row

Residuals = Callable[[Sequence[Array]], tuple[Array, ...]]

LOOKS = 9  # places looked at between the bounds when they do not bracket a solution
ROUNDS_ONE = 70
ROUNDS_MANY = 60
MET = 1e-6  # what may be left of a condition: mm, or radians or plain numbers
OPEN = 1e-6  # how slight the weakest condition may be beside the strongest before unknowns are left open
FLAT = 1e-8  # a slope of less is none, but what is lost in reckoning it
START = 100.0  # first guess for a ring of definitions, in its own unit


def one(
    residual: Callable[[Array], Array], low: Array, high: Array, count: int
) -> tuple[Array, Array, Array, Array]:
    """The unknown between its bounds at which the residual is nought.

    Returns the unknown (NaN where there is none), the residual there, and the least and greatest residual
    seen, all (n,). Bracketing after Chandrupatla (1997): inverse quadratic steps where safe, else
    halving.
    """
    a = np.broadcast_to(row(low), (count,)).copy()
    b = np.broadcast_to(row(high), (count,)).copy()
    fa, fb = _full(residual(a), count), _full(residual(b), count)
    least, most = np.fmin(fa, fb), np.fmax(fa, fb)
    bracketed = fa * fb <= 0
    if not bracketed.all():
        a, b, fa, fb, least, most = _look(residual, a, b, fa, fb, bracketed, least, most)
        bracketed = fa * fb <= 0
    x, fx = _bracket(residual, a, b, fa, fb, bracketed)
    return np.where(bracketed, x, np.nan), np.where(bracketed, fx, np.nan), least, most


def _full(values: Array, count: int) -> Array:
    return np.broadcast_to(np.asarray(values, dtype=np.float64), (count,))


def _look(
    residual: Callable[[Array], Array],
    a: Array,
    b: Array,
    fa: Array,
    fb: Array,
    bracketed: Flags,
    least: Array,
    most: Array,
) -> tuple[Array, Array, Array, Array, Array, Array]:
    """For bodies whose bounds do not bracket a solution: the first of some steps between them that do."""
    steps = [a + (b - a) * (i / (LOOKS + 1)) for i in range(1, LOOKS + 1)]
    xs = [a, *steps, b]
    fs = [fa, *(_full(residual(s), len(a)) for s in steps), fb]
    na, nb, nfa, nfb = a.copy(), b.copy(), fa.copy(), fb.copy()
    open_ = ~bracketed
    for i in range(LOOKS, -1, -1):
        here = open_ & (fs[i] * fs[i + 1] <= 0)
        na, nb = np.where(here, xs[i], na), np.where(here, xs[i + 1], nb)
        nfa, nfb = np.where(here, fs[i], nfa), np.where(here, fs[i + 1], nfb)
    for f in fs[1:-1]:
        least = np.where(open_, np.fmin(least, f), least)
        most = np.where(open_, np.fmax(most, f), most)
    return na, nb, nfa, nfb, least, most


def _bracket(
    residual: Callable[[Array], Array], a: Array, b: Array, fa: Array, fb: Array, live: Flags
) -> tuple[Array, Array]:
    """Chandrupatla's method on every bracketed body. b is the newer end, c the end it replaced."""
    c, fc = a, fa
    share = np.full(len(a), 0.5)
    x = np.where(np.abs(fa) < np.abs(fb), a, b)
    fx = np.where(np.abs(fa) < np.abs(fb), fa, fb)
    open_ = live & (fx != 0)
    for _ in range(ROUNDS_ONE):
        if not open_.any():
            break
        t = np.where(open_, a + share * (b - a), x)
        ft = _full(residual(t), len(a))
        same = np.sign(ft) == np.sign(fa)
        c, fc = np.where(open_, np.where(same, a, b), c), np.where(open_, np.where(same, fa, fb), fc)
        b, fb = np.where(open_ & ~same, a, b), np.where(open_ & ~same, fa, fb)
        a, fa = np.where(open_, t, a), np.where(open_, ft, fa)
        better = np.abs(fa) < np.abs(fb)
        x = np.where(open_, np.where(better, a, b), x)
        fx = np.where(open_, np.where(better, fa, fb), fx)
        width = np.abs(b - a)
        tolerance = 2e-15 * np.abs(x) + 1e-12
        open_ = open_ & (width > tolerance) & (fx != 0) & ~np.isnan(ft)
        share = _next_share(a, b, c, fa, fb, fc, tolerance, width)
    return x, fx


def _next_share(
    a: Array, b: Array, c: Array, fa: Array, fb: Array, fc: Array, tolerance: Array, width: Array
) -> Array:
    """Where between the ends to look next."""
    xi = (a - b) / (c - b)
    phi = (fa - fb) / (fc - fb)
    safe = (phi * phi < xi) & ((1 - phi) * (1 - phi) < 1 - xi)
    quadratic = fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
    share = np.where(safe & np.isfinite(quadratic), quadratic, 0.5)
    edge = np.minimum(tolerance / np.where(width == 0, 1.0, width), 0.5)
    return np.clip(share, edge, 1 - edge)


def several(
    residuals: Residuals, lows: Sequence[Array | None], highs: Sequence[Array | None], count: int
) -> tuple[list[Array], Array]:
    """Unknowns that meet as many conditions together; returns them and what is left (n,): NaN if hopeless,
    and without end where others would meet the conditions as well, since one says the same as another.

    Levenberg (1944) and Marquardt (1963) with a Jacobian by small steps, from the middle of the bounds and,
    where that fails, from two other places between them.
    """
    best = [np.full(count, np.nan) for _ in lows]
    left = np.full(count, np.inf)
    for share in (0.5, 0.25, 0.75):
        start = [_start(lo, hi, share, count) for lo, hi in zip(lows, highs, strict=True)]
        found, miss = _descend(residuals, start, lows, highs, count)
        better = (miss < left) & ~(left <= MET)
        best = [np.where(better, f, b) for f, b in zip(found, best, strict=True)]
        left = np.where(better, miss, left)
        if (left <= MET).all():
            break
    left = np.where(np.isinf(left), np.nan, left)
    return best, np.where(_left_open(residuals, best, left <= MET, count), np.inf, left)


def _left_open(residuals: Residuals, found: list[Array], met: Flags, count: int) -> Flags:
    """For which bodies the unknowns could move and still meet the conditions.

    The slopes of the conditions are then those of fewer conditions. They are compared without their units:
    each condition, and each unknown, by its own steepest slope.
    """
    if not met.any():
        return met
    at = [np.where(met, x, 0.0) for x in found]
    slopes = _jacobian(residuals, at, [_full(x, count) for x in residuals(at)], count)
    slopes[~met] = np.eye(len(found))
    slopes[np.abs(slopes) <= FLAT] = 0.0
    for axis in (2, 1):
        steepest = np.abs(slopes).max(axis=axis, keepdims=True)
        slopes = slopes / np.where(steepest > 0.0, steepest, 1.0)
    weights = np.linalg.svd(slopes, compute_uv=False)
    return np.asarray(weights[:, -1] <= OPEN * weights[:, 0])


def _start(low: Array | None, high: Array | None, share: float, count: int) -> Array:
    if low is None or high is None:
        return np.full(count, START * share * 2)
    return np.broadcast_to(row(low) + (row(high) - row(low)) * share, (count,)).copy()


def _descend(
    residuals: Residuals,
    u: list[Array],
    lows: Sequence[Array | None],
    highs: Sequence[Array | None],
    count: int,
) -> tuple[list[Array], Array]:
    r = [_full(x, count) for x in residuals(u)]
    size = _size(r)
    damping = np.full(count, 1e-3)
    open_ = np.isfinite(size) & (size > 0)
    for _ in range(ROUNDS_MANY):
        if not open_.any():
            break
        jacobian = _jacobian(residuals, u, r, count)
        step = _damped_step(jacobian, r, damping)
        tried = [_within(x + d, lo, hi) for x, d, lo, hi in zip(u, step, lows, highs, strict=True)]
        rt = [_full(x, count) for x in residuals(tried)]
        st = _size(rt)
        better = open_ & (st < size)
        u = [np.where(better, t, x) for t, x in zip(tried, u, strict=True)]
        r = [np.where(better, t, x) for t, x in zip(rt, r, strict=True)]
        small = _size(step) <= 1e-13 * (1 + _size(u))
        open_ = open_ & (size > 1e-13) & ~(small & ~better) & (damping < 1e12)
        size = np.where(better, st, size)
        damping = np.where(better, damping * 0.1, damping * 8)
    return u, size


def _size(parts: Sequence[Array]) -> Array:
    total = parts[0] * parts[0]
    for p in parts[1:]:
        total = total + p * p
    return np.sqrt(total)


def _within(x: Array, low: Array | None, high: Array | None) -> Array:
    if low is None or high is None:
        return x
    return np.minimum(np.maximum(x, low), high)


def _jacobian(residuals: Residuals, u: list[Array], r: list[Array], count: int) -> Array:
    """(n, conditions, unknowns) by central differences."""
    out = np.empty((count, len(r), len(u)))
    for j, x in enumerate(u):
        step = 1e-5 * np.maximum(np.abs(x), 1.0)
        ahead = residuals([x + step if i == j else v for i, v in enumerate(u)])
        behind = residuals([x - step if i == j else v for i, v in enumerate(u)])
        for i, (f, b) in enumerate(zip(ahead, behind, strict=True)):
            slope = (_full(f, count) - _full(b, count)) / (2 * step)
            # At the edge of what can be drawn one side may be nothing: then the other side's slope.
            one_side = (_full(f, count) - r[i]) / step
            slope = np.where(np.isnan(slope), one_side, slope)
            out[:, i, j] = np.where(np.isfinite(slope), slope, 0.0)
    return out


def _damped_step(jacobian: Array, r: list[Array], damping: Array) -> list[Array]:
    """The step that lessens the residuals, per body, by the damped normal equations."""
    count, conditions, unknowns = jacobian.shape
    normal = np.zeros((count, unknowns, unknowns))
    slope = np.zeros((count, unknowns))
    for k in range(conditions):
        row_k = jacobian[:, k, :]
        normal += row_k[:, :, None] * row_k[:, None, :]
        slope += row_k * np.where(np.isfinite(r[k]), r[k], 0.0)[:, None]
    for j in range(unknowns):
        normal[:, j, j] += damping * np.maximum(normal[:, j, j], 1e-9) + 1e-14
    step = np.linalg.solve(normal, -slope[:, :, None])[:, :, 0]
    return [np.ascontiguousarray(step[:, j]) for j in range(unknowns)]
