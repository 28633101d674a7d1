"""projector.pdf: one page in thick lines, without joins, with a grid to set the projector by."""

from __future__ import annotations

from scye.ir.pattern import EdgeLabel, Point
from scye.ir.sheets import Begin, Box, End, JointMark, Placed, ProjectorPlan, Write
from scye.render.canvas import Canvas, circle, fill, rectangle, straight, trace, write
from scye.render.draw_piece import draw_piece
from scye.render.pdf import Document, PdfCanvas
from scye.render.pens import PROJECTED

INCH = 25.4
WORDS = 8.0
LETTER = 7.0


def projector_pdf(plan: ProjectorPlan) -> bytes:
    document = Document(plan.pattern.recipe, plan.pattern.body)
    canvas = PdfCanvas(PROJECTED)
    for k, area in enumerate(plan.areas, 1):
        _area(canvas, area, f"area {k} of {len(plan.areas)}")
    _words(canvas, plan)
    _grid(canvas, plan.grid)
    for placed in plan.placed:
        canvas.draw(Begin(placed.piece.name, placed.move))
        _piece(canvas, placed)
        canvas.draw(End())
    for mark in plan.marks:
        _mark(canvas, mark)
    document.page(plan.width, plan.height, canvas.parts, {})
    return document.save(["projector"])


def _piece(canvas: Canvas, placed: Placed) -> None:
    """The piece as on paper, its seam letters larger."""
    letters = placed.piece.edge_labels
    for label in letters:
        _letter(canvas, label)
    draw_piece(canvas, placed, letters=False)


def _letter(canvas: Canvas, label: EdgeLabel) -> None:
    x, y = label.at
    ring = circle(label.at, max(5.6, 2.4 * len(label.text) + 3.0))
    fill(canvas, ring, 1.0)
    trace(canvas, "mark", ring)
    write(canvas, Write((x, y + LETTER * 0.36), label.text, LETTER, anchor="middle"))


def _area(canvas: Canvas, area: Box, name: str) -> None:
    trace(canvas, "joint", rectangle(area.left, area.top, area.width, area.height))
    write(canvas, Write((area.left + 4, area.top + WORDS + 2), name, WORDS))


def _words(canvas: Canvas, plan: ProjectorPlan) -> None:
    first = plan.areas[0]
    for k, line in enumerate(plan.words):
        write(canvas, Write((first.left + 90, first.top + WORDS + 2 + k * 9), line, WORDS * 0.85))


def _grid(canvas: Canvas, corner: Point) -> None:
    """4 in in squares of an inch, and beside it 100 mm in squares of 10 mm."""
    x, y = corner
    _squares(canvas, (x + 2, y + 2), 4, INCH)
    _squares(canvas, (x + 116, y + 2), 10, 10.0)
    write(canvas, Write((x + 2, y + 2 + 4 * INCH + 9), "4 in", WORDS))
    write(canvas, Write((x + 116, y + 2 + 4 * INCH + 9), "100 mm", WORDS))


def _squares(canvas: Canvas, corner: Point, count: int, side: float) -> None:
    x, y = corner
    whole = count * side
    for k in range(count + 1):
        at = k * side
        trace(canvas, "frame", straight((x + at, y), (x + at, y + whole)))
        trace(canvas, "frame", straight((x, y + at), (x + whole, y + at)))


def _mark(canvas: Canvas, mark: JointMark) -> None:
    """A cross in a ring to lay the cloth by, with its number."""
    x, y = mark.at
    trace(canvas, "mark", circle(mark.at, 5), straight((x - 12, y), (x + 12, y)))
    trace(canvas, "mark", straight((x, y - 12), (x, y + 12)))
    write(canvas, Write((x + 6, y - 6), mark.text, WORDS))
