"""A text's outline: its drafts with what they draw, its pieces, its seams and proofs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from lsprotocol.types import DocumentSymbol, SymbolKind
from pygls.workspace import PositionCodec

from scye.editor.positions import as_range
from scye.ir import syntax as s
from scye.resolve.makers import kind, name_span, plain
from scye.source import Span


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of an outline, with those below it. `span` is all that belongs to it, `name_span` its name."""

    name: str
    detail: str
    kind: SymbolKind
    span: Span
    name_span: Span
    below: tuple[Entry, ...] = ()


_KINDS: dict[type, SymbolKind] = {
    s.Needs: SymbolKind.Field,
    s.Choose: SymbolKind.Enum,
    s.Let: SymbolKind.Variable,
    s.Find: SymbolKind.Variable,
    s.Draft: SymbolKind.Namespace,
    s.Begin: SymbolKind.Constant,
    s.Mark: SymbolKind.Constant,
    s.Draw: SymbolKind.Object,
    s.Method: SymbolKind.Function,
    s.Piece: SymbolKind.Class,
    s.Sew: SymbolKind.Interface,
    s.Prove: SymbolKind.Boolean,
}


def outline(file: s.File) -> list[Entry]:
    """The outline of a file, in the order of the text."""
    head = [] if file.head is None else [_head(file.head)]
    return [*head, *_entries(file.body)]


def _head(head: s.RecipeHead) -> Entry:
    return Entry(head.title.value, "recipe", SymbolKind.Module, head.span, head.title.span)


def _entries(body: Iterable[s.Statement]) -> Iterator[Entry]:
    for statement in body:
        match statement:
            case s.Needs(items=items) | s.Find(unknowns=items):
                for item in items:
                    yield _named(statement, item.name, item.span)
            case s.When(body=inner, otherwise=other):
                yield from _entries((*inner, *other))
            case s.Repeat(body=inner):
                yield from _entries(inner)
            case s.Redraw(statement=inner):
                yield from _entries((inner,))
            case s.Draft(body=inner) | s.Method(body=inner):
                yield _block(statement, tuple(_entries(inner)), inner)
            case s.Piece():
                yield _block(statement, (), statement.clauses)
            case s.EveryPiece(span=span):
                yield Entry("every piece", "piece", SymbolKind.Class, span, span)
            case s.Sew(span=span):
                words = plain(span).removeprefix("sew ")
                yield Entry(words, "seam", SymbolKind.Interface, span, span)
            case s.Prove(title=title, span=span):
                yield Entry(title.value, "proof", SymbolKind.Boolean, span, title.span)
            case _ if isinstance(getattr(statement, "name", None), s.Ident) and not isinstance(
                statement, s.Caution
            ):
                yield _named(statement, statement.name, statement.span)  # type: ignore[union-attr]
            case _:
                pass


def _named(statement: s.Statement, name: s.Ident, span: Span) -> Entry:
    return Entry(plain(name.span), kind(statement)[1], _symbol(statement), span, name.span)


def _symbol(statement: s.Statement) -> SymbolKind:
    return _KINDS.get(type(statement), SymbolKind.Property)


def _block(
    statement: s.Draft | s.Method | s.Piece,
    below: tuple[Entry, ...],
    within: Iterable[s.Statement | s.PieceClause],
) -> Entry:
    """A statement with its block, down to the end of the last line that is known to stand in it."""
    detail = statement.title.value if isinstance(statement, s.Piece) else kind(statement)[1]
    span = Span(statement.span.source, statement.span.start, max(_end(statement), *map(_end, within), 0))
    return Entry(statement.name.text, detail, _symbol(statement), span, name_span(statement), below)


def _end(node: s.Statement | s.PieceClause) -> int:
    match node:
        case s.When(body=inner, otherwise=other) | s.ClauseWhen(body=inner, otherwise=other):
            return max(node.span.end, *map(_end, (*inner, *other)), 0)
        case s.Repeat(body=inner):
            return max(node.span.end, *map(_end, inner), 0)
        case _:
            return node.span.end


def as_symbols(entries: Iterable[Entry], codec: PositionCodec) -> list[DocumentSymbol]:
    return [
        DocumentSymbol(
            name=entry.name or " ",
            detail=entry.detail,
            kind=entry.kind,
            range=as_range(entry.span, codec),
            selection_range=as_range(entry.name_span, codec),
            children=as_symbols(entry.below, codec),
        )
        for entry in entries
    ]
