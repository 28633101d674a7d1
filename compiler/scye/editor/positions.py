"""Places in a text as an editor counts them, in UTF-16 or whatever was agreed, and as Scye does."""

from __future__ import annotations

import re

from lsprotocol import types
from pygls.workspace import PositionCodec

from scye.source import Source, Span

_BREAK = re.compile(r"\r\n|\r|\n")


def as_position(source: Source, offset: int, codec: PositionCodec) -> types.Position:
    line, column = source.position(min(offset, len(source.text)))
    units: int = codec.client_num_units(source.line_text(line)[: column - 1])
    return types.Position(line - 1, units)


def as_range(span: Span, codec: PositionCodec) -> types.Range:
    return types.Range(as_position(span.source, span.start, codec), as_position(span.source, span.end, codec))


def as_offset(source: Source, position: types.Position, codec: PositionCodec) -> int:
    """The offset of a place; one behind the end of a line or of the text is taken as that end."""
    starts = source.line_starts()
    if position.line >= len(starts):
        return len(source.text)
    start = starts[position.line]
    return start + _characters(source.line_text(position.line + 1), position.character, codec)


def _characters(line: str, units: int, codec: PositionCodec) -> int:
    """How many characters of a line the first `units` of it are; one cut in two counts as before it."""
    for at, character in enumerate(line):
        units -= codec.client_num_units(character)
        if units < 0:
            return at
    return len(line)


def plain_breaks(text: str) -> str:
    """The text with every line break as `\\n`, which neither adds lines nor moves anything within one."""
    return _BREAK.sub("\n", text)


def changed(text: str, change: types.TextDocumentContentChangeEvent, codec: PositionCodec) -> str:
    """A text after an editor's change to a stretch or to the whole of it."""
    if isinstance(change, types.TextDocumentContentChangeWholeDocument):
        return change.text
    starts = [0, *(found.end() for found in _BREAK.finditer(text))]
    ends = [*(found.start() for found in _BREAK.finditer(text)), len(text)]

    def offset(position: types.Position) -> int:
        if position.line >= len(starts):
            return len(text)
        start = starts[position.line]
        return start + _characters(text[start : ends[position.line]], position.character, codec)

    start, end = sorted((offset(change.range.start), offset(change.range.end)))
    return text[:start] + change.text + text[end:]
