"""A sheet cut up into pages of home paper, to be joined at match marks.

Neighbouring pages show the same `overlap` mm of the sheet, with the joint line in its middle; with no
overlap they are butted at it. The sheet is a grid of cells between joint lines, from (0, 0); a page shows its
cell and half an overlap all round. Rows are lettered and columns numbered from the top left: A1, A2, B1.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np

from scye.ir.pattern import Pattern, Point, Stroke
from scye.ir.sheets import Box, JointMark, Paper, Placed, RollPlan, Tile, TilePlan
from scye.place.ground import Places
from scye.place.ink import Cells, cells_reached, ink_of
from scye.place.joints import clear_edge_labels
from scye.place.legend import find_legend
from scye.place.lettering import letter
from scye.place.outline import moved, moved_stroke, overlaps
from scye.place.pieces import Ready
from scye.place.shelf import close_up, pack
from scye.place.words import sheet_words

MARGIN = 10.0
OVERLAP = 10.0
GAP = 8.0
# Words keep at least this far off a joint, mm.
CLEAR = 2.0
# Sheets up to this many pages wide are tried.
WIDEST = 8
# Where on the edges of a cell the match marks are.
MARK_SHARES = (1 / 6, 5 / 6)


@dataclass(frozen=True, slots=True)
class Grid:
    """Cells of `across` by `down` mm; each page shows `half` an overlap more on every side."""

    across: float
    down: float
    half: float

    @property
    def step(self) -> Point:
        return self.across, self.down

    def core(self, cell: tuple[int, int]) -> Box:
        left, top = cell[1] * self.across, cell[0] * self.down
        return Box(left, top, left + self.across, top + self.down)

    def window(self, cell: tuple[int, int]) -> Box:
        core = self.core(cell)
        return Box(
            core.left - self.half, core.top - self.half, core.right + self.half, core.bottom + self.half
        )

    def fits(self, box: Box) -> bool:
        """Whether a piece has room on one page, so that it need not run across a joint."""
        return box.width + 2 <= self.across and box.height + 2 <= self.down


@dataclass(frozen=True, slots=True)
class Layout:
    """Things on a sheet: where the top left corner of each comes, and the cells that it touches."""

    corners: tuple[Point, ...]
    reached: tuple[Cells, ...]

    @property
    def needed(self) -> Cells:
        return tuple(sorted({cell for cells in self.reached for cell in cells}))

    def cost(self, small: Sequence[bool], most_rows: int) -> tuple[int, int, int]:
        """Rows over the most there may be; small things across a joint; then sheets of paper with, for each
        thing, the times that it runs on to another and must be joined."""
        rows = max((row + 1 for row, _ in self.needed), default=0)
        across = sum(len(cells) > 1 for cells, fits in zip(self.reached, small, strict=True) if fits)
        joins = sum(len(cells) - 1 for cells in self.reached)
        return max(0, rows - most_rows), across, len(self.needed) + joins


def tile(roll: RollPlan, paper: Paper, margin: float = MARGIN, overlap: float = OVERLAP) -> TilePlan:
    """The pieces of a roll plan laid anew for pages of one paper (mm); blank pages are left out."""
    grid = grid_of(paper, margin, overlap)
    ready = [_taken_up(placed) for page in roll.pages for placed in page.placed]
    ready.sort(key=lambda r: r.piece.number)
    grounds = [ink_of(r.piece, r.lettering).ground for r in ready]
    layout = best_layout(grid, [r.box for r in ready], grounds)
    lying = (r.put(*corner) for r, corner in zip(ready, layout.corners, strict=True))
    placed = tuple(_lettered(roll.pattern, p, grid) for p in lying)
    lines = [ink_of(p.piece, p.lettering).lines + np.array(p.move) for p in placed]
    boxes = [p.box for p in placed]
    outlines = tuple(moved_stroke(p.piece.cutting, p.move) for p in placed)
    sheet = Sheet(roll.pattern.recipe, roll.pattern.body, paper, margin, sheet_words(roll.pattern))
    return plan_of(grid, sheet, layout, placed, outlines, lines, boxes)


@dataclass(frozen=True, slots=True)
class Sheet:
    """What a sheet is called and what it is printed on."""

    recipe: str
    body: str
    paper: Paper
    margin: float
    words: tuple[str, ...]


def plan_of(
    grid: Grid,
    sheet: Sheet,
    layout: Layout,
    placed: tuple[Placed, ...],
    outlines: tuple[Stroke, ...],
    lines: Sequence[Places],
    boxes: Sequence[Box],
) -> TilePlan:
    """The pages of a layout. `lines` are the places of the sheet that carry ink, within their `boxes`."""
    needed = layout.needed
    return TilePlan(
        recipe=sheet.recipe,
        body=sheet.body,
        paper=sheet.paper,
        margin=sheet.margin,
        overlap=2 * grid.half,
        rows=1 + max((row for row, _ in needed), default=0),
        columns=1 + max((column for _, column in needed), default=0),
        placed=placed,
        outlines=outlines,
        tiles=tuple(_tile(grid, needed, cell, lines, boxes) for cell in needed),
        words=sheet.words,
    )


def grid_of(paper: Paper, margin: float, overlap: float) -> Grid:
    return Grid(paper.width - 2 * margin - overlap, paper.height - 2 * margin - overlap, overlap / 2)


def best_layout(
    grid: Grid, boxes: Sequence[Box], grounds: Sequence[Places], most_rows: int = 10_000
) -> Layout:
    """Of the sheets one to eight pages wide, the one with the fewest pages and joins together; of equals the
    narrowest. What has room on one page is never laid across a joint.

    `boxes` and `grounds`, all that each thing covers, are in the things' own coordinates.
    """
    small = [grid.fits(box) for box in boxes]
    layouts = (_layout(grid, corners, boxes, grounds) for corners in _sheets(grid, boxes))
    return min(layouts, key=lambda layout: layout.cost(small, most_rows))


def row_letter(row: int) -> str:
    """A to Z, then AA, AB and on; rows are counted from 0."""
    rest, last = divmod(row, 26)
    return (row_letter(rest - 1) if rest else "") + chr(ord("A") + last)


def page_name(cell: tuple[int, int]) -> str:
    return f"{row_letter(cell[0])}{cell[1] + 1}"


def _taken_up(placed: Placed) -> Ready:
    """The piece off its sheet again, in its own coordinates."""
    x, y = placed.move
    return Ready(placed.piece, placed.lettering, moved(placed.box, (-x, -y)))


def _sheets(grid: Grid, boxes: Sequence[Box]) -> Iterator[tuple[Point, ...]]:
    """Sheets of rising width, packed close and with starts put off past the joints."""
    across, down = partial(_off_joint, grid.across), partial(_off_joint, grid.down)
    for columns in range(1, WIDEST + 1):
        width = columns * grid.across
        yield pack(boxes, width, GAP)
        yield pack(boxes, width, GAP, across, close_up)
        yield pack(boxes, width, GAP, across, down)


def _off_joint(step: float, start: float, length: float) -> float:
    """The start, or the next cell's if the length fits in a cell but would cross a joint from here."""
    joint = (start // step + 1) * step
    # A line on the joint itself would be on both pages.
    return joint + 1 if joint < start + length and length + 2 <= step else start


def _layout(
    grid: Grid, corners: tuple[Point, ...], boxes: Sequence[Box], grounds: Sequence[Places]
) -> Layout:
    moves = [(x - b.left, y - b.top) for (x, y), b in zip(corners, boxes, strict=True)]
    reached = (cells_reached(ground, move, grid.step) for ground, move in zip(grounds, moves, strict=True))
    return Layout(corners, tuple(reached))


def _lettered(pattern: Pattern, placed: Placed, grid: Grid) -> Placed:
    """The piece with its words clear of the joints, where there is room."""
    x, y = placed.move
    joints = tuple(moved(joint, (-x, -y)) for joint in joints_over(placed.box, grid))
    if not joints:
        return placed
    piece = clear_edge_labels(placed.piece, joints)
    fresh = letter(pattern, piece, joints)
    # Words beside the piece have no room kept for them on this sheet.
    lettering = placed.lettering if fresh.label.leader else fresh
    return Placed(piece, lettering, placed.move, placed.box)


def joints_over(box: Box, grid: Grid) -> list[Box]:
    """The stretches of a box that words keep off: what two pages show, and a little to either side."""
    downs = range(int(box.left // grid.across) + 1, int(box.right // grid.across) + 1)
    levels = range(int(box.top // grid.down) + 1, int(box.bottom // grid.down) + 1)
    half = max(grid.half, CLEAR)
    return [
        *(Box(k * grid.across - half, box.top, k * grid.across + half, box.bottom) for k in downs),
        *(Box(box.left, k * grid.down - half, box.right, k * grid.down + half) for k in levels),
    ]


def _tile(
    grid: Grid, needed: Cells, cell: tuple[int, int], lines: Sequence[Places], boxes: Sequence[Box]
) -> Tile:
    window, core = grid.window(cell), grid.core(cell)
    marks = tuple(_marks(grid, needed, cell))
    here = [places for places, box in zip(lines, boxes, strict=True) if overlaps(box, window)]
    return Tile(page_name(cell), *cell, window, core, marks, find_legend(core, here, marks))


def _marks(grid: Grid, needed: Cells, cell: tuple[int, int]) -> Iterator[JointMark]:
    """Two marks on each joint with a page that is printed; both pages reckon them from the same cell."""
    row, column = cell
    for one, other in (
        ((row, column - 1), cell),
        (cell, (row, column + 1)),
        ((row - 1, column), cell),
        (cell, (row + 1, column)),
    ):
        if one in needed and other in needed:
            yield from _joint(grid.core(one), page_name(one), page_name(other), one[0] == other[0])


def _joint(core: Box, one: str, other: str, upright: bool) -> Iterator[JointMark]:
    """The marks on the joint at the right (upright) or at the foot of a cell."""
    for share in MARK_SHARES:
        if upright:
            yield JointMark((core.right, core.top + core.height * share), f"{one}·{other}")
        else:
            yield JointMark((core.left + core.width * share, core.bottom), f"{one}·{other}")
