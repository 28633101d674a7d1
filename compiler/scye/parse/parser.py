"""Stage 1: the text of a recipe or a file of methods, read into ir.syntax.

Reads a `Source`; adds nodes with their places; changes nothing. Guarantees that every line which could not
be read has exactly one diagnostic, that all other lines are in the file, and that the names which the
unread lines would have defined are in `File.unread_names`.
"""

from __future__ import annotations

from dataclasses import dataclass

from scye.diagnostics.model import Diagnostic
from scye.ir.syntax import File
from scye.parse.layout import Layout, Row, lay_out
from scye.parse.reader import Known, Reader, first_word
from scye.source import Source


@dataclass(frozen=True, slots=True)
class Reading:
    """All that reading a source gives: the file, what is wrong, the rows and those that could not be read.

    `complete` is false if reading stopped early because too much was wrong.
    """

    file: File
    diagnostics: list[Diagnostic]
    layout: Layout
    unread: list[Row]
    complete: bool


def parse_file(source: Source) -> tuple[File, list[Diagnostic]]:
    """The file that a source says, and what is wrong with it in the order of the text."""
    reading = read(source)
    return reading.file, reading.diagnostics


def read(source: Source) -> Reading:
    """As `parse_file`, with the rows of the text for who writes it out again."""
    return read_rows(source, lay_out(source))


def read_rows(source: Source, layout: Layout, known: Known | None = None) -> Reading:
    """What the rows of a source say; what is `known` of lines that were there before is not read again."""
    rows = layout.top
    reader = Reader(rows[0] if rows else None, known)
    head = None
    if rows and first_word(rows[0]) == "recipe":
        head = reader.head(rows[0])
        rows = rows[1:]
    body = reader.rows(rows, "file")
    diagnostics = sorted([*layout.diagnostics, *reader.diagnostics], key=_place)
    file = File(source, head, body, frozenset(reader.unread))
    return Reading(file, diagnostics, layout, reader.unread_rows, not reader.given_up)


def _place(diagnostic: Diagnostic) -> int:
    return diagnostic.span.start if diagnostic.span else 0
