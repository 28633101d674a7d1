"""PNG pictures, by way of the SVG and cairosvg; a machine without the Cairo library goes without."""

from __future__ import annotations

import struct
import zlib

from scye.ir.sheets import PicturePlan
from scye.render.svg import picture_title, pieces_svg


class PictureSkipped(str):
    """Why there is no picture, to be told to the maker."""


def pieces_png(picture: PicturePlan, width_px: int) -> bytes | PictureSkipped:
    """All pieces in one picture `width_px` pixels wide, or the reason why it can't be made."""
    try:
        import cairosvg
    except (ImportError, OSError):
        # cairocffi raises OSError when the shared library is missing.
        return PictureSkipped("picture skipped: the Cairo graphics library is not on this machine")
    drawn: bytes = cairosvg.svg2png(bytestring=pieces_svg(picture), output_width=width_px)
    return drawn[:_HEAD] + _titled(picture_title(picture)) + drawn[_HEAD:]


# The signature of a PNG and its first part, which is always as long (ISO/IEC 15948, 5.2 and 11.2.2).
_HEAD = 8 + 25


def _titled(title: str) -> bytes:
    """A part of a PNG that holds its title: international text, not packed, of no language (11.3.4.5)."""
    body = b"iTXt" + b"Title\0\0\0\0\0" + title.encode()
    return struct.pack(">I", len(body) - 4) + body + struct.pack(">I", zlib.crc32(body))
