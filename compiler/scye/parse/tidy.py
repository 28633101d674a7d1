"""The formatter: the same recipe, evenly spaced and indented."""

from __future__ import annotations

import re

from scye.parse.layout import Row
from scye.parse.numbers import split_amount
from scye.parse.parser import read
from scye.parse.reader import first_word
from scye.parse.scanning import Token, tokens
from scye.parse.vocabulary import RESERVED
from scye.source import Source

_STEP = "  "
_SIGNS = frozenset("+-*/=<>") | {"<=", ">="}
# A minus straight after one of these belongs to the amount that follows it.
_BEFORE_AMOUNT = frozenset(
    {
        *RESERVED,
        *("over", "take", "takes", "spring", "short", "intake", "fulness", "hollow", "round", "turned"),
        *("within", "easing", "allow", "match"),
    }
)


def tidy(source: Source) -> str:
    """The text with two spaces for each step in, single spaces between words, one blank line at most.

    Remarks keep their place, quoted texts are not touched, and a line that cannot be read is left as it is;
    the block at the left edge that holds such a line keeps its indentation. A file that cannot be read
    as a whole (too large, indented with tabs, too many lines wrong) comes back unchanged.
    """
    reading = read(source)
    layout = reading.layout
    if layout.diagnostics or not reading.complete:
        return source.text
    unread_starts = {row.start for row in reading.unread}
    kept = _kept_indents(layout.top, unread_starts)
    lines = _written(layout.rows, unread_starts, kept)
    return "\n".join([*_without_spare_blanks(lines), ""]) if any(lines) else ""


def _kept_indents(top: list[Row], unread: set[int]) -> set[int]:
    """The rows (by where they start) that stand in a block with a line that cannot be read."""
    kept: set[int] = set()
    for row in top:
        starts = _starts(row)
        if unread.intersection(starts):
            kept.update(starts)
    return kept


def _starts(row: Row) -> list[int]:
    found, waiting = [], [row]
    while waiting:
        row = waiting.pop()
        found.append(row.start)
        waiting.extend(row.children)
    return found


def _written(rows: list[Row], unread: set[int], kept: set[int]) -> list[str]:
    """The lines, from the last to the first so that a remark knows the line it stands above."""
    lines: list[str] = []
    indent = ""
    for row in reversed(rows):
        if row.code:
            indent = " " * row.indent if row.start in kept else _STEP * row.depth
            lines.append(row.written if row.start in unread else indent + _line(row))
        else:
            lines.append(indent + row.remark if row.remark else "")
    return lines[::-1]


def _without_spare_blanks(lines: list[str]) -> list[str]:
    found: list[str] = []
    for line in lines:
        if line or (found and found[-1]):
            found.append(line)
    while found and not found[-1]:
        found.pop()
    return found


def _line(row: Row) -> str:
    code = _licence(row.code) if first_word(row) == "licence" else _spaced(row.code)
    return f"{code}  {row.remark}" if row.remark else code


def _licence(code: str) -> str:
    """A licence's name holds signs without spaces round them."""
    return re.sub(r"[ \t]+", " ", code) if '"' not in code else _spaced(code)


def _spaced(code: str) -> str:
    written: list[str] = []
    before: Token | None = None
    tight = False
    for token in tokens(code):
        if before is not None and not tight and not _joins(before, token):
            written.append(" ")
        written.append(_token(token))
        tight = token.text == "-" and _is_negative(before)
        before = token
    return "".join(written)


def _joins(before: Token, token: Token) -> bool:
    """Whether no space stands between two tokens."""
    if token.kind == "sign" and token.text in ",.)]":
        return True
    if token.kind == "sign" and token.text == "[":
        return before.kind == "word"
    return before.kind == "sign" and before.text in "([."


def _is_negative(before: Token | None) -> bool:
    """Whether a minus belongs to the amount that follows it."""
    if before is None:
        return True
    if before.kind == "sign":
        return before.text in _SIGNS or before.text in "([,"
    return before.kind == "word" and before.text in _BEFORE_AMOUNT


def _token(token: Token) -> str:
    if token.kind != "amount":
        return token.text
    number, unit = split_amount(token.text)
    number = re.sub(r"[ \t]+", " ", number)
    return number + unit if unit in ("", "%") else f"{number} {unit}"
