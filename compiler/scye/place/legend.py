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
    """Free room nearest to the lower left corner of a page; where there is none, the room nearest to it that
    only lines of the sheet run through.

    `lines` are the places of the sheet that carry ink.
    """
    clear, bare = ground_of_page(core, lines), ground_of_page(core, ())
    for ground in (clear, bare):
        for mark in marks:
            ground.block_rectangle(mark.at, 32, 12, 0)
    corner = (core.left, core.bottom)
    whole = _free(clear, TOGETHER, corner)
    if whole is not None:
        x, y = whole
        return Legend((x + 2, y + 38), False, (x, y), (x + 64, y))
    grounds = (clear, bare)
    bar, upright = _bar(grounds, corner)
    return Legend(bar, upright, _take(grounds, SQUARES, corner), _take(grounds, MAP, corner))


def _bar(grounds: tuple[Ground, Ground], corner: Point) -> tuple[Point, bool]:
    """The start of the bar, lying if there is room for it, else standing."""
    down = BAR[1], BAR[0]
    if _free(grounds[0], BAR, corner) is None and _free(grounds[0], down, corner) is not None:
        x, y = _take(grounds, down, corner)
        return (x + 4, y + 102), True
    x, y = _take(grounds, BAR, corner)
    return (x + 2, y + 4), False


def _take(grounds: tuple[Ground, Ground], size: tuple[float, float], corner: Point) -> Point:
    """Room of a size on the first of the grounds that has it, taken on both from now on."""
    places = (_free(ground, size, corner) for ground in grounds)
    place = next((at for at in places if at is not None), (corner[0], corner[1] - size[1]))
    for ground in grounds:
        ground.block_rectangle((place[0] + size[0] / 2, place[1] + size[1] / 2), *size, 0)
    return place


def _free(ground: Ground, size: tuple[float, float], corner: Point) -> Point | None:
    """The top left corner of the free room of a size whose lower left corner is nearest to `corner`."""
    width, height = size
    middle = ground.nearest_free(width, height, (corner[0] + width / 2, corner[1] - height / 2))
    return None if middle is None else (middle[0] - width / 2, middle[1] - height / 2)
