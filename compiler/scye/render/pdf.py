"""PDF: own content streams, one embedded typeface, page boxes exact, the same bytes each time."""

from __future__ import annotations

import math
import zlib
from collections.abc import Mapping, Sequence
from functools import cache
from io import BytesIO
from typing import assert_never

import pikepdf
from pikepdf import Array, Dictionary, Name, Object, Pdf, Stream

from scye.ir.pattern import Point, Stroke
from scye.ir.sheets import (
    Begin,
    Box,
    End,
    Fill,
    Operation,
    Pen,
    Placed,
    RollPlan,
    Tile,
    TilePlan,
    Trace,
    Write,
)
from scye.render.draw_piece import draw_piece
from scye.render.draw_sheet import draw_cover, draw_tile_marks, draw_title
from scye.render.numbers import number
from scye.render.pens import NIBS, Nib
from scye.render.typeface import FONT_NAME, Typeface, typeface

# 1 in = 25.4 mm = 72 units of user space.
POINTS = 72 / 25.4
# What a butted page shows beyond its joints, mm, so that a line on the joint itself is whole.
TRIMMED = 1.0


class PdfCanvas:
    """Writes each operation as content stream operators, in mm with y down."""

    def __init__(self, nibs: Mapping[Pen, Nib] = NIBS) -> None:
        self.parts: list[str] = []
        self.face = typeface()
        self.nibs = nibs

    def draw(self, operation: Operation) -> None:
        match operation:
            case Trace(path, pen):
                nib = self.nibs[pen]
                dash = " ".join(map(number, nib.dash))
                self.parts.append(f"{number(nib.width)} w [{dash}] 0 d {path_operators(path)} S")
            case Fill(path, tone):
                self.parts.append(f"{number(tone)} g {path_operators(path)} f 0 g")
            case Write():
                self.parts.append(_text_operators(operation, self.face))
            case Begin(_, move):
                self.parts.append(f"q 1 0 0 1 {_pair(move)} cm")
            case End():
                self.parts.append("Q")
            case _:
                assert_never(operation)


def sheet_pdf(roll: RollPlan) -> bytes:
    """The pieces at full scale on one long page (or as many as it took), for a roll printer."""
    document = Document(roll.pattern.recipe, roll.pattern.body)
    pieces = document.pieces([p for page in roll.pages for p in page.placed])
    for page in roll.pages:
        canvas = PdfCanvas()
        draw_title(canvas, (page.title.left, page.title.top), page.words)
        for placed in page.placed:
            _use_piece(canvas, placed)
        document.page(page.width, page.height, canvas.parts, pieces)
    return document.save([f"sheet {k + 1}" for k in range(len(roll.pages))])


def tiles_pdf(plan: TilePlan) -> bytes:
    """A cover with the page map, then the pages of home paper to be joined."""
    document = Document(plan.recipe, plan.body)
    pieces = document.pieces(plan.placed)
    cover = PdfCanvas()
    if plan.tiles:
        draw_cover(cover, plan)
    document.page(plan.paper.width, plan.paper.height, cover.parts, {})
    for tile in plan.tiles:
        here = [p for p in plan.placed if _touch(p.box, tile.window)]
        shown = PdfCanvas()
        for placed in here:
            _use_piece(shown, placed)
        marks = PdfCanvas()
        draw_tile_marks(marks, plan, tile)
        used = {_key(p): pieces[_key(p)] for p in here}
        document.page(
            plan.paper.width, plan.paper.height, tile_parts(plan, tile, shown.parts, marks.parts), used
        )
    return document.save(["map", *(tile.name for tile in plan.tiles)])


def tile_parts(plan: TilePlan, tile: Tile, shown: list[str], marks: list[str]) -> list[str]:
    """A page's content: what the sheet shows there, cut off at the printable area, and the page's own marks.

    Butted pages show a little more, and their marks run over into the margin, which is trimmed off.
    """
    window, more = tile.window, 0.0 if plan.overlap else TRIMMED
    open_up = f"q 1 0 0 1 {_pair((plan.margin - window.left, plan.margin - window.top))} cm"
    seen = Box(window.left - more, window.top - more, window.right + more, window.bottom + more)
    cut_off = f"{_box(seen)} re W n"
    if plan.overlap:
        return [open_up, cut_off, *shown, *marks, "Q"]
    return [open_up, "q", cut_off, *shown, "Q", *marks, "Q"]


def path_operators(stroke: Stroke) -> str:
    """m, l, c and h; segments of no length are left out."""
    here = _pair(stroke.start)
    parts = [here + " m"]
    for segment in stroke.segments:
        places = [_pair(point) for point in segment]
        if any(place != here for place in places):
            parts.append(" ".join(places) + (" c" if len(places) == 3 else " l"))
        here = places[-1]
    return " ".join(parts) + (" h" if stroke.closed else "")


def _pair(point: Point) -> str:
    return f"{number(point[0])} {number(point[1])}"


def _box(box: Box) -> str:
    return f"{number(box.left)} {number(box.top)} {number(box.width)} {number(box.height)}"


def _touch(a: Box, b: Box) -> bool:
    return a.left < b.right and b.left < a.right and a.top < b.bottom and b.top < a.bottom


def _text_operators(text: Write, face: Typeface) -> str:
    glyphs = face.glyph_run(text.words)
    back = {"start": 0.0, "middle": 0.5, "end": 1.0}[text.anchor] * face.width(glyphs, text.size)
    cosine, sine = math.cos(text.angle), math.sin(text.angle)
    x, y = text.at[0] - back * cosine, text.at[1] - back * sine
    # The page has y down, so letters are turned over once more to stand upright.
    matrix = " ".join(map(number, (cosine, sine, sine, -cosine, x, y)))
    run = "".join(f"{g:04x}" for g in glyphs)
    return f"BT /F {number(text.size)} Tf {matrix} Tm <{run}> Tj ET"


