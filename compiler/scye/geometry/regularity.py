"""How evenly a line bends: bumps and tight places, for warnings."""

from __future__ import annotations

import numpy as np

from scye.geometry.curve import add_up
from scye.geometry.path import FLAT, Path, bends, end_tangent, leaving, length, sign_changes, start_tangent
from scye.geometry.vector import Array, Ints, angle_between, cross, quiet, unit

_TURNED = 1e-6  # radians of turning in all, below which there is no peak to speak of


def regularity(path: Path) -> tuple[Ints, Array]:
    """Turning points that the line's own points do not ask for (n,), and how peaked its curvature is (n,).

    What is asked for is counted on the straights between the ends of segments, with the directions at the
    two ends of the line. The peak curvature is given over the mean along the line: 1 for an arc of a
    circle, and for a straight.
    """
    with quiet(all="ignore"):
        bend, speed = bends(path)
        run = length(path)
        chords = unit(path.ctrl[:, 3] - path.ctrl[:, 0])
        heads = np.concatenate((start_tangent(path)[None], chords, end_tangent(path)[None]))
        asked = sign_changes(cross(heads[:-1], heads[1:]), FLAT)
        extra = np.maximum(sign_changes(bend * run, FLAT) - asked, 0)
        size = np.where(np.isnan(bend), 0.0, np.abs(bend))
        steps = len(bend) // len(path.straight)
        turned = add_up(size * speed) / steps
        peak = np.where(turned > _TURNED, size.max(axis=0) * run / turned, 1.0 + 0.0 * run)
        return extra, peak


def kinks(path: Path) -> Array:
    """How far the line turns where each segment goes over into the next, (S - 1, n), clockwise positive.

    NaN beside a segment of no length.
    """
    points = np.swapaxes(path.ctrl, 0, 1)
    heads, tails = leaving(points[:, 1:]), -leaving(points[::-1, :-1])
    return angle_between(tails, heads)
