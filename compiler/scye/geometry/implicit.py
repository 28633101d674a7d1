"""Where a path meets a guide or a circle: roots of its distance from them, segment by segment."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from scye.geometry import curve
from scye.geometry.meets import TOUCHING, Meets, first_ones, in_order
from scye.geometry.newton import solve_rising
from scye.geometry.path import Circle, Guide, Path
from scye.geometry.vector import Array, Flags, Ints, angle_of, bodies, cross, dot, norm

_CELLS = 12  # of a segment, in which its distance from a circle's centre has at most one extreme
_LYING = 0.02  # mm: a segment longer than this and wholly on the other line lies along it


class Other(Protocol):
    """A line that says how far on which side of it a point is."""

    def bodies(self) -> int: ...

    def distance(self, point: Array) -> Array:
        """Signed, (..., n), of points (..., 2, n)."""

    def closing(self, point: Array, velocity: Array) -> Array:
        """How fast the distance grows, (..., n)."""

    def extremes(self, ctrl: Array) -> Array:
        """Parameters (k, S, n), rising, at which to part cubics (S, 4, 2, n): all extremes of distance."""

    def place(self, point: Array) -> Array:
        """Where on this line a point of it is, (..., n)."""


@dataclass(frozen=True, slots=True)
class Level:
    """A guide of any direction."""

    guide: Guide

    def bodies(self) -> int:
        return bodies(self.guide.point, self.guide.direction)

    def distance(self, point: Array) -> Array:
        return cross(self.guide.direction, point - self.guide.point)

    def closing(self, point: Array, velocity: Array) -> Array:
        return cross(self.guide.direction, velocity)

    def place(self, point: Array) -> Array:
        return dot(point - self.guide.point, self.guide.direction)

    def extremes(self, ctrl: Array) -> Array:
        """The roots of the quadratic that the distance of a cubic has for derivative."""
        away = self.distance(ctrl)
        step = away[:, 1:] - away[:, :-1]
        constant, half = step[:, 0], step[:, 1] - step[:, 0]
        square = step[:, 2] - step[:, 1] - half
        root = half + np.copysign(np.sqrt(half * half - square * constant), half)
        at = np.stack((-root / square, -constant / root))
        return np.sort(np.where((at > 0.0) & (at < 1.0), at, 1.0), axis=0)


@dataclass(frozen=True, slots=True)
class Round:
    """A circle."""

    circle: Circle

    def bodies(self) -> int:
        return bodies(self.circle.centre, self.circle.radius)

    def distance(self, point: Array) -> Array:
        away: Array = norm(point - self.circle.centre) - self.circle.radius
        return away

    def closing(self, point: Array, velocity: Array) -> Array:
        spoke = point - self.circle.centre
        rate: Array = dot(spoke, velocity) / norm(spoke)
        return rate

    def place(self, point: Array) -> Array:
        return angle_of(point - self.circle.centre)

    def extremes(self, ctrl: Array) -> Array:
        """Cell by cell: the end of the cell, and before it the extreme within if there is one."""
        ends = np.arange(_CELLS + 1)[:, None, None] / _CELLS
        low, high = ends[:-1] + np.zeros((_CELLS, len(ctrl), 1)), ends[1:]
        growth = dot(curve.evaluate(ctrl, ends) - self.circle.centre, curve.derivative(ctrl, ends))
        turning = growth[:-1] * growth[1:] < 0.0
        way = np.where(turning, np.sign(growth[1:]), np.nan)

        def rate(t: Array) -> tuple[Array, Array]:
            spoke, velocity = curve.evaluate(ctrl, t) - self.circle.centre, curve.derivative(ctrl, t)
            slope = dot(velocity, velocity) + dot(spoke, curve.second(ctrl, t))
            return way * dot(spoke, velocity), way * slope

        found = solve_rising(rate, low + 0.0 * way, high + 0.0 * way, 0.5 * (low + high) + 0.0 * way)
        parts = np.stack((np.where(turning, found, high), high + 0.0 * growth[1:]), axis=1)
        return parts.reshape(-1, *growth.shape[1:])[:-1]


def path_meets(path: Path, other: Other, reach: float) -> Meets:
    """The meetings of a path with a guide or a circle, in order along the path."""
    n = max(path.ctrl.shape[-1], other.bodies())
    ctrl = np.broadcast_to(path.ctrl, (*path.ctrl.shape[:3], n))
    lying = _lies_along(ctrl, other)
    inner = _inner(ctrl, other, lying)
    u = np.concatenate((inner, _joints(ctrl, other, lying), _ends(ctrl, other, lying, inner, reach)))
    u = np.take_along_axis(u, first_ones(~np.isnan(u)), axis=0)
    point = _at(ctrl, u)
    return in_order(u, other.place(point), point)


def own_cubics(ctrl: Array, which: Ints) -> Array:
    """Of the segments (S, 4, 2, n) the ones numbered `which` (M, n), as (M, 4, 2, n)."""
    if len(ctrl) == 1:
        return ctrl
    return np.take_along_axis(ctrl, which[:, None, None, :], axis=0)


def _at(ctrl: Array, u: Array) -> Array:
    """The points (M, 2, n) at u (M, n)."""
    which = np.where(np.isnan(u), 0, np.minimum(np.floor(u), len(ctrl) - 1)).astype(np.int64)
    return curve.evaluate(own_cubics(ctrl, which), u - which)


def _lies_along(ctrl: Array, other: Other) -> Flags:
    """Which segments (S, n) lie on the other line all the way."""
    quarters = np.arange(5)[:, None, None] / 4.0
    on_it = np.abs(other.distance(curve.evaluate(ctrl, quarters))) <= TOUCHING
    whole: Flags = on_it.all(axis=0) & (norm(ctrl[:, 3] - ctrl[:, 0]) > _LYING)
    return whole


def _inner(ctrl: Array, other: Other, lying: Flags) -> Array:
    """Crossings and touches within segments, as u (M, n)."""
    parts = other.extremes(ctrl)
    nought = np.zeros((1, *parts.shape[1:]))
    at = np.concatenate((nought, parts, nought + 1.0))
    away = other.distance(curve.evaluate(ctrl, at))
    crossing = (away[:-1] * away[1:] < 0.0) & ~lying
    beside = crossing[:-1] | crossing[1:]
    touching = (np.abs(away[1:-1]) <= TOUCHING) & (parts < 1.0) & ~beside & ~lying
    number = np.arange(len(ctrl), dtype=np.float64)[:, None]
    touches = np.where(touching, number + parts, np.nan)
    crossings = _crossings(ctrl, other, crossing, at, away)
    return np.concatenate((crossings, touches.reshape(-1, touches.shape[-1])))


def _crossings(ctrl: Array, other: Other, crossing: Flags, at: Array, away: Array) -> Array:
    """The roots in the brackets (k, S, n) that have one."""
    flat = (-1, at.shape[-1])
    flags = crossing.reshape(flat)
    chosen = first_ones(flags)
    rising = np.where(flags, np.sign(away[1:] - away[:-1]).reshape(flat), np.nan)
    low, high, way = (
        np.take_along_axis(bracket.reshape(flat), chosen, axis=0) for bracket in (at[:-1], at[1:], rising)
    )
    which = chosen % len(ctrl)
    cubics = own_cubics(ctrl, which)

    def distance(t: Array) -> tuple[Array, Array]:
        point = curve.evaluate(cubics, t)
        return way * other.distance(point), way * other.closing(point, curve.derivative(cubics, t))

    return which + solve_rising(distance, low, high, 0.5 * (low + high) + 0.0 * way)


def _joints(ctrl: Array, other: Other, lying: Flags) -> Array:
    """The joints between segments, as u (S - 1, n), where the line crosses in the joint itself."""
    before, after = other.distance(ctrl[:-1, 3]), other.distance(ctrl[1:, 0])
    there = (before * after <= 0.0) | (np.abs(before) <= TOUCHING)
    number = np.arange(1.0, len(ctrl))[:, None]
    return np.where(there & ~lying[:-1] & ~lying[1:], number, np.nan)


def _ends(ctrl: Array, other: Other, lying: Flags, inner: Array, reach: float) -> Array:
    """The ends, as u (2, n), that come within reach and have no crossing beside them that means the same."""
    count = len(ctrl)
    into_last = inner - (count - 1)
    first = _end(
        ctrl[0, 0], other, lying[0], _at(ctrl[:1], np.where(inner <= 1.0, 0.5 * inner, np.nan)), reach
    )
    beside_last = _at(ctrl[-1:], np.where(into_last >= 0.0, 0.5 + 0.5 * into_last, np.nan))
    last = _end(ctrl[-1, 3], other, lying[-1], beside_last, reach)
    return np.stack((np.where(first, 0.0, np.nan), np.where(last, float(count), np.nan)))


def _end(point: Array, other: Other, lying: Flags, halfway: Array, reach: float) -> Flags:
    """Whether an end meets; `halfway` (M, 2, n) are the points half way to crossings in its segment."""
    same = (np.abs(other.distance(halfway)) <= reach).any(axis=0)
    meets: Flags = (np.abs(other.distance(point)) <= reach) & ~lying & ~same
    return meets
