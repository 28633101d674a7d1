"""One long page from a roll of paper: the title block, then the pieces on shelves."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from scye.diagnostics.paper import LargerThanRoll
from scye.ir.pattern import Pattern
from scye.ir.sheets import Box, Placed, RollPage, RollPlan
from scye.place.outline import moved, piece_box
from scye.place.pieces import Ready, ready_pieces
from scye.place.shelf import pack
from scye.place.words import sheet_words
from scye.units.tape import show_length

# 36 in roll paper, to the mm.
ROLL_WIDTH = 914.0
# A page of a PDF file is at most 14,400 units of 1/72 in (ISO 32000-1, annex C).
LONGEST = 5080.0
MARGIN = 10.0
GAP = 15.0
# Room for the title block above the pieces.
TITLE_WIDTH = 340.0
TITLE_HEIGHT = 70.0
# Room for pieces down a page, and the narrowest roll that has room for the title.
LENGTH_ROOM = LONGEST - 2 * MARGIN - TITLE_HEIGHT - GAP
NARROWEST = TITLE_WIDTH + 2 * MARGIN


def lay_roll(pattern: Pattern, width: float = ROLL_WIDTH) -> RollPlan:
    """All pieces on roll paper `width` mm wide; what does not go on 5080 mm goes on another page.

    The page of a piece that is larger than the roll is made to fit it.
    """
    ready = ready_pieces(pattern)
    groups = _by_length(ready, width - 2 * MARGIN, LENGTH_ROOM)
    return RollPlan(pattern, tuple(_page(pattern, group, width) for group in groups))


def larger_than_roll(pattern: Pattern, width: float) -> Iterator[tuple[str, LargerThanRoll]]:
    """A caution for each piece that is wider than the roll or longer than a page, by the piece's name."""
    for piece in pattern.pieces:
        box = piece_box(piece)
        if box.width > width - 2 * MARGIN or box.height > LENGTH_ROOM:
            across, down = (show_length(mm, pattern.unit) for mm in (box.width, box.height))
            roll, room = (show_length(mm, pattern.unit) for mm in (width, width - 2 * MARGIN))
            size = f"{across} by {down}"
            yield piece.name, LargerThanRoll(span=None, piece=piece.title, size=size, roll=roll, room=room)


def _by_length(ready: Sequence[Ready], width: float, room: float) -> list[tuple[Placed, ...]]:
    """Pieces packed, and parted where a shelf would end past the room of one page."""
    groups: list[list[Placed]] = [[]]
    top = 0.0
    corners = pack([r.box for r in ready], width, GAP)
    # From shelf to shelf, and along each.
    for (left, shelf_top), r in sorted(zip(corners, ready, strict=True), key=lambda pair: pair[0][::-1]):
        if groups[-1] and shelf_top + r.box.height - top > room:
            groups.append([])
            top = shelf_top
        groups[-1].append(r.put(left, shelf_top - top))
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
