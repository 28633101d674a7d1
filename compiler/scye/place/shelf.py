"""Shelf packing: the tallest first, side by side on shelves, upright with their grain as drawn."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from scye.ir.pattern import Point
from scye.ir.sheets import Box

Fit = Callable[[float, float], float]


def close_up(start: float, length: float) -> float:
    """The start that is asked for: nothing to keep clear of."""
    del length
    return start


@dataclass
class _Shelf:
    top: float
    height: float
    right: float = 0.0


def pack(
    boxes: Sequence[Box], width: float, gap: float, across: Fit = close_up, down: Fit = close_up
) -> tuple[Point, ...]:
    """Where the top left corner of each box comes on a sheet from (0, 0), in the order of the boxes.

    The sheet is `width` mm wide and as long as need be, the boxes `gap` mm apart. A shelf is as high as its
    first box; one wider than the sheet has a shelf to itself. `across` and `down` may put off a start (given
    with the length wanted there) to keep clear of a joint.
    """
    shelves: list[_Shelf] = []
    corners: dict[int, Point] = {}
    for i in sorted(range(len(boxes)), key=lambda i: (-boxes[i].height, i)):
        box = boxes[i]
        found = next(((s, at) for s in shelves if (at := _room(s, box, width, across, down))), None)
        if found is None:
            bottom = shelves[-1].top + shelves[-1].height + gap if shelves else 0.0
            shelf = _Shelf(down(bottom, box.height), box.height)
            shelves.append(shelf)
            found = shelf, (0.0, shelf.top)
        shelf, corners[i] = found
        shelf.right = corners[i][0] + box.width + gap
    return tuple(corners[i] for i in range(len(boxes)))


def _room(shelf: _Shelf, box: Box, width: float, across: Fit, down: Fit) -> Point | None:
    """The next place on a shelf, if the box fits there."""
    left, top = across(shelf.right, box.width), down(shelf.top, box.height)
    fits = left + box.width <= width and top + box.height <= shelf.top + shelf.height
    return (left, top) if fits else None
