"""Fair curves through points, of a given fulness, length or depth. mm; the last axis is bodies."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from scye.geometry.bowed import bowed_curve
from scye.geometry.curve import NODES, WEIGHTS, add_up
from scye.geometry.hobby import mirrored_direction, run_directions, span_curve
from scye.geometry.newton import solve_rising
from scye.geometry.path import Path, polyline, stack_segments
from scye.geometry.regularity import regularity
from scye.geometry.vector import Array, dot, in_blocks, norm, quarter_turn, quiet, row, unit

__all__ = ["arc_of_length", "bowed_curve", "curve_of_length", "fair_curve", "regularity"]

LEAST_FULNESS, MOST_FULNESS = 0.05, 6.0  # how far handles may be scaled to reach a length
EVENINGS = 3  # times that the directions are made even for another fulness
SETTLED = 0.02  # of the handles: a last change smaller than this leaves the curvature as good as even
SAME_LENGTH = 1e-6  # mm by which a straight may miss a length it is to have
ROUNDING = 1e-10  # mm that the shortest and longest length in reach may be missed by
FULLEST_ARC = 16.0  # square of the tangent of a quarter of the arc: about 304 degrees


def fair_curve(points: Sequence[Array], goings: Sequence[Array | None], fulness: ArrayLike = 1.0) -> Path:
    """The fair curve through the points (2, n), one segment between each two.

    Args:
        points: two or more; NaN for a body of which two neighbours coincide.
        goings: for each point the direction the curve goes there (any length), or None where it is free.
        fulness: (n,) or a number: 1 is Hobby's own handles, more is fuller, less is flatter.

    Two free points make a straight. At a free point between others the curvature is continuous.
    """
    directions, full = [None if going is None else unit(going) for going in goings], row(fulness)
    if len(points) == 2 and directions[0] is None and directions[1] is None:
        return _apart(polyline(points))
    whole = _all_directions(points, directions, full)
    spans = [
        span_curve(a, b, leaving, arriving, full)
        for a, b, leaving, arriving in zip(points, points[1:], whole, whole[1:], strict=False)
    ]
    return Path(stack_segments(spans), (False,) * len(spans))


def curve_of_length(
    points: Sequence[Array], goings: Sequence[Array | None], target: ArrayLike
) -> tuple[Path, Array, Array]:
    """The fair curve whose fulness makes it `target` (n,) mm long.

    Returns the path, NaN for bodies out of reach, and the shortest and longest reachable lengths (n,). With
    the directions kept, the length grows with the fulness: it is convex in it (a mean of norms of linear
    functions), and least, the sum of the chords, where the handles vanish. At free points between others
    the directions are then made even again for that fulness.
    """
    drawn, wanted = fair_curve(points, goings), row(target)
    with quiet(all="ignore"):
        if drawn.straight[0]:
            only = norm(points[1] - points[0])
            fits = np.where(np.abs(wanted - only) <= SAME_LENGTH, 0.0, np.nan)
            return Path(drawn.ctrl + fits, drawn.straight), only, only
        path, scale, low, high = _scaled_to(drawn, wanted)
        if any(going is None for going in goings[1:-1]):
            path = _evened_at_length(points, goings, wanted, path, scale)
        return path, low, high


def _scaled_to(drawn: Path, wanted: Array) -> tuple[Path, Array, Array, Array]:
    """A curve with its handles scaled to a length; the scale, and the lengths reachable so."""
    scale, low, high = in_blocks(_scale_to, drawn.ctrl, wanted)
    return Path(_scale_handles(drawn.ctrl, scale), drawn.straight), scale, low, high


def _scale_to(ctrl: Array, wanted: Array) -> Array:
    """The scale of all handles that makes the length as wanted, and the lengths in reach: (3, n)."""
    lengths = _ScaledLengths(ctrl)
    low, high = lengths.of(LEAST_FULNESS), lengths.of(MOST_FULNESS)
    inside = (wanted >= low - ROUNDING) & (wanted <= high + ROUNDING)
    goal, within = np.clip(wanted, low, high), np.where(inside, 1.0, np.nan)

    def excess(scale: Array) -> tuple[Array, Array]:
        total, slope = lengths.at(scale)
        return total - goal, slope

    scale = solve_rising(excess, LEAST_FULNESS * within, MOST_FULNESS * within, within)
    # a straight has its length at many a fulness: then, too, it stays as drawn
    scale = np.where(np.abs(lengths.of(1.0) - goal) <= ROUNDING * within, 1.0, scale)
    return np.stack(np.broadcast_arrays(scale, low, high))


def _evened_at_length(
    points: Sequence[Array], goings: Sequence[Array | None], wanted: Array, path: Path, scale: Array
) -> Path:
    """The curve of a length with even curvature too; as it was where the two do not settle together.

    The secant method on the fulness: the curve even for it must need no more scaling.
    """
    before, need_before, fulness, evened = np.ones_like(scale), scale, scale, path
    for _ in range(EVENINGS):
        evened, need, _, _ = _scaled_to(fair_curve(points, goings, fulness), wanted)
        secant = fulness - (need - 1.0) * (fulness - before) / (need - need_before)
        near = np.abs(secant / fulness - 1.0) <= 0.5
        before, need_before, fulness = fulness, need, np.where(near, secant, fulness * need)
    settled = np.abs(need_before - 1.0) <= SETTLED
    return Path(np.where(settled, evened.ctrl, path.ctrl), path.straight)


def arc_of_length(a: Array, b: Array, target: ArrayLike, side: Array) -> tuple[Path, Array, Array]:
    """The circle-like arc from a to b, bowed to the side a direction (2, n) points to, `target` mm long.

    Returns the path and the reachable lengths, as `curve_of_length`. With x the tangent of half the angle
    at an end, Hobby's arc has its inner control points at (1 - x2)/3 along the chord from each end and
    2x/3 out of it, so its length over the chord is a function of x2 alone:
    the mean over t of sqrt(1 + x2 (2 - 4q) + x2 x2 (6q - 1)**2), q = t (1 - t).
    """
    wanted = row(target)
    with quiet(all="ignore"):
        chord = b - a
        distance = norm(chord)
        share = wanted / distance
        longest = float(_arc_share(np.array([FULLEST_ARC]))[0][0])
        slack = ROUNDING / distance
        within = np.where((share >= 1.0 - slack) & (share <= longest + slack), 0.0, np.nan)
        share = np.clip(share, 1.0, longest)

        def excess(square: Array) -> tuple[Array, Array]:
            total, slope = _arc_share(square)
            return total - share, slope

        guess = np.minimum(1.5 * (share - 1.0), FULLEST_ARC) + within
        square = solve_rising(excess, within, FULLEST_ARC + within, guess)
        towards = np.where(dot(quarter_turn(chord), side) >= 0.0, 1.0, -1.0)
        out = (2.0 / 3.0) * np.sqrt(square) * towards * quarter_turn(chord)
        along = (1.0 - square) / 3.0 * chord
        ctrl = np.stack(np.broadcast_arrays(a + within, a + along + out, b - along + out, b + within))
        return Path(ctrl[None], (False,)), distance, distance * longest


class _ScaledLengths:
    """The length of a path as a function of the scale of its handles.

    The velocity at each node is `still + scale * moved`; the squares are kept, (32, S, n) each.
    """

    __slots__ = ("_moved", "_moved_still", "_still")

    def __init__(self, ctrl: Array) -> None:
        t = NODES[:, None, None, None]
        chord = ctrl[:, 3] - ctrl[:, 0]
        first, last = ctrl[:, 1] - ctrl[:, 0], ctrl[:, 3] - ctrl[:, 2]
        still = 6.0 * t * (1.0 - t) * chord
        moved = 3.0 * ((1.0 - t) * (1.0 - 3.0 * t) * first + t * (3.0 * t - 2.0) * last)
        self._still, self._moved_still, self._moved = dot(still, still), dot(moved, still), dot(moved, moved)

    def of(self, scale: ArrayLike) -> Array:
        """The length (n,)."""
        return _over_nodes(WEIGHTS[:, None, None] * self._motion(row(scale))[1])

    def at(self, scale: ArrayLike) -> tuple[Array, Array]:
        """The length (n,) and its slope by the scale (n,)."""
        rate, speed = self._motion(row(scale))
        weights = WEIGHTS[:, None, None]
        return _over_nodes(weights * speed), _over_nodes(weights * (rate / speed))

    def _motion(self, scale: Array) -> tuple[Array, Array]:
        """How much of the moved part goes along the velocity, and the speed, at each node."""
        rate = self._moved_still + scale * self._moved
        # where a straight turns back the square is nought, or by rounding a hair less
        return rate, np.sqrt(np.maximum(self._still + scale * (self._moved_still + rate), 0.0))


def _over_nodes(terms: Array) -> Array:
    """The sum over nodes and segments of (32, S, n)."""
    return add_up(terms.reshape(-1, terms.shape[-1]))


def _scale_handles(ctrl: Array, scale: Array) -> Array:
    a, b = ctrl[:, 0], ctrl[:, 3]
    scaled = (a + 0.0 * scale, a + scale * (ctrl[:, 1] - a), b - scale * (b - ctrl[:, 2]), b + 0.0 * scale)
    return np.stack(scaled, axis=1)


def _arc_share(square: Array) -> tuple[Array, Array]:
    q = (NODES * (1.0 - NODES))[:, None]
    wide, tall = 2.0 - 4.0 * q, (6.0 * q - 1.0) ** 2
    speed = np.sqrt(1.0 + square * (wide + square * tall))
    weights = WEIGHTS[:, None]
    return add_up(weights * speed), add_up(weights * (0.5 * wide + square * tall) / speed)


def _apart(path: Path) -> Path:
    """NaN where the two ends of a straight coincide."""
    with quiet(all="ignore"):
        chord = path.ctrl[-1, 3] - path.ctrl[0, 0]
        apart = np.where(dot(chord, chord) > 0.0, 0.0, np.nan)
    return Path(path.ctrl + apart, path.straight)


def _all_directions(points: Sequence[Array], goings: Sequence[Array | None], fulness: Array) -> list[Array]:
    """The direction at every point; the stated ones part the curve into runs."""
    known = list(goings)
    stops = [0, *(k for k in range(1, len(points) - 1) if goings[k] is not None), len(points) - 1]
    for first, last in itertools.pairwise(stops):
        run = _run(points[first : last + 1], goings[first], goings[last], fulness)
        known[first : last + 1] = run
    return [direction for direction in known if direction is not None]


def _run(
    points: Sequence[Array], leaving: Array | None, arriving: Array | None, fulness: Array
) -> list[Array]:
    if len(points) > 2:
        free = run_directions(points, leaving, arriving, fulness)
        return [
            free[0] if leaving is None else leaving,
            *free[1:-1],
            free[-1] if arriving is None else arriving,
        ]
    a, b = points
    if leaving is None and arriving is None:
        leaving = unit(b - a)
    if leaving is None and arriving is not None:
        leaving = mirrored_direction(b, a, arriving)
    if arriving is None and leaving is not None:
        arriving = mirrored_direction(a, b, leaving)
    return [direction for direction in (leaving, arriving) if direction is not None]
