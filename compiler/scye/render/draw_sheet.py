"""Sheets as flat operations: title blocks, squares and bars, tiles with their marks, the page map."""

from __future__ import annotations

import math
from collections.abc import Sequence

from scye.ir.pattern import Point, Stroke
from scye.ir.sheets import Box, JointMark, Tile, TilePlan, Write
from scye.render.canvas import Canvas, fill, polygon, rectangle, straight, trace, write

TITLE_SIZE = 9.0
WORD_SIZE = 4.2
SMALL = 2.6
BAR = 100.0
INCH = 25.4

FIRST = (
    "Print one page first, at 100 % (actual size, not fitted to the page). The bar must be 100 mm.",
    "If it is 97, say, `scye bar 97` tells what that does. Print again at 100 % before you cut anything.",
)
OVERLAPPED = ("Lay each page over its neighbour so that the diamonds and the dotted joint lines meet; tape.",)
BUTTED = ("Trim each page along its dotted lines; lay it against its neighbour, diamonds whole again; tape.",)
JOINING = (
    "Join from the middle of the map outwards, by the marks and never by the edge of the paper: a printer",
    "may drift by 0.4 mm a page, which is too little to see, and over four pages that is 1.6 mm.",
)


def draw_title(canvas: Canvas, corner: Point, words: Sequence[str]) -> None:
    """The title block of a sheet, 340 by 70 mm: words at the left, squares and bar at the right."""
    x, y = corner
    trace(canvas, "frame", rectangle(x, y, 340, 70))
    write(canvas, Write((x + 6, y + 13), words[0], TITLE_SIZE))
    for k, line in enumerate(words[1:]):
        write(canvas, Write((x + 6, y + 23 + k * 8.5), line, WORD_SIZE))
    draw_square(canvas, (x + 222, y + 4), 50, "50 mm")
    draw_square(canvas, (x + 280, y + 4), 2 * INCH, "2 in")
    draw_bar(canvas, (x + 222, y + 63))


def draw_square(canvas: Canvas, corner: Point, side: float, words: str) -> None:
    x, y = corner
    trace(canvas, "frame", rectangle(x, y, side, side))
    write(canvas, Write((x + side / 2, y + side / 2 + SMALL * 0.36), words, SMALL, anchor="middle"))


def draw_bar(canvas: Canvas, start: Point, upright: bool = False) -> None:
    """100 mm, with a tick at each centimetre; the end ticks' middles are 100 mm apart."""

    def at(along: float, aside: float) -> Point:
        return (start[0] + aside, start[1] - along) if upright else (start[0] + along, start[1] + aside)

    trace(canvas, "frame", straight(at(0, 0), at(BAR, 0)))
    for k in range(11):
        trace(canvas, "frame", straight(at(10 * k, -2.5 if k % 5 == 0 else -1.4), at(10 * k, 0)))
    angle = -math.pi / 2 if upright else 0.0
    write(canvas, Write(at(BAR / 2, 3.2), "100 mm when printed at 100 %", SMALL, angle, "middle"))


def draw_tile_marks(canvas: Canvas, plan: TilePlan, tile: Tile) -> None:
    """All that a page carries besides the pieces, in the sheet's coordinates."""
    core = tile.core
    trace(canvas, "joint", rectangle(core.left, core.top, core.width, core.height))
    for mark in tile.marks:
        _joint_mark(canvas, mark, upright=core.left + 0.01 > mark.at[0] or mark.at[0] > core.right - 0.01)
    write(canvas, Write((core.left + 2, core.top - 1), tile.name, 4.0))
    head = ", ".join(plan.words[:3])
    # Between the first and the last mark of the upper joint.
    size = min(SMALL, core.width * 0.5 / max(1, len(head)) * 1.7)
    write(canvas, Write((core.left + core.width * 0.55, core.top - 1.4), head, size, anchor="middle"))
    _legend(canvas, plan, tile)


