"""A sheet for a projector: one page without joins, laid out in areas that the projector shows at a time.

An area is 24 by 36 in, what a projector over a table shows at the least. Neighbouring areas overlap by 2 in.
A piece that fits into one area lies in one; a longer one has two marks in every overlap that it runs
through, to lay the cloth by when it is drawn along.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from scye.ir.pattern import Pattern, Piece, Point
from scye.ir.sheets import Box, JointMark, Placed, ProjectorPlan
from scye.place.ground import Places
from scye.place.ink import Cells, ground_of_page, ink_of
from scye.place.lettering import label_box, letter_words
from scye.place.outline import moved, piece_box, union
from scye.place.pieces import Ready
from scye.place.tiles import Grid, Layout, best_layout
from scye.place.words import edition_words

INCH = 25.4
AREA = (24 * INCH, 36 * INCH)
LAP = 2 * INCH
# As many areas under each other as a page of a PDF file can hold.
MOST_ROWS = 5
SIZES = (14.0, 12.0, 10.0, 8.5, 7.0, 6.0, 5.0)
SMALL = 7.0
# Room of the grid for setting up, captions included.
GRID_ROOM = (226.0, 116.0)
# How near to the middle of an overlap the ground of a piece counts as lying there, mm.
NEAR = 3.0


def lay_projector(pattern: Pattern) -> ProjectorPlan:
    """All pieces in areas of 24 by 36 in, few areas and few pieces from one into another."""
    grid = Grid(AREA[0] - LAP, AREA[1] - LAP, LAP / 2)
    ready = [_ready(pattern, piece) for piece in pattern.pieces]
    inks = [ink_of(r.piece, r.lettering) for r in ready]
    layout = best_layout(grid, [r.box for r in ready], [ink.ground for ink in inks], MOST_ROWS)
    placed = tuple(r.put(*corner) for r, corner in zip(ready, layout.corners, strict=True))
    grounds = [ink.ground + np.array(p.move) for ink, p in zip(inks, placed, strict=True)]
    needed = layout.needed or ((0, 0),)
    corner = _grid_corner(grid, grounds)
    return _from_its_corner(pattern, grid, needed, placed, tuple(_marks(grid, layout, grounds)), corner)


def _ready(pattern: Pattern, piece: Piece) -> Ready:
    """A piece with fewer words than on paper, and larger; widths along edges would be too small to read."""
    bare = replace(piece, edge_labels=tuple(e for e in piece.edge_labels if e.role == "letter"))
    words = (piece.title, f"{piece.number} of {piece.of} · {pattern.body}", *(cut.text for cut in piece.cuts))
    lettering = letter_words(words, bare, sizes=SIZES, small=SMALL)
    return Ready(bare, lettering, union((piece_box(piece), label_box(lettering.label))))


def _marks(grid: Grid, layout: Layout, grounds: Sequence[Places]) -> Iterator[JointMark]:
    """Two marks on the middle of each overlap that a piece runs through, numbered throughout."""
    number = 0
    for cells, ground in zip(layout.reached, grounds, strict=True):
        for at in _crossed(grid, cells, ground):
            number += 1
            yield JointMark(at, str(number))


def _crossed(grid: Grid, cells: Cells, ground: Places) -> Iterator[Point]:
    for row, column in cells:
        core = grid.core((row, column))
        if (row, column + 1) in cells:
            yield from _two_on(ground, 0, core.right, (core.top, core.bottom))
        if (row + 1, column) in cells:
            yield from _two_on(ground, 1, core.bottom, (core.left, core.right))


def _two_on(ground: Places, axis: int, line: float, between: tuple[float, float]) -> Iterator[Point]:
    """A quarter and three quarters of the way along the part of a piece that lies on a line."""
    along = ground[:, 1 - axis]
    here = (np.abs(ground[:, axis] - line) <= NEAR) & (between[0] <= along) & (along <= between[1])
    found = np.sort(along[here])
    for share in (0.25, 0.75) if len(found) else ():
        at = float(found[int(share * (len(found) - 1))])
        yield (line, at) if axis == 0 else (at, line)


def _grid_corner(grid: Grid, grounds: Sequence[Places]) -> Point:
    """Room for the grid nearest to one of the corners of the first area; else to the left of the area."""
    core = grid.core((0, 0))
    ground = ground_of_page(core, grounds)
    width, height = GRID_ROOM
    corners = [
        (core.left + width / 2, core.top + height / 2),
        (core.right - width / 2, core.top + height / 2),
        (core.right - width / 2, core.bottom - height / 2),
        (core.left + width / 2, core.bottom - height / 2),
    ]
    found = [(math.dist(at, c), at) for c in corners if (at := ground.nearest_free(width, height, c))]
    if not found:
        return core.left - grid.half - width, core.top
    _, (x, y) = min(found, key=lambda one: one[0])
    return x - width / 2, y - height / 2


def _from_its_corner(
    pattern: Pattern,
    grid: Grid,
    needed: Cells,
    placed: tuple[Placed, ...],
    marks: tuple[JointMark, ...],
    corner: Point,
) -> ProjectorPlan:
    """The plan with the top left corner of its page at (0, 0)."""
    windows = [grid.window(cell) for cell in needed]
    page = union([*windows, Box(*corner, corner[0] + GRID_ROOM[0], corner[1] + GRID_ROOM[1])])
    by = (-page.left, -page.top)
    return ProjectorPlan(
        pattern=pattern,
        width=page.width,
        height=page.height,
        placed=tuple(_moved(p, by) for p in placed),
        areas=tuple(moved(window, by) for window in windows),
        marks=tuple(JointMark((m.at[0] + by[0], m.at[1] + by[1]), m.text) for m in marks),
        grid=(corner[0] + by[0], corner[1] + by[1]),
        words=(
            f"{edition_words(pattern)}, for {pattern.body}",
            "make the picture larger or smaller until the grid measures 4 in and 100 mm",
        ),
    )


def _moved(placed: Placed, by: Point) -> Placed:
    move = (placed.move[0] + by[0], placed.move[1] + by[1])
    return replace(placed, move=move, box=moved(placed.box, by))
