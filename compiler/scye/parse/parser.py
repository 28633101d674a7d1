"""Stage 1: the text of a recipe or a file of methods, read into ir.syntax.

Reads a `Source`; adds nodes with their places; changes nothing. Guarantees that every line which could not
be read has exactly one diagnostic, that all other lines are in the file, and that the names which the
unread lines would have defined are in `File.unread_names`.
"""

from __future__ import annotations

from scye.diagnostics.model import Diagnostic
from scye.ir.syntax import File
from scye.parse.layout import Row, lay_out
from scye.parse.reader import Reader, first_word
from scye.source import Source


def parse_file(source: Source) -> tuple[File, list[Diagnostic]]:
    """The file that a source says, and what is wrong with it in the order of the text."""
    file, diagnostics, _ = read(source)
    return file, diagnostics


def read(source: Source) -> tuple[File, list[Diagnostic], list[Row]]:
    """As `parse_file`, and the rows that could not be read."""
    layout = lay_out(source)
    reader = Reader(source)
    reader.first_row = layout.top[0] if layout.top else None
    rows = layout.top
    head = None
    if rows and first_word(rows[0]) == "recipe":
        head = reader.head(rows[0])
        rows = rows[1:]
    body = reader.rows(rows, "file")
    diagnostics = sorted([*layout.diagnostics, *reader.diagnostics], key=_place)
    return File(source, head, body, frozenset(reader.unread)), diagnostics, reader.unread_rows


def _place(diagnostic: Diagnostic) -> int:
    return diagnostic.span.start if diagnostic.span else 0
