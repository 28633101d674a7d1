"""Where two lines meet: the answer of `intersect.meet`, and putting it in order."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from scye.geometry.vector import Array, Flags, Ints, quiet, rows_of

SAME_PLACE = 0.02  # mm within which two meetings are one
TOUCHING = 1e-7  # mm within which lines that touch without crossing meet
PARALLEL = 1e-9  # sine of the angle below which two straights are parallel
LYING = 0.02  # mm: a segment longer than this and wholly on a guide or a circle lies along it
END_REACH = 0.01  # mm past its ends that a drawn line still meets another


@dataclass(frozen=True, slots=True)
class Meets:
    """Every place where two lines meet, in order along the first.

    `count` (n,) says how many; `u` and `v` (M, n) are the places on the first and on the second line and
    `point` (M, 2, n) the points on the paper, NaN beyond the count. M is at least 1. A place is the u of a
    path, the signed distance in mm along a guide from its point, or the angle at a circle's centre.
    """

    count: Ints
    u: Array
    v: Array
    point: Array


def in_order(u: Array, v: Array, point: Array) -> Meets:
    """Meetings in any order and number (C, n), NaN where there is none, as `Meets` without doubles."""
    if len(u) == 1:
        return Meets((~np.isnan(u)).sum(axis=0), u, v, point)
    u, v, point = _sorted(u, v, point)
    seen = ~np.isnan(u)
    with quiet(all="ignore"):
        for later in range(1, len(u)):
            for earlier in range(later):
                x = point[later, 0] - point[earlier, 0]
                y = point[later, 1] - point[earlier, 1]
                seen[later] &= ~(seen[earlier] & (x * x + y * y <= SAME_PLACE * SAME_PLACE))
    u = np.where(seen, u, np.nan)
    u, v, point = _sorted(u, v, point)
    return Meets(seen.sum(axis=0), u, v, point)


def exchanged(meets: Meets) -> Meets:
    """The same meetings with the lines' parts exchanged."""
    if len(meets.u) == 1:
        return Meets(meets.count, meets.v, meets.u, meets.point)
    u, v, point = _sorted(meets.v, meets.u, meets.point)
    return Meets(meets.count, u, v, point)


def first_ones(valid: Flags) -> Ints:
    """For each body the numbers (M, n) of its valid candidates (C, n), the others after them; M >= 1."""
    most = max(1, int(valid.sum(axis=0).max(initial=0)))
    return np.argsort(~valid, axis=0, kind="stable")[:most]


def _sorted(u: Array, v: Array, point: Array) -> tuple[Array, Array, Array]:
    """By u, cut to the most that any body has, and NaN all through where u is."""
    most = max(1, int((~np.isnan(u)).sum(axis=0).max(initial=0)))
    order = np.argsort(u, axis=0, kind="stable")[:most]
    u, v, point = rows_of(u, order), rows_of(v, order), rows_of(point, order)
    none = np.isnan(u)
    return u, np.where(none, np.nan, v), np.where(none[:, None, :], np.nan, point)