def _key(placed: Placed) -> str:
    return f"/P{placed.piece.number}"


def _use_piece(canvas: PdfCanvas, placed: Placed) -> None:
    canvas.draw(Begin(placed.piece.name, placed.move))
    canvas.parts.append(f"{_key(placed)} Do")
    canvas.draw(End())


class Document:
    """A PDF under way: each piece is drawn once, as a form that the pages show where it lies."""

    def __init__(self, recipe: str, body: str) -> None:
        self.pdf = Pdf.new()
        self.font = _embed(self.pdf)
        self.pdf.docinfo["/Title"] = f"{recipe}, for {body}"
        self.pdf.Root.ViewerPreferences = Dictionary(PrintScaling=Name("/None"), DisplayDocTitle=True)
        self.pdf.Root.Lang = "en-GB"

    def pieces(self, placed: Sequence[Placed]) -> dict[str, Object]:
        return {_key(p): self._form(p) for p in placed}

    def _form(self, placed: Placed) -> Object:
        canvas = PdfCanvas()
        draw_piece(canvas, placed)
        x, y = placed.move
        box = placed.box
        # Half a pen's width more, so that no line at the rim is shaved.
        bounds = [box.left - x - 1, box.top - y - 1, box.right - x + 1, box.bottom - y + 1]
        form = _stream(self.pdf, canvas.parts)
        form.Type, form.Subtype = Name.XObject, Name.Form
        form.BBox = Array([round(b, 4) for b in bounds])
        form.Resources = Dictionary(Font=Dictionary(F=self.font))
        return self.pdf.make_indirect(form)

    def page(
        self,
        width: float,
        height: float,
        parts: list[str],
        forms: dict[str, Object],
        layers: dict[str, Object] | None = None,
    ) -> None:
        """A page of `width` by `height` mm; its content has y down from the top left corner.

        `layers` are the optional-content groups by the names that the content has for them.
        """
        media = [0, 0, round(width * POINTS, 3), round(height * POINTS, 3)]
        head = f"1 j {POINTS:.9f} 0 0 -{POINTS:.9f} 0 {height * POINTS:.6f} cm"
        resources = Dictionary(Font=Dictionary(F=self.font))
        if forms:
            resources.XObject = Dictionary(forms)
        if layers:
            resources.Properties = Dictionary(layers)
        page = Dictionary(
            Type=Name.Page,
            MediaBox=Array(media),
            Resources=resources,
            Contents=self.pdf.make_indirect(_stream(self.pdf, [head, *parts])),
        )
        self.pdf.pages.append(pikepdf.Page(self.pdf.make_indirect(page)))

    def save(self, labels: Sequence[str]) -> bytes:
        self.pdf.Root.PageLabels = Dictionary(
            Nums=Array([x for k, label in enumerate(labels) for x in (k, Dictionary(P=label))])
        )
        out = BytesIO()
        self.pdf.save(
            out,
            min_version="1.7",
            deterministic_id=True,
            object_stream_mode=pikepdf.ObjectStreamMode.disable,
        )
        return out.getvalue()


def _stream(pdf: Pdf, parts: list[str]) -> Stream:
    return Stream(pdf, zlib.compress("\n".join(parts).encode("ascii"), 6), Filter=Name.FlateDecode)


@cache
def _packed_program() -> bytes:
    return zlib.compress(typeface().program, 9)


@cache
def _unicode_map() -> bytes:
    """The ToUnicode CMap: from glyph numbers back to characters, so that words can be found and copied."""
    seen: dict[int, str] = {}
    for character, glyph in typeface().glyphs.items():
        seen.setdefault(glyph, character)
    lines = [f"<{g:04x}> <{c.encode('utf-16-be').hex()}>" for g, c in sorted(seen.items())]
    blocks = [lines[k : k + 100] for k in range(0, len(lines), 100)]
    body = "\n".join(f"{len(b)} beginbfchar\n" + "\n".join(b) + "\nendbfchar" for b in blocks)
    return (
        "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n"
        "/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n"
        "/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n"
        "1 begincodespacerange\n<0000> <ffff>\nendcodespacerange\n"
        f"{body}\nendcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n"
    ).encode("ascii")


def _embed(pdf: Pdf) -> Object:
    """The typeface as a composite font whose codes are glyph numbers (ISO 32000-1, 9.7)."""
    face = typeface()
    program = Stream(pdf, _packed_program(), Filter=Name.FlateDecode, Length1=len(face.program))
    descriptor = Dictionary(
        Type=Name.FontDescriptor,
        FontName=Name("/" + FONT_NAME),
        Flags=4,
        FontBBox=Array(list(face.box)),
        ItalicAngle=0,
        Ascent=face.ascent,
        Descent=face.descent,
        CapHeight=729,
        StemV=80,
        FontFile2=pdf.make_indirect(program),
    )
    descendant = Dictionary(
        Type=Name.Font,
        Subtype=Name.CIDFontType2,
        BaseFont=Name("/" + FONT_NAME),
        CIDSystemInfo=Dictionary(Registry="Adobe", Ordering="Identity", Supplement=0),
        FontDescriptor=pdf.make_indirect(descriptor),
        W=Array([0, Array(list(face.advances))]),
        CIDToGIDMap=Name.Identity,
    )
    return pdf.make_indirect(
        Dictionary(
            Type=Name.Font,
            Subtype=Name.Type0,
            BaseFont=Name("/" + FONT_NAME),
            Encoding=Name("/Identity-H"),
            DescendantFonts=Array([pdf.make_indirect(descendant)]),
            ToUnicode=pdf.make_indirect(Stream(pdf, _unicode_map())),
        )
    )
