"""lay.pdf: the drawn lay on one page."""

from __future__ import annotations

from scye.ir.lay import LaySheet
from scye.render.lay_draw import draw_lay, page_size
from scye.render.pdf import Document, PdfCanvas


def lay_pdf(sheet: LaySheet) -> bytes:
    document = Document(f"Lay plan, {sheet.lay.garment.recipe}", sheet.lay.garment.body)
    canvas = PdfCanvas()
    draw_lay(canvas, sheet)
    document.page(*page_size(sheet), canvas.parts, {})
    return document.save(["lay"])
