"""Amounts, lists and conditions: tree to nodes."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import TYPE_CHECKING, Any, Literal

from scye.ir import syntax as s
from scye.parse.builder import Builder
from scye.units.quantity import Quantity

if TYPE_CHECKING:
    from scye.parse.builder import Handler, Node


def _arithmetic(op: Literal["+", "-", "*", "/"]) -> Handler:
    def handler(b: Builder, tree: Node) -> s.Arithmetic:
        left, right = tree.children
        return s.Arithmetic(b.span(tree), op, b.node(left), b.node(right))

    return handler


def _rounded(mode: Literal["nearest", "up", "down"]) -> Handler:
    def handler(b: Builder, tree: Node) -> s.Rounded:
        value, step = tree.children
        return s.Rounded(b.span(tree), b.node(value), b.node(step), mode)

    return handler


def _negative(b: Builder, tree: Node) -> s.Negative:
    return s.Negative(b.span(tree), b.node(tree.children[0]))


def _conditional(b: Builder, tree: Node) -> s.Conditional:
    return s.Conditional(b.span(tree), *b.nodes(tree.children))


def _list(b: Builder, tree: Node) -> s.ListOf:
    return s.ListOf(b.span(tree), b.nodes(tree.children))


def _share(how: Literal["by", "in proportion", "evenly"]) -> Handler:
    def handler(b: Builder, tree: Node) -> s.Share:
        total, *parts = [child for child in tree.children if hasattr(child, "data")]
        return s.Share(b.span(tree), b.node(total), how, b.nodes(parts))

    return handler


def _length_of(b: Builder, tree: Node) -> s.LengthOf:
    _, line, *ends = tree.children
    return s.LengthOf(b.span(tree), b.node(line), *b.nodes(ends))


def _distance(b: Builder, tree: Node) -> s.Distance:
    return s.Distance(b.span(tree), *b.nodes(tree.children[1:]))


def _rise(axis: Literal["height", "width"]) -> Handler:
    def handler(b: Builder, tree: Node) -> s.Rise:
        return s.Rise(b.span(tree), axis, *b.nodes(tree.children[1:]))

    return handler


def _angle_between(b: Builder, tree: Node) -> s.AngleBetween:
    return s.AngleBetween(b.span(tree), *b.nodes(tree.children[1:]))


def _arc(b: Builder, tree: Node) -> s.Trig:
    ratios: dict[str, Literal["arcsine", "arccosine", "arctangent"]] = {
        "SINE": "arcsine",
        "COSINE": "arccosine",
        "TANGENT": "arctangent",
    }
    _, ratio, operand = tree.children
    return s.Trig(b.span(tree), ratios[ratio.type], b.node(operand))  # type: ignore[union-attr]


def _trig(which: Literal["sine", "cosine", "tangent"]) -> Handler:
    def handler(b: Builder, tree: Node) -> s.Trig:
        return s.Trig(b.span(tree), which, b.node(tree.children[1]))

    return handler


def _items(b: Builder, tree: Any) -> tuple[s.Expr, ...]:
    return b.nodes(tree.children)


def _extremum(which: Literal["least", "most"]) -> Handler:
    def handler(b: Builder, tree: Node) -> s.Extremum:
        return s.Extremum(b.span(tree), which, _items(b, tree.children[1]))

    return handler


def _square_root(b: Builder, tree: Node) -> s.SquareRoot:
    return s.SquareRoot(b.span(tree), b.node(tree.children[1]))


def _sum_of(b: Builder, tree: Node) -> s.SumOf:
    return s.SumOf(b.span(tree), _items(b, tree.children[1]))


def _sum_first(b: Builder, tree: Node) -> s.SumOf:
    _, first, items = tree.children
    return s.SumOf(b.span(tree), _items(b, items), b.node(first))


def _count_of(b: Builder, tree: Node) -> s.CountOf:
    return s.CountOf(b.span(tree), b.node(tree.children[1]))


def _intakes_at(b: Builder, tree: Node) -> s.IntakesAt:
    return s.IntakesAt(b.span(tree), b.node(tree.children[1]))


def _girth_at(b: Builder, tree: Node) -> s.GirthAt:
    return s.GirthAt(b.span(tree), b.node(tree.children[1]))


def _width_at(b: Builder, tree: Node) -> s.WidthAt:
    return s.WidthAt(b.span(tree), *b.nodes(tree.children[1:]))


def _halfway(b: Builder, tree: Node) -> s.Amount:
    return s.Amount(b.span(tree), Quantity(Fraction(1, 2), None))


# --- conditions -------------------------------------------------------------------------------


def _either(b: Builder, tree: Node) -> s.Either:
    return s.Either(b.span(tree), *b.nodes(tree.children))


def _both(b: Builder, tree: Node) -> s.Both:
    return s.Both(b.span(tree), *b.nodes(tree.children))


def _negation(b: Builder, tree: Node) -> s.Not:
    return s.Not(b.span(tree), b.node(tree.children[0]))


def _compare(b: Builder, tree: Node) -> s.Compare:
    left, op, right = tree.children
    return s.Compare(b.span(tree), str(op), b.node(left), b.node(right))  # type: ignore[arg-type]


def _truth(b: Builder, tree: Node) -> s.Truth:
    return s.Truth(b.span(tree), b.node(tree.children[0]))


def _is_word(negated: bool) -> Handler:
    def handler(b: Builder, tree: Node) -> s.Is:
        name, word = tree.children
        return s.Is(b.span(tree), b.node(name), str(word), b.span(word), negated)

    return handler


HANDLERS: Mapping[str, Handler] = {
    "add": _arithmetic("+"),
    "subtract": _arithmetic("-"),
    "multiply": _arithmetic("*"),
    "divide": _arithmetic("/"),
    "negative": _negative,
    "rounded_nearest": _rounded("nearest"),
    "rounded_up": _rounded("up"),
    "rounded_down": _rounded("down"),
    "conditional": _conditional,
    "list": _list,
    "share_by": _share("by"),
    "share_proportion": _share("in proportion"),
    "share_evenly": _share("evenly"),
    "length_of": _length_of,
    "distance": _distance,
    "height": _rise("height"),
    "width": _rise("width"),
    "angle_between": _angle_between,
    "arc": _arc,
    "sine": _trig("sine"),
    "cosine": _trig("cosine"),
    "tangent": _trig("tangent"),
    "least": _extremum("least"),
    "most": _extremum("most"),
    "square_root": _square_root,
    "sum_of": _sum_of,
    "sum_first": _sum_first,
    "count_of": _count_of,
    "intakes_at": _intakes_at,
    "girth_at": _girth_at,
    "width_at": _width_at,
    "halfway": _halfway,
    "either": _either,
    "both": _both,
    "negation": _negation,
    "compare": _compare,
    "truth": _truth,
    "is_word": _is_word(False),
    "is_not_word": _is_word(True),
}
