"""What each statement of a recipe makes, and where it stands: what a variant's words are matched by."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import Any

from scye.ir import syntax as s
from scye.source import Span


@dataclass(frozen=True, slots=True)
class Key:
    """By what a statement is known: a name with its index, a title, the sides of a seam.

    `sort` keeps apart what may be called alike without being the same: `name`, `method`, `caution`, `limit`,
    `title`, `seam` and `seams` (the tolerance).
    """

    sort: str
    text: str
    index: str = ""

    @property
    def shown(self) -> str:
        """As the maker is told of it: a name or a seam in backticks, a title in quotes."""
        match self.sort:
            case "title":
                return f'"{self.text}"'
            case "seam":
                return f"`sew {self.text}`"
            case "seams":
                return "`seams warn over ...`"
            case "finding":
                return f"`{self.text}`"
            case "limit" | "method" | "caution":
                return f"`{self.sort} {self.text}`"
            case _:
                return f"`{self.name}`"

    @property
    def name(self) -> str:
        return f"{self.text}[{self.index}]" if self.index else self.text


@dataclass(frozen=True, slots=True)
class Block:
    """A `when` arm or a `repeat` round a statement. Alike if they are written alike."""

    words: tuple[str, ...]

    @property
    def is_when(self) -> bool:
        return self.words[0] == "when"

    @property
    def is_otherwise(self) -> bool:
        return self.is_when and len(self.words) == 3


@dataclass(frozen=True, slots=True, eq=False)
class Found:
    """A statement of a recipe with the draft it stands in ("" for none) and the blocks round it.

    `outer` are the blocks round the draft, `inner` those within it; `blocks` are the statements of both.
    """

    statement: s.Statement
    draft: str
    outer: tuple[Block, ...]
    inner: tuple[Block, ...]
    blocks: tuple[s.Statement, ...]

    @property
    def path(self) -> tuple[Block, ...]:
        return (*self.outer, *self.inner)

    def within(self, outer: tuple[Block, ...]) -> tuple[Block, ...]:
        """The blocks that this is written in, within a draft that itself stands in `outer`.

        A draft that is written in no block means the parent's wherever it stands.
        """
        return self.inner if self.outer in ((), outer) else self.path


def plain(span: Span) -> str:
    """The words of a stretch of text, evenly spaced."""
    return " ".join(span.text.split())


def split(body: tuple[s.Statement, ...]) -> tuple[s.Statement, ...]:
    """The statements with each measure of a `needs` by itself, so that it can be redrawn or left out."""
    return tuple(_split(body))


def _split(body: tuple[s.Statement, ...]) -> Iterator[s.Statement]:
    for statement in body:
        match statement:
            case s.Needs(items=items) if len(items) > 1:
                yield from (s.Needs(item.span, (item,)) for item in items)
            case s.Redraw(statement=s.Needs(items=items), span=span) if len(items) > 1:
                yield from (s.Redraw(span, s.Needs(item.span, (item,))) for item in items)
            case s.Draft(body=inner) | s.Repeat(body=inner):
                yield replace(statement, body=split(inner))
            case s.When(body=inner, otherwise=other):
                yield replace(statement, body=split(inner), otherwise=split(other))
            case _:
                yield statement


def keys(statement: s.Statement) -> tuple[Key, ...]:
    """By what a statement is known; nothing for a block, and for a limit without a title."""
    match statement:
        case s.Needs(items=items):
            return tuple(Key("name", item.name.text) for item in items)
        case s.Find(unknowns=unknowns):
            return tuple(Key("name", unknown.name.text) for unknown in unknowns)
        case s.Method(name=name):
            return (Key("method", name.text),)
        case s.Caution(name=name):
            return (Key("caution", name.text),)
        case s.Prove(title=title) | s.Report(title=title) | s.Keep(title=s.Text() as title):
            return (Key("title", title.value),)
        case s.Limit():
            return (Key("limit", statement.called),)
        case s.Sew():
            return (Key("seam", seam_text(statement)),)
        case s.SeamTolerance():
            return (Key("seams", ""),)
        case s.Bone() | s.Busk() | s.Fastening() | s.Lace() | s.Bind() | s.Tape() | s.Zip():
            return (Key("finding", finding_text(statement)),)
        case s.SewingOrder(steps=(first, *_)):
            return (Key("title", first.value),)
        case s.Limit(title=None, value=value):
            return (Key("limit", plain(value.span)),)
        case s.Limit(title=s.Text() as title):
            return (Key("title", title.value),)
        case _:
            ident = getattr(statement, "name", None)
            return (key_of(ident),) if isinstance(ident, s.Ident) else ()


def key_of(ident: s.Ident | s.NamePart) -> Key:
    """The key of a thing that is drawn or named."""
    return Key("name", ident.text, plain(ident.index.span) if ident.index is not None else "")


def seam_text(sew: s.Sew) -> str:
    """The sides of a seam as they are written."""
    first, second = (" and ".join(plain(ref.span) for ref in side) for side in (sew.first, sew.second))
    if sew.to_pair:
        return f"{first} to its pair"
    return f"{first} to {second}" if second else first


def finding_text(statement: s.FindingStatement) -> str:
    """How a statement of what is bought begins: `eyelets along back.left`."""
    word = statement.span.text.split(maxsplit=1)[0]
    match statement:
        case s.Bone(channel=edge) | s.Bind(edges=(edge, *_)):
            return f"{word} {plain(edge.span)}"
        case s.Busk(edge=edge) | s.Fastening(edge=edge) | s.Lace(edge=edge) | s.Zip(edge=edge):
            return f"{word} along {plain(edge.span)}"
        case s.Tape(line=line):
            return f"{word} at {plain(line.span)}"
    raise AssertionError(statement)


def name_span(statement: s.Statement) -> Span:
    """Where a statement says its name, or all of it."""
    name = getattr(statement, "name", None)
    return name.span if isinstance(name, s.Ident) else statement.span


# How a kind of statement is spoken of; those of one kind may be redrawn as each other.
_KINDS: dict[type, tuple[str, str]] = {
    s.Needs: ("measure", "measure"),
    s.Choose: ("amount", "choice"),
    s.Let: ("amount", "named amount"),
    s.Find: ("amount", "unknown"),
    s.Draft: ("draft", "draft"),
    s.Begin: ("begin", "draft's first point"),
    s.Mark: ("point", "mark"),
    s.Guide: ("line", "guide"),
    s.StraightLine: ("line", "line"),
    s.LineAs: ("line", "line"),
    s.Curve: ("line", "curve"),
    s.PanelLine: ("panel line", "panel line"),
    s.Dart: ("dart", "dart"),
    s.Draw: ("drawing", "drawing by a method"),
    s.Method: ("method", "method"),
    s.Piece: ("piece", "piece"),
    s.Prove: ("words", "proof"),
    s.Keep: ("words", "limit"),
    s.Limit: ("limit", "limit"),
    s.Report: ("words", "report"),
    s.Bone: ("finding", "finding"),
    s.Busk: ("finding", "finding"),
    s.Fastening: ("finding", "finding"),
    s.Lace: ("finding", "finding"),
    s.Bind: ("finding", "finding"),
    s.Tape: ("finding", "finding"),
    s.Zip: ("finding", "finding"),
    s.SewingOrder: ("words", "step of sewing"),
}


def kind(statement: s.Statement) -> tuple[str, str]:
    """The kind of a statement, and the word for it."""
    return _KINDS.get(type(statement), (type(statement).__name__, "statement"))


# --- walking ------------------------------------------------------------------------------------


def all_found(body: tuple[s.Statement, ...]) -> Iterator[Found]:
    """Every statement but the blocks themselves; drafts come before what is in them."""
    yield from _walk(body, "", (), (), ())


def _walk(
    body: Iterable[s.Statement],
    draft: str,
    outer: tuple[Block, ...],
    inner: tuple[Block, ...],
    blocks: tuple[s.Statement, ...],
) -> Iterator[Found]:
    for statement in body:
        for block, within in arms(statement):
            yield from _walk(within, draft, outer, (*inner, block), (*blocks, statement))
        if not isinstance(statement, s.When | s.Repeat):
            yield Found(statement, draft, outer, inner, blocks)
        if isinstance(statement, s.Draft):
            yield from _walk(statement.body, statement.name.text, (*outer, *inner), (), blocks)


def arms(statement: s.Statement) -> tuple[tuple[Block, tuple[s.Statement, ...]], ...]:
    """The arms of a `when` or the body of a `repeat`, each with how it is written; nothing for others."""
    match statement:
        case s.When(condition=condition, body=body, otherwise=otherwise):
            text = plain(condition.span)
            return ((Block(("when", text)), body), (Block(("when", text, "otherwise")), otherwise))
        case s.Repeat(variable=variable, first=first, last=last, body=body):
            words = ("repeat", variable.text, plain(first.span), plain(last.span))
            return ((Block(words), body),)
        case _:
            return ()


def wrapped(statement: s.Statement, path: tuple[Block, ...], blocks: tuple[s.Statement, ...]) -> s.Statement:
    """A statement within copies of the innermost of the blocks that it was written in, alone."""
    for block, written in zip(reversed(path), reversed(blocks), strict=False):
        match written:
            case s.When() if block.is_otherwise:
                statement = replace(written, body=(), otherwise=(statement,))
            case s.When():
                statement = replace(written, body=(statement,), otherwise=())
            case s.Repeat():
                statement = replace(written, body=(statement,))
            case _:
                raise AssertionError("only a `when` or a `repeat` stands round a statement")
    return statement


# --- names used ---------------------------------------------------------------------------------


def names_used(node: Any) -> Iterator[s.Name]:
    """Every name that is used within a node, in the order written."""
    if isinstance(node, s.Name):
        yield node
    if isinstance(node, tuple):
        for item in node:
            yield from names_used(item)
    elif is_dataclass(node) and not isinstance(node, Span):
        for field in fields(node):
            value = getattr(node, field.name)
            if isinstance(value, tuple) or (is_dataclass(value) and not isinstance(value, Span)):
                yield from names_used(value)


def needs_used(body: tuple[s.Statement, ...]) -> set[str]:
    """The measures that anything uses, be it by way of the rule for another that is used."""
    rules: dict[str, set[str]] = {}
    used: set[str] = set()
    for found in all_found(body):
        if isinstance(found.statement, s.Needs):
            for need in found.statement.items:
                rules[need.name.text] = set(_firsts(need.otherwise))
        elif not isinstance(found.statement, s.Draft | s.Method):
            used.update(_firsts(found.statement))
        used.update(_firsts(tuple(_block_amounts(found))))
    waiting = [name for name in rules if name in used]
    while waiting:
        fresh = rules[waiting.pop()] - used
        used |= fresh
        waiting += [name for name in fresh if name in rules]
    return {name for name in rules if name in used}


def _block_amounts(found: Found) -> Iterator[Any]:
    """What the blocks round a statement themselves depend on."""
    for block in found.blocks:
        match block:
            case s.When(condition=condition):
                yield condition
            case s.Repeat(first=first, last=last):
                yield from (first, last)
            case _:
                pass


def _firsts(node: Any) -> Iterator[str]:
    return (name.parts[0].text for name in names_used(node))
