"""Diagnostics as data, for other tools: the same words as the text, with every place in figures."""

from __future__ import annotations

import json
from collections.abc import Iterable

from scye.diagnostics.model import Diagnostic
from scye.diagnostics.text import in_order
from scye.source import Span

Data = dict[str, object]


def as_json(diagnostics: Iterable[Diagnostic]) -> str:
    """A JSON list in the order of the text, one object for each diagnostic, with a last line break."""
    listed = [as_data(diagnostic) for diagnostic in in_order(diagnostics)]
    return json.dumps(listed, indent=2, ensure_ascii=False) + "\n"


def as_data(diagnostic: Diagnostic) -> Data:
    """One diagnostic as plain data; `place` is null where there is none."""
    return {
        "code": diagnostic.code,
        "severity": diagnostic.severity.word,
        "title": diagnostic.title,
        "seen": diagnostic.seen(),
        "expected": diagnostic.expected(),
        "try": diagnostic.attempt(),
        "place": _place(diagnostic.span) if diagnostic.span else None,
        "labels": [{"text": label.text, "place": _place(label.span)} for label in diagnostic.labels],
    }


def _place(span: Span) -> Data:
    """Lines and columns count from 1, columns in characters; the end is the first column not included."""
    line, column = span.source.position(span.start)
    end_line, end_column = span.source.position(max(span.start, span.end))
    return {
        "file": span.source.name,
        "line": line,
        "column": column,
        "end_line": end_line,
        "end_column": end_column,
    }
