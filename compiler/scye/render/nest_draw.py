"""What a nest has besides the lines of its sizes, and what each size has in a piece."""

from __future__ import annotations

from scye.ir.grade import NestLine, NestPiece, NestPlan, SizeLabel
from scye.render.canvas import Canvas, begin, circle, end, straight, trace, write
from scye.render.draw_piece import draw_grain
from scye.render.draw_sheet import draw_title


def draw_ground(canvas: Canvas, plan: NestPlan) -> None:
    """What belongs to no size: the title block and, piece by piece, its name, grain and shared place."""
    if plan.corner is not None:
        draw_title(canvas, plan.corner, plan.words)
    for nested in plan.pieces:
        begin(canvas, nested.piece.name, nested.move)
        for words in nested.words:
            write(canvas, words)
        draw_grain(canvas, nested.piece.grain, nested.piece.one_way)
        if nested.marked:
            cross = straight((-4, 0), (4, 0)), straight((0, -4), (0, 4))
            trace(canvas, "mark", circle((0.0, 0.0), 1.6), *cross)
        end(canvas)


def line_of(nested: NestPiece, size: int) -> NestLine | None:
    """A size of a piece, if that size has it."""
    return next((line for line in nested.piece.lines if line.size == size), None)


def of_size(labels: tuple[SizeLabel, ...], size: int) -> tuple[SizeLabel, ...]:
    """Those of the labels of a piece, or of the key of a sheet, that are of one size."""
    return tuple(label for label in labels if label.size == size)
