"""lay.svg: the drawn lay, by itself and as it stands in the page."""

from __future__ import annotations

from xml.sax.saxutils import escape

from scye.ir.lay import LaySheet
from scye.render.lay_draw import draw_lay, page_size
from scye.render.numbers import number
from scye.render.svg import SvgCanvas


def lay_svg(sheet: LaySheet) -> bytes:
    """An SVG of the size of its page, one user unit a millimetre of paper."""
    return ('<?xml version="1.0" encoding="UTF-8"?>\n' + lay_markup(sheet) + "\n").encode()


def lay_markup(sheet: LaySheet) -> str:
    canvas = SvgCanvas()
    draw_lay(canvas, sheet)
    width, height = map(number, page_size(sheet))
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm"'
        f' viewBox="0 0 {width} {height}" fill="none" stroke-linejoin="round" role="img">'
    )
    title = f"<title>{escape(sheet.title)}</title>"
    ground = f'<rect width="{width}" height="{height}" fill="#fff"/>'
    return "\n".join([head, title, ground, *canvas.elements, "</svg>"])
