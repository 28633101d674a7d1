"""A lay made shorter: pieces are pressed into less cloth and moved apart again, one at a time.

Guided local search (Voudouris and Tsang 1999) as it is used for nesting: each piece in turn goes where it
overlaps least, and overlaps that stay are given more and more weight until the pieces find a way round each
other. Every figure is worked out in the same order each time, with neither clock nor chance, so the same
pieces give the same lay.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from random import Random

import numpy as np

from scye.lay.depths import DepthMap, Depths, depth_map
from scye.lay.flat import highest
from scye.lay.shapes import strips
from scye.lay.ways import Choice

# mm along and across the cloth between the places that are tried
BREADTH = 5.0
STEP = 2.0
# Sweeps over the pieces before a length is given up, and the shares by which a lay is to get shorter.
SWEEPS = 150
FIRST_CUT = 0.06
LEAST_CUT = 0.004

# Way, step along and step across of each piece.
Spot = tuple[int, int, int]


@dataclass(frozen=True, slots=True, eq=False)
class _Shape:
    """A piece in one of its ways: its number among all shapes, and the places it has on the cloth."""

    number: int
    long: int
    room: int


class Squeeze:
    """Pieces on cloth of one width. `work` counts places weighed, which stands for time spent."""

    def __init__(self, choices: Sequence[Choice], width: float) -> None:
        self.choices = choices
        self.rings = list(dict.fromkeys(way.wide for choice in choices for way in choice.ways))
        self.strips = [strips(ring, BREADTH) for ring in self.rings]
        number = {ring: k for k, ring in enumerate(self.rings)}
        self.shapes = [
            [self._shape(number[way.wide], c.cut.on_fold, width) for way in c.ways] for c in choices
        ]
        self.maps: dict[tuple[int, int], DepthMap] = {}
        self.random = Random(2)
        self.work = 0

    def _shape(self, number: int, on_fold: bool, width: float) -> _Shape:
        long = max(k for k, _, _ in self.strips[number]) + 1
        room = 1 if on_fold else int((width - highest(self.rings[number])[1]) / STEP + 1e-9) + 1
        return _Shape(number, long, room)

    def shortened(self, spots: list[Spot], going: Callable[[int], bool]) -> list[Spot]:
        """The shortest lay found from a sound one, for as long as `going` (given the work done) holds."""
        best, cut = spots, FIRST_CUT
        start = best
        while going(self.work):
            now = self.length(best)
            target = min(now - 1, round(now * (1 - cut)))
            if target < self._least():
                break
            found = self._pressed(start, target, going)
            if found is None:
                cut = max(cut / 2, LEAST_CUT)
                start = self._stirred(best)
            else:
                best = start = found
        return best

    def _stirred(self, spots: Sequence[Spot]) -> list[Spot]:
        """The same lay with two of its pieces in each other's place."""
        stirred = list(spots)
        i, j = (int(self.random.random() * len(stirred)) for _ in range(2))
        (way, x, y), (other, x2, y2) = stirred[i], stirred[j]
        stirred[i] = (way, x2, min(y2, self.shapes[i][way].room - 1))
        stirred[j] = (other, x, min(y, self.shapes[j][other].room - 1))
        return stirred

    def length(self, spots: Sequence[Spot]) -> int:
        """Steps along the cloth from its start to the end of the last piece."""
        return max(x + self.shapes[i][way].long for i, (way, x, _) in enumerate(spots))

    def _least(self) -> int:
        return max(min(shape.long for shape in shapes) for shapes in self.shapes)

    def _pressed(self, start: Sequence[Spot], length: int, going: Callable[[int], bool]) -> list[Spot] | None:
        """The pieces on less cloth without overlap, or None if none was found in time."""
        spots = [
            (way, min(x, length - self.shapes[i][way].long), y)
            if self.shapes[i][way].long <= length
            else self._other_way(i, length)
            for i, (way, x, y) in enumerate(start)
        ]
        count = len(spots)
        weights = np.ones((count, count))
        for _ in range(SWEEPS):
            depths = self._overlaps(spots)
            deepest = float(depths.max())
            if deepest == 0.0:
                return spots
            if not going(self.work):
                return None
            weights += depths / deepest
            troubled = [i for i in range(count) if depths[i].any()]
            for i in sorted(troubled, key=lambda _: self.random.random()):
                spots[i] = self._least_bad(i, spots, weights[i], length)
        return None

    def _other_way(self, i: int, length: int) -> Spot:
        way = next(k for k, shape in enumerate(self.shapes[i]) if shape.long <= length)
        return way, 0, 0

    def _overlaps(self, spots: Sequence[Spot]) -> Depths:
        depths = np.zeros((len(spots), len(spots)))
        for i, (way, x, y) in enumerate(spots):
            for j in range(i):
                other, x2, y2 = spots[j]
                found = self._map(self.shapes[i][way].number, self.shapes[j][other].number).at(x2 - x, y2 - y)
                depths[i, j] = depths[j, i] = found
        return depths

    def _least_bad(self, i: int, spots: Sequence[Spot], weights: Depths, length: int) -> Spot:
        """Where a piece overlaps the others least, each by its weight; of equals nearest to the start."""
        best: tuple[float, Spot] | None = None
        bound = self.choices[i].partner is not None
        for way, shape in enumerate(self.shapes[i]):
            if shape.long > length or (bound and way != spots[i][0]):
                continue
            costs = self._costs(i, shape, spots, weights, length)
            place = int(costs.argmin())
            x, y = divmod(place, shape.room)
            cost = float(costs[x, y])
            if best is None or cost < best[0]:
                best = cost, (way, x, y)
        assert best is not None
        return best[1]

    def _costs(self, i: int, shape: _Shape, spots: Sequence[Spot], weights: Depths, length: int) -> Depths:
        """The weighted overlap of a piece with all others at all of its places, along by across."""
        long, wide = length - shape.long + 1, shape.room
        costs: Depths = np.zeros((long, wide))
        for j, (way, x, y) in enumerate(spots):
            if j == i:
                continue
            found = self._map(self.shapes[j][way].number, shape.number)
            left, top = x + found.along, y + found.across
            rows, columns = found.depth.shape
            x0, x1, y0, y1 = max(0, left), min(long, left + rows), max(0, top), min(wide, top + columns)
            if x0 < x1 and y0 < y1:
                part = found.depth[x0 - left : x1 - left, y0 - top : y1 - top]
                costs[x0:x1, y0:y1] += weights[j] * part
                self.work += part.size
        self.work += costs.size
        return costs

    def _map(self, one: int, other: int) -> DepthMap:
        if (one, other) not in self.maps:
            self.maps[one, other] = depth_map(self.strips[one], self.strips[other], BREADTH, STEP)
        return self.maps[one, other]
