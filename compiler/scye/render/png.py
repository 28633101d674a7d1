"""PNG pictures, by way of the SVG and cairosvg; a machine without the Cairo library goes without."""

from __future__ import annotations

from scye.ir.sheets import PicturePlan
from scye.render.svg import pieces_svg


class PictureSkipped(str):
    """Why there is no picture, to be told to the maker."""


def pieces_png(picture: PicturePlan, width_px: int) -> bytes | PictureSkipped:
    """All pieces in one picture `width_px` pixels wide, or the reason why it can't be made."""
    try:
        import cairosvg
    except (ImportError, OSError):
        # cairocffi raises OSError when the shared library is missing.
        return PictureSkipped("picture skipped: the Cairo graphics library is not on this machine")
    picture_bytes: bytes = cairosvg.svg2png(bytestring=pieces_svg(picture), output_width=width_px)
    return picture_bytes
