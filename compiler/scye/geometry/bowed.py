"""Curves of a stated depth: hollowed or rounded away from the straight between their ends. mm."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from scye.geometry import curve
from scye.geometry.hobby import mirrored_direction, span_curve
from scye.geometry.path import Path, stack_segments
from scye.geometry.vector import Array, dot, norm, quarter_turn, quiet, row, unit

LEAST_APART = 0.1  # of what they are half way: how near the inner points may come to each other
FURTHEST_OUT = 0.9  # of the depth, that a handle may lead out
MOST_EVENED = 6.0  # times that one curvature may be the other and still be brought to it whole


def bowed_curve(
    a: Array,
    b: Array,
    depth: ArrayLike,
    side_sign: ArrayLike,
    at: ArrayLike = 0.5,
    leaving: Array | None = None,
    arriving: Array | None = None,
) -> Path:
    """The curve from a to b that is deepest, `depth` (n,) mm from the chord, at a share `at` of the way.

    It lies on the side quarter_turn(b - a) where `side_sign` is +1 and on the other where it is -1. At its
    deepest place, where its two segments meet, it goes parallel to the chord. `leaving` and `arriving` are
    directions (2, n) of any length. NaN where a is b.
    """
    with quiet(all="ignore"):
        chord = b - a
        share = row(depth) * row(side_sign) / norm(chord)
        if leaving is None and arriving is None:
            return _free(a, chord, share, row(at))
        deepest = a + row(at) * chord + share * quarter_turn(chord)
        along = unit(chord)
        start = mirrored_direction(deepest, a, along) if leaving is None else unit(leaving)
        finish = mirrored_direction(deepest, b, along) if arriving is None else unit(arriving)
        full = np.ones(1)
        spans = span_curve(a, deepest, start, along, full), span_curve(deepest, b, along, finish, full)
        ctrl = _no_deeper(stack_segments(spans), share * quarter_turn(chord))
        return Path(_evened(ctrl), (False, False))


def _free(a: Array, chord: Array, depth: Array, at: Array) -> Path:
    """One cubic, split at its deepest place; `depth` (n,) in chords.

    Its inner control points lie 4/3 of the depth out, so that it is deepest at t = 1/2 and cannot turn the
    other way. Half way along the chord it is Hobby's arc, whose inner points are (1 + 8 depth2) / 3 apart.
    Elsewhere they are drawn together, which keeps the bend from crowding into the near end: of all
    distances apart, 1 - 2.5 of how far `at` is from the middle came out with the least change of curvature.
    """
    apart = (1.0 + 8.0 * depth * depth) / 3.0 * np.maximum(1.0 - 2.5 * np.abs(at - 0.5), LEAST_APART)
    middle = (8.0 * at - 1.0) / 6.0
    out = (4.0 / 3.0 * depth) * quarter_turn(chord)
    second = a + (middle - 0.5 * apart) * chord + out
    third = a + (middle + 0.5 * apart) * chord + out
    whole = 0.0 * second
    cubic = np.stack((a + whole, second, third, a + chord + whole))
    return Path(np.stack(curve.split(cubic, 0.5)), (False, False))


def _no_deeper(ctrl: Array, out: Array) -> Array:
    """Two segments with their outer handles shortened where they lead further out than the depth (2, n)."""
    deep = dot(out, out)
    held = ctrl + 0.0 * deep
    for segment, inner, outer in ((0, 1, 0), (1, 2, 3)):
        handle = ctrl[segment, inner] - ctrl[segment, outer]
        led_out = dot(handle, out)
        share = np.where(led_out > FURTHEST_OUT * deep, FURTHEST_OUT * deep / led_out, 1.0)
        held[segment, inner] = ctrl[segment, outer] + share * handle
    return held


def _evened(ctrl: Array) -> Array:
    """Two segments with the handles where they meet scaled so that the curvature goes through evenly.

    The curvature at an end is as 1 / handle2 when all else stands, so the fourth root of the ratio of the
    two curvatures brings both to their geometric mean. A ratio beyond 6 is evened less and less, and
    segments that bend opposite ways not at all, so that the curve never jumps as its ends are moved.
    """
    before, after = curve.curvature(ctrl[0], 1.0), curve.curvature(ctrl[1], 0.0)
    ratio = np.where(before * after > 0.0, before / after, 1.0)
    ratio = np.where(ratio > MOST_EVENED, np.maximum(MOST_EVENED**2 / ratio, 1.0), ratio)
    ratio = np.where(ratio * MOST_EVENED < 1.0, np.minimum(MOST_EVENED**-2 / ratio, 1.0), ratio)
    scale = np.sqrt(np.sqrt(ratio))
    middle = ctrl[1, 0]
    evened = ctrl + 0.0 * scale
    evened[0, 2] = middle + scale * (ctrl[0, 2] - middle)
    evened[1, 1] = middle + (ctrl[1, 1] - middle) / scale
    return evened
