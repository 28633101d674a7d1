"""A curve drawn to a stated length: a batch of them, against scipy's brentq on one after another."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np
from measuring import Result, by_turns
from scipy.optimize import brentq

from scye.geometry.fair import LEAST_FULNESS, MOST_FULNESS, curve_of_length, fair_curve
from scye.geometry.path import length
from scye.geometry.quadrature import halved_gauss

CURVES = 1000
BY_BRENTQ = 100  # of them, to say what one costs
SAME = 1e-6  # mm


def run() -> Iterator[Result]:
    points, goings, wanted = _armholes()
    ctrl = fair_curve(points, goings).ctrl[0]
    found = length(curve_of_length(points, goings, wanted)[0])
    scales = [_brentq(ctrl[..., i], wanted[i]) for i in range(BY_BRENTQ)]
    apart = max(abs(_length(ctrl[..., i])(scales[i]) - found[i]) for i in range(BY_BRENTQ))
    assert np.abs(found - wanted).max() <= SAME
    assert apart <= SAME, f"{apart} mm apart"
    times = by_turns(
        7,
        batch=lambda: curve_of_length(points, goings, wanted),
        brentq=lambda: [_brentq(ctrl[..., i], wanted[i]) for i in range(BY_BRENTQ)],
    )
    each = {"a curve in the batch": times["batch"] / CURVES, "a curve by brentq": times["brentq"] / BY_BRENTQ}
    ratio = each["a curve by brentq"] / each["a curve in the batch"]
    yield Result("curve to a length / by brentq", ratio, "x", 10, None, each)


def _armholes() -> tuple[tuple[np.ndarray, ...], tuple[np.ndarray, ...], np.ndarray]:
    """Front armholes of many sizes, each from shoulder to side with a length that it can have."""
    draw = np.random.default_rng(11)
    size = draw.normal(1.0, 0.08, CURVES)
    start, finish = np.stack((0 * size, 0 * size)), np.stack((55 * size, 190 * size))
    leaving = np.stack((-np.sin(0.2 + 0 * size), np.cos(0.2 + 0 * size)))
    arriving = np.stack((1 + 0 * size, 0 * size))
    wanted = length(fair_curve((start, finish), (leaving, arriving))) * draw.uniform(1.0, 1.1, CURVES)
    return (start, finish), (leaving, arriving), wanted


def _brentq(cubic: np.ndarray, wanted: float) -> float:
    """The scale of the handles of one cubic (4, 2) at which it has a length."""
    long = _length(cubic)
    return float(brentq(lambda k: long(k) - wanted, LEAST_FULNESS, MOST_FULNESS, xtol=1e-12))


def _length(cubic: np.ndarray) -> Callable[[float], float]:
    """The length of a cubic as a function of the scale of its handles; what stays is worked out before."""
    t, weights = halved_gauss()
    chord, first, last = cubic[3] - cubic[0], cubic[1] - cubic[0], cubic[3] - cubic[2]
    still = np.outer(chord, 6 * t * (1 - t))
    moved = 3 * (np.outer(first, (1 - t) * (1 - 3 * t)) + np.outer(last, t * (3 * t - 2)))
    fixed, mixed, square = (
        (still * still).sum(axis=0),
        2 * (still * moved).sum(axis=0),
        (moved * moved).sum(axis=0),
    )
    return lambda k: float(weights @ np.sqrt(fixed + k * (mixed + k * square)))
