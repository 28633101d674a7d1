"""The fast way to lay: pieces where they first go, then pressed together; the same result every time."""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from scye.ir.pattern import Point
from scye.lay.flat import area, highest
from scye.lay.grid import cells_of, lay_cells
from scye.lay.settle import settled
from scye.lay.squeeze import BREADTH, STEP, Spot, Squeeze
from scye.lay.ways import Choice

# How many places the fast way weighs before it is content: some seconds' work.
WORK = 800_000_000

Order = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Laid:
    """Way and place (the corner of the widened outline's box) of every piece, and where the last one ends."""

    ways: tuple[int, ...]
    at: tuple[Point, ...]
    length: float


def lay_fast(choices: Sequence[Choice], width: float) -> Laid:
    """Pieces on cloth `width` mm wide, margins counted in. No clock has a say."""
    return _lay(choices, width, lambda work: work < WORK)


def lay_longer(choices: Sequence[Choice], width: float, seconds: float) -> Laid:
    """The same for as long as there is time, so not the same every time."""
    end = time.monotonic() + seconds
    return _lay(choices, width, lambda _work: time.monotonic() < end)


def _lay(choices: Sequence[Choice], width: float, going: Callable[[int], bool]) -> Laid:
    squeeze = Squeeze(choices, width)
    spots = squeeze.shortened(_first(choices, width, squeeze), going)
    ways = tuple(way for way, _, _ in spots)
    return pushed(choices, ways, tuple((x * BREADTH, y * STEP) for _, x, y in spots))


def _first(choices: Sequence[Choice], width: float, squeeze: Squeeze) -> list[Spot]:
    """The shortest of the lays that some plain orders give."""
    rows = math.ceil(width / STEP)
    cut_up = squeeze.strips
    cells = [[cells_of(cut_up[s.number], STEP, s.long, s.room) for s in shapes] for shapes in squeeze.shapes]
    partner = [choice.partner for choice in choices]
    lays = [lay_cells(rows, order, cells, partner) for order in _first_orders(choices)]
    return min(lays, key=lambda laid: laid[1])[0]


def pushed(choices: Sequence[Choice], ways: Sequence[int], at: Sequence[Point]) -> Laid:
    """Pieces pushed together from where they lie."""
    rings = [choice.ways[way].wide for choice, way in zip(choices, ways, strict=True)]
    places = settled(rings, at, [choice.cut.on_fold for choice in choices])
    ends = (x + highest(ring)[0] for ring, (x, _) in zip(rings, places, strict=True))
    return Laid(tuple(ways), places, max(ends))


def _first_orders(choices: Sequence[Choice]) -> Iterator[Order]:
    """Largest, longest, widest and bulkiest first."""
    sizes = [highest(choice.ways[0].wide) for choice in choices]
    keys = (
        [-area(choice.ways[0].wide) for choice in choices],
        [-long for long, _ in sizes],
        [-wide for _, wide in sizes],
        [-long * wide for long, wide in sizes],
        [-(long + wide) for long, wide in sizes],
    )
    for key in keys:
        yield tuple(sorted(range(len(choices)), key=lambda i: (key[i], i)))
