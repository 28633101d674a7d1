"""Curves of a stated depth: hollowed or rounded away from the straight between their ends. mm."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from scye.geometry import curve
from scye.geometry.hobby import mirrored_direction, span_curve
from scye.geometry.path import Path, stack_segments
from scye.geometry.vector import Array, norm, quarter_turn, quiet, row, unit

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
    directions (2, n) of any length; one that leads too far out makes the curve deeper elsewhere, with a
    turning point that `regularity` tells. NaN where a is b.
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
        return Path(_evened(stack_segments(spans)), (False, False))


def _free(a: Array, chord: Array, depth: Array, at: Array) -> Path:
    """One cubic, split at its deepest place. In chords: x along, y out; `depth` (n,) too.

    Half way it is Hobby's arc, whose inner points are (1 - 4 depth2) / 3 from the ends. Elsewhere the
    deepest place has a parameter t a third as far from the middle as `at` is, which keeps y of one sign
    (it must lie in 1/3..2/3): y = t (1 - t) (A + B t) with y = depth and dy/dt = 0 there. Both inner points
    are moved along alike to bring the deepest place to `at`.
    """
    t = 0.5 + (at - 0.5) / 3.0
    s = 1.0 - t
    rise = -(s - t) * depth / (t * s * t * s)
    first_out = (depth / (t * s) - rise * t) / 3.0
    second_out = first_out + rise / 3.0
    inset = (1.0 - 4.0 * depth * depth) / 3.0
    shift = (at - 3.0 * s * t * (s * inset + t * (1.0 - inset)) - t * t * t) / (3.0 * s * t)
    out = quarter_turn(chord)
    second = a + (inset + shift) * chord + first_out * out
    third = a + (1.0 - inset + shift) * chord + second_out * out
    whole = 0.0 * second
    cubic = np.stack((a + whole, second, third, a + chord + whole))
    return Path(np.stack(curve.split(cubic, t)), (False, False))


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
