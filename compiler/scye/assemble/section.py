"""How wide a finished piece is across a line, darts closed, and how often it is cut."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

import numpy as np

from scye.assemble.darts import folded_flat
from scye.assemble.strokes import Crossed, chain, samples, straight
from scye.geometry.path import Circle, Guide, Line, Path, end, reverse, start
from scye.geometry.vector import Array, Flags, cross, quiet, unit
from scye.ir.assembly import DoubleDart, EdgeDrawn, Mouth
from scye.ir.plan import CutPlan

ALONG = 0.5  # mm within which an edge that follows a line counts as lying on it


def as_guide(line: Line) -> Guide | None:
    """A line as an endless straight: a drawn one through its ends; a sweep has none."""
    match line:
        case Guide():
            return line
        case Path():
            return Guide(start(line), unit(end(line) - start(line)))
        case Circle():
            return None


class Finished:
    """A finished piece, looked at for how wide it is across lines."""

    def __init__(self, edges: Sequence[EdgeDrawn], doubles: Sequence[DoubleDart]) -> None:
        self._lengths = [edge.length for edge in edges]
        self._wedges = _wedges(edges, doubles)
        looks = [[samples(stretch.path, 2) for stretch in edge.stretches] for edge in edges]
        self._looks = np.concatenate([points for row in looks for points in row])  # (K, 2, n)
        sizes = [sum(map(len, row)) for row in looks]
        self._begins = np.add.accumulate([0, *sizes[:-1]])  # of each edge's among them

    def wedges_at(self, line: Guide) -> list[tuple[Path, Guide]]:
        """What lies in darts, with the line that may cross it."""
        return [(wedge, line) for wedge in self._wedges]

    def width(self, net: Crossed, wedges: Iterable[Crossed]) -> Array:
        """The cloth (n,) mm that a line crosses, which crosses its `wedges_at` so.

        What lies in darts at the line is taken off. Where an edge runs along the line, the width is the
        length of that edge with darts closed.
        """
        with quiet(all="ignore"):
            width, line = net.length(), net.line
            for wedge in wedges:
                width = width - wedge.length()
            lying = self._lying(line)
            by_edge = 0.0 * width
            for here, length in zip(lying, self._lengths, strict=True):
                by_edge = by_edge + np.where(here, length, 0.0)
            return np.where(np.logical_or.reduce(lying), by_edge, width)

    def _lying(self, line: Guide) -> Flags:
        """Which edges run along a line, (E, n)."""
        along: Flags = np.abs(cross(line.direction, self._looks - line.point)) <= ALONG
        return np.logical_and.reduceat(along, self._begins, axis=0)


def _wedges(edges: Sequence[EdgeDrawn], doubles: Sequence[DoubleDart]) -> list[Path]:
    mouths = [mouth for edge in edges for mouth in edge.mouths if mouth is not None]
    mouths = [mouth for mouth in mouths if mouth.kind == "dart" or folded_flat(mouth)]
    return [*(_wedge(mouth) for mouth in mouths), *(_diamond(dart) for dart in doubles)]


def _wedge(mouth: Mouth) -> Path:
    """The paper that a sewn dart takes in: its cap and both legs; or that lies folded in a pleat."""
    if folded_flat(mouth):
        legs = [mouth.end, mouth.point, mouth.pivot, mouth.start]
        return chain([*mouth.cap, *(straight(a, b) for a, b in pairwise(legs))])
    return chain([*mouth.cap, straight(mouth.end, mouth.point), straight(mouth.point, mouth.start)])


def _diamond(dart: DoubleDart) -> Path:
    return chain([dart.sides[0], reverse(dart.sides[1])])


def times_cut(cuts: Sequence[CutPlan]) -> int:
    """How many times a piece goes round the body: once a cloth piece of the outer layer, twice on a fold."""
    if not cuts:
        return 1
    outer = [cut for cut in cuts if "self" in cut.layers] or list(cuts[:1])
    return sum(cut.count * (2 if cut.how == "fold" else 1) for cut in outer)
