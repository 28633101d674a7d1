"""The table of widths against the typeface itself."""

import pytest

from scye.place.widths import text_width
from scye.render.typeface import typeface


@pytest.mark.parametrize(
    "words", ["Side front", "cut 2 (a pair) of self, lining", "1 1/2 in", "".join(map(chr, range(32, 127)))]
)
def test_plain_words_are_as_wide_as_in_the_typeface(words):
    face = typeface()
    assert text_width(words, 10) == pytest.approx(face.width(face.glyph_run(words), 10), abs=1e-9)


@pytest.mark.parametrize("words", ["Blåmes, étude, łóżko", "½ in – “net”", "2 of 5 · Wren"])
def test_other_words_are_never_wider_than_is_reckoned(words):
    face = typeface()
    real = face.width(face.glyph_run(words), 10)
    assert real <= text_width(words, 10) <= real * 1.35
