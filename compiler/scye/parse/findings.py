"""What is bought to make a garment up, and the order it is sewn in: tree to nodes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from scye.ir import syntax as s
from scye.parse.builder import Builder
from scye.units.quantity import Kind

if TYPE_CHECKING:
    from scye.parse.builder import Handler, Node


def _edge(b: Builder, tree: Any) -> s.EdgeRef:
    return s.EdgeRef(b.span(tree), b.node(tree))


def _length(b: Builder, tree: Any) -> s.Expr | None:
    return None if tree is None else b.with_unit(tree)


def _bone(b: Builder, tree: Node) -> s.Bone:
    channel, steel, twice, short, _ = tree.children
    kind: Any = "" if steel is None else str(steel)
    each = 1 if twice is None else 2
    return s.Bone(b.span(tree), _edge(b, channel), kind, each, b.with_unit(short))


def _busk(b: Builder, tree: Node) -> s.Busk:
    edge, short = tree.children
    return s.Busk(b.span(tree), _edge(b, edge), b.with_unit(short))


def _fastening(b: Builder, tree: Node) -> s.Fastening:
    word, edge, every, inset, _, set_in = tree.children
    kind: Any = str(word)
    return s.Fastening(
        b.span(tree), kind, _edge(b, edge), b.with_unit(every), b.with_unit(inset), _length(b, set_in)
    )


def _lace(b: Builder, tree: Node) -> s.Lace:
    edge, _, opened, _, closed, tails, bought = tree.children
    return s.Lace(
        b.span(tree), _edge(b, edge), b.with_unit(opened), _length(b, closed), b.with_unit(tails),
        _length(b, bought),
    )  # fmt: skip


def _bind(b: Builder, tree: Node) -> s.Bind:
    *edges, cut, share, joins = tree.children
    added = None if share is None else b.with_unit(share, Kind.PERCENT)
    return s.Bind(
        b.span(tree), tuple(_edge(b, edge) for edge in edges), b.with_unit(cut), added, _length(b, joins)
    )


def _tape(b: Builder, tree: Node) -> s.Tape:
    line, extra = tree.children
    return s.Tape(b.span(tree), b.node(line), _length(b, extra))


def _zip(b: Builder, tree: Node) -> s.Zip:
    edge, start, end, loses = tree.children
    return s.Zip(b.span(tree), _edge(b, edge), b.maybe(start), b.maybe(end), b.with_unit(loses))


def _sewing(b: Builder, tree: Node) -> s.SewingOrder:
    steps = tuple(text for child in tree.children if (text := b.text(child)) is not None)
    return s.SewingOrder(b.span(tree), steps)


HANDLERS: Mapping[str, Handler] = {
    "st_bone": _bone,
    "st_busk": _busk,
    "st_fastening": _fastening,
    "st_lace": _lace,
    "st_bind": _bind,
    "st_tape": _tape,
    "st_zip": _zip,
    "st_sewing": _sewing,
}
