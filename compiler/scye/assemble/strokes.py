"""Paths put together and looked at: rows of paths as one, samples, and what lies inside a closed outline."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from scye.geometry import curve
from scye.geometry.intersect import meet
from scye.geometry.path import Guide, Path, end, polyline, start
from scye.geometry.vector import Array, Flags, quiet

SAMPLES = 8  # a curved segment, when an outline is looked at as a polygon
AT_ONCE = 500_000  # points times segments times bodies that are looked at together


def chain(paths: Sequence[Path]) -> Path:
    """Paths end to start as one; small gaps (trimming leaves up to 0.05 mm) are left to the drawing."""
    count = max(path.ctrl.shape[-1] for path in paths)
    ctrl = np.concatenate([np.broadcast_to(p.ctrl, (*p.ctrl.shape[:3], count)) for p in paths])
    return Path(ctrl, tuple(flag for path in paths for flag in path.straight))


def straight(a: Array, b: Array) -> Path:
    return polyline([a, b])


def choose(flags: Flags, yes: Path, no: Path) -> Path:
    """Body by body one of two paths with equally many segments."""
    both = tuple(a and b for a, b in zip(yes.straight, no.straight, strict=True))
    return Path(np.where(flags, yes.ctrl, no.ctrl), both)


def samples(path: Path, curved: int = SAMPLES, ruled: int = 1) -> Array:
    """Points along a path (K, 2, n): each segment in `curved` parts, or `ruled` if it is straight."""
    steps = [ruled if flag else curved for flag in path.straight]
    number = np.repeat(np.arange(len(steps)), steps)
    t = np.concatenate([np.arange(count) / count for count in steps])[:, None]
    return np.concatenate((curve.evaluate(path.ctrl[number], t), end(path)[None]))


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


def crossings(outline: Path, line: Guide) -> tuple[Array, Flags]:
    """Where a guide crosses a closed outline, along the guide (M, n), and which gaps lie inside (M-1, n)."""
    u = meet(line, outline).u
    if len(u) < 2:
        return np.full((2, u.shape[-1]), np.nan), np.zeros((1, u.shape[-1]), dtype=bool)
    middle = (u[1:] + u[:-1]) / 2.0
    points = line.point[None] + middle[:, None, :] * line.direction[None]
    return u, inside(samples(outline), points) & np.isfinite(middle)


def inside_length(outline: Path, line: Guide) -> Array:
    """How much of a guide lies within a closed outline, (n,) mm; 0 where it misses."""
    u, within = crossings(outline, line)
    total: Array = 0.0 * line.point[0] + 0.0 * start(outline)[0]
    for low, high, kept in zip(u[:-1], u[1:], within, strict=True):
        total = total + np.where(kept, high - low, 0.0)
    return total
