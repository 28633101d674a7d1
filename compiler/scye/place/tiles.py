"""A sheet cut up into pages of home paper, to be joined at match marks.

Neighbouring pages show the same `overlap` mm of the sheet, with the joint line in its middle. The sheet
is a grid of cells between joint lines, from (0, 0); a page shows its cell and half an overlap all round.
Rows are lettered and columns numbered from the top left: A1, A2, B1.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial

from scye.ir.pattern import Pattern, Point
from scye.ir.sheets import Box, JointMark, Paper, Placed, RollPlan, Tile, TilePlan
from scye.place.ink import Cells, Ink, cells_reached, ink_of
from scye.place.legend import find_legend
from scye.place.lettering import letter
from scye.place.outline import moved, overlaps
from scye.place.pieces import Ready
from scye.place.shelf import close_up, pack
from scye.place.words import sheet_words

MARGIN = 10.0
OVERLAP = 10.0
GAP = 8.0
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


@dataclass(frozen=True, slots=True)
class Layout:
    """Pieces on a sheet and the cells that each touches."""

    placed: tuple[Placed, ...]
    reached: tuple[Cells, ...]

    @property
    def needed(self) -> Cells:
        return tuple(sorted({cell for cells in self.reached for cell in cells}))

    @property
    def cost(self) -> int:
        """Sheets of paper, and for each piece the times that it runs on to another and must be joined."""
        return len(self.needed) + sum(len(cells) - 1 for cells in self.reached)


def tile(roll: RollPlan, paper: Paper, margin: float = MARGIN, overlap: float = OVERLAP) -> TilePlan:
    """The pieces of a roll plan laid anew for pages of one paper (mm); blank pages are left out.

    Of the sheets one to eight pages wide, the one with the fewest pages and pieces run across a joint
    together; of equals the narrowest.
    """
    grid = Grid(paper.width - 2 * margin - overlap, paper.height - 2 * margin - overlap, overlap / 2)
    ready = [_taken_up(placed) for page in roll.pages for placed in page.placed]
    inks = {r.piece.number: ink_of(r.piece, r.lettering) for r in ready}
    layout = min((_layout(grid, placed, inks) for placed in _sheets(grid, ready)), key=lambda each: each.cost)
    placed = tuple(_lettered(roll.pattern, p, grid) for p in layout.placed)
    needed = layout.needed
    return TilePlan(
        roll.pattern,
        paper,
        margin,
        overlap,
        1 + max((row for row, _ in needed), default=0),
        1 + max((column for _, column in needed), default=0),
        placed,
        tuple(_tiles(grid, needed, placed)),
        sheet_words(roll.pattern),
    )


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


def _sheets(grid: Grid, ready: Sequence[Ready]) -> Iterator[tuple[Placed, ...]]:
    """Sheets of rising width, packed close and with starts put off past the joints."""
    across, down = partial(_off_joint, grid.across), partial(_off_joint, grid.down)
    for columns in range(1, WIDEST + 1):
        width = columns * grid.across
        yield pack(ready, width, GAP)
        yield pack(ready, width, GAP, across, close_up)
        yield pack(ready, width, GAP, across, down)


def _off_joint(step: float, start: float, length: float) -> float:
    """The start, or the next cell's if the length fits in a cell but would cross a joint from here."""
    joint = (start // step + 1) * step
    # A line on the joint itself would be on both pages.
    return joint + 1 if joint < start + length and length + 2 <= step else start


def _layout(grid: Grid, placed: tuple[Placed, ...], inks: dict[int, Ink]) -> Layout:
    return Layout(placed, tuple(cells_reached(inks[p.piece.number], p.move, grid.step) for p in placed))


def _lettered(pattern: Pattern, placed: Placed, grid: Grid) -> Placed:
    """The piece with its words clear of the joints, where there is room."""
    joints = _joints_over(placed.box, grid)
    if not joints:
        return placed
    x, y = placed.move
    fresh = letter(pattern, placed.piece, tuple(moved(joint, (-x, -y)) for joint in joints))
    return placed if fresh.label.leader else replace(placed, lettering=fresh)


def _joints_over(box: Box, grid: Grid) -> list[Box]:
    """The stretches of a box that two pages show: half an overlap on either side of each joint line."""
    downs = range(int(box.left // grid.across) + 1, int(box.right // grid.across) + 1)
    levels = range(int(box.top // grid.down) + 1, int(box.bottom // grid.down) + 1)
    half = grid.half
    return [
        *(Box(k * grid.across - half, box.top, k * grid.across + half, box.bottom) for k in downs),
        *(Box(box.left, k * grid.down - half, box.right, k * grid.down + half) for k in levels),
    ]


def _tiles(grid: Grid, needed: Cells, placed: tuple[Placed, ...]) -> Iterator[Tile]:
    inks = [(p, ink_of(p.piece, p.lettering)) for p in placed]
    for cell in needed:
        window = grid.window(cell)
        marks = tuple(_marks(grid, needed, cell))
        here = [(p, ink) for p, ink in inks if overlaps(p.box, window)]
        yield Tile(
            page_name(cell),
            cell[0],
            cell[1],
            window,
            grid.core(cell),
            marks,
            find_legend(grid.core(cell), here, marks),
        )


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
