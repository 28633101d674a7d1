"""lay.svg: the drawn lay, by itself and as it stands in the page."""

from __future__ import annotations

from xml.sax.saxutils import escape

from scye.ir.lay import LaySheet
from scye.render.lay_draw import cloth_box, draw_cloth, draw_lay, page_size
from scye.render.numbers import number
from scye.render.svg import SvgCanvas

# Screen px a millimetre of the drawing at the least, so that its smallest words can be read.
READABLE = 3.6


def lay_svg(sheet: LaySheet) -> bytes:
    """An SVG of the size of its page, one user unit a millimetre of paper."""
    width, height = page_size(sheet)
    canvas = SvgCanvas()
    draw_lay(canvas, sheet)
    true = f'width="{number(width)}mm" height="{number(height)}mm"'
    lines = _markup(sheet, canvas, (0.0, 0.0, width, height), true)
    return ('<?xml version="1.0" encoding="UTF-8"?>\n' + lines + "\n").encode()


def cloth_markup(sheet: LaySheet) -> str:
    """The cloth alone, for a page that says all else: as wide as it may be, and never too small to read."""
    canvas = SvgCanvas()
    draw_cloth(canvas, sheet)
    box = cloth_box(sheet)
    return _markup(sheet, canvas, box, f'style="min-width: {box[2] * READABLE:.0f}px"')


def _markup(sheet: LaySheet, canvas: SvgCanvas, box: tuple[float, float, float, float], size: str) -> str:
    x, y, width, height = map(number, box)
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} viewBox="{x} {y} {width} {height}"'
        ' fill="none" stroke-linejoin="round" role="img">'
    )
    title = f"<title>{escape(sheet.title)}</title>"
    ground = f'<rect x="{x}" y="{y}" width="{width}" height="{height}" fill="#fff"/>'
    return "\n".join([head, title, ground, *canvas.elements, "</svg>"])
