"""Places in a text as an editor counts them."""

from __future__ import annotations

import pytest
from lsprotocol import types
from pygls.workspace import PositionCodec

from scye.editor.positions import as_offset, as_position, changed, plain_breaks
from scye.source import Source

UTF16, UTF8 = PositionCodec(types.PositionEncodingKind.Utf16), PositionCodec(types.PositionEncodingKind.Utf8)
TEXT = 'mark a\n# 😋é "x\n\nend'


@pytest.mark.parametrize("codec", [UTF16, UTF8], ids=["utf-16", "utf-8"])
def test_every_place_there_and_back(codec: PositionCodec):
    source = Source("x", TEXT)
    for offset in range(len(TEXT) + 1):
        assert as_offset(source, as_position(source, offset, codec), codec) == offset


def test_units_of_a_character_outside_the_first_plane():
    source = Source("x", TEXT)
    behind = TEXT.index("é")
    assert as_position(source, behind, UTF16) == types.Position(1, 4)
    assert as_position(source, behind, UTF8) == types.Position(1, 6)
    # Between its two halves is before it.
    assert as_offset(source, types.Position(1, 3), UTF16) == behind - 1


@pytest.mark.parametrize(
    ("line", "character", "offset"), [(0, 99, 6), (3, 99, len(TEXT)), (9, 0, len(TEXT)), (2, 5, 15)]
)
def test_a_place_behind_the_end_is_the_end(line: int, character: int, offset: int):
    assert as_offset(Source("x", TEXT), types.Position(line, character), UTF16) == offset


def edit(text: str, start: tuple[int, int], end: tuple[int, int], new: str) -> str:
    stretch = types.Range(types.Position(*start), types.Position(*end))
    return changed(text, types.TextDocumentContentChangePartial(stretch, new), UTF16)


@pytest.mark.parametrize(
    ("text", "start", "end", "new", "after"),
    [
        ("ab\ncd", (0, 1), (1, 1), "-", "a-d"),
        ("ab\r\ncd", (1, 0), (1, 1), "", "ab\r\nd"),
        ("ab\rcd", (1, 0), (1, 1), "", "ab\rd"),
        # These break no line, though they look like it.
        ("a\u2028b\x0cc\x85d\nef", (1, 0), (1, 1), "", "a\u2028b\x0cc\x85d\nf"),
        ("😋b", (0, 2), (0, 3), "c", "😋c"),
        ("ab", (0, 9), (9, 9), "c", "abc"),
        ("ab", (0, 2), (0, 0), "c", "c"),
    ],
)
def test_a_change_to_a_stretch(text: str, start: tuple[int, int], end: tuple[int, int], new: str, after: str):
    assert edit(text, start, end, new) == after


def test_a_change_to_the_whole():
    assert changed("ab", types.TextDocumentContentChangeWholeDocument("c"), UTF16) == "c"


def test_plain_breaks_keep_the_count_of_lines():
    assert plain_breaks("a\r\nb\rc\n\r\n") == "a\nb\nc\n\n"
