"""The drawn lay: its scale, and room on each piece for its words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import count, pairwise

from scye.ir.lay import NO_SHRINKAGE, CutLabel, Lay, LaySheet, LayStretchSheet, Placement, Reckoning
from scye.ir.pattern import Point
from scye.lay.flat import Ring, highest, lowest
from scye.lay.reckon import rounded_up
from scye.lay.words import WAYS, cloth_words, copy_words, stretch_words, title
from scye.units.tape import show_length

# What a lay may take of an A4 page on its side (mm), and the scales it is drawn to.
ROOM_ALONG, ROOM_ACROSS = 195.0, 145.0
SCALES = (2, 4, 5, 8, 10, 12, 15, 20, 25, 30, 40, 50, 75, 100)
# Sizes of letters on paper (mm), how far lines are apart, and how broad a letter is at most, in sizes.
SIZES = (2.6, 2.2, 1.9, 1.6)
LEADING = 1.35
BREADTH = 0.62
# Heights at which room for words is looked for, of a piece's breadth.
LEVELS = 24
SPARE = 1.2
GROWN = "shrinkage built in"


def sheet_of(lay: Lay, reckoning: Reckoning) -> LaySheet:
    unit = lay.garment.unit
    scale = _scale(lay)
    numbers = count(1)
    grown = lay.cloth.shrinkage != NO_SHRINKAGE
    stretches = tuple(
        LayStretchSheet(
            stretch,
            stretch_words(stretch),
            rounded_up(stretch.length, unit),
            tuple(_label(p, next(numbers), scale, grown) for p in stretch.placements),
        )
        for stretch in lay.stretches
    )
    width = show_length(lay.cloth.width, unit)
    return LaySheet(lay, reckoning, title(lay), cloth_words(lay), WAYS[lay.way], width, scale, stretches)


def _scale(lay: Lay) -> int:
    """The largest that fits an A4 page; for a very long lay the smallest there is."""
    across = max(stretch.width for stretch in lay.stretches)
    fits = (s for s in SCALES if lay.length <= ROOM_ALONG * s and across <= ROOM_ACROSS * s)
    return next(fits, SCALES[-1])


def _label(placement: Placement, number: int, scale: int, grown: bool) -> CutLabel:
    """The name and copy of a cut as large as they fit, else its name, else its number alone."""
    how = copy_words(placement)
    name = f"{number} {placement.title}"
    told = tuple(line for line in (name, how, GROWN if grown else "") if line)
    listed = ", ".join(told[1:])
    wanted = tuple(dict.fromkeys((told, told[:2], (name,), (str(number),))))
    for lines in wanted:
        for size in SIZES:
            room = max(len(line) for line in lines) * size * BREADTH * scale
            at = _spot(placement, room, len(lines) * size * LEADING * scale)
            if at is not None:
                return CutLabel(number, placement.title, listed, lines, size, at)
    low, high = lowest(placement.outline), highest(placement.outline)
    middle = ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2)
    return CutLabel(number, placement.title, listed, wanted[-1], SIZES[-1], middle)


def _spot(placement: Placement, long: float, high: float) -> Point | None:
    """The middle of the roomiest band on the piece for words of a size (mm of cloth), clear of its grain."""
    ring = placement.outline
    top, bottom = lowest(ring)[1], highest(ring)[1]
    middle, grain = (top + bottom) / 2, placement.grain[0][1]
    best: tuple[float, float, Point] | None = None
    for k in range(1, LEVELS):
        y = top + (bottom - top) * k / LEVELS
        if abs(y - grain) < 0.6 * high:
            continue
        for left, right in _band(ring, y - high / 2, y + high / 2):
            # room to spare is worth no more than a place nearer the middle
            found = (min(right - left, SPARE * long), -abs(y - middle), ((left + right) / 2, y))
            if right - left >= long and (best is None or found > best):
                best = found
    return best[2] if best else None


def _band(ring: Ring, top: float, bottom: float) -> list[tuple[float, float]]:
    """Ranges of x that are inside the ring at both heights and between them."""
    middle = (top + bottom) / 2
    found = _inside(ring, top)
    for level in (middle, bottom):
        found = [
            (max(a, c), min(b, d)) for a, b in found for c, d in _inside(ring, level) if max(a, c) < min(b, d)
        ]
    return found


def _inside(ring: Ring, level: float) -> list[tuple[float, float]]:
    crossings = sorted(_crossings(ring, level))
    return list(zip(crossings[::2], crossings[1::2], strict=True))


def _crossings(ring: Sequence[Point], level: float) -> Iterator[float]:
    for (ax, ay), (bx, by) in pairwise((*ring, ring[0])):
        if (ay > level) != (by > level):
            yield ax + (level - ay) / (by - ay) * (bx - ax)
