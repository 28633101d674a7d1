"""One piece as flat operations: lines first, then marks, then words."""

from __future__ import annotations

import math

from scye.ir.pattern import DartMark, EdgeLabel, FindingMark, Notch, Point
from scye.ir.sheets import FoldMark, LabelBlock, Placed, Write
from scye.render.canvas import Canvas, begin, circle, end, fill, polygon, straight, trace, write

LEADING = 1.4
SMALL = 2.8
LETTER = 4.2
# A slit stays at least 1/8 in clear of the stitch line and is never deeper than this.
DEEPEST_SLIT = 6.35
CLEAR = 3.175
SLIT_APART = 3.0


def draw_placed(canvas: Canvas, placed: Placed) -> None:
    """A piece where it lies, as a group named after it."""
    begin(canvas, placed.piece.name, placed.move)
    draw_piece(canvas, placed)
    end(canvas)


def draw_piece(canvas: Canvas, placed: Placed, letters: bool = True) -> None:
    """A piece in its own coordinates, with or without the words along its edges."""
    piece, lettering = placed.piece, placed.lettering
    trace(canvas, "cut", piece.cutting)
    trace(canvas, "stitch", piece.net)
    for _, a, b in piece.levels:
        trace(canvas, "level", straight(a, b))
    for line in piece.shown:
        trace(canvas, "level", line.stroke)
    for finding in piece.marked:
        _finding(canvas, finding)
    for dart in piece.darts:
        _dart(canvas, dart)
    for drill in piece.drills:
        _drill(canvas, drill.at)
    for notch in piece.notches:
        _notch(canvas, notch)
    draw_grain(canvas, piece.grain, piece.one_way)
    for fold in lettering.folds:
        _fold(canvas, fold)
    for mark in piece.edge_labels if letters else ():
        _edge_label(canvas, mark)
    for words in (
        *lettering.levels,
        *((lettering.grain,) if lettering.grain else ()),
        *lettering.drills,
        *lettering.shown,
    ):
        write(canvas, words)
    _label(canvas, lettering.label)


def _dart(canvas: Canvas, dart: DartMark) -> None:
    trace(canvas, "stitch", *dart.legs)
    trace(canvas, "press", dart.fold)
    trace(canvas, "mark", circle(dart.point, 0.8))


def _finding(canvas: Canvas, mark: FindingMark) -> None:
    """A ring for each eyelet, a cross for each hook or button; a bone as a solid line on the stitch line."""
    for line in mark.lines:
        trace(canvas, "grain" if mark.kind.endswith(("bone", "busk")) else "mark", line)
    for x, y in mark.places:
        if mark.kind == "eyelets":
            trace(canvas, "mark", circle((x, y), 2.2))
        else:
            trace(canvas, "mark", straight((x - 2, y - 2), (x + 2, y + 2)))
            trace(canvas, "mark", straight((x - 2, y + 2), (x + 2, y - 2)))


def _drill(canvas: Canvas, at: Point) -> None:
    x, y = at
    trace(
        canvas,
        "mark",
        circle(at, 1.6),
        straight((x - 2.6, y), (x + 2.6, y)),
        straight((x, y - 2.6), (x, y + 2.6)),
    )


def _notch(canvas: Canvas, notch: Notch) -> None:
    """Slits in from the cutting line, and a tick across the stitch line at the very place."""
    inx, iny = notch.inward
    allowance = math.dist(notch.at, notch.cut)
    depth = CLEAR if allowance <= CLEAR else min(DEEPEST_SLIT, max(allowance - CLEAR, allowance / 2))
    for k in range(notch.strokes):
        aside = (k - (notch.strokes - 1) / 2) * SLIT_APART
        x, y = notch.cut[0] - iny * aside, notch.cut[1] + inx * aside
        trace(canvas, "notch", straight((x, y), (x + inx * depth, y + iny * depth)))
    if allowance > CLEAR:
        x, y = notch.at
        trace(canvas, "mark", straight((x - inx, y - iny), (x + inx, y + iny)))


def draw_grain(canvas: Canvas, grain: tuple[Point, Point], one_way: bool) -> None:
    """A line with a head at each end; where the nap has a say, at the end that it runs to alone."""
    a, b = grain
    trace(canvas, "grain", straight(a, b))
    if not one_way:
        _arrow(canvas, b, a, 6.0)
    _arrow(canvas, a, b, 6.0)


def _arrow(canvas: Canvas, tail: Point, head: Point, size: float) -> None:
    """A filled head at `head`, pointing away from `tail`."""
    far = math.dist(tail, head)
    if far < 1e-6:
        return
    x, y = (head[0] - tail[0]) / far, (head[1] - tail[1]) / far
    back = (head[0] - x * size, head[1] - y * size)
    half = size * 0.22
    fill(
        canvas,
        polygon(head, (back[0] - y * half, back[1] + x * half), (back[0] + y * half, back[1] - x * half)),
    )


def _fold(canvas: Canvas, mark: FoldMark) -> None:
    trace(canvas, "grain", mark.rail)
    for tail, head in mark.arrows:
        _arrow(canvas, tail, head, 4.0)
    write(canvas, mark.words)


def _shift(at: Point, direction: Point, by: float) -> Point:
    return at[0] + direction[0] * by, at[1] + direction[1] * by


def _edge_label(canvas: Canvas, mark: EdgeLabel) -> None:
    """A seam letter in a ring, an allowance in small words; both centred on their place."""
    if mark.role == "letter":
        ring = circle(mark.at, max(3.8, 1.5 * len(mark.text) + 1.8))
        fill(canvas, ring, 1.0)
        trace(canvas, "mark", ring)
    size = LETTER if mark.role == "letter" else SMALL
    down = size * 0.36
    at = (mark.at[0] - math.sin(mark.angle) * down, mark.at[1] + math.cos(mark.angle) * down)
    write(canvas, Write(at, mark.text, size, mark.angle, "middle"))


def _label(canvas: Canvas, block: LabelBlock) -> None:
    if block.leader is not None:
        trace(canvas, "fine", block.leader)
    down = (-math.sin(block.angle), math.cos(block.angle))
    place = -sum(line.size * LEADING for line in block.lines) / 2
    for line in block.lines:
        # The baseline stands a little under the middle of the line's own height.
        at = _shift(block.centre, down, place + line.size * (LEADING / 2 + 0.33))
        write(canvas, Write(at, line.words, line.size, block.angle, "middle"))
        place += line.size * LEADING
