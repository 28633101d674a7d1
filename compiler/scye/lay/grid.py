"""Cloth as cells, and the first place that is free: each piece as far to the start of the cloth as it goes.

The cells of the whole cloth are the bits of one number, column after column along the cloth. Moving a piece
over the cloth is shifting that number, so all places are tried at once, exactly and the same on any machine.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from scye.lay.shapes import Strip


@dataclass(frozen=True, slots=True)
class Cells:
    """The cells of a piece laid one way: runs (column, first row, row after the last). It is `long` columns
    long, and `room` is how many rows it can start at."""

    runs: tuple[tuple[int, int, int], ...]
    long: int
    room: int


def cells_of(strips: Iterable[Strip], step: float, long: int, room: int) -> Cells:
    """The cells that a piece's strips touch, a column to a strip, `step` mm across."""
    runs = []
    for column, low, high in strips:
        first = max(0, math.floor(low / step + 1e-9))
        runs.append((column, first, max(first + 1, math.ceil(high / step - 1e-9))))
    return Cells(tuple(runs), long, room)


class CellCloth:
    """Cloth `rows` cells wide and as long as need be, with what lies on it."""

    def __init__(self, rows: int) -> None:
        self.rows = rows
        self.long = 0
        self._taken = 0
        self._spread: list[int] | None = None

    def first_free(self, cells: Cells) -> tuple[int, int]:
        """The first free place, by column and then by row."""
        starts = ((1 << cells.room) - 1) * _comb(self.rows, self.long + 1)
        free = starts & ~self._blocked(cells)
        return divmod((free & -free).bit_length() - 1, self.rows)

    def put(self, cells: Cells, place: tuple[int, int]) -> None:
        column, row = place
        start = column * self.rows + row
        for c, first, last in cells.runs:
            self._taken |= ((1 << (last - first)) - 1) << (start + c * self.rows + first)
        self.long = max(self.long, column + cells.long)
        self._spread = None

    def _blocked(self, cells: Cells) -> int:
        """The starts from which the piece would lie on another."""
        spread = self._spreads()
        blocked = 0
        for c, first, last in cells.runs:
            level = (last - first).bit_length() - 1
            at = c * self.rows
            blocked |= spread[level] >> (at + first) | spread[level] >> (at + last - (1 << level))
        return blocked

    def _spreads(self) -> list[int]:
        """For each power of two, the cells from which so many rows on one is taken."""
        if self._spread is None:
            self._spread = list(_doubled(self._taken, self.rows))
        return self._spread


def _doubled(taken: int, rows: int) -> Iterator[int]:
    reach = 1
    while reach <= rows:
        yield taken
        taken |= taken >> reach
        reach *= 2


def _comb(rows: int, columns: int) -> int:
    """A bit at the first row of each of the columns."""
    return ((1 << rows * columns) - 1) // ((1 << rows) - 1)


def lay_cells(
    rows: int, order: Iterable[int], choices: Sequence[Sequence[Cells]], partner: Sequence[int | None]
) -> tuple[list[tuple[int, int, int]], int]:
    """Pieces laid one after another where they first go, each in the way that ends soonest.

    `choices` has the ways of each piece; a piece with a `partner` is laid the way its partner was. Answers
    way, column and row of each piece, and the length.
    """
    cloth = CellCloth(rows)
    placed: dict[int, tuple[int, int, int]] = {}
    for item in order:
        other = partner[item]
        bound = placed[other][0] if other in placed and other is not None else None
        ways = range(len(choices[item])) if bound is None else (bound,)
        found = [(cloth.first_free(choices[item][way]), way) for way in ways]
        (column, row), way = min(found, key=lambda f: (f[0][0] + choices[item][f[1]].long, f))
        cloth.put(choices[item][way], (column, row))
        placed[item] = (way, column, row)
    return [placed[item] for item in range(len(choices))], cloth.long
