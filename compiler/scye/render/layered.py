"""nest-tiles-*.pdf: the nests on home paper, a layer for each size and one for the frame of the pages.

The nest is drawn once, as nest.pdf has it, and becomes a form that every page shows its part of (ISO 32000-1,
8.10 and 8.11). The frame is all that belongs to no size: map, joint marks, bar and squares, and what the nest
itself has of it.
"""

from __future__ import annotations

from io import BytesIO

from pikepdf import Object, Pdf

from scye.ir.grade import NestPlan
from scye.ir.sheets import TilePlan, Write
from scye.render.canvas import straight
from scye.render.draw_sheet import draw_cover, draw_tile_marks
from scye.render.nest_pdf import FRAME, in_frame, nest_pdf
from scye.render.nest_pens import size_pens
from scye.render.numbers import number
from scye.render.pdf import Document, PdfCanvas, path_operators, tile_parts

KEY_ROWS = 8
KEY_STEP = 6.0


def nest_tiles_pdf(nest: NestPlan, plan: TilePlan) -> bytes:
    """A cover with the page map and the key of sizes, then the pages of home paper to be joined."""
    document = Document(plan.recipe, plan.body)
    form, layers = _form(document, nest)
    _cover(document, nest, plan, layers)
    scale = 25.4 / 72
    shown = [f"q {scale:.9f} 0 0 {-scale:.9f} 0 {number(nest.height)} cm /N Do Q"]
    for tile in plan.tiles:
        marks = PdfCanvas()
        draw_tile_marks(marks, plan, tile)
        parts = tile_parts(plan, tile, shown, in_frame(marks.parts))
        document.page(plan.paper.width, plan.paper.height, parts, {"/N": form}, layers)
    return document.save(["map", *(tile.name for tile in plan.tiles)])


def _form(document: Document, nest: NestPlan) -> tuple[Object, dict[str, Object]]:
    """The nest as a form in the document, and the layers of sizes and of the frame by their names there."""
    pdf = document.pdf
    with Pdf.open(BytesIO(nest_pdf(nest))) as drawn:
        properties = drawn.make_indirect(drawn.Root.OCProperties)
        form = pdf.copy_foreign(drawn.make_indirect(drawn.pages[0].as_form_xobject()))
        pdf.Root.OCProperties = pdf.copy_foreign(properties)
    form.Resources.Font.F = document.font
    names = [*(f"/S{i}" for i in range(len(nest.sizes))), FRAME]
    return form, {name: form.Resources.Properties[name] for name in names}


def _cover(document: Document, nest: NestPlan, plan: TilePlan, layers: dict[str, Object]) -> None:
    canvas = PdfCanvas()
    if plan.tiles:
        draw_cover(canvas, plan)
        canvas.parts = in_frame(canvas.parts)
        _key(canvas, nest, plan)
    document.page(plan.paper.width, plan.paper.height, canvas.parts, {}, layers)


def _key(canvas: PdfCanvas, nest: NestPlan, plan: TilePlan) -> None:
    """A sample of each size's line beside the squares, in the layer of the size."""
    left, top = plan.margin + 116.0, plan.paper.height - plan.margin - 63.0
    for i, pen in enumerate(size_pens(len(nest.sizes), nest.base)):
        column, row = divmod(i, KEY_ROWS)
        x, y = left + column * 38, top + row * KEY_STEP
        red, green, blue = (number(int(pen.colour[k : k + 2], 16) / 255) for k in (1, 3, 5))
        dash = " ".join(map(number, pen.nib.dash))
        line = path_operators(straight((x, y), (x + 16, y)))
        canvas.parts.append(f"/OC /S{i} BDC q {red} {green} {blue} RG")
        canvas.parts.append(f"{number(pen.nib.width)} w [{dash}] 0 d {line} S Q")
        canvas.draw(Write((x + 18, y + 1.1), nest.sizes[i], 3.0))
        canvas.parts.append("EMC")
