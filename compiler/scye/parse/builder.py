"""From the tree of a line to the nodes of ir.syntax: the walk, and the parts that all lines share."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import TYPE_CHECKING, Any

from scye.diagnostics import reading
from scye.ir import syntax as s
from scye.parse.faults import Unreadable
from scye.parse.numbers import quantity, split_amount
from scye.source import Line, Span
from scye.units.quantity import Kind

if TYPE_CHECKING:
    from lark import Token, Tree

    Node = Tree[Token]
    Handler = Callable[["Builder", Node], Any]


class Builder:
    """Makes nodes of one line's tree; `base` is how far on in `line` the code of the tree begins."""

    __slots__ = ("base", "handlers", "line")

    def __init__(self, line: Line, base: int, handlers: Mapping[str, Handler]) -> None:
        self.line = line
        self.base = base
        self.handlers = handlers

    def node(self, tree: Any) -> Any:
        """The node of any tree, by the handler of its rule."""
        return self.handlers[tree.data](self, tree)

    def maybe(self, tree: Any) -> Any:
        return None if tree is None else self.handlers[tree.data](self, tree)

    def nodes(self, trees: Iterable[Any]) -> tuple[Any, ...]:
        return tuple(self.node(tree) for tree in trees)

    def span(self, tree: Any) -> Span:
        """The place of a tree or a token."""
        meta = getattr(tree, "meta", tree)
        start = meta.start_pos
        return Span(self.line, self.base + start, self.base + meta.end_pos)

    def text(self, token: Any) -> s.Text | None:
        """A text in quotes, or None where it was left out."""
        return None if token is None else s.Text(self.span(token), str(token)[1:-1])

    def plain_ident(self, token: Any) -> s.Ident:
        """A name being defined or mentioned by itself."""
        return s.Ident(self.span(token), str(token))

    def idents(self, tokens: Iterable[Any]) -> tuple[s.Ident, ...]:
        return tuple(self.plain_ident(token) for token in tokens if token is not None)

    def with_unit(self, tree: Any, kind: Kind = Kind.LENGTH) -> s.Expr:
        """An amount where a bare number cannot be meant."""
        expr: s.Expr = self.node(tree)
        match expr:
            case s.Amount(span=span, quantity=q) if q.unit is None:
                raise Unreadable(reading.MissingUnit(span=span, amount=span.text, angle=kind is Kind.ANGLE))
        return expr

    def whole(self, token: Any) -> int:
        """A count written out: `edition 2`, `cut 2`."""
        number, unit = split_amount(str(token))
        if unit or not number.isdigit():
            hint = "Write a whole number without a unit."
            raise Unreadable(reading.MalformedNumber(span=self.span(token), number=str(token), hint=hint))
        return int(number)


def _ident(b: Builder, tree: Node) -> s.Ident:
    token, index = tree.children
    plain = b.plain_ident(token)
    return plain if index is None else s.Ident(b.span(tree), plain.text, b.node(index))


def _name(b: Builder, tree: Node) -> s.Name:
    return s.Name(b.span(tree), b.nodes(tree.children))


def _part(b: Builder, tree: Node) -> s.NamePart:
    token, index = tree.children
    return s.NamePart(b.span(tree), str(token), b.maybe(index))


def _dotted(b: Builder, tree: Node) -> s.NamePart:
    """A part after a point, which is one token with its point."""
    token, index = tree.children
    whole = b.span(tree)
    text = str(token)[1:].lstrip(" \t")
    first = whole.first + len(str(token)) - len(text)
    return s.NamePart(Span(b.line, first, whole.last), text, b.maybe(index))


def _amount(b: Builder, tree: Node) -> s.Amount:
    return s.Amount(b.span(tree), quantity(str(tree.children[0])))


HANDLERS: Mapping[str, Handler] = {
    "ident": _ident,
    "name": _name,
    "part": _part,
    "dotted": _dotted,
    "amount": _amount,
}
