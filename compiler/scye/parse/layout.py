"""A text cut into lines and the lines into blocks, by how far in they begin."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from scye.diagnostics import reading
from scye.diagnostics.model import Diagnostic
from scye.source import Line, Source, Span

MOST_CHARACTERS = 1_000_000
MOST_LINES = 20_000
MOST_IN_A_LINE = 2_000
MOST_BLOCKS = 12

_CODE = re.compile(r'[^"#]*(?:"[^"]*"[^"#]*)*')
_INDENT = re.compile(r"[ \t]*")
# Control characters, invisible spaces and marks of writing direction, and halves of characters.
_STRANGE = re.compile(
    r"[\x00-\x08\x0b-\x1f\x7f-\x9f\xa0\u1680\u2000-\u200f\u2028-\u202f\u205f-\u2064\u3000\ufeff\ud800-\udfff]"
)


@dataclass(slots=True)
class Row:
    """One line as it stands: what is code (without spaces round it), what is remark, and its block.

    `line` is where the code begins; `within` how far on from there, for what is read of its end alone.
    `fault` is what keeps the line from being read.
    """

    line: Line
    indent: int
    code: str
    remark: str
    written: str
    depth: int = 0
    fault: Diagnostic | None = None
    children: list[Row] = field(default_factory=list)
    within: int = 0

    @property
    def start(self) -> int:
        """The offset of the code in the source."""
        return self.line.start + self.within

    def span(self, length: int = 0) -> Span:
        """The place of its code, or of its first `length` characters."""
        return Span(self.line, self.within, self.within + (length or max(1, len(self.code))))


@dataclass(slots=True)
class Layout:
    """All rows in order, those with code as a tree, and what is wrong with the file at large."""

    rows: list[Row]
    top: list[Row]
    diagnostics: list[Diagnostic]


def lay_out(source: Source) -> Layout:
    """Cut a source into rows and blocks; a file that is too large has no rows."""
    too_large = _size_fault(source)
    if too_large:
        return Layout([], [], [too_large])
    rows = list(_rows(source))
    top: list[Row] = []
    diagnostics = _tab_faults(rows)
    _nest(rows, top, diagnostics)
    return Layout(rows, top, diagnostics)


def _size_fault(source: Source) -> Diagnostic | None:
    span = Span(source, 0, 0)
    if len(source.text) > MOST_CHARACTERS:
        size = len(source.text)
        return reading.TooLarge(
            span=span, what="The file", size=size, most=MOST_CHARACTERS, unit="characters"
        )
    lines = source.text.count("\n")
    if lines > MOST_LINES:
        return reading.TooLarge(span=span, what="The file", size=lines, most=MOST_LINES, unit="lines")
    return None


def _rows(source: Source) -> Iterator[Row]:
    offset = 0
    for line in source.text.split("\n"):
        yield _row(source, offset, line.removesuffix("\r"))
        offset += len(line) + 1


def _row(source: Source, offset: int, written: str) -> Row:
    # A mark of byte order may stand at the very beginning of a file.
    skip = 1 if offset == 0 and written.startswith("\ufeff") else 0
    if len(written) > MOST_IN_A_LINE:
        return _long_row(source, offset, written)
    lead = _INDENT.match(written, skip)
    assert lead is not None
    indent = len(lead.group().replace("\t", "  "))
    start = lead.end()
    code_match = _CODE.match(written, start)
    assert code_match is not None
    end = code_match.end()
    if end < len(written) and written[end] == '"':
        end = len(written)
    line = Line(source, offset + start)
    row = Row(line, indent, written[start:end].rstrip(" \t"), written[end:].rstrip(), written)
    strange = _STRANGE.search(written, skip)
    if strange:
        span = Span(source, offset + strange.start(), offset + strange.end())
        row.fault = reading.StrangeCharacter(span=span, character=strange.group())
        row.code = row.code or written[start:end]
    return row


def _long_row(source: Source, offset: int, written: str) -> Row:
    lead = _INDENT.match(written)
    assert lead is not None
    indent = min(len(lead.group()), MOST_IN_A_LINE)
    fault = reading.TooLarge(
        span=Span(source, offset, offset + 1),
        what="This line",
        size=len(written),
        most=MOST_IN_A_LINE,
        unit="characters",
    )
    line = Line(source, offset + indent)
    return Row(line, indent, written[indent : indent + 60] or " ", "", written, fault=fault)


def _tab_faults(rows: list[Row]) -> list[Diagnostic]:
    tabbed = [
        row
        for row in rows
        if row.code and "\t" in row.written[: len(row.written) - len(row.written.lstrip())]
    ]
    if not tabbed:
        return []
    first = tabbed[0]
    return [reading.TabIndentation(span=first.span(), others=len(tabbed) - 1)]


def _nest(rows: list[Row], top: list[Row], diagnostics: list[Diagnostic]) -> None:
    """Give each row with code to the block that it stands in."""
    depths, owners = [0], [top]
    last: Row | None = None
    for row in rows:
        if not row.code:
            continue
        if last is not None and row.indent > depths[-1]:
            depths.append(row.indent)
            owners.append(last.children)
        elif row.indent != depths[-1]:
            _step_out(row, depths, owners)
        row.depth = len(depths) - 1
        if row.depth > MOST_BLOCKS:
            _too_deep(row, diagnostics)
            continue
        owners[-1].append(row)
        last = row


def _too_deep(row: Row, diagnostics: list[Diagnostic]) -> None:
    """Say once that blocks are too deep; the lines within are not read."""
    if not any(isinstance(d, reading.TooDeep) for d in diagnostics):
        fault = reading.TooDeep(span=row.span(), what="blocks stand", most=MOST_BLOCKS)
        diagnostics.append(fault)


def _step_out(row: Row, depths: list[int], owners: list[list[Row]]) -> None:
    """Close the blocks that end before this row; a depth where none is open is a mistake, said once."""
    open_depths = tuple(depths)
    while len(depths) > 1 and depths[-1] > row.indent:
        closed = owners.pop()
        depths.pop()
    if depths[-1] == row.indent:
        return
    near = (
        max((d for d in open_depths if d < row.indent), default=None),
        min((d for d in open_depths if d > row.indent), default=None),
    )
    fault = reading.BadIndentation(
        span=row.span(), depth=row.indent, open_depths=tuple(d for d in near if d is not None)
    )
    row.fault = row.fault or fault
    if len(open_depths) > len(depths):
        depths.append(row.indent)
        owners.append(closed)
    else:
        depths[-1] = row.indent
