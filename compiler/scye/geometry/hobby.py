"""Hobby's rules for a fair curve: how long the handles are, and which way the curve goes at free points.

John D. Hobby, "Smooth, easy to compute interpolating splines", Discrete and Computational Geometry 1
(1986), as used in Knuth's METAFONT: tension 1 everywhere, curl 1 at free ends.

Of one span with unit chord e, leaving in direction u and arriving in direction v: theta is the turn from e
to u and phi the turn from v to e, so that an arc has both of one sign.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from scye.geometry.vector import Array, angle_between, cos, cross, dot, norm, quiet, rotated, sin

_ROOT_2 = float(np.sqrt(2.0))
_AT_START = float(np.sqrt(5.0) - 1.0) / 2.0
_AT_END = (3.0 - float(np.sqrt(5.0))) / 2.0
MOST_HANDLE = 4.0  # chords: METAFONT's cap
_MOST_TRIALS = 12
_SETTLED = 1e-11  # curvature times chord: as even as rounding allows
_EVEN_ENOUGH = 1e-8
_FURTHEST = 0.7  # radians that evening the curvature may turn a direction away from Hobby's


@dataclass(frozen=True, slots=True)
class Span:
    """Both angles of one span by sine and cosine, each (..., n)."""

    sin_theta: Array
    cos_theta: Array
    sin_phi: Array
    cos_phi: Array


def handles(span: Span) -> tuple[Array, Array]:
    """The lengths of the leaving and of the arriving handle in chords, (..., n)."""
    st, ct, sp, cp = span.sin_theta, span.cos_theta, span.sin_phi, span.cos_phi
    lean = (_ROOT_2 * (st - sp / 16.0)) * (sp - st / 16.0) * (ct - cp)
    leaving = (2.0 + lean) / (3.0 + (3.0 * _AT_START) * ct + (3.0 * _AT_END) * cp)
    arriving = (2.0 - lean) / (3.0 + (3.0 * _AT_START) * cp + (3.0 * _AT_END) * ct)
    return np.minimum(leaving, MOST_HANDLE), np.minimum(arriving, MOST_HANDLE)


def handle_slopes(span: Span) -> tuple[Array, Array, Array]:
    """The leaving handle in chords, and its derivatives by theta and by phi, each (..., n)."""
    st, ct, sp, cp = span.sin_theta, span.cos_theta, span.sin_phi, span.cos_phi
    ahead, behind, fall = st - sp / 16.0, sp - st / 16.0, ct - cp
    above = 2.0 + _ROOT_2 * ahead * behind * fall
    below = 3.0 + (3.0 * _AT_START) * ct + (3.0 * _AT_END) * cp
    length = above / below
    above_theta = _ROOT_2 * ((ct * behind - ct / 16.0 * ahead) * fall - ahead * behind * st)
    above_phi = _ROOT_2 * ((cp * ahead - cp / 16.0 * behind) * fall + ahead * behind * sp)
    free = length < MOST_HANDLE
    by_theta = np.where(free, (above_theta + length * (3.0 * _AT_START) * st) / below, 0.0 * length)
    by_phi = np.where(free, (above_phi + length * (3.0 * _AT_END) * sp) / below, 0.0 * length)
    return np.minimum(length, MOST_HANDLE), by_theta, by_phi


def span_curve(a: Array, b: Array, leaving: Array, arriving: Array, fulness: Array) -> Array:
    """The cubic (4, 2, n) from a to b with these unit directions. NaN where a is b."""
    with quiet(all="ignore"):
        chord = b - a
        distance = norm(chord)
        along = chord / distance
        span = Span(cross(along, leaving), dot(along, leaving), cross(arriving, along), dot(along, arriving))
        first, last = handles(span)
        scale = distance * fulness
        second, third = a + (first * scale) * leaving, b - (last * scale) * arriving
        cubic = np.empty((4, *second.shape))
        cubic[0], cubic[1], cubic[2], cubic[3] = a, second, third, b
        cubic += 0.0 * (second[0] + third[0])  # NaN in any control point is NaN in all
        return cubic


def mirrored_direction(a: Array, b: Array, direction: Array) -> Array:
    """The direction at the other end that makes the span from a to b a circle-like arc."""
    with quiet(all="ignore"):
        chord = b - a
        share = 2.0 * dot(chord, direction) / dot(chord, chord)
        other: Array = share * chord - direction
        return other


def run_directions(
    points: Sequence[Array], leaving: Array | None, arriving: Array | None, fulness: Array
) -> list[Array]:
    """The unit direction at each of three or more points (2, n), of which only the end ones may be stated.

    The directions of free points make the curvature the same before and after; where Newton's method
    does not get there from Hobby's own directions, those stand.
    """
    with quiet(all="ignore"):
        chords = [b - a for a, b in pairwise(points)]
        distances = np.stack(np.broadcast_arrays(*(norm(chord) for chord in chords)))
        turns = turns_at(chords)
        ends = Ends(
            None if leaving is None else angle_between(chords[0], leaving),
            None if arriving is None else angle_between(chords[-1], arriving),
        )
        first_guess = mock_angles(distances, turns, ends)
        angles = _even_angles(first_guess, distances, turns, fulness, ends)
        bases = [*chords, chords[-1]]
        return [_towards(base, angle) for base, angle in zip(bases, angles, strict=True)]


@dataclass(frozen=True, slots=True)
class Ends:
    """The angles stated at the ends, or None where the curve is free."""

    first: Array | None
    last: Array | None


def _towards(base: Array, angle: Array) -> Array:
    return rotated(base / norm(base), cos(angle), sin(angle))


def turns_at(chords: list[Array]) -> Array:
    """The turn from chord to chord at each point (m + 1, n); none at the ends."""
    inner = [angle_between(a, b) for a, b in pairwise(chords)]
    none = np.zeros_like(inner[0])
    return np.stack(np.broadcast_arrays(none, *inner, none))


def mock_angles(distances: Array, turns: Array, ends: Ends) -> Array:
    """Hobby's linear equations for the turn from each point's chord to the curve, (m + 1, n)."""
    near = 1.0 / distances
    below, middle, above = _blank_rows(turns)
    right = np.zeros(turns.shape)
    below[1:-1] = near[:-1]
    middle[1:-1] = 2.0 * (near[:-1] + near[1:])
    above[1:-1] = near[1:]
    right[1:-1] = -2.0 * near[:-1] * turns[1:-1] - near[1:] * turns[2:]
    middle[0] = middle[-1] = 1.0
    if ends.first is None:  # curl 1: the first span is an arc
        above[0], right[0] = 1.0, -turns[1]
    else:
        right[0] = ends.first
    if ends.last is None:
        below[-1] = 1.0
    else:
        right[-1] = ends.last
    return _tridiagonal(below, middle, above, right)


def _blank_rows(like: Array) -> tuple[Array, Array, Array]:
    return np.zeros(like.shape), np.zeros(like.shape), np.zeros(like.shape)


def _tridiagonal(below: Array, middle: Array, above: Array, right: Array) -> Array:
    """Thomas's elimination, rows on the first axis, every body by itself."""
    rows = len(middle)
    factor, value = [above[0] / middle[0]], [right[0] / middle[0]]
    for k in range(1, rows):
        pivot = middle[k] - below[k] * factor[k - 1]
        factor.append(above[k] / pivot)
        value.append((right[k] - below[k] * value[k - 1]) / pivot)
    for k in range(rows - 2, -1, -1):
        value[k] = value[k] - factor[k] * value[k + 1]
    return np.stack(value)


