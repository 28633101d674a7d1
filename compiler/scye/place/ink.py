"""What a piece puts on paper, as places: where its lines run, and which ground it covers."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scye.ir.pattern import Piece, Point, Stroke
from scye.ir.sheets import Box, LabelBlock, Lettering, Placed
from scye.place.ground import Ground, ground_within, open_ground, rectangle_points
from scye.place.lettering import block_size
from scye.place.outline import along, flatten
from scye.place.widths import text_width

Places = NDArray[np.float64]
Cells = tuple[tuple[int, int], ...]
# Lines are followed this closely (mm); less than the half overlap that a neighbouring page shows of them.
FINE = 1.5


@dataclass(frozen=True, slots=True, eq=False)
class Ink:
    """Places of a piece in its own coordinates: `lines` on its lines and words, `ground` all it covers."""

    lines: Places
    ground: Places


def ink_of(piece: Piece, lettering: Lettering) -> Ink:
    lines = _places([*_line_points(piece), *_label_points(lettering.label), *_word_points(lettering)])
    return Ink(lines, np.concatenate([lines, _covered(piece)]))


def _line_points(piece: Piece) -> list[Point]:
    strokes = [piece.cutting, piece.net, Stroke(piece.grain[0], ((piece.grain[1],),), False)]
    strokes += [Stroke(a, ((b,),), False) for _, a, b in piece.levels]
    strokes += [stroke for dart in piece.darts for stroke in (*dart.legs, dart.fold)]
    points = [point for stroke in strokes for point in along(flatten(stroke, 3.0), FINE)]
    for mark in piece.edge_labels:
        points.extend(rectangle_points(mark.at, 10, 8, mark.angle, 3))
    return points


def _label_points(label: LabelBlock) -> list[Point]:
    width, height = block_size(label.lines)
    points = list(rectangle_points(label.centre, width, height, label.angle, 3))
    return points if label.leader is None else [*points, *along(flatten(label.leader), FINE)]


def _word_points(lettering: Lettering) -> list[Point]:
    """The small words along levels and grain, which are centred on their places."""
    words = [*lettering.levels, *([lettering.grain] if lettering.grain else [])]
    return [
        point
        for text in words
        for point in rectangle_points(
            text.at, text_width(text.words, text.size), text.size * 2, text.angle, 2
        )
    ]


def _covered(piece: Piece) -> Places:
    """The middles of the grid's cells inside the cutting line."""
    ground = ground_within(piece.cutting)
    rows, columns = np.nonzero(~ground.taken)
    return np.stack(
        [ground.box.left + (columns + 0.5) * ground.cell, ground.box.top + (rows + 0.5) * ground.cell], axis=1
    )


def _places(points: list[Point]) -> Places:
    return np.array(points, dtype=float).reshape(-1, 2)


def cells_reached(ink: Ink, move: Point, step: Point) -> Cells:
    """Rows and columns of the `step`-sized cells, counted from (0, 0), that a moved piece touches."""
    columns = np.floor((ink.ground[:, 0] + move[0] - 1e-6) / step[0]).clip(0).astype(int)
    rows = np.floor((ink.ground[:, 1] + move[1] - 1e-6) / step[1]).clip(0).astype(int)
    keys = np.unique(rows * 4096 + columns)
    return tuple((int(key) // 4096, int(key) % 4096) for key in keys)


def ground_of_page(window: Box, placed: list[tuple[Placed, Ink]]) -> Ground:
    """The part of a sheet that a page shows, with the cells that carry ink taken."""
    ground = open_ground(window, 3.0)
    for piece, ink in placed:
        ground.block_places(ink.lines + np.array(piece.move))
    return ground
