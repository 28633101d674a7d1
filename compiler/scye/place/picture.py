"""The picture of a pattern: all pieces in rows, in the order of their numbers, at full scale."""

from __future__ import annotations

from scye.ir.pattern import Pattern
from scye.ir.sheets import PicturePlan, Placed
from scye.place.pieces import Ready, ready_pieces

GAP = 20.0
MARGIN = 15.0
# A picture is wanted about this much wider than high.
SHAPE = 1.5


def lay_picture(pattern: Pattern) -> PicturePlan:
    """Rows of pieces; of all ways to break the rows at one width, the one nearest to the wanted shape."""
    ready = ready_pieces(pattern)
    widths = sorted({_row_width(ready[:count]) for count in range(1, len(ready) + 1)})
    plans = [_rows(pattern, ready, width) for width in widths] or [PicturePlan(pattern, 100, 100, ())]
    return min(plans, key=lambda plan: abs(plan.width / plan.height - SHAPE))


def _row_width(pieces: tuple[Ready, ...]) -> float:
    return sum(piece.box.width + GAP for piece in pieces) - GAP


def _rows(pattern: Pattern, pieces: tuple[Ready, ...], width: float) -> PicturePlan:
    placed: list[Placed] = []
    left = top = MARGIN
    bottom = right = 0.0
    for piece in pieces:
        if left > MARGIN and left + piece.box.width > MARGIN + width + 1e-6:
            left, top = MARGIN, bottom + GAP
        placed.append(piece.put(left, top))
        left = placed[-1].box.right + GAP
        bottom, right = max(bottom, placed[-1].box.bottom), max(right, placed[-1].box.right)
    return PicturePlan(pattern, right + MARGIN, bottom + MARGIN, tuple(placed))
