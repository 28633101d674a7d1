"""Diagnostics as text for the maker: headline, the line with its place underlined, what to try."""

from __future__ import annotations

import textwrap
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from scye.diagnostics.expansion import OthersUntold
from scye.diagnostics.model import Diagnostic, Severity
from scye.source import Span

WIDTH = 100
# Messages shown at once: whoever has more to mend begins with the first ones.
MOST_TOLD = 120
_CUT = "..."

_RESET = "\x1b[0m"
_BOLD = "\x1b[1m"
_PAINT = {
    Severity.ERROR: "\x1b[1;31m",
    Severity.FAILURE: "\x1b[1;31m",
    Severity.CAUTION: "\x1b[1;33m",
    Severity.NOTE: "\x1b[1;36m",
}
_PLURALS = {
    Severity.ERROR: "errors",
    Severity.FAILURE: "failures",
    Severity.CAUTION: "cautions",
    Severity.NOTE: "notes",
}


def show(diagnostic: Diagnostic, *, colour: bool = False) -> str:
    """One diagnostic as lines of at most `WIDTH` columns, without a last line break."""
    blocks = [_headline(diagnostic, colour)]
    paint = _PAINT[diagnostic.severity] if colour else ""
    gutter = _gutter(diagnostic)
    if diagnostic.span:
        blocks.extend(_snippet(diagnostic.span, gutter, "^", "", paint))
    for label in diagnostic.labels:
        if not diagnostic.span or label.span.source is not diagnostic.span.source:
            blocks.append(f"{' ' * gutter} in {plain(label.span.source.name)}:")
        blocks.extend(_snippet(label.span, gutter, "-", plain(label.text), ""))
    blocks.extend(_advice("expected: ", diagnostic.expected()))
    blocks.extend(_advice("try: ", diagnostic.attempt()))
    return "\n".join(blocks)


def show_all(diagnostics: Iterable[Diagnostic], *, colour: bool = False) -> str:
    """All of them by file and place, a blank line between, then how many there are; empty for none."""
    ordered = in_order(diagnostics)
    if not ordered:
        return ""
    shown = [show(diagnostic, colour=colour) for diagnostic in ordered]
    return "\n\n".join([*shown, count_line(ordered)])


def in_order(diagnostics: Iterable[Diagnostic]) -> list[Diagnostic]:
    """By file, line and column; those without a place first; otherwise as they came."""
    return sorted(diagnostics, key=_place)


def first_ones(diagnostics: Sequence[Diagnostic]) -> tuple[Diagnostic, ...]:
    """All of them; of very many the first, by file and place, and a note that there are others."""
    if len(diagnostics) <= MOST_TOLD + 1:
        return tuple(diagnostics)
    told = in_order(diagnostics)[:MOST_TOLD]
    return (*told, OthersUntold(span=None, told=MOST_TOLD, count=len(diagnostics)))


def _place(diagnostic: Diagnostic) -> tuple[str, int, int]:
    span = diagnostic.span
    return (span.source.name, *span.source.position(span.start)) if span else ("", 0, 0)


def count_line(diagnostics: Iterable[Diagnostic]) -> str:
    """`2 errors, 1 caution`."""
    found = [diagnostic.severity for diagnostic in diagnostics]
    counts = [(severity, found.count(severity)) for severity in sorted(_PLURALS, reverse=True)]
    return ", ".join(f"{n} {s.word if n == 1 else _PLURALS[s]}" for s, n in counts if n)


def plain(text: str) -> str:
    """The text with every character that could move the cursor or change the terminal made a space."""
    return "".join(c if c.isprintable() else " " for c in text)


def _headline(diagnostic: Diagnostic, colour: bool) -> str:
    place = f"{plain(str(diagnostic.span))}: " if diagnostic.span else ""
    mark = f"{diagnostic.severity.word} {diagnostic.code}:"
    text = _fill(f"{place}{mark} {plain(diagnostic.seen())}", "    ")
    if not colour:
        return text
    return text.replace(mark, f"{_PAINT[diagnostic.severity]}{mark}{_RESET}{_BOLD}", 1) + _RESET


def _advice(head: str, text: str) -> list[str]:
    """Lines of what is expected or to be tried, hanging under their first word."""
    return [_fill(f"  {head}{plain(text)}", " " * (2 + len(head)))] if text else []


def _fill(text: str, hanging: str) -> str:
    return textwrap.fill(
        text, WIDTH, subsequent_indent=hanging, break_long_words=False, break_on_hyphens=False
    )


# --- the line of the text -----------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Window:
    """A line cut to the columns there are: `text`, and where in it the place begins and ends."""

    text: str
    start: int
    end: int


def _gutter(diagnostic: Diagnostic) -> int:
    """Columns for the line numbers, the same for every line shown with this diagnostic."""
    spans = [label.span for label in diagnostic.labels]
    if diagnostic.span:
        spans.append(diagnostic.span)
    return max((len(str(span.line)) for span in spans), default=1) + 2


def _snippet(span: Span, gutter: int, stroke: str, text: str, paint: str) -> Iterator[str]:
    """The span's first line and a row of strokes under the place, with the label's words after it."""
    line, column = span.source.position(span.start)
    last = span.source.position(max(span.start, span.end - 1))[0]
    whole = span.source.line_text(line)
    stop = min(len(whole), column - 1 + span.end - span.start)
    window = _window(whole, column - 1, stop, WIDTH - gutter - 3)
    yield f"{line:>{gutter}} | {window.text}".rstrip()
    strokes = stroke * max(1, _columns(window.text[window.start : window.end]))
    indent = f"{'':>{gutter}} | {' ' * _columns(window.text[: window.start])}"
    words = " ".join(part for part in (f"to line {last}" if last > line else "", text) if part)
    marked = f"{indent}{paint}{strokes}{_RESET if paint else ''}"
    if len(indent) + len(strokes) + 1 + len(words) <= WIDTH:
        yield f"{marked} {words}".rstrip()
    else:
        yield marked
        yield _fill(f"{'':>{gutter}} | {words}", f"{'':>{gutter}} | ")


def _window(line: str, start: int, end: int, width: int) -> _Window:
    """Cut a long line round the place from `start` to `end`, so that it fits in `width` columns."""
    line = plain(line)
    if _columns(line) <= width:
        return _Window(line, start, end)
    # Wide letters take two columns each; counting every one so keeps the cut within the width.
    room = (width - 2 * len(_CUT)) // (2 if _columns(line) > len(line) else 1)
    begin = max(0, min(start - max(0, room - (end - start)) // 2, len(line) - room))
    stop = min(len(line), begin + room)
    before = _CUT if begin else ""
    after = _CUT if stop < len(line) else ""
    shift = len(before) - begin
    return _Window(before + line[begin:stop] + after, start + shift, min(end, stop) + shift)


def _columns(text: str) -> int:
    """Columns a terminal gives to a text: two for wide letters, none for marks set over the one before."""
    return sum(_column_count(c) for c in text)


def _column_count(character: str) -> int:
    if unicodedata.combining(character):
        return 0
    return 2 if unicodedata.east_asian_width(character) in "WF" else 1
