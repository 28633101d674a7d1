"""Every file of a run: for each body its sheets, and one machine-readable result for all."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from scye.ir.grade import AlignedPiece, Grade
from scye.ir.notions import Rates
from scye.ir.pattern import Pattern
from scye.ir.requests import Joints, PrintWishes, Say
from scye.lists.sheet import lists_of
from scye.place.blocks import nest_blocks, picture_blocks
from scye.place.layered import tile_nest
from scye.place.nest import lay_nest
from scye.place.paper import A4, HOME, LETTER
from scye.place.picture import lay_picture
from scye.place.projector import lay_projector
from scye.place.roll import lay_roll
from scye.place.tiles import OVERLAP, tile
from scye.render.dxf import dxf
from scye.render.grade_page import grade_html
from scye.render.layered import nest_tiles_pdf
from scye.render.lists import lists_html
from scye.render.nest_pdf import nest_pdf
from scye.render.nest_svg import nest_svg
from scye.render.pattern_json import Header, pattern_json
from scye.render.pdf import sheet_pdf, tiles_pdf
from scye.render.png import PictureSkipped, pieces_png
from scye.render.projector import projector_pdf
from scye.render.proof import proof_html
from scye.render.svg import pieces_svg

PICTURE_WIDTH = 1600  # pixels
USUAL = PrintWishes()
BLANK = Rates()
OVERLAPS: dict[Joints, float] = {"overlap": OVERLAP, "butt": 0.0}


def files_of(
    patterns: Sequence[Pattern],
    version: str,
    say: Say,
    remarks: list[str],
    sizes: tuple[Grade, tuple[AlignedPiece, ...]] | None = None,
    prints: PrintWishes = USUAL,
    rates: Rates = BLANK,
) -> Iterator[tuple[str, bytes]]:
    """The files of a run by name, one after another; `remarks` gets what the maker should know of them."""
    first = patterns[0]
    header = Header(version, first.recipe, first.edition)
    yield "pattern.json", pattern_json(patterns, header, sizes[0] if sizes is not None else None)
    if sizes is not None:
        say("laying the sizes over each other")
        yield from _nest(*sizes, prints, patterns)
    for i, pattern in enumerate(patterns, 1):
        say(f"drawing the sheets of {pattern.body}, {i} of {len(patterns)}")
        prefix = f"{pattern.body}-" if len(patterns) > 1 else ""
        for name, data in _sheets(pattern, remarks, prints, rates):
            yield prefix + name, data


def changed_pages(pattern: Pattern, changed: Sequence[str]) -> Iterator[tuple[str, bytes]]:
    """The sheets of those pieces alone that changed from one edition to another, by name."""
    pieces = tuple(piece for piece in pattern.pieces if piece.name in changed)
    roll = lay_roll(replace(pattern, pieces=pieces))
    yield f"changed-{pattern.body}-sheet.pdf", sheet_pdf(roll)
    yield f"changed-{pattern.body}-tiles-a4.pdf", tiles_pdf(tile(roll, A4))
    yield f"changed-{pattern.body}-tiles-letter.pdf", tiles_pdf(tile(roll, LETTER))


def _nest(
    grade: Grade, pieces: Sequence[AlignedPiece], prints: PrintWishes, patterns: Sequence[Pattern]
) -> Iterator[tuple[str, bytes]]:
    nest = lay_nest(grade, pieces)
    yield "nest.svg", nest_svg(nest)
    yield "nest.pdf", nest_pdf(nest)
    for name in prints.papers:
        tiled = tile_nest(nest, HOME[name], OVERLAPS[prints.joints])
        yield f"nest-tiles-{name}.pdf", nest_tiles_pdf(tiled.nest, tiled.plan)
    if prints.dxf:
        yield "nest.dxf", dxf(nest_blocks(nest, grade, patterns))
    yield "grade.html", grade_html(grade, nest)


def _sheets(
    pattern: Pattern, remarks: list[str], prints: PrintWishes, rates: Rates
) -> Iterator[tuple[str, bytes]]:
    picture, roll = lay_picture(pattern), lay_roll(pattern, prints.roll)
    yield "pieces.svg", pieces_svg(picture)
    yield "sheet.pdf", sheet_pdf(roll)
    for name in prints.papers:
        yield f"tiles-{name}.pdf", tiles_pdf(tile(roll, HOME[name], overlap=OVERLAPS[prints.joints]))
    if prints.projector:
        yield "projector.pdf", projector_pdf(lay_projector(pattern))
    if prints.dxf:
        yield "pieces.dxf", dxf(picture_blocks(picture))
    yield "proof.html", proof_html(pattern)
    yield "lists.html", lists_html(pattern, lists_of(pattern, rates))
    image = pieces_png(picture, PICTURE_WIDTH)
    if not isinstance(image, PictureSkipped):
        yield "pieces.png", image
    elif image not in remarks:
        remarks.append(str(image))
