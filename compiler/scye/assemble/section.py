"""How wide a finished piece is across a line, darts closed, and how often it is cut."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from scye.assemble.strokes import Crossed, chain, crossed, samples, straight
from scye.geometry.path import Circle, Guide, Line, Path, end, nearest, reverse, start
from scye.geometry.vector import Array, quiet, unit
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


def width_across(net: Crossed, edges: Sequence[EdgeDrawn], doubles: Sequence[DoubleDart]) -> Array:
    """The cloth (n,) mm that a line crosses on a finished piece.

    What lies in darts at the line is taken off. Where an edge runs along the line, the width is the length
    of that edge with darts closed.
    """
    with quiet(all="ignore"):
        width, line = net.length(), net.line
        for wedge in _wedges(edges, doubles):
            width = width - crossed(wedge, line).length()
        lying = [(_lies_along(edge, line), edge.length) for edge in edges]
        on_line = np.zeros(width.shape, dtype=bool)
        by_edge = 0.0 * width
        for here, length in lying:
            on_line |= here
            by_edge = by_edge + np.where(here, length, 0.0)
        return np.where(on_line, by_edge, width)


def _wedges(edges: Sequence[EdgeDrawn], doubles: Sequence[DoubleDart]) -> list[Path]:
    mouths = [mouth for edge in edges for mouth in edge.mouths if mouth is not None]
    return [*(_wedge(mouth) for mouth in mouths), *(_diamond(dart) for dart in doubles)]


def _wedge(mouth: Mouth) -> Path:
    """The paper a sewn dart takes in: its cap and both legs."""
    return chain([*mouth.cap, straight(mouth.end, mouth.point), straight(mouth.point, mouth.start)])


def _diamond(dart: DoubleDart) -> Path:
    return chain([dart.sides[0], reverse(dart.sides[1])])


def _lies_along(edge: EdgeDrawn, line: Guide) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
    along = np.ones(edge.length.shape, dtype=bool)
    for stretch in edge.stretches:
        for point in samples(stretch.path, 2):
            along &= nearest(line, point)[1] <= ALONG
            if not along.any():
                return along
    return along


def times_cut(cuts: Sequence[CutPlan]) -> int:
    """How many times a piece goes round the body: once a cloth piece of the outer layer, twice on a fold."""
    if not cuts:
        return 1
    outer = [cut for cut in cuts if "self" in cut.layers] or list(cuts[:1])
    return sum(cut.count * (2 if cut.how == "fold" else 1) for cut in outer)
