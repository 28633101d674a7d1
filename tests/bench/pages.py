"""Twelve sizes as SVG and tiled PDF, against the same pages drawn by cairosvg."""

from __future__ import annotations

from collections.abc import Iterator

import cairosvg
from measuring import Result, by_turns, crowd, saltmarsh

from scye.ir.sheets import Box, Paper, TilePlan
from scye.place.paper import A4
from scye.place.picture import lay_picture
from scye.place.roll import lay_roll
from scye.place.tiles import tile
from scye.render.draw_piece import draw_placed
from scye.render.draw_sheet import draw_cover, draw_tile_marks
from scye.render.pdf import tiles_pdf
from scye.render.svg import SvgCanvas, pieces_svg

SIZES = 12


def run() -> Iterator[Result]:
    _, compiler, order, _ = saltmarsh()
    patterns = list(compiler.patterns(crowd(order, SIZES), None, lambda _line: None))
    plans = [tile(lay_roll(pattern), A4) for pattern in patterns]
    pictures = [lay_picture(pattern) for pattern in patterns]
    times = by_turns(
        3,
        own=lambda: [
            (pieces_svg(picture), tiles_pdf(plan)) for picture, plan in zip(pictures, plans, strict=True)
        ],
        cairosvg=lambda: [
            (pieces_svg(picture), *_pages(plan)) for picture, plan in zip(pictures, plans, strict=True)
        ],
    )
    yield Result("12 sizes on paper / by cairosvg", times["cairosvg"] / times["own"], "x", 5, None, times)


def _pages(plan: TilePlan) -> list[bytes]:
    """The cover and every page of a sheet as PDFs of one page each, by way of SVG."""
    cover = SvgCanvas()
    draw_cover(cover, plan)
    pages = [_page(plan.paper, Box(0, 0, plan.paper.width, plan.paper.height), cover)]
    for part in plan.tiles:
        canvas = SvgCanvas()
        for placed in plan.placed:
            if _touch(placed.box, part.window):
                draw_placed(canvas, placed)
        draw_tile_marks(canvas, plan, part)
        left, top = part.window.left - plan.margin, part.window.top - plan.margin
        sheet = Box(left, top, left + plan.paper.width, top + plan.paper.height)
        pages.append(_page(plan.paper, sheet, canvas))
    return pages


def _touch(a: Box, b: Box) -> bool:
    return a.left < b.right and b.left < a.right and a.top < b.bottom and b.top < a.bottom


def _page(paper: Paper, seen: Box, canvas: SvgCanvas) -> bytes:
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{paper.width}mm" height="{paper.height}mm"'
        f' viewBox="{seen.left} {seen.top} {seen.width} {seen.height}" fill="none">'
        f"{''.join(canvas.elements)}</svg>"
    )
    page: bytes = cairosvg.svg2pdf(bytestring=svg.encode())
    return page
