"""lists.html: what is cut, joined, sewn and bought for one garment, and what it costs, in one page."""

from __future__ import annotations

from scye.diagnostics.model import Severity
from scye.ir.notions import Lists
from scye.ir.pattern import Pattern
from scye.render.page import page_template
from scye.render.proof import join_row


def lists_html(pattern: Pattern, lists: Lists) -> bytes:
    """One page in itself: nothing is fetched, it follows the reader's light or dark, and prints in black."""
    page = page_template("lists.html").render(
        pattern=pattern,
        units={"in": "inches", "cm": "centimetres", "mm": "millimetres"}[pattern.unit],
        lists=lists,
        joins=[join_row(seam, pattern) for seam in sorted(pattern.seams, key=lambda s: (s.order, s.letter))],
        notices=[notice.text for notice in pattern.notices if notice.sheet == "findings"],
        amiss=[f for f in pattern.findings if f.where == "findings" and f.severity >= Severity.CAUTION],
        failed=any(f.severity >= Severity.FAILURE for f in pattern.findings),
    )
    return page.encode()
