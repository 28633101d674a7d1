"""Clauses of curves, panel lines, darts, seams and limits, and the statements put together from them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from scye.diagnostics import reading
from scye.diagnostics.model import Diagnostic
from scye.ir import syntax as s
from scye.parse.builder import Builder
from scye.parse.faults import Unreadable
from scye.parse.pieces import stroke_count
from scye.source import Span
from scye.units.quantity import PER_CENT, Kind, Quantity

if TYPE_CHECKING:
    from scye.parse.builder import Handler, Node


@dataclass(frozen=True, slots=True)
class Clause:
    """One thing said of a curve, a dart, a panel line, a seam or a limit; `word` is how its line begins."""

    span: Span
    word: str
    value: Any


@dataclass(frozen=True, slots=True)
class Opening:
    """The own line of a statement that has clauses: its node without them, and those that it has itself."""

    node: Any
    clauses: tuple[Clause, ...]


def _clause(word: str, value: Callable[[Builder, Node], Any]) -> Handler:
    def handler(b: Builder, tree: Node) -> Clause:
        return Clause(b.span(tree), word, value(b, tree))

    return handler


def _only(b: Builder, tree: Node) -> Any:
    return b.node(tree.children[-1])


def _length(b: Builder, tree: Node) -> s.Expr:
    return b.with_unit(tree.children[-1])


def _angle(b: Builder, tree: Node) -> s.Expr:
    return b.with_unit(tree.children[-1], Kind.ANGLE)


# --- curves -----------------------------------------------------------------------------------


def _through(b: Builder, tree: Node) -> s.Through:
    place, going = (*tree.children, None)[:2]
    return s.Through(b.span(tree), b.node(place), None, b.maybe(going))


def _through_each(b: Builder, tree: Node) -> s.Through:
    each, going = (*tree.children, None)[:2]
    return s.Through(b.span(tree), None, b.node(each), b.maybe(going))


def _bow(b: Builder, tree: Node) -> s.Bow:
    token, depth, *rest = tree.children
    word: Any = str(token)
    away = not hasattr(rest[0], "data")
    side, at = (*rest[1 if away else 0 :], None)[:2]
    return s.Bow(b.span(tree), word, b.with_unit(depth), away, b.node(side), b.maybe(at))


def _curve(b: Builder, tree: Node) -> Opening:
    name, start, end, *clauses, text = tree.children
    end_place: Any = b.maybe(end)
    node = s.Curve(
        b.span(tree), b.node(name), b.node(start), end_place, None, None, (), None, None, None, b.text(text)
    )
    return Opening(node, b.nodes(clauses))


# --- panel lines and darts --------------------------------------------------------------------


def _station(spring: bool) -> Handler:
    def handler(b: Builder, tree: Node) -> Clause:
        line, amount = tree.children
        return Clause(b.span(tree), "at", s.Station(b.span(tree), b.node(line), b.with_unit(amount), spring))

    return handler


def _all(b: Builder, tree: Node) -> s.Amount:
    return s.Amount(b.span(tree), Quantity(Fraction(100), PER_CENT))


def _panel_line(b: Builder, tree: Node) -> Opening:
    name, line, *clauses, text = tree.children
    node = s.PanelLine(b.span(tree), b.node(name), b.node(line), (), None, b.text(text))
    return Opening(node, b.nodes(clauses))


def _dart_on(b: Builder, tree: Node) -> Opening:
    name, edge, mouth, *clauses, text = tree.children
    return _dart(b, tree, name, text, clauses, edge=b.node(edge), mouth=b.node(mouth))


def _dart_from(b: Builder, tree: Node) -> Opening:
    name, start, end, *clauses, text = tree.children
    return _dart(b, tree, name, text, clauses, start=b.node(start), end=b.node(end))


def _dart(b: Builder, tree: Node, name: Any, text: Any, clauses: Sequence[Any], **ends: Any) -> Opening:
    empty = dict.fromkeys(("edge", "mouth", "apex", "short", "intake", "angle", "start", "end", "pressed"))
    node = s.Dart(b.span(tree), b.node(name), **{**empty, **ends}, stations=(), sentence=b.text(text))
    return Opening(node, b.nodes(clauses))


# --- seams ------------------------------------------------------------------------------------


def _edge_ref(b: Builder, tree: Node) -> s.EdgeRef:
    name, reverse = tree.children
    return s.EdgeRef(b.span(tree), b.node(name), reverse is not None)


def _sew(b: Builder, tree: Node, second: Any, to_pair: bool, clauses: Sequence[Any]) -> Opening:
    first: Any = tree.children[0]
    other = b.nodes(second.children) if second is not None else ()
    node = s.Sew(b.span(tree), b.nodes(first.children), other, to_pair, None, (), ())
    return Opening(node, b.nodes(clauses))


def _sew_alone(b: Builder, tree: Node) -> Opening:
    return _sew(b, tree, None, False, tree.children[1:])


def _sew_to(b: Builder, tree: Node) -> Opening:
    return _sew(b, tree, tree.children[1], False, tree.children[2:])


def _sew_pair(b: Builder, tree: Node) -> Opening:
    return _sew(b, tree, None, True, tree.children[2:])


def _letter(b: Builder, tree: Node) -> str:
    return b.plain_ident(tree.children[0]).text


def _easing(b: Builder, tree: Node) -> s.Easing:
    amount, *names = tree.children
    found = b.idents(names)
    between = (found[0], found[1]) if found else None
    return s.Easing(b.span(tree), b.with_unit(amount), between, gathered=tree.data == "gathering")


def _match_tail(b: Builder, tail: Sequence[Any]) -> tuple[int, s.Ident | None]:
    """Strokes and name of a match, each said once at most."""
    strokes, called = 0, None
    for part in tail:
        word = "called" if part.data == "called" else "double"
        if strokes if word == "double" else called:
            raise Unreadable(reading.ClauseTwice(span=b.span(part), clause=word, of="The match"))
        if word == "called":
            called = b.plain_ident(part.children[0])
        else:
            strokes = stroke_count(part.children[0])
    return strokes or 1, called


def _match_points(b: Builder, tree: Node) -> s.Match:
    first, second, *tail = tree.children
    strokes, called = _match_tail(b, tail)
    return s.Match(b.span(tree), None, b.node(first), b.node(second), None, "start", strokes, called)


def _match_distance(b: Builder, tree: Node) -> s.Match:
    distance, origin, *tail = tree.children
    strokes, called = _match_tail(b, tail)
    end: Any = str(origin)
    return s.Match(b.span(tree), None, None, None, b.with_unit(distance), end, strokes, called)


def _match_line(b: Builder, tree: Node) -> s.Match:
    line, *tail = tree.children
    strokes, called = _match_tail(b, tail)
    node = b.node(line)
    if isinstance(node, s.Name):
        node = s.AtLine(node.span, node)
    return s.Match(b.span(tree), node, None, None, None, "start", strokes, called)


# --- limits -----------------------------------------------------------------------------------


def _limit(b: Builder, tree: Node) -> Opening:
    title, value, relation, bounds, *clauses = tree.children
    at_most: Any = " ".join(str(relation).split())
    node = s.Limit(b.span(tree), b.text(title), b.node(value), at_most, b.node(bounds), (), None, None)
    return Opening(node, b.nodes(clauses))


def _bounds(b: Builder, tree: Node) -> tuple[s.Bound, ...]:
    return b.nodes(tree.children)


def _bound(b: Builder, tree: Node) -> s.Bound:
    amount, of = tree.children
    return s.Bound(b.span(tree), b.node(amount), b.maybe(of))


def _leaves(b: Builder, tree: Node) -> tuple[s.Text | None, s.Expr]:
    title, amount = tree.children
    return b.text(title), b.node(amount)


# --- putting together -------------------------------------------------------------------------


def _clauses(b: Builder, tree: Node) -> tuple[Clause, ...]:
    return b.nodes(tree.children)


def assemble(opening: Opening, below: Sequence[Clause]) -> tuple[Any, list[Diagnostic]]:
    """The whole statement, or None if it lacks what it must have; and what is wrong with its clauses."""
    clauses = (*opening.clauses, *below)
    node = opening.node
    diagnostics = list(_said_twice(node, clauses))
    match node:
        case s.Curve():
            missing = _curve_lacks(node)
            whole: Any = _whole_curve(node, clauses)
        case s.PanelLine():
            missing = _panel_lacks(node, clauses)
            whole = replace(
                node, stations=_values(clauses, "at"), left_share=_first(clauses, "left edge takes")
            )
        case s.Dart():
            missing = _dart_lacks(node, clauses)
            whole = _whole_dart(node, clauses)
        case s.Sew():
            missing = None
            matches, easings = _values(clauses, "match"), _values(clauses, "easing", "gathering")
            whole = replace(node, letter=_first(clauses, "as"), easings=easings, matches=matches)
        case s.Limit():
            missing = None
            whole = _whole_limit(node, clauses)
    if missing is None:
        return whole, diagnostics
    return None, [*diagnostics, missing]


def _values(clauses: Sequence[Clause], *words: str) -> tuple[Any, ...]:
    return tuple(c.value for c in clauses if c.word in words)


def _first(clauses: Sequence[Clause], word: str) -> Any:
    return next((c.value for c in clauses if c.word == word), None)


def called(node: Any) -> str:
    """How a thing is spoken of: `The curve neck`."""
    kind = {"PanelLine": "panel line", "Sew": "seam"}.get(type(node).__name__, type(node).__name__.lower())
    name = getattr(node, "name", None)
    return f"The {kind} {name.text}" if name else f"The {kind}"


_MANY = {"through", "at", "match", "easing", "gathering"}
# Of these one is enough: `intake` and `angle` say the same thing in two ways.
_EITHER = {"hollow": "round", "round": "hollow", "intake": "angle", "angle": "intake"}


def _said_twice(node: Any, clauses: Sequence[Clause]) -> Iterator[Diagnostic]:
    seen: set[str] = set()
    for clause in clauses:
        other = _EITHER.get(clause.word, "")
        if clause.word in seen and clause.word not in _MANY:
            yield reading.ClauseTwice(span=clause.span, clause=clause.word, of=called(node))
        elif other in seen:
            yield reading.ClauseTwice(span=clause.span, clause=clause.word, of=called(node), other=other)
        seen.add(clause.word)


def _lacks(node: Any, lacks: str, example: str) -> Diagnostic:
    return reading.ClauseMissing(span=node.span, of=called(node), lacks=lacks, example=example)


def _curve_lacks(node: s.Curve) -> Diagnostic | None:
    if node.end is None:
        return _lacks(node, "does not say where it ends", "to")
    return None


def _panel_lacks(node: s.PanelLine, clauses: Sequence[Clause]) -> Diagnostic | None:
    if not _values(clauses, "at"):
        return _lacks(node, "does not say what is taken in where", "at waist_line take 1 in")
    return None


def _dart_lacks(node: s.Dart, clauses: Sequence[Clause]) -> Diagnostic | None:
    words = {c.word for c in clauses}
    if node.edge is None:
        return (
            None
            if "at" in words
            else _lacks(node, "does not say what it takes in where", "at waist_line take 1 in")
        )
    if "to" not in words:
        return _lacks(node, "does not say which point it goes to", "to apex")
    if not words & {"intake", "angle"}:
        return _lacks(node, "has neither intake nor angle", "intake 1 in")
    return None


def _whole_curve(node: s.Curve, clauses: Sequence[Clause]) -> s.Curve:
    bow = next((c.value for c in clauses if c.word in ("hollow", "round")), None)
    return replace(
        node,
        leaving=_first(clauses, "leaving"),
        arriving=_first(clauses, "arriving"),
        through=_values(clauses, "through"),
        bow=bow,
        length=_first(clauses, "length"),
        fulness=_first(clauses, "fulness"),
    )


def _whole_dart(node: s.Dart, clauses: Sequence[Clause]) -> s.Dart:
    return replace(
        node,
        apex=_first(clauses, "to"),
        short=_first(clauses, "short"),
        intake=_first(clauses, "intake"),
        angle=_first(clauses, "angle"),
        stations=_values(clauses, "at"),
        pressed=_first(clauses, "pressed"),
    )


def _whole_limit(node: s.Limit, clauses: Sequence[Clause]) -> s.Limit:
    return replace(
        node,
        caution=_first(clauses, "caution") or (),
        leaves=_first(clauses, "leaves"),
        minors=_first(clauses, "for minors"),
    )


def _bow_clause(b: Builder, tree: Node) -> Clause:
    bow = _bow(b, tree)
    return Clause(bow.span, bow.word, bow)


HANDLERS: Mapping[str, Handler] = {
    "leaving": _clause("leaving", _only),
    "arriving": _clause("arriving", _only),
    "through": _clause("through", _through),
    "through_each": _clause("through", _through_each),
    "bow_toward": _bow_clause,
    "bow_away": _bow_clause,
    "curve_length": _clause("length", _length),
    "fulness": _clause("fulness", _only),
    "st_curve": _curve,
    "st_curve_clauses": _clauses,
    "take": _station(False),
    "spring": _station(True),
    "left_takes": _clause("left edge takes", _only),
    "left_takes_all": _clause("left edge takes", _all),
    "st_panel_line": _panel_line,
    "st_panel_clauses": _clauses,
    "dart_on": _dart_on,
    "dart_from": _dart_from,
    "dart_to": _clause("to", _only),
    "dart_short": _clause("short", _length),
    "dart_intake": _clause("intake", _length),
    "dart_angle": _clause("angle", _angle),
    "dart_pressed": _clause("pressed", _only),
    "st_dart_clauses": _clauses,
    "edge_ref": _edge_ref,
    "sew_alone": _sew_alone,
    "sew_to": _sew_to,
    "sew_pair": _sew_pair,
    "letter": _clause("as", _letter),
    "easing": _clause("easing", _easing),
    "gathering": _clause("gathering", _easing),
    "match_points": _clause("match", _match_points),
    "match_distance": _clause("match", _match_distance),
    "match_line": _clause("match", _match_line),
    "st_sew_clauses": _clauses,
    "st_limit": _limit,
    "st_limit_clauses": _clauses,
    "bounds": _bounds,
    "bound": _bound,
    "limit_caution": _clause("caution", _only),
    "limit_leaves": _clause("leaves", _leaves),
    "limit_minors": _clause("for minors", _only),
}
