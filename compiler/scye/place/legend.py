"""Room on a page for the bar, the test squares and the small map: together if they fit, else apart."""

from __future__ import annotations

from scye.ir.pattern import Point
from scye.ir.sheets import Box, JointMark, Legend, Placed
from scye.place.ground import Ground
from scye.place.ink import Ink, ground_of_page

# Widths and heights in mm, captions included.
TOGETHER = (104.0, 43.0)
BAR = (104.0, 9.0)
SQUARES = (62.0, 33.0)
MAP = (38.0, 33.0)


def find_legend(core: Box, here: list[tuple[Placed, Ink]], marks: tuple[JointMark, ...]) -> Legend:
    """Free room nearest to the lower left corner of a page; where there is none, the corner itself."""
    ground = ground_of_page(core, here)
    for mark in marks:
        ground.block_rectangle(mark.at, 32, 12, 0)
    corner = (core.left, core.bottom)
    whole = _free(ground, TOGETHER, corner)
    if whole is not None:
        x, y = whole
        return Legend((x + 2, y + 34), (x, y), (x + 64, y))
    found = []
    for size in (BAR, SQUARES, MAP):
        place = _free(ground, size, corner) or (core.left, core.bottom - size[1])
        ground.block_rectangle((place[0] + size[0] / 2, place[1] + size[1] / 2), *size, 0)
        found.append(place)
    bar, squares, small_map = found
    return Legend((bar[0] + 2, bar[1]), squares, small_map)


def _free(ground: Ground, size: tuple[float, float], corner: Point) -> Point | None:
    """The top left corner of the free room of a size whose lower left corner is nearest to `corner`."""
    width, height = size
    middle = ground.nearest_free(width, height, (corner[0] + width / 2, corner[1] - height / 2))
    return None if middle is None else (middle[0] - width / 2, middle[1] - height / 2)
