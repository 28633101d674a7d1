"""A lay as flat operations on an A4 page on its side, drawn small to a stated scale."""

from __future__ import annotations

import math

from scye.ir.lay import CutLabel, LaySheet, LayStretchSheet, Placement
from scye.ir.pattern import Point, Stroke
from scye.ir.sheets import Write
from scye.render.canvas import Canvas, fill, polygon, straight, trace, write
from scye.render.draw_sheet import draw_bar
from scye.render.typeface import typeface

PAGE_WIDTH, PAGE_HEIGHT = 297.0, 210.0
LEFT, TOP = 28.0, 42.0
SMALL = 2.6
ROW = 3.8  # mm from one row of words to the next
# By how much the letters of another typeface, where this one is not at hand, may be broader.
BROAD = 1.1
PAPER_SHADE, OPENED_SHADE = 0.92, 0.96


class _Page:
    """Places on cloth as places on paper."""

    def __init__(self, scale: int) -> None:
        self.scale = scale

    def at(self, point: Point) -> Point:
        return LEFT + point[0] / self.scale, TOP + point[1] / self.scale

    def ring(self, points: tuple[Point, ...]) -> Stroke:
        return polygon(*map(self.at, points))


def page_size(sheet: LaySheet) -> Point:
    """A4 on its side, or larger where a very long lay needs it (mm)."""
    return max(PAGE_WIDTH, LEFT + sheet.lay.length / sheet.scale + 70), PAGE_HEIGHT


def cloth_box(sheet: LaySheet) -> tuple[float, float, float, float]:
    """Left, top, width and height (mm) of the drawn cloth with the words about it."""
    page = _Page(sheet.scale)
    right = page.at((sheet.lay.length, 0.0))[0]
    for part in sheet.stretches:
        words = _edge_words(part)[0]
        right = max(right, page.at((part.stretch.start, 0.0))[0] + BROAD * _width_of(words, SMALL))
    bottom = max(page.at((0.0, part.stretch.width))[1] for part in sheet.stretches)
    top = TOP - 5.0 - ROW * len(sheet.stretches)
    return LEFT - 12.0, top, right - LEFT + 16.0, bottom - top + 13.0


def _width_of(words: str, size: float) -> float:
    face = typeface()
    return face.width(face.glyph_run(words), size)


def draw_lay(canvas: Canvas, sheet: LaySheet) -> None:
    _heading(canvas, sheet)
    draw_cloth(canvas, sheet)
    _legend(canvas, sheet, _Page(sheet.scale))
    draw_bar(canvas, (LEFT, PAGE_HEIGHT - 8))


def draw_cloth(canvas: Canvas, sheet: LaySheet) -> None:
    """The cloth with its cuts, without the heading and the reckoning that stand about it on a page."""
    page = _Page(sheet.scale)
    for row, part in enumerate(sheet.stretches):
        _cloth(canvas, part, page, row)
        for placement, label in zip(part.stretch.placements, part.labels, strict=True):
            _cut(canvas, placement, label, page)
    _width(canvas, sheet, page)


def _heading(canvas: Canvas, sheet: LaySheet) -> None:
    write(canvas, Write((LEFT, 14), sheet.title, 4.6))
    write(canvas, Write((LEFT, 21), sheet.cloth, 3.0))
    buy = sheet.reckoning.buy
    used = f"{sheet.lay.efficiency * 100:.0f} % used"
    told = f"Drawn at 1 : {sheet.scale}. {used}. Buy {buy.amount}: {buy.source}."
    write(canvas, Write((LEFT, 26.5), told, 3.0))


def _edge_words(part: LayStretchSheet) -> tuple[str, str]:
    """What stands over the upper edge of a stretch of cloth, and under the lower."""
    if part.stretch.folded:
        return f"fold; {part.words}", "selvedges"
    return f"selvedge; {part.words}", "selvedge"


