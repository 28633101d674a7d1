"""Room on a page for the bar, the test squares and the small map: together if they fit, else apart."""

from __future__ import annotations

from collections.abc import Iterable

from scye.ir.pattern import Point
from scye.ir.sheets import Box, JointMark, Legend
from scye.place.ground import Ground, Places
from scye.place.ink import ground_of_page

# Widths and heights in mm, captions included.
TOGETHER = (104.0, 43.0)
BAR = (104.0, 9.0)
SQUARES = (62.0, 33.0)
MAP = (38.0, 33.0)


def find_legend(core: Box, lines: Iterable[Places], marks: tuple[JointMark, ...]) -> Legend:
    """Free room nearest to the lower left corner of a page; where there is none, the corner itself.

    `lines` are the places of the sheet that carry ink.
    """
    ground = ground_of_page(core, lines)
    for mark in marks:
        ground.block_rectangle(mark.at, 32, 12, 0)
    corner = (core.left, core.bottom)
    whole = _free(ground, TOGETHER, corner)
    if whole is not None:
        x, y = whole
        return Legend((x + 2, y + 38), False, (x, y), (x + 64, y))
    bar, upright = _bar(ground, corner)
    return Legend(bar, upright, _take(ground, SQUARES, corner), _take(ground, MAP, corner))


def _bar(ground: Ground, corner: Point) -> tuple[Point, bool]:
    """The start of the bar, lying if there is room for it, else standing."""
    down = BAR[1], BAR[0]
    if _free(ground, BAR, corner) is None and _free(ground, down, corner) is not None:
        x, y = _take(ground, down, corner)
        return (x + 4, y + 102), True
    x, y = _take(ground, BAR, corner)
    return (x + 2, y + 4), False


def _take(ground: Ground, size: tuple[float, float], corner: Point) -> Point:
    """Free room of a size, which is taken from now on; without any, the room at the corner."""
    place = _free(ground, size, corner) or (corner[0], corner[1] - size[1])
    ground.block_rectangle((place[0] + size[0] / 2, place[1] + size[1] / 2), *size, 0)
    return place


def _free(ground: Ground, size: tuple[float, float], corner: Point) -> Point | None:
    """The top left corner of the free room of a size whose lower left corner is nearest to `corner`."""
    width, height = size
    middle = ground.nearest_free(width, height, (corner[0] + width / 2, corner[1] - height / 2))
    return None if middle is None else (middle[0] - width / 2, middle[1] - height / 2)
