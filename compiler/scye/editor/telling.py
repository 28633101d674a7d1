"""Diagnostics and findings as an editor shows them, each with a page that explains its code."""

from __future__ import annotations

from pathlib import Path

from lsprotocol import types
from pygls.uris import from_fs_path
from pygls.workspace import PositionCodec

from scye.diagnostics.catalogue import explain
from scye.diagnostics.model import Diagnostic, Severity
from scye.diagnostics.text import in_order
from scye.editor.desk import Looked
from scye.editor.positions import as_range
from scye.ir.pattern import Finding
from scye.source import Span

SEVERITIES = {
    Severity.ERROR: types.DiagnosticSeverity.Error,
    Severity.FAILURE: types.DiagnosticSeverity.Error,
    Severity.CAUTION: types.DiagnosticSeverity.Warning,
    Severity.NOTE: types.DiagnosticSeverity.Information,
}

_BEGINNING = types.Position(0, 0)


class Pages:
    """Files in a folder of their own that explain codes, each written when it is first wanted."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def page(self, code: str) -> str | None:
        """The address of a code's page."""
        path = self.folder / f"{code}.txt"
        if not path.exists():
            text = explain(code)
            if text is None:
                return None
            path.write_text(text + "\n", encoding="utf-8")
        return uri_of(path)


class Telling:
    """What is told of one recipe, by the file that it is told in."""

    def __init__(self, path: Path, looked: Looked, codec: PositionCodec, pages: Pages) -> None:
        self.path = path
        self.looked = looked
        self.codec = codec
        self.pages = pages

    def by_file(self) -> dict[Path, list[types.Diagnostic]]:
        told: dict[Path, list[types.Diagnostic]] = {self.path: []}
        for diagnostic in in_order(self.looked.diagnostics):
            told.setdefault(self._file(diagnostic.span), []).append(self._diagnostic(diagnostic))
        figures = self.looked.figures
        for finding in figures.findings if figures else ():
            told.setdefault(self._file(finding.span), []).append(self._finding(finding))
        return told

    def _file(self, span: Span | None) -> Path:
        return self.looked.paths.get(span.source.name, self.path) if span else self.path

    def _diagnostic(self, diagnostic: Diagnostic) -> types.Diagnostic:
        advice = [("expected", diagnostic.expected()), ("try", diagnostic.attempt())]
        lines = [diagnostic.seen(), *(f"{word}: {text}" for word, text in advice if text)]
        labels = self._labels(diagnostic)
        told = self._told(diagnostic.span, diagnostic.code, diagnostic.severity, lines, labels)
        told.data = _instead(diagnostic)
        return told

    def _finding(self, finding: Finding) -> types.Diagnostic:
        assert self.looked.figures is not None
        lines = [f"for {self.looked.figures.body.code}: {finding.text}"]
        if finding.attempt:
            lines.append(f"try: {finding.attempt}")
        return self._told(finding.span, finding.code, finding.severity, lines, [])

    def _told(
        self,
        span: Span | None,
        code: str,
        severity: Severity,
        lines: list[str],
        labels: list[types.DiagnosticRelatedInformation],
    ) -> types.Diagnostic:
        page = self.pages.page(code)
        return types.Diagnostic(
            range=as_range(span, self.codec) if span else types.Range(_BEGINNING, _BEGINNING),
            message="\n".join(lines),
            severity=SEVERITIES[severity],
            code=code,
            code_description=types.CodeDescription(page) if page else None,
            source="scye",
            related_information=labels or None,
        )

    def _labels(self, diagnostic: Diagnostic) -> list[types.DiagnosticRelatedInformation]:
        return [
            types.DiagnosticRelatedInformation(
                types.Location(uri_of(self._file(label.span)), as_range(label.span, self.codec)), label.text
            )
            for label in diagnostic.labels
        ]


def _instead(diagnostic: Diagnostic) -> str | None:
    """The word that was most likely meant, where a single word is wrong."""
    near, span = getattr(diagnostic, "near", None), diagnostic.span
    return near if isinstance(near, str) and span is not None and span.text.isidentifier() else None


def uri_of(path: Path) -> str:
    uri: str | None = from_fs_path(str(path))
    assert uri is not None
    return uri
