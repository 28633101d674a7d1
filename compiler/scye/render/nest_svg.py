"""nest.svg: the sizes of every piece laid over each other at full scale, a group a size."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal
from xml.sax.saxutils import escape

from scye.ir.grade import NestPiece, NestPlan
from scye.ir.pattern import Stroke
from scye.render.nest_draw import draw_ground, line_of, of_size
from scye.render.nest_pens import SizePen, size_pens
from scye.render.numbers import number
from scye.render.pens import Nib
from scye.render.svg import SvgCanvas, path_data


def nest_svg(plan: NestPlan) -> bytes:
    """A file by itself: width and height in mm, one user unit a millimetre."""
    return ('<?xml version="1.0" encoding="UTF-8"?>\n' + nest_markup(plan, size_of="sheet") + "\n").encode()


def nest_markup(plan: NestPlan, size_of: Literal["sheet", "page"]) -> str:
    """The drawing as an element: at the sheet's true size, or as wide as the page that it is shown on.

    Each size is a group of class `size`; in it, cutting lines are of class `cutting` and not shown at first.
    """
    width, height = number(plan.width), number(plan.height)
    true = f' width="{width}mm" height="{height}mm"' if size_of == "sheet" else ""
    title = f"{plan.recipe}, edition {plan.edition}: nest of sizes {', '.join(plan.sizes)}"
    ground = SvgCanvas()
    draw_ground(ground, plan)
    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg"{true} viewBox="0 0 {width} {height}" fill="none"'
            ' stroke-linejoin="round" role="img">',
            f"<title>{escape(title)}</title>",
            f'<rect width="{width}" height="{height}" fill="#fff"/>',
            *ground.elements,
            *(line for size in _order(plan) for line in _size(plan, size)),
            "</svg>",
        ]
    )


def _order(plan: NestPlan) -> list[int]:
    """The base size is drawn last, over the others."""
    return [*(i for i in range(len(plan.sizes)) if i != plan.base), plan.base]


def _size(plan: NestPlan, size: int) -> Iterator[str]:
    pen = size_pens(len(plan.sizes), plan.base)[size]
    yield f'<g class="size" id="size-{plan.sizes[size]}">'
    for sample in of_size(plan.key, size):
        yield _path(sample.stroke, pen.nib, pen.colour)
    yield from _written(plan, size)
    for nested in plan.pieces:
        yield from _piece(nested, size, pen)
    yield "</g>"


def _written(plan: NestPlan, size: int) -> list[str]:
    canvas = SvgCanvas()
    for sample in of_size(plan.key, size):
        canvas.draw(sample.words)
    return canvas.elements


def _piece(nested: NestPiece, size: int, pen: SizePen) -> Iterator[str]:
    line = line_of(nested, size)
    if line is None:
        return
    x, y = nested.move
    yield f'<g transform="translate({number(x)},{number(y)})">'
    yield f'<g class="cutting" display="none">{_path(line.cutting, pen.cutting, pen.colour)}</g>'
    yield f'<g class="stitch">{_path(line.net, pen.nib, pen.colour)}</g>'
    marks = "".join(_path(mark, Nib(0.25), pen.colour) for mark in line.marks)
    yield f'<g class="marks">{marks}</g>'
    canvas = SvgCanvas()
    for label in of_size(nested.labels, size):
        yield _path(label.stroke, Nib(0.15), pen.colour)
        canvas.draw(label.words)
    yield from canvas.elements
    yield "</g>"


def _path(stroke: Stroke, nib: Nib, colour: str) -> str:
    dash = f' stroke-dasharray="{" ".join(map(number, nib.dash))}"' if nib.dash else ""
    return f'<path d="{path_data(stroke)}" stroke="{colour}" stroke-width="{number(nib.width)}"{dash}/>'