def _joint_mark(canvas: Canvas, mark: JointMark, upright: bool) -> None:
    """A diamond halved by the joint line, with the names of the two pages."""
    x, y = mark.at
    trace(canvas, "mark", polygon((x, y - 4), (x + 4, y), (x, y + 4), (x - 4, y)))
    trace(canvas, "mark", straight((x - 4, y), (x + 4, y)), straight((x, y - 4), (x, y + 4)))
    angle = -math.pi / 2 if upright else 0.0
    at = (x - 1.0, y - 5.5) if upright else (x + 5.5, y - 1.0)
    write(canvas, Write(at, mark.text, SMALL, angle))


def _legend(canvas: Canvas, plan: TilePlan, tile: Tile) -> None:
    draw_bar(canvas, tile.legend.bar, tile.legend.upright)
    x, y = tile.legend.squares
    draw_square(canvas, (x + 2, y + 2), 30, "30 mm")
    draw_square(canvas, (x + 35, y + 2), INCH, "1 in")
    x, y = tile.legend.map
    draw_map(canvas, plan, Box(x + 2, y + 2, x + 36, y + 32), tile.name)


def draw_map(canvas: Canvas, plan: TilePlan, room: Box, here: str) -> None:
    """The pages of a sheet in little, as large as the room allows; the page `here` is shaded."""
    core = plan.tiles[0].core
    scale = min(room.width / (plan.columns * core.width), room.height / (plan.rows * core.height))
    for tile in plan.tiles:
        box = tile.core
        cell = rectangle(
            room.left + box.left * scale, room.top + box.top * scale, box.width * scale, box.height * scale
        )
        if tile.name == here:
            fill(canvas, cell, 0.75)
        trace(canvas, "fine", cell)
    for outline in plan.outlines:
        trace(canvas, "fine", _scaled(outline, (room.left, room.top), scale))
    size = max(1.4, min(5.0, core.width * scale * 0.3))
    for tile in plan.tiles:
        middle = (
            room.left + (tile.core.left + tile.core.right) / 2 * scale,
            room.top + tile.core.bottom * scale,
        )
        write(canvas, Write((middle[0], middle[1] - size * 0.5), tile.name, size, anchor="middle"))


def _scaled(stroke: Stroke, origin: Point, scale: float) -> Stroke:
    def at(point: Point) -> Point:
        return origin[0] + point[0] * scale, origin[1] + point[1] * scale

    return Stroke(
        at(stroke.start), tuple(tuple(at(p) for p in segment) for segment in stroke.segments), stroke.closed
    )


def draw_cover(canvas: Canvas, plan: TilePlan) -> None:
    """The first page: what this is, how to join it, the map, the large squares and the bar."""
    left, top = plan.margin, plan.margin
    width = plan.paper.width - 2 * plan.margin
    write(
        canvas,
        Write((left, top + 9), plan.words[0], min(TITLE_SIZE, 2.6 * width / max(1, len(plan.words[0]) + 4))),
    )
    for k, line in enumerate(plan.words[1:]):
        write(canvas, Write((left, top + 18 + k * 6.5), line, 3.8))
    pages = f"{len(plan.tiles)} pages of {plan.paper.name} after this one"
    write(canvas, Write((left, top + 18 + len(plan.words) * 6.5 - 6.5), pages, 3.8))
    for k, line in enumerate((*FIRST, *(OVERLAPPED if plan.overlap else BUTTED), *JOINING)):
        write(canvas, Write((left, top + 61 + k * 5.2), line, 3.2))
    foot = plan.paper.height - plan.margin
    draw_map(canvas, plan, Box(left, top + 90, left + width, foot - 74), "")
    draw_square(canvas, (left + 2, foot - 66), 50, "50 mm")
    draw_square(canvas, (left + 58, foot - 66), 2 * INCH, "2 in")
    draw_bar(canvas, (left + 2, foot - 5))
