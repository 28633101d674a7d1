"""Shelf packing: the tallest pieces first, side by side on shelves, upright with their grain as drawn."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from scye.ir.sheets import Placed
from scye.place.pieces import Ready

Fit = Callable[[float, float], float]


def close_up(start: float, length: float) -> float:
    """The start that is asked for: nothing to keep clear of."""
    del length
    return start


@dataclass
class _Shelf:
    top: float
    right: float
    placed: list[Placed] = field(default_factory=list)


def pack(
    pieces: Sequence[Ready], width: float, gap: float, across: Fit = close_up, down: Fit = close_up
) -> tuple[Placed, ...]:
    """Pieces on a sheet from (0, 0), `width` mm wide and as long as need be, `gap` mm apart.

    A shelf is as high as its first piece; a piece wider than the sheet has a shelf to itself. `across`
    and `down` may put off a start (given with the length wanted there) to keep clear of a joint.
    """
    shelves: list[_Shelf] = []
    bottom = 0.0
    for piece in sorted(pieces, key=lambda p: (-p.box.height, p.piece.number)):
        shelf = next(
            (s for s in shelves if across(s.right, piece.box.width) + piece.box.width <= width), None
        )
        if shelf is None:
            shelf = _Shelf(down(bottom, piece.box.height), 0.0)
            shelves.append(shelf)
            bottom = shelf.top + piece.box.height + gap
        placed = piece.put(across(shelf.right, piece.box.width), shelf.top)
        shelf.placed.append(placed)
        shelf.right = placed.box.right + gap
    return tuple(placed for shelf in shelves for placed in shelf.placed)