def _cloth(canvas: Canvas, part: LayStretchSheet, page: _Page, row: int) -> None:
    """The edges of a stretch of cloth, named, and its length below.

    Over it the words stand a row higher for each stretch, since those of a short one run over the next.
    """
    stretch = part.stretch
    left, top = page.at((stretch.start, 0.0))
    right, bottom = page.at((stretch.start + stretch.length, stretch.width))
    trace(canvas, "frame", polygon((left, top), (right, top), (right, bottom), (left, bottom)))
    if stretch.folded:
        trace(canvas, "joint", straight((left, top - 0.9), (right, top - 0.9)))
    over, under = _edge_words(part)
    write(canvas, Write((left, top - 1.8 - ROW * row), over, SMALL))
    write(canvas, Write((left, bottom + 3.4), under, SMALL))
    _dimension(canvas, (left, bottom + 6.5), (right, bottom + 6.5), part.length)


def _width(canvas: Canvas, sheet: LaySheet, page: _Page) -> None:
    """The width of the cloth at the left; of folded cloth its half."""
    stretch = sheet.stretches[0].stretch
    top, bottom = page.at((0.0, 0.0)), page.at((0.0, stretch.width))
    words = f"half of {sheet.width}" if stretch.folded else f"{sheet.width} usable"
    _dimension(canvas, (LEFT - 7, bottom[1]), (LEFT - 7, top[1]), words)


def _dimension(canvas: Canvas, start: Point, end: Point, words: str) -> None:
    """A line with ticks at both ends and its words below or beside it."""
    angle = math.atan2(end[1] - start[1], end[0] - start[0])
    across = (-math.sin(angle), math.cos(angle))
    trace(canvas, "fine", straight(start, end))
    for x, y in (start, end):
        a, b = (x - across[0] * 1.5, y - across[1] * 1.5), (x + across[0] * 1.5, y + across[1] * 1.5)
        trace(canvas, "frame", straight(a, b))
    off = 3.6 if abs(angle) < 1 else -1.2
    at = ((start[0] + end[0]) / 2 + across[0] * off, (start[1] + end[1]) / 2 + across[1] * off)
    write(canvas, Write(at, words, SMALL, angle, "middle"))


def _cut(canvas: Canvas, placement: Placement, label: CutLabel, page: _Page) -> None:
    outline = page.ring(placement.outline)
    fill(canvas, outline, OPENED_SHADE if placement.mirrored and not placement.on_fold else PAPER_SHADE)
    trace(canvas, "grain", outline)
    if placement.crease is not None:
        trace(canvas, "press", straight(*map(page.at, placement.crease)))
    _arrow(canvas, page.at(placement.grain[0]), page.at(placement.grain[1]))
    x, y = page.at(label.at)
    for k, line in enumerate(label.lines):
        down = (k - (len(label.lines) - 1) / 2) * label.size * 1.35 + label.size * 0.36
        write(canvas, Write((x, y + down), line, label.size, anchor="middle"))


def _arrow(canvas: Canvas, foot: Point, head: Point) -> None:
    """The grain, with its arrow at the head of the piece."""
    trace(canvas, "level", straight(foot, head))
    far = math.dist(foot, head)
    dx, dy = (head[0] - foot[0]) / far, (head[1] - foot[1]) / far
    back = (head[0] - dx * 2.2, head[1] - dy * 2.2)
    one, other = (back[0] - dy * 0.6, back[1] + dx * 0.6), (back[0] + dy * 0.6, back[1] - dx * 0.6)
    fill(canvas, polygon(head, one, other))


def _legend(canvas: Canvas, sheet: LaySheet, page: _Page) -> None:
    """The lines of the reckoning beside the lay."""
    x = page.at((sheet.lay.length, 0.0))[0] + 8
    reckoning = sheet.reckoning
    for k, figure in enumerate((*reckoning.lines, reckoning.buy, *reckoning.check, *reckoning.notes)):
        write(canvas, Write((x, TOP + 3 + 4.5 * k), f"{figure.name}: {figure.amount}", SMALL))
