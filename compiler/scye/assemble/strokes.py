"""Paths put together and looked at: rows of paths as one, samples, and what lies inside a closed outline."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from scye.geometry import curve
from scye.geometry.abreast import bodies_of, by_make, own, side_by_side
from scye.geometry.intersect import meet, meet_all
from scye.geometry.memory import one_by_one
from scye.geometry.path import Guide, Path, end, end_to_end, polyline, start
from scye.geometry.vector import Array, Flags, Ints, quiet

SAMPLES = 8  # a curved segment, when an outline is looked at as a polygon
AT_ONCE = 500_000  # points times segments times bodies that are looked at together


def chain(paths: Sequence[Path]) -> Path:
    """Paths end to start as one; small gaps (trimming leaves up to 0.05 mm) are left to the drawing."""
    if len(paths) == 1:
        return paths[0]
    whole = end_to_end([path.ctrl for path in paths])
    return Path(whole, tuple([flag for path in paths for flag in path.straight]))


def straight(a: Array, b: Array) -> Path:
    return polyline([a, b])


def choose(flags: Flags, yes: Path, no: Path) -> Path:
    """Body by body one of two paths with equally many segments."""
    both = tuple(a and b for a, b in zip(yes.straight, no.straight, strict=True))
    return Path(np.where(flags, yes.ctrl, no.ctrl), both)


def with_length(path: Path) -> Path:
    """The path without the segments that trimming has left without a length in every body: looked at as a
    polygon it is the same, and there is less of it to look at."""
    spread = np.abs(path.ctrl - path.ctrl[:, :1]).max(axis=(1, 2))
    live = (spread > 0.0).any(axis=-1)
    if live.all() or not live.any():
        return path
    return Path(path.ctrl[live], tuple(s for s, kept in zip(path.straight, live, strict=True) if kept))


def samples(path: Path, curved: int = SAMPLES, ruled: int = 1) -> Array:
    """Points along a path (K, 2, n): each segment in `curved` parts, or `ruled` if it is straight."""
    return np.concatenate((_looked_at(path, curved, ruled), end(path)[None]))


def _looked_at(path: Path, curved: int, ruled: int) -> Array:
    """The samples of a path but for its end."""
    steps = _steps(path.straight, curved, ruled)
    if not any(path.straight) or ruled == curved:
        return _in_parts(path.ctrl, curved)
    points = np.empty((steps.count, *path.ctrl.shape[2:]))
    points[steps.ruled] = _in_parts(path.ctrl[steps.straight], ruled)
    if len(steps.curved):
        points[steps.curved] = _in_parts(path.ctrl[~steps.straight], curved)
    return points


def _in_parts(ctrl: Array, parts: int) -> Array:
    """The beginnings (S parts, 2, n) of equally many parts of each cubic (S, 4, 2, n)."""
    if parts == 1:
        beginnings: Array = ctrl[:, 0]
        return beginnings
    points = curve.evaluate(ctrl[:, None], np.arange(parts)[:, None] / parts)
    return points.reshape(-1, *points.shape[2:])


def samples_of(paths: Sequence[Path]) -> list[Array]:
    """The `samples` of each path, worked together."""
    whole = chain(paths)
    points, ends = _looked_at(whole, SAMPLES, 1), whole.ctrl[:, 3]
    rows = []
    first = segment = 0
    for path in paths:
        last, segment = first + _steps(path.straight, SAMPLES, 1).count, segment + len(path.straight)
        rows.append(np.concatenate((points[first:last], ends[segment - 1 : segment])))
        first = last
    return rows


@dataclass(frozen=True, slots=True)
class _Steps:
    """How many samples a path has but for its end; the numbers of those on straight and on curved segments,
    and which segments (S,) are straight."""

    count: int
    ruled: Ints
    curved: Ints
    straight: Flags


@lru_cache(maxsize=256)
def _steps(straight: tuple[bool, ...], curved: int, ruled: int) -> _Steps:
    flags = np.array(straight)
    on_straight = np.repeat(flags, np.where(flags, ruled, curved))
    return _Steps(len(on_straight), np.flatnonzero(on_straight), np.flatnonzero(~on_straight), flags)


@lru_cache(maxsize=256)
def corner_samples(straight: tuple[bool, ...], parts: int) -> Flags:
    """Which samples of a path, with every segment in so many `parts`, are there with straights in one."""
    flags = np.repeat(straight, parts)
    return np.append(~flags | (np.arange(len(flags)) % parts == 0), True)


def inside(outline: Array, points: Array) -> Flags:
    """Whether points (P, 2, n) lie within a closed polygon (K, 2, n), by even and odd crossings, (P, n)."""
    odd = np.zeros((points.shape[0], points.shape[-1]), dtype=bool)
    x, y = points[:, 0], points[:, 1]
    after = np.concatenate((outline[1:], outline[:1]))
    step = max(1, AT_ONCE // odd.size)
    with quiet(all="ignore"):
        for i in range(0, len(outline), step):
            here, there = outline[i : i + step, :, None], after[i : i + step, :, None]
            spans = (here[:, 1] > y) != (there[:, 1] > y)
            slope = (there[:, 0] - here[:, 0]) / (there[:, 1] - here[:, 1])
            odd ^= np.logical_xor.reduce(spans & (x < here[:, 0] + (y - here[:, 1]) * slope), axis=0)
    return odd


def inside_lattice(outline: Array, across: Array, down: Array) -> Flags:
    """Whether the points of a lattice, (A, n) across and (D, n) down, lie in a closed polygon (K, 2, n), as
    (D, A, n). It is told as by `inside`, but each row of the lattice meets the polygon only once."""
    x, y = (np.ascontiguousarray(outline[:, axis].T) for axis in range(2))  # (n, K)
    rows, n = down.shape
    with quiet(all="ignore"):
        slope = (np.roll(x, -1, axis=1) - x) / (np.roll(y, -1, axis=1) - y)
        level = down[..., None]
        row, body, k = np.nonzero((y > level) != (np.roll(y, -1, axis=1) > level))
        met = x[body, k] + (down[row, body] - y[body, k]) * slope[body, k]
        left = across[:, body] < met
    cell = np.arange(len(across))[:, None] * n + row * (len(across) * n) + body
    crossings = np.bincount(cell[left], minlength=rows * len(across) * n)
    odd: Flags = (crossings % 2 == 1).reshape(rows, len(across), n)
    return odd


@dataclass(frozen=True, slots=True)
class Crossed:
    """Where a guide crosses a closed outline: `u` (M, n) mm along it, and which gaps are inside (M-1, n)."""

    line: Guide
    u: Array
    within: Flags
    known: Array  # (n,): 0, or NaN for bodies without the line or the outline

    def gaps(self) -> Iterator[tuple[Array, Array, Flags]]:
        """From where to where along the guide (n,), and whether that lies inside."""
        return zip(self.u[:-1], self.u[1:], self.within, strict=True)

    def length(self) -> Array:
        """How much of the guide lies inside, (n,) mm; 0 where it misses."""
        total = self.known
        for low, high, kept in self.gaps():
            total = total + np.where(kept, high - low, 0.0)
        return total


def crossed(outline: Path, line: Guide) -> Crossed:
    """Where a guide crosses a closed outline."""
    return _crossed_at(outline, line, meet(line, outline).u)


def _crossed_at(outline: Path, line: Guide, u: Array) -> Crossed:
    """A guide that crosses a closed outline at these places (M, n) along it."""
    known = 0.0 * line.point[0] + 0.0 * start(outline)[0]
    if len(u) < 2:
        nowhere = np.full((2, u.shape[-1]), np.nan)
        return Crossed(line, nowhere, np.zeros((1, u.shape[-1]), dtype=bool), known)
    middle = (u[1:] + u[:-1]) / 2.0
    points = line.point[None] + middle[:, None, :] * line.direction[None]
    polygon = samples(with_length(outline))
    return Crossed(line, u, inside(polygon, points) & np.isfinite(middle), known)


@one_by_one
def all_crossed(pairs: Sequence[tuple[Path, Guide]]) -> list[Crossed]:
    """Where each outline is crossed by its guide. Outlines of one make are looked at side by side."""
    n = bodies_of(*(line for pair in pairs for line in pair))
    meets = meet_all([(line, outline) for outline, line in pairs])
    found: dict[int, Crossed] = {}
    for numbers in by_make([outline for outline, _ in pairs]):
        outline = side_by_side([pairs[number][0] for number in numbers], n)
        guide = side_by_side([pairs[number][1] for number in numbers], n)
        assert isinstance(outline, Path)
        assert isinstance(guide, Guide)
        whole = _crossed_at(outline, guide, _side_by_side([meets[number].u for number in numbers], n))
        for k, number in enumerate(numbers):
            its = own(k, n)
            line = pairs[number][1]
            found[number] = Crossed(line, whole.u[:, its], whole.within[:, its], whole.known[its])
    return [found[number] for number in range(len(pairs))]


def _side_by_side(rows: Sequence[Array], n: int) -> Array:
    """Places (M, n), M not the same in all, as one (most M, k n)."""
    most = max(len(row) for row in rows)
    whole = np.full((most, len(rows) * n), np.nan)
    for k, row in enumerate(rows):
        whole[: len(row), own(k, n)] = row
    return whole
