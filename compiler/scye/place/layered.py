"""Nests on pages of home paper: the pieces laid anew, all sizes of each together."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from scye.ir.grade import NestPiece, NestPlan
from scye.ir.pattern import Stroke
from scye.ir.sheets import Box, Paper, TilePlan, Write
from scye.place.aside import clear_words, room_of
from scye.place.ground import Places, places_along, rectangle_points
from scye.place.ink import FINE, cells_reached, covered
from scye.place.outline import moved, moved_stroke, stroke_box, union
from scye.place.tiles import MARGIN, OVERLAP, Sheet, best_layout, grid_of, plan_of


@dataclass(frozen=True, slots=True)
class NestTiles:
    """The nest with its pieces where they lie on the sheet, and the pages that the sheet is cut up into."""

    nest: NestPlan
    plan: TilePlan


def tile_nest(nest: NestPlan, paper: Paper, overlap: float = OVERLAP) -> NestTiles:
    """The pieces of a nest laid anew for pages of one paper (mm); blank pages are left out."""
    grid = grid_of(paper, MARGIN, overlap)
    boxes = [_box(piece) for piece in nest.pieces]
    layout = best_layout(grid, boxes, [_ground(piece) for piece in nest.pieces])
    moves = [(x - b.left, y - b.top) for (x, y), b in zip(layout.corners, boxes, strict=True)]
    pieces = clear_words([replace(p, move=m) for p, m in zip(nest.pieces, moves, strict=True)], grid, layout)
    lying = [moved(_box(piece), piece.move) for piece in pieces]
    reached = tuple(cells_reached(_ground(piece), piece.move, grid.step) for piece in pieces)
    plan = plan_of(
        grid,
        Sheet(nest.recipe, "all sizes", paper, MARGIN, nest.words),
        replace(layout, reached=reached),
        (),
        tuple(_outlines(pieces)),
        [_lines(piece) + np.array(piece.move) for piece in pieces],
        lying,
    )
    page = union(lying) if lying else Box(0.0, 0.0, 1.0, 1.0)
    return NestTiles(
        replace(nest, pieces=pieces, width=page.right + 1, height=page.bottom + 1, corner=None, key=()), plan
    )


def _outlines(pieces: tuple[NestPiece, ...]) -> Iterator[Stroke]:
    """The largest size of each piece, for the map."""
    for piece in pieces:
        cutting = max((line.cutting for line in piece.piece.lines), key=lambda s: stroke_box(s).height)
        yield moved_stroke(cutting, piece.move)


def _box(piece: NestPiece) -> Box:
    lines = [box for line in piece.piece.lines for box in (stroke_box(line.cutting), stroke_box(line.net))]
    return union([*lines, *(room_of(words) for words in _words(piece))])


def _words(piece: NestPiece) -> tuple[Write, ...]:
    return (*piece.words, *(label.words for label in piece.labels))


def _ground(piece: NestPiece) -> Places:
    """Places all over what a nested piece and its words cover, in its own coordinates."""
    return np.concatenate([_lines(piece), *(covered(line.cutting) for line in piece.piece.lines)])


def _lines(piece: NestPiece) -> Places:
    """Places on the lines and words of a nested piece, in its own coordinates."""
    strokes = [stroke for line in piece.piece.lines for stroke in (line.cutting, line.net, *line.marks)]
    strokes += [label.stroke for label in piece.labels]
    strokes.append(Stroke(piece.piece.grain[0], ((piece.piece.grain[1],),), False))
    rooms = [room_of(words) for words in _words(piece)]
    return np.concatenate(
        [*(places_along(stroke, FINE, 3.0) for stroke in strokes), *(_within(room) for room in rooms)]
    )


def _within(box: Box) -> Places:
    middle = ((box.left + box.right) / 2, (box.top + box.bottom) / 2)
    return rectangle_points(middle, box.width, box.height, 0.0, 3.0)
