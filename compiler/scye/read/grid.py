"""The lines of a table as cells that keep their places.

The cells of a line are parted by commas, semicolons or tabs, whichever the headings have most of. A cell may
stand in double quotes, with a quote in it written twice, but never goes on over the end of its line: so a
quote that was forgotten costs one line and not all that follow.
"""

from __future__ import annotations

import re
import unicodedata

from scye.diagnostics.cards import NotPlainText
from scye.diagnostics.people import QuoteOpen
from scye.read.fields import Found
from scye.read.yaml_reader import Text
from scye.source import Source, Span

SEPARATORS = (",", ";", "\t")
_QUOTED = re.compile(r'[ \xa0]*"((?:[^"]|"")*)"[ \xa0]*')


def separator_of(headings: str) -> str:
    return max(SEPARATORS, key=headings.count)


def filled_lines(source: Source, separator: str) -> list[int]:
    """The numbers of the lines that have anything in them, counted from 1."""
    blank = f" \t\xa0{separator}"
    return [number for number, line in enumerate(source.text.split("\n"), 1) if line.strip(blank)]


def cells_of(source: Source, line: int, separator: str, found: Found) -> list[Text] | None:
    """The cells of a line, without the room around them; None, with the reason, if they can't be told."""
    text, start = source.line_text(line), source.line_starts()[line - 1]
    unseen = _unseen(text)
    if unseen is not None:
        span = Span(source, start + unseen, start + unseen + 1)
        what = f"there is an unseen character (U+{ord(text[unseen]):04X}) in the text"
        found.append(NotPlainText(span=span, what=what))
        return None
    if '"' not in text:
        return _plain(text, start, source, separator)
    return _with_quotes(text, start, source, separator, found)


def _unseen(text: str) -> int | None:
    """Where a character stands that nobody sees on the page, if one does."""
    if text.isprintable():
        return None
    seen = (c.isprintable() or c == "\t" or unicodedata.category(c) == "Zs" for c in text)
    return next((i for i, fit in enumerate(seen) if not fit), None)


def _plain(text: str, start: int, source: Source, separator: str) -> list[Text]:
    cells: list[Text] = []
    for part in text.split(separator):
        cells.append(_cell(part, start, source))
        start += len(part) + 1
    return cells


def _cell(part: str, start: int, source: Source) -> Text:
    inner = part.strip()
    begin = start + len(part) - len(part.lstrip()) if inner else start
    return Text(inner, Span(source, begin, begin + len(inner)))


def _with_quotes(text: str, start: int, source: Source, separator: str, found: Found) -> list[Text] | None:
    cells: list[Text] = []
    at = 0
    while True:
        quoted = _QUOTED.match(text, at)
        if quoted:
            end = quoted.end()
            cells.append(_unquoted(quoted, start, source))
        else:
            end = text.find(separator, at)
            end = len(text) if end < 0 else end
            cells.append(_cell(text[at:end], start + at, source))
        broken = text[end : end + 1] not in ("", separator) if quoted else cells[-1].text.startswith('"')
        if broken:
            found.append(QuoteOpen(span=Span(source, start + at, start + end)))
            return None
        if end >= len(text):
            return cells
        at = end + 1


def _unquoted(quoted: re.Match[str], start: int, source: Source) -> Text:
    inner = quoted[1].replace('""', '"').strip()
    return Text(inner, Span(source, start + quoted.start(1), start + quoted.end(1)))
