"""A piece made ready to be laid on a sheet: its lettering and the room it wants."""

from __future__ import annotations

from dataclasses import dataclass

from scye.ir.pattern import Pattern, Piece, Point
from scye.ir.sheets import Box, Lettering, Placed
from scye.place.joints import clear_edge_labels
from scye.place.lettering import label_box, letter
from scye.place.outline import moved, piece_box, union


@dataclass(frozen=True, slots=True)
class Ready:
    """A piece with its lettering and its room, in the piece's own coordinates (mm)."""

    piece: Piece
    lettering: Lettering
    box: Box

    def put(self, left: float, top: float) -> Placed:
        """The piece with the top left corner of its room at a place of the sheet."""
        move: Point = (left - self.box.left, top - self.box.top)
        return Placed(self.piece, self.lettering, move, moved(self.box, move))


def ready_pieces(pattern: Pattern) -> tuple[Ready, ...]:
    return tuple(_ready(pattern, piece) for piece in pattern.pieces)


def _ready(pattern: Pattern, piece: Piece) -> Ready:
    piece = clear_edge_labels(piece)
    lettering = letter(pattern, piece)
    return Ready(piece, lettering, union((piece_box(piece), label_box(lettering.label))))
