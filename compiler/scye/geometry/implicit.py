"""Where a path meets a guide or a circle: roots of its distance from them, segment by segment."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from scye.geometry import curve
from scye.geometry.curve import Powers
from scye.geometry.meets import LYING, TOUCHING, Meets, first_ones, in_order
from scye.geometry.newton import solve_rising
from scye.geometry.path import Circle, Guide, Path
from scye.geometry.vector import Array, Flags, Ints, angle_of, bodies, cross, dot, norm, rows_of

_CELLS = 12  # of a segment, in which its distance from a circle's centre has at most one extreme


class Distance(Protocol):
    """How far the segments (S, n) of a path are from another line, on which side of it, as functions of t."""

    def at(self, t: Array) -> Array:
        """The signed distance in mm at t (..., S, n)."""

    def rates(self, t: Array) -> tuple[Array, Array]:
        """The distance and its derivative by t."""

    def extremes(self) -> Array:
        """Parameters (k, S, n) in rising order, all extremes of the distance among them, filled up with 1."""

    def own(self, which: Ints) -> Distance:
        """That of the segments numbered `which` (M, n)."""


class Other(Protocol):
    """A line that says where a point is by it."""

    def bodies(self) -> int: ...

    def distance(self, point: Array) -> Array:
        """Signed, in mm, (..., n), of points (..., 2, n)."""

    def distance_of(self, ctrl: Array) -> Distance:
        """Signed, of cubics (S, 4, 2, n)."""

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

    def distance_of(self, ctrl: Array) -> Distance:
        return _FromLevel(Powers.of(self.distance(ctrl)[..., None, :]))

    def place(self, point: Array) -> Array:
        return dot(point - self.guide.point, self.guide.direction)


@dataclass(frozen=True, slots=True)
class _FromLevel:
    """The distance from a guide is itself a cubic in t."""

    cubic: Powers

    def at(self, t: Array) -> Array:
        distance: Array = self.cubic.point(t)[..., 0, :]
        return distance

    def rates(self, t: Array) -> tuple[Array, Array]:
        distance, rate = self.cubic.motion(t)
        return distance[..., 0, :], rate[..., 0, :]

    def extremes(self) -> Array:
        """The roots of the quadratic that the distance has for derivative."""
        constant, half, square = (
            self.cubic.one[..., 0, :],
            self.cubic.two[..., 0, :],
            self.cubic.three[..., 0, :],
        )
        root = half + np.copysign(np.sqrt(half * half - 3.0 * square * constant), half)
        at = np.stack((-root / (3.0 * square), -constant / root))
        return np.sort(np.where((at > 0.0) & (at < 1.0), at, 1.0), axis=0)

    def own(self, which: Ints) -> Distance:
        return _FromLevel(self.cubic.own(which))


@dataclass(frozen=True, slots=True)
class Round:
    """A circle."""

    circle: Circle

    def bodies(self) -> int:
        return bodies(self.circle.centre, self.circle.radius)

    def distance(self, point: Array) -> Array:
        away: Array = norm(point - self.circle.centre) - self.circle.radius
        return away

    def distance_of(self, ctrl: Array) -> Distance:
        return _FromRound(Powers.of(ctrl - self.circle.centre), self.circle.radius)

    def place(self, point: Array) -> Array:
        return angle_of(point - self.circle.centre)


@dataclass(frozen=True, slots=True)
class _FromRound:
    """The distance from a circle, of cubics about its centre."""

    spoke: Powers
    radius: Array

    def at(self, t: Array) -> Array:
        away: Array = norm(self.spoke.point(t)) - self.radius
        return away

    def rates(self, t: Array) -> tuple[Array, Array]:
        spoke, velocity = self.spoke.motion(t)
        away = norm(spoke)
        return away - self.radius, dot(spoke, velocity) / away

    def extremes(self) -> Array:
        """Cell by cell: the extreme within it if there is one, and its end."""
        ends = np.arange(_CELLS + 1)[:, None, None] / _CELLS
        growth = dot(*self.spoke.motion(ends))
        low, high = ends[:-1] + 0.0 * growth[1:], ends[1:] + 0.0 * growth[1:]
        way = np.where(growth[:-1] * growth[1:] < 0.0, np.sign(growth[1:]), np.nan)
        found = self._nearest_and_furthest(way, low, high)
        parts = np.stack((np.where(np.isnan(found), high, found), high), axis=1)
        return parts.reshape(-1, *growth.shape[1:])[:-1]

    def _nearest_and_furthest(self, way: Array, low: Array, high: Array) -> Array:
        """The extremes in the cells (k, S, n), NaN where `way`, the sense of the change, is NaN."""
        if np.isnan(way).all():
            return way

        def rate(t: Array) -> tuple[Array, Array]:
            spoke, velocity = self.spoke.motion(t)
            slope = dot(velocity, velocity) + dot(spoke, self.spoke.acceleration(t))
            return way * dot(spoke, velocity), way * slope

        return solve_rising(rate, low, high, 0.5 * (low + high) + 0.0 * way)

    def own(self, which: Ints) -> Distance:
        return _FromRound(self.spoke.own(which), self.radius)


def path_meets(path: Path, other: Other, reach: float) -> Meets:
    """The meetings of a path with a guide or a circle, in order along the path."""
    n = max(path.ctrl.shape[-1], other.bodies())
    ctrl = np.broadcast_to(path.ctrl, (*path.ctrl.shape[:3], n))
    lying = _lies_along(ctrl, other)
    inner = _inner(other.distance_of(ctrl), lying)
    u = np.concatenate((inner, _joints(ctrl, other, lying), _ends(ctrl, other, lying, inner, reach)))
    u = rows_of(u, first_ones(~np.isnan(u)))
    point = _at(ctrl, u)
    return in_order(u, other.place(point), point)


def _at(ctrl: Array, u: Array) -> Array:
    """The points (M, 2, n) at u (M, n)."""
    which = np.where(np.isnan(u), 0, np.minimum(np.floor(u), len(ctrl) - 1)).astype(np.int64)
    return curve.evaluate(rows_of(ctrl, which), u - which)


def _lies_along(ctrl: Array, other: Other) -> Flags:
    """Which segments (S, n) lie on the other line all the way."""
    on_it: Flags = np.abs(other.distance(ctrl[:, 0])) <= TOUCHING
    some = np.flatnonzero(on_it.any(axis=-1))
    if len(some):
        cubics, quarters = ctrl[some], np.arange(1, 5)[:, None, None] / 4.0
        along = (np.abs(other.distance(curve.evaluate(cubics, quarters))) <= TOUCHING).all(axis=0)
        on_it[some] &= along & (norm(cubics[:, 3] - cubics[:, 0]) > LYING)
    return on_it


def _inner(distance: Distance, lying: Flags) -> Array:
    """Crossings and touches within segments, as u (M, n)."""
    parts = distance.extremes()
    nought = np.zeros((1, *parts.shape[1:]))
    at = np.concatenate((nought, parts, nought + 1.0))
    away = distance.at(at)
    crossing = (away[:-1] * away[1:] < 0.0) & ~lying
    beside = crossing[:-1] | crossing[1:]
    touching = (np.abs(away[1:-1]) <= TOUCHING) & (parts < 1.0) & ~beside & ~lying
    crossings = _crossings(distance, crossing, at, away)
    if not touching.any():
        return crossings
    number = np.arange(parts.shape[1], dtype=np.float64)[:, None]
    touches = np.where(touching, number + parts, np.nan)
    return np.concatenate((crossings, touches.reshape(-1, touches.shape[-1])))


def _crossings(distance: Distance, crossing: Flags, at: Array, away: Array) -> Array:
    """The roots in the brackets (k, S, n) that have one."""
    flat = (-1, at.shape[-1])
    flags = crossing.reshape(flat)
    chosen = first_ones(flags)
    rising = np.where(flags, np.sign(away[1:] - away[:-1]).reshape(flat), np.nan)
    low, high, way = (rows_of(bracket.reshape(flat), chosen) for bracket in (at[:-1], at[1:], rising))
    which = chosen % at.shape[1]
    own = distance.own(which)

    def upward(t: Array) -> tuple[Array, Array]:
        value, slope = own.rates(t)
        return way * value, way * slope

    root: Array = which + solve_rising(upward, low, high, 0.5 * (low + high) + 0.0 * way)
    return root


def _joints(ctrl: Array, other: Other, lying: Flags) -> Array:
    """The joints between segments, as u (S - 1, n), where the line crosses in the joint itself."""
    if len(ctrl) == 1:
        return np.empty((0, ctrl.shape[-1]))
    before, after = other.distance(ctrl[:-1, 3]), other.distance(ctrl[1:, 0])
    there = (before * after <= 0.0) | ((np.abs(before) <= TOUCHING) & ~np.isnan(after))
    number = np.arange(1.0, len(ctrl))[:, None]
    return np.where(there & ~lying[:-1] & ~lying[1:], number, np.nan)


def _ends(ctrl: Array, other: Other, lying: Flags, inner: Array, reach: float) -> Array:
    """The ends, as u (2, n), that come within reach and have no crossing beside them that means the same."""
    near = np.abs(other.distance(np.stack((ctrl[0, 0], ctrl[-1, 3])))) <= reach
    near &= ~np.stack((lying[0], lying[-1]))
    places = (0.0, float(len(ctrl)))
    for k in range(2):
        if near[k].any():
            segment = np.abs(inner - places[k]) <= 1.0
            halfway = _at(ctrl, np.where(segment, 0.5 * (inner + places[k]), np.nan))
            near[k] &= ~(np.abs(other.distance(halfway)) <= reach).any(axis=0)
    return np.where(near, np.array(places)[:, None], np.nan)
