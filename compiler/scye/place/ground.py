"""Free ground on a piece: which places are clear of lines, found on a grid of small cells."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from scye.ir.pattern import Point, Stroke
from scye.ir.sheets import Box
from scye.place.outline import bounds, flatten

Mask = NDArray[np.bool_]
Places = NDArray[np.float64]


class Ground:
    """A grid over a box; True cells are taken. Cells are `cell` mm square."""

    def __init__(self, box: Box, cell: float, taken: Mask) -> None:
        self.box, self.cell, self.taken = box, cell, taken

    def copy(self) -> Ground:
        return Ground(self.box, self.cell, self.taken.copy())

    def block_places(self, places: Places) -> None:
        """Take the cells under the places, one to a row; those off the grid are left out."""
        rows, columns = self._cells(places)
        self.taken[rows, columns] = True

    def block_stroke(self, stroke: Stroke) -> None:
        self.block_places(places_along(stroke, self.cell))

    def block_rectangle(self, centre: Point, width: float, height: float, angle: float) -> None:
        self.block_places(rectangle_points(centre, width, height, angle, self.cell / 2))

    def is_free(self, centre: Point, width: float, height: float, angle: float) -> bool:
        """Whether a turned rectangle lies on the grid and touches no taken cell."""
        points = rectangle_points(centre, width, height, angle, self.cell / 2)
        rows, columns = self._cells(points)
        return len(rows) == len(points) and not self.taken[rows, columns].any()

    def nearest_free(self, width: float, height: float, wanted: Point) -> Point | None:
        """The centre of the free upright rectangle nearest to `wanted`, or None."""
        down, across = math.ceil(height / self.cell), math.ceil(width / self.cell)
        rows, columns = self.taken.shape
        if down > rows or across > columns:
            return None
        total = np.zeros((rows + 1, columns + 1), dtype=np.int32)
        np.cumsum(np.cumsum(self.taken, axis=0, dtype=np.int32), axis=1, out=total[1:, 1:])
        inside = (
            total[down:, across:] - total[:-down, across:] - total[down:, :-across] + total[:-down, :-across]
        )
        free_rows, free_columns = np.nonzero(inside == 0)
        if not len(free_rows):
            return None
        xs = self.box.left + (free_columns + across / 2) * self.cell
        ys = self.box.top + (free_rows + down / 2) * self.cell
        best = int(np.argmin((xs - wanted[0]) ** 2 + (ys - wanted[1]) ** 2))
        return float(xs[best]), float(ys[best])

    def _cells(self, places: Places) -> tuple[NDArray[np.int_], NDArray[np.int_]]:
        columns = np.floor((places[:, 0] - self.box.left) / self.cell).astype(int)
        rows = np.floor((places[:, 1] - self.box.top) / self.cell).astype(int)
        down, across = self.taken.shape
        on = (rows >= 0) & (rows < down) & (columns >= 0) & (columns < across)
        return rows[on], columns[on]


def rectangle_points(centre: Point, width: float, height: float, angle: float, step: float) -> Places:
    """Places no more than `step` mm apart over a turned rectangle."""
    x, y = np.meshgrid(_row(width, step), _row(height, step))
    cosine, sine = math.cos(angle), math.sin(angle)
    turned = (centre[0] + x * cosine - y * sine, centre[1] + x * sine + y * cosine)
    return np.stack(turned, axis=-1).reshape(-1, 2)


def _row(length: float, step: float) -> NDArray[np.float64]:
    return np.linspace(-length / 2, length / 2, max(1, math.ceil(length / step)) + 1)


def places_along(stroke: Stroke, every: float, flat: float = 6.0) -> Places:
    """Places no more than `every` mm apart along a stroke, its cubics cut in pieces of about `flat` mm."""
    points = np.array(flatten(stroke, flat), dtype=float)
    parts = np.maximum(1, np.ceil(np.sqrt((np.diff(points, axis=0) ** 2).sum(axis=1)) / every)).astype(int)
    steps = np.arange(parts.sum()) - np.repeat(np.cumsum(parts) - parts, parts)
    share = ((steps + 1) / np.repeat(parts, parts))[:, None]
    start, end = np.repeat(points[:-1], parts, axis=0), np.repeat(points[1:], parts, axis=0)
    return np.concatenate([points[:1], start + (end - start) * share])


def open_ground(box: Box, cell: float) -> Ground:
    """A grid with nothing on it yet."""
    shape = (max(1, math.ceil(box.height / cell)), max(1, math.ceil(box.width / cell)))
    return Ground(box, cell, np.zeros(shape, dtype=bool))


def ground_within(outline: Stroke) -> Ground:
    """The inside of a closed outline is free, all else and the outline itself taken."""
    points = flatten(outline)
    box = bounds(points)
    ground = open_ground(box, min(4.0, max(1.0, max(box.width, box.height) / 160)))
    ground.taken |= ~_inside(points, ground)
    ground.block_stroke(outline)
    return ground


def _inside(points: list[Point], ground: Ground) -> Mask:
    """Cells whose centres are inside, by the parity of the crossings to their left."""
    rows, columns = ground.taken.shape
    places = np.array(points, dtype=float)
    (ax, ay), (bx, by) = places[:-1].T, places[1:].T
    heights = ground.box.top + (np.arange(rows)[:, None] + 0.5) * ground.cell
    row, edge = np.nonzero((ay > heights) != (by > heights))
    share = (heights[row, 0] - ay[edge]) / (by[edge] - ay[edge])
    crossing = ax[edge] + share * (bx[edge] - ax[edge])
    first = np.clip(np.ceil((crossing - ground.box.left) / ground.cell - 0.5), 0, columns).astype(int)
    turns = np.bincount(row * (columns + 1) + first, minlength=rows * (columns + 1))
    parity = np.cumsum(turns.reshape(rows, columns + 1), axis=1) % 2 == 1
    inside: Mask = parity[:, :columns]
    return inside
