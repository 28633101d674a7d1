"""lay.html: the lay, how much cloth it takes and why, and the list of its cuts, in one page."""

from __future__ import annotations

from scye.ir.lay import LaySheet
from scye.render.lay_svg import cloth_markup
from scye.render.page import page_template


def lay_html(sheet: LaySheet) -> bytes:
    """One page in itself, which prints in black."""
    return page_template("lay.html").render(sheet=sheet, drawing=cloth_markup(sheet)).encode()
