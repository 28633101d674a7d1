"""One long page from a roll of paper: the title block, then the pieces on shelves."""

from __future__ import annotations

from collections.abc import Sequence

from scye.ir.pattern import Pattern
from scye.ir.sheets import Box, Placed, RollPage, RollPlan
from scye.place.outline import moved
from scye.place.pieces import Ready, ready_pieces
from scye.place.shelf import pack
from scye.place.words import sheet_words

# 36 in roll paper, to the mm.
ROLL_WIDTH = 914.0
# A page of a PDF file is at most 14,400 units of 1/72 in (ISO 32000-1, annex C).
LONGEST = 5080.0
MARGIN = 10.0
GAP = 15.0
# Room for the title block above the pieces.
TITLE_WIDTH = 340.0
TITLE_HEIGHT = 70.0


def lay_roll(pattern: Pattern, width: float = ROLL_WIDTH) -> RollPlan:
    """All pieces on roll paper `width` mm wide; what does not go on 5080 mm goes on another page."""
    ready = ready_pieces(pattern)
    room = LONGEST - 2 * MARGIN - TITLE_HEIGHT - GAP
    groups = _by_length(ready, width - 2 * MARGIN, room)
    pages = tuple(_page(pattern, group, width) for group in groups)
    wide = tuple(r.piece.name for r in ready if r.box.width > width - 2 * MARGIN or r.box.height > room)
    return RollPlan(pattern, pages, wide)


def _by_length(ready: Sequence[Ready], width: float, room: float) -> list[tuple[Placed, ...]]:
    """Pieces packed, and parted where a shelf would end past the room of one page."""
    groups: list[list[Placed]] = [[]]
    top = 0.0
    for placed in pack(ready, width, GAP):
        shelf_top = placed.box.top
        if groups[-1] and placed.box.bottom - top > room:
            groups.append([])
            top = shelf_top
        groups[-1].append(_moved(placed, 0.0, -top))
    return [tuple(group) for group in groups]


def _page(pattern: Pattern, group: tuple[Placed, ...], width: float) -> RollPage:
    title = Box(MARGIN, MARGIN, MARGIN + TITLE_WIDTH, MARGIN + TITLE_HEIGHT)
    first = title.bottom + GAP
    placed = tuple(_moved(p, MARGIN, first) for p in group)
    right = max((p.box.right for p in placed), default=0.0) + MARGIN
    bottom = max((p.box.bottom for p in placed), default=title.bottom) + MARGIN
    return RollPage(max(width, right, title.right + MARGIN), bottom, placed, title, sheet_words(pattern))


def _moved(placed: Placed, right: float, down: float) -> Placed:
    move = (placed.move[0] + right, placed.move[1] + down)
    return Placed(placed.piece, placed.lettering, move, moved(placed.box, (right, down)))