def _even_angles(guess: Array, distances: Array, turns: Array, fulness: Array, ends: Ends) -> Array:
    """Angles that make the curvature continuous, by damped Newton steps from a guess (m + 1, n)."""
    angles = guess
    size, step = _unevenness(angles, distances, turns, fulness, ends)
    share = np.ones_like(size)
    for _ in range(_MOST_TRIALS):
        moving = (size > _SETTLED) & (share > 1.0 / 64.0)
        if not moving.any():
            break
        trial = angles + share * step
        trial_size, trial_step = _unevenness(trial, distances, turns, fulness, ends)
        better = moving & (trial_size < size)
        angles, step = np.where(better, trial, angles), np.where(better, trial_step, step)
        size = np.where(better, trial_size, size)
        share = np.where(better, np.minimum(1.0, 2.0 * share), 0.5 * share)
    near = np.abs(angles - guess).max(axis=0) <= _FURTHEST
    return np.where((size <= _EVEN_ENOUGH) & near, angles, guess)


def _unevenness(
    angles: Array, distances: Array, turns: Array, fulness: Array, ends: Ends
) -> tuple[Array, Array]:
    """The largest jump of curvature (n,), times the chord, and the Newton step (m + 1, n) that ends it."""
    before, after = _end_bends(angles[:-1], -turns[1:] - angles[1:], fulness)
    scale = np.minimum(distances[:-1], distances[1:])
    first, last = scale / distances[:-1], scale / distances[1:]
    jump = after.bend[:-1] * first - before.bend[1:] * last
    below, middle, above = _blank_rows(turns)
    below[1:-1] = after.by_theta[:-1] * first
    middle[1:-1] = -after.by_phi[:-1] * first - before.by_theta[1:] * last
    above[1:-1] = before.by_phi[1:] * last
    middle[0] = middle[-1] = 1.0
    above[0] = 1.0 if ends.first is None else 0.0
    below[-1] = 1.0 if ends.last is None else 0.0
    right = np.zeros(turns.shape)
    right[1:-1] = -jump
    return np.abs(jump).max(axis=0), _tridiagonal(below, middle, above, right)


@dataclass(frozen=True, slots=True)
class _Bend:
    """Curvature at one end of the spans, times chord and -3/2 (the swing over the handle's square), and its
    slopes; each (m, n)."""

    bend: Array
    by_theta: Array
    by_phi: Array


def _end_bends(theta: Array, phi: Array, fulness: Array) -> tuple[_Bend, _Bend]:
    """At the start and at the end of the spans, both at once: each is the other walked backwards."""
    both = np.stack((theta, phi))
    sine, cosine = sin(both), cos(both)
    other_sine, other_cosine = sine[::-1], cosine[::-1]
    slopes = handle_slopes(Span(sine, cosine, other_sine, other_cosine))
    length, by_own, by_other = (fulness * part for part in slopes)
    turn = sine * other_cosine + cosine * other_sine
    turn_slope = cosine * other_cosine - sine * other_sine
    far = length[::-1]
    swing = far * turn - sine
    swing_own = by_other[::-1] * turn + far * turn_slope - cosine
    swing_other = by_own[::-1] * turn + far * turn_slope
    square = length * length
    bend = swing / square
    own = swing_own / square - 2.0 * bend * by_own / length
    other = swing_other / square - 2.0 * bend * by_other / length
    return _Bend(bend[0], own[0], other[0]), _Bend(bend[1], other[1], own[1])
