"""changes.html: what changed from one edition to another, with the outlines laid over each other."""

from __future__ import annotations

from dataclasses import dataclass

from scye.ir.comparison import Comparison, Overlay
from scye.render.numbers import number
from scye.render.page import page_template

# Room round the outlines, mm.
MARGIN = 10.0


@dataclass(frozen=True, slots=True)
class Figure:
    """One piece before and after: `box` and `shift` as SVG has them."""

    title: str
    body: str
    old: str
    new: str
    box: str
    shift: str


def compare_html(comparison: Comparison) -> bytes:
    """One page in itself: nothing is fetched, it follows the reader's light or dark, and prints in black."""
    page = page_template("changes.html").render(
        comparison=comparison, figures=[_figure(overlay) for overlay in comparison.overlays]
    )
    return page.encode()


def _figure(overlay: Overlay) -> Figure:
    left, top, width, height = overlay.box
    box = (left - MARGIN, top - MARGIN, width + 2 * MARGIN, height + 2 * MARGIN)
    return Figure(
        overlay.title,
        overlay.body,
        overlay.old,
        overlay.new,
        " ".join(map(number, box)),
        f"translate({number(overlay.shift[0])} {number(overlay.shift[1])})",
    )
