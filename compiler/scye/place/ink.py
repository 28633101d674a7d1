"""What a piece puts on paper, as places: where its lines run, and which ground it covers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from scye.ir.pattern import Piece, Point, Stroke
from scye.ir.sheets import Box, Lettering
from scye.place.ground import Ground, Places, ground_within, open_ground, places_along, rectangle_points
from scye.place.lettering import block_size, fold_room
from scye.place.outline import piece_box
from scye.place.widths import text_width

Cells = tuple[tuple[int, int], ...]
# Lines are followed this closely (mm); less than the half overlap that a neighbouring page shows of them.
FINE = 1.5


@dataclass(frozen=True, slots=True, eq=False)
class Ink:
    """Places of a piece in its own coordinates: `lines` on its lines and words, `ground` all it covers."""

    lines: Places
    ground: Places


def ink_of(piece: Piece, lettering: Lettering) -> Ink:
    lines = np.concatenate([*_line_places(piece), *_word_places(piece, lettering)])
    return Ink(lines, np.concatenate([lines, covered(piece.cutting)]))


def _line_places(piece: Piece) -> Iterator[Places]:
    strokes = [piece.cutting, piece.net, Stroke(piece.grain[0], ((piece.grain[1],),), False)]
    strokes += [Stroke(a, ((b,),), False) for _, a, b in piece.levels]
    strokes += [line.stroke for line in piece.shown]
    strokes += [line for mark in piece.marked for line in mark.lines]
    strokes += [stroke for dart in piece.darts for stroke in (*dart.legs, dart.fold)]
    for stroke in strokes:
        yield places_along(stroke, FINE, 3.0)
    for notch in piece.notches:
        yield _about(notch.cut, notch.at)
    for at in (*(d.at for d in piece.drills), *(place for mark in piece.marked for place in mark.places)):
        yield _about(at, at)
    for edge in (edge for edge in piece.edges if edge.on_fold):
        yield _inside_only(rectangle_points(*fold_room(edge), 3), piece)


def _about(a: Point, b: Point) -> Places:
    """Places on a mark from one point to another, and a few mm round it for its strokes or its ring."""
    middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    return rectangle_points(middle, abs(a[0] - b[0]) + 8, abs(a[1] - b[1]) + 8, 0.0, 2.0)


def _inside_only(places: Places, piece: Piece) -> Places:
    """The places within the piece's bounds: a fold bracket lies on one side of its edge."""
    box = piece_box(piece)
    low, high = np.array([box.left, box.top]), np.array([box.right, box.bottom])
    kept: Places = places[((places >= low) & (places <= high)).all(axis=1)]
    return kept


def _word_places(piece: Piece, lettering: Lettering) -> Iterator[Places]:
    label = lettering.label
    yield rectangle_points(label.centre, *block_size(label.lines), label.angle, 3)
    if label.leader is not None:
        yield places_along(label.leader, FINE)
    for mark in piece.edge_labels:
        yield rectangle_points(mark.at, 10, 8, mark.angle, 3)
    for text in (*lettering.levels, *lettering.shown, *([lettering.grain] if lettering.grain else [])):
        yield rectangle_points(text.at, text_width(text.words, text.size), text.size * 2, text.angle, 2)
    for text in lettering.drills:
        width = text_width(text.words, text.size)
        yield rectangle_points((text.at[0] + width / 2, text.at[1]), width, text.size * 2, 0.0, 2)


def covered(outline: Stroke) -> Places:
    """The middles of the grid's cells inside a closed outline."""
    ground = ground_within(outline)
    rows, columns = np.nonzero(~ground.taken)
    return np.stack(
        [ground.box.left + (columns + 0.5) * ground.cell, ground.box.top + (rows + 0.5) * ground.cell], axis=1
    )


def cells_reached(ground: Places, move: Point, step: Point) -> Cells:
    """Rows and columns of the `step`-sized cells, counted from (0, 0), that a moved ground touches."""
    columns = np.floor((ground[:, 0] + move[0] - 1e-6) / step[0]).clip(0).astype(int)
    rows = np.floor((ground[:, 1] + move[1] - 1e-6) / step[1]).clip(0).astype(int)
    keys = np.flatnonzero(np.bincount(rows * 4096 + columns))
    return tuple((int(key) // 4096, int(key) % 4096) for key in keys)


def ground_of_page(window: Box, lines: Iterable[Places]) -> Ground:
    """The part of a sheet that a page shows, with the cells that carry ink taken."""
    ground = open_ground(window, 3.0)
    for places in lines:
        ground.block_places(places)
    return ground
