"""Nests on pages of home paper: the pieces laid anew, all sizes of each together."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from scye.ir.grade import NestPiece, NestPlan
from scye.ir.pattern import Stroke
from scye.ir.sheets import Box, Paper, TilePlan, Write
from scye.place.ground import Places, places_along, rectangle_points
from scye.place.ink import FINE, covered
from scye.place.outline import moved, moved_stroke, stroke_box, union
from scye.place.tiles import MARGIN, OVERLAP, Sheet, best_layout, grid_of, plan_of
from scye.place.widths import text_width

# Beyond the sheet: the title block and the key are on the cover instead.
AWAY = (-4000.0, -4000.0)


@dataclass(frozen=True, slots=True)
class NestTiles:
    """The nest with its pieces where they lie on the sheet, and the pages that the sheet is cut up into."""

    nest: NestPlan
    plan: TilePlan


def tile_nest(nest: NestPlan, paper: Paper, overlap: float = OVERLAP) -> NestTiles:
    """The pieces of a nest laid anew for pages of one paper (mm); blank pages are left out."""
    grid = grid_of(paper, MARGIN, overlap)
    boxes = [_box(piece) for piece in nest.pieces]
    lines = [_lines(piece) for piece in nest.pieces]
    grounds = [
        np.concatenate([own, *(covered(line.cutting) for line in piece.piece.lines)])
        for own, piece in zip(lines, nest.pieces, strict=True)
    ]
    layout = best_layout(grid, boxes, grounds)
    moves = [(x - b.left, y - b.top) for (x, y), b in zip(layout.corners, boxes, strict=True)]
    lying = [moved(box, move) for box, move in zip(boxes, moves, strict=True)]
    pieces = tuple(replace(p, move=move) for p, move in zip(nest.pieces, moves, strict=True))
    plan = plan_of(
        grid,
        Sheet(nest.recipe, "all sizes", paper, MARGIN, nest.words),
        layout,
        (),
        tuple(_outlines(pieces)),
        [own + np.array(move) for own, move in zip(lines, moves, strict=True)],
        lying,
    )
    page = union(lying) if lying else Box(0.0, 0.0, 1.0, 1.0)
    return NestTiles(
        replace(nest, pieces=pieces, width=page.right + 1, height=page.bottom + 1, corner=AWAY), plan
    )


def _outlines(pieces: tuple[NestPiece, ...]) -> Iterator[Stroke]:
    """The largest size of each piece, for the map."""
    for piece in pieces:
        cutting = max((line.cutting for line in piece.piece.lines), key=lambda s: stroke_box(s).height)
        yield moved_stroke(cutting, piece.move)


def _box(piece: NestPiece) -> Box:
    lines = [box for line in piece.piece.lines for box in (stroke_box(line.cutting), stroke_box(line.net))]
    return union([*lines, *(_room(words) for words in _words(piece))])


def _words(piece: NestPiece) -> tuple[Write, ...]:
    return (*piece.words, *(label.words for label in piece.labels))


def _room(text: Write) -> Box:
    width = text_width(text.words, text.size)
    left = text.at[0] - (width if text.anchor == "end" else 0.0)
    return Box(left, text.at[1] - text.size, left + width, text.at[1] + 1)


def _lines(piece: NestPiece) -> Places:
    """Places on the lines and words of a nested piece, in its own coordinates."""
    strokes = [stroke for line in piece.piece.lines for stroke in (line.cutting, line.net, *line.marks)]
    strokes += [label.stroke for label in piece.labels]
    strokes.append(Stroke(piece.piece.grain[0], ((piece.piece.grain[1],),), False))
    rooms = [_room(words) for words in _words(piece)]
    return np.concatenate(
        [*(places_along(stroke, FINE, 3.0) for stroke in strokes), *(_within(room) for room in rooms)]
    )


def _within(box: Box) -> Places:
    middle = ((box.left + box.right) / 2, (box.top + box.bottom) / 2)
    return rectangle_points(middle, box.width, box.height, 0.0, 3.0)
