"""The one typeface of the sheets: DejaVu Sans, Latin letters, embedded whole in every PDF."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from io import BytesIO

from fontTools.ttLib import TTFont

FONT_NAME = "DejaVuSans"


@dataclass(frozen=True, slots=True)
class Typeface:
    """Glyph numbers by character, and by glyph number the advance in thousandths of the em."""

    program: bytes
    glyphs: dict[str, int]
    advances: tuple[int, ...]
    box: tuple[int, int, int, int]
    ascent: int
    descent: int

    def glyph_run(self, words: str) -> list[int]:
        """Glyph numbers of words; a character the typeface lacks is the empty box, number 0."""
        return [self.glyphs.get(c, 0) for c in unicodedata.normalize("NFC", words)]

    def width(self, glyphs: list[int], size: float) -> float:
        """Width in mm of a run set at `size` mm."""
        return sum(self.advances[g] for g in glyphs) * size / 1000


@cache
def typeface() -> Typeface:
    program = files("scye.render").joinpath("fonts", "DejaVuSans-subset.ttf").read_bytes()
    font = TTFont(BytesIO(program), lazy=True)
    thousandths = 1000 / font["head"].unitsPerEm
    order = font.getGlyphOrder()
    number = {name: k for k, name in enumerate(order)}
    head, metrics = font["head"], font["hmtx"]
    return Typeface(
        program,
        {chr(code): number[name] for code, name in font.getBestCmap().items()},
        tuple(round(metrics[name][0] * thousandths) for name in order),
        (
            round(head.xMin * thousandths),
            round(head.yMin * thousandths),
            round(head.xMax * thousandths),
            round(head.yMax * thousandths),
        ),
        round(font["hhea"].ascent * thousandths),
        round(font["hhea"].descent * thousandths),
    )
