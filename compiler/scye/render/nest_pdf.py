"""nest.pdf: the nests at full scale on one long page, with layers that can be switched on and off.

Each size is a layer; so are stitch lines, cutting lines and marks, and the frame, which is all that belongs
to no size: title block, names of pieces, grain. A line is shown where both its size and its kind are:
optional-content groups and membership dictionaries of ISO 32000-1, 8.11.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from pikepdf import Array, Dictionary, Name, Object, Pdf

from scye.ir.grade import NestPiece, NestPlan
from scye.ir.pattern import Stroke
from scye.ir.sheets import Begin, End
from scye.render.nest_draw import draw_ground, line_of, of_size
from scye.render.nest_pens import SizePen, size_pens
from scye.render.numbers import number
from scye.render.pdf import Document, PdfCanvas, path_operators
from scye.render.pens import Nib

LineKind = Literal["stitch", "cutting", "marks"]
KINDS: dict[LineKind, str] = {
    "stitch": "stitch lines",
    "cutting": "cutting lines",
    "marks": "notches and darts",
}
# The name that a page has for the layer of the frame.
FRAME = "/Frame"
# What is shown at first.
SHOWN: tuple[LineKind, ...] = ("stitch", "marks")


def nest_pdf(plan: NestPlan) -> bytes:
    document = Document(plan.recipe, "all sizes")
    layers = _Layers(document.pdf, plan)
    canvas = PdfCanvas()
    ground = PdfCanvas()
    draw_ground(ground, plan)
    canvas.parts += in_frame(ground.parts)
    others = [i for i in range(len(plan.sizes)) if i != plan.base]
    for size in (*others, plan.base):
        _size(canvas, plan, size)
    document.page(plan.width, plan.height, canvas.parts, {}, layers.properties)
    return document.save(["nest"])


def in_frame(parts: list[str]) -> list[str]:
    """Operators as a part of the layer of the frame."""
    return [f"/OC {FRAME} BDC", *parts, "EMC"]


class _Layers:
    """The layers of a document, and the names that its page has for them."""

    def __init__(self, pdf: Pdf, plan: NestPlan) -> None:
        self.sizes = [_group(pdf, f"size {code}") for code in plan.sizes]
        self.kinds = {kind: _group(pdf, words) for kind, words in KINDS.items()}
        self.frame = _group(pdf, "frame")
        self.properties = {**dict(self._properties(pdf)), FRAME: self.frame}
        hidden = [group for kind, group in self.kinds.items() if kind not in SHOWN]
        everything = [*self.sizes, *self.kinds.values(), self.frame]
        pdf.Root.OCProperties = Dictionary(
            OCGs=Array(everything),
            D=Dictionary(Name="as drawn", BaseState=Name.ON, OFF=Array(hidden), Order=Array(everything)),
        )

    def _properties(self, pdf: Pdf) -> Iterator[tuple[str, Object]]:
        for i, size in enumerate(self.sizes):
            yield f"/S{i}", size
            for kind, group in self.kinds.items():
                both = Dictionary(Type=Name.OCMD, OCGs=Array([size, group]), P=Name.AllOn)
                yield f"/S{i}{kind}", pdf.make_indirect(both)


def _group(pdf: Pdf, words: str) -> Object:
    return pdf.make_indirect(Dictionary(Type=Name.OCG, Name=words))


def _size(canvas: PdfCanvas, plan: NestPlan, size: int) -> None:
    pen = size_pens(len(plan.sizes), plan.base)[size]
    canvas.parts.append(f"/OC /S{size} BDC")
    for sample in of_size(plan.key, size):
        _stroke(canvas, sample.stroke, pen.nib, pen.colour)
        canvas.draw(sample.words)
    canvas.parts.append("EMC")
    for nested in plan.pieces:
        _piece(canvas, nested, size, pen)


def _piece(canvas: PdfCanvas, nested: NestPiece, size: int, pen: SizePen) -> None:
    line = line_of(nested, size)
    if line is None:
        return
    strokes: tuple[tuple[LineKind, tuple[Stroke, ...], Nib], ...] = (
        ("cutting", (line.cutting,), pen.cutting),
        ("stitch", (line.net,), pen.nib),
        ("marks", line.marks, Nib(0.25)),
    )
    canvas.draw(Begin("", nested.move))
    for kind, paths, nib in strokes:
        canvas.parts.append(f"/OC /S{size}{kind} BDC")
        for path in paths:
            _stroke(canvas, path, nib, pen.colour)
        canvas.parts.append("EMC")
    canvas.parts.append(f"/OC /S{size} BDC")
    for label in of_size(nested.labels, size):
        _stroke(canvas, label.stroke, Nib(0.15), pen.colour)
        canvas.draw(label.words)
    canvas.parts.append("EMC")
    canvas.draw(End())


def _stroke(canvas: PdfCanvas, path: Stroke, nib: Nib, colour: str) -> None:
    red, green, blue = (int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5))
    dash = " ".join(map(number, nib.dash))
    inks = " ".join(map(number, (red, green, blue)))
    canvas.parts.append(f"q {inks} RG {number(nib.width)} w [{dash}] 0 d {path_operators(path)} S Q")
