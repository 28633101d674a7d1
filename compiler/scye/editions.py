"""Comparing two editions: two recipes drafted for the same bodies, or what two runs have written."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from scye import __version__
from scye.compare.compare import compare
from scye.compare.documents import Choice, Document, read_document
from scye.diagnostics.model import Diagnostic
from scye.diagnostics.variants import NotAPattern, NothingInCommon
from scye.driver import Drafted, draft
from scye.expand.choices import choices_of
from scye.ir import syntax as s
from scye.ir.comparison import Comparison
from scye.ir.pattern import Pattern
from scye.ir.requests import BuildRequest, CompareRequest, ExitCode, Outcome, Say
from scye.library import read_source
from scye.outputs import OutputFolder
from scye.papers import changed_pages
from scye.render.compare_page import compare_html
from scye.render.pattern_json import Header, pattern_json

# A run of all sizes of a chart is some tens of megabytes.
PATTERN_LIMIT = 200_000_000


def run_compare(request: CompareRequest, say: Say) -> Outcome:
    """Say what changed from the old to the new; with a folder, write it down with the pages that changed."""
    if request.old.suffix == request.new.suffix == ".json":
        documents = [_written(path) for path in (request.old, request.new)]
        amiss = [d for d in documents if isinstance(d, Diagnostic)]
        if amiss:
            return Outcome(tuple(amiss), ExitCode.BAD_INPUT)
        return _told(request, [d for d in documents if isinstance(d, Document)], (), [], say)
    editions = [draft(_build(request, recipe), say) for recipe in (request.old, request.new)]
    for edition in editions:
        if isinstance(edition, Outcome):
            return edition
    drafted = [edition for edition in editions if isinstance(edition, Drafted)]
    found = [diagnostic for edition in drafted for diagnostic in edition.found]
    return _told(request, [_document(edition) for edition in drafted], drafted[1].patterns, found, say)


def _written(path: Path) -> Document | Diagnostic:
    """What a run has written."""
    source = read_source(path, limit=PATTERN_LIMIT)
    if isinstance(source, Diagnostic):
        return source
    document = read_document(source.text)
    return (
        document if isinstance(document, Document) else NotAPattern(span=None, name=source.name, why=document)
    )


def _build(request: CompareRequest, recipe: Path) -> BuildRequest:
    return BuildRequest(
        recipe=recipe,
        cards=request.cards,
        chart=request.chart,
        sizes=request.sizes,
        settings=request.settings,
        units=request.units,
        out=request.out or Path(),
    )


def _document(edition: Drafted) -> Document:
    """What was drafted as it would be written, with the choices of its recipe."""
    first = edition.patterns[0]
    text = pattern_json(edition.patterns, Header(__version__, first.recipe, first.edition)).decode()
    document = read_document(text)
    assert isinstance(document, Document), document
    assert edition.project.program is not None
    choices = choices_of(edition.project.program.recipe.body)
    return replace(document, choices={choice.name.text: _offer(choice) for choice in choices})


def _offer(choice: s.Choose) -> Choice:
    """A choice as it is offered: its default with its range or its words."""
    if isinstance(choice.default, str):
        words = ", ".join(word.text for word in choice.words)
        return Choice(choice.default, f"of {words}" if words else "")
    default = " ".join(choice.default.span.text.split())
    if choice.low is None or choice.high is None:
        return Choice(default, "")
    return Choice(default, f"from {choice.low.span.text} to {choice.high.span.text}")


def _told(
    request: CompareRequest,
    documents: Sequence[Document],
    patterns: Sequence[Pattern],
    found: Sequence[Diagnostic],
    say: Say,
) -> Outcome:
    old, new = documents
    comparison = compare(old, new)
    # Cards are read anew for each recipe, so what is said of them comes twice.
    said = tuple({(d.code, str(d.span), d.seen()): d for d in found}.values())
    if comparison is None:
        apart = NothingInCommon(span=None, old=tuple(old.bodies), new=tuple(new.bodies))
        return Outcome((*said, apart), ExitCode.BAD_INPUT)
    files: tuple[str, ...] | Diagnostic = ()
    if request.out is not None:
        files = OutputFolder(request.out).write(_files(comparison, patterns, say))
    if isinstance(files, Diagnostic):
        return Outcome((*said, files), ExitCode.BAD_INPUT)
    return Outcome(said, ExitCode.GOOD, tuple(comparison.lines), files)


def _files(comparison: Comparison, patterns: Sequence[Pattern], say: Say) -> Iterator[tuple[str, bytes]]:
    """The page, and for each body the sheets of the pieces that changed."""
    yield "changes.html", compare_html(comparison)
    for pattern in patterns:
        changed = comparison.again.get(pattern.body, ())
        if changed:
            say(f"drawing the changed sheets of {pattern.body}")
            yield from changed_pages(pattern, changed)
