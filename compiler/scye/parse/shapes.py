"""Directions, places and lines: tree to nodes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Literal

from scye.ir import syntax as s
from scye.parse.builder import Builder
from scye.units.quantity import Kind

if TYPE_CHECKING:
    from scye.parse.builder import Handler, Node


# --- directions -------------------------------------------------------------------------------


def _cardinal(b: Builder, tree: Node) -> s.Cardinal:
    return s.Cardinal(b.span(tree), str(tree.children[0]))  # type: ignore[arg-type]


def _along(b: Builder, tree: Node) -> s.AlongLine:
    return s.AlongLine(b.span(tree), b.node(tree.children[0]))


def _back_along(b: Builder, tree: Node) -> s.AlongLine:
    return s.AlongLine(b.span(tree), b.node(tree.children[1]), back=True)


def _square_to(b: Builder, tree: Node) -> s.SquareTo:
    return s.SquareTo(b.span(tree), *b.nodes(tree.children))


def _toward(b: Builder, tree: Node) -> s.Toward:
    return s.Toward(b.span(tree), b.node(tree.children[0]))


def _turned(b: Builder, tree: Node) -> s.Turned:
    base, angle, toward = tree.children
    return s.Turned(b.span(tree), b.node(base), b.with_unit(angle, Kind.ANGLE), b.node(toward))


def _bisecting(b: Builder, tree: Node) -> s.Bisecting:
    return s.Bisecting(b.span(tree), *b.nodes(tree.children))


# --- places -----------------------------------------------------------------------------------


def _at_point(b: Builder, tree: Node) -> s.AtPoint:
    return s.AtPoint(b.span(tree), b.node(tree.children[0]))


def _move(b: Builder, tree: Node) -> s.Move:
    direction, amount = tree.children
    return s.Move(b.node(direction), b.with_unit(amount))


def _moved(b: Builder, tree: Node) -> s.Moved:
    base, *moves = tree.children
    return s.Moved(b.span(tree), b.node(base), b.nodes(moves))


def _moved_along(b: Builder, tree: Node) -> s.Moved:
    """`snp along shoulder 3 in`, whose beginning `depth along shoulder` also has."""
    word, line, amount, *moves = tree.children
    name: s.Name = b.node(word)
    line_node: s.LineExpr = b.node(line)
    along = s.AlongLine(line_node.span, line_node)
    first = s.Move(along, b.with_unit(amount))
    return s.Moved(b.span(tree), s.AtPoint(name.span, name), (first, *b.nodes(moves)))


def _meeting(b: Builder, tree: Node) -> s.Meeting:
    return s.Meeting(b.span(tree), *b.nodes(tree.children))


def _on_line(b: Builder, tree: Node) -> s.OnLine:
    return s.OnLine(b.span(tree), *b.nodes(tree.children))


def _part_way(b: Builder, tree: Node) -> s.PartWay:
    return s.PartWay(b.span(tree), *b.nodes(tree.children))


def _foot(b: Builder, tree: Node) -> s.Foot:
    return s.Foot(b.span(tree), *b.nodes(tree.children))


def _mirrored_place(b: Builder, tree: Node) -> s.MirroredPlace:
    return s.MirroredPlace(b.span(tree), *b.nodes(tree.children))


def _turned_place(b: Builder, tree: Node) -> s.TurnedPlace:
    place, angle, about = tree.children
    return s.TurnedPlace(b.span(tree), b.node(place), b.with_unit(angle, Kind.ANGLE), b.node(about))


def _end_of(which: Literal["start", "end"]) -> Handler:
    def handler(b: Builder, tree: Node) -> s.EndOf:
        return s.EndOf(b.span(tree), which, b.node(tree.children[1]))

    return handler


def _laying(b: Builder, tree: Node) -> tuple[s.Place, s.Place, s.Place, s.Place]:
    one, toward, other, other_toward = b.nodes(tree.children)
    return one, toward, other, other_toward


# --- lines ------------------------------------------------------------------------------------


def _at_line(b: Builder, tree: Node) -> s.AtLine:
    return s.AtLine(b.span(tree), b.node(tree.children[0]))


def _extended_line(b: Builder, tree: Node) -> s.AtLine:
    return s.AtLine(b.span(tree), b.node(tree.children[0]), extended=True)


def _through(way: Literal["level", "plumb"]) -> Handler:
    def handler(b: Builder, tree: Node) -> s.GuideThrough:
        return s.GuideThrough(b.span(tree), way, b.node(tree.children[1]))

    return handler


def _line_through(b: Builder, tree: Node) -> s.LineThrough:
    return s.LineThrough(b.span(tree), *b.nodes(tree.children[1:]))


def _ray(b: Builder, tree: Node) -> s.RayFrom:
    return s.RayFrom(b.span(tree), *b.nodes(tree.children[1:]))


def _sweep(b: Builder, tree: Node) -> s.Sweep:
    _, radius, centre = tree.children
    return s.Sweep(b.span(tree), b.with_unit(radius), b.node(centre))


def _joined(b: Builder, tree: Node) -> s.Joined:
    return s.Joined(b.span(tree), b.nodes(tree.children))


def _simple(kind: Any) -> Handler:
    """Lines that are made of their parts in order."""

    def handler(b: Builder, tree: Node) -> Any:
        return kind(b.span(tree), *b.nodes(tree.children))

    return handler


def _turned_line(b: Builder, tree: Node) -> s.TurnedLine:
    line, angle, about = tree.children
    return s.TurnedLine(b.span(tree), b.node(line), b.with_unit(angle, Kind.ANGLE), b.node(about))


def _parallel(b: Builder, tree: Node) -> s.Parallel:
    _, line, amount, side, extended = tree.children
    return s.Parallel(
        b.span(tree), b.node(line), b.with_unit(amount), b.node(side), extended=extended is not None
    )


HANDLERS: Mapping[str, Handler] = {
    "cardinal": _cardinal,
    "along": _along,
    "back_along": _back_along,
    "square_to": _square_to,
    "toward": _toward,
    "turned": _turned,
    "bisecting": _bisecting,
    "at_point": _at_point,
    "move": _move,
    "moved": _moved,
    "moved_along": _moved_along,
    "meeting": _meeting,
    "on_line": _on_line,
    "part_way": _part_way,
    "foot": _foot,
    "mirrored_place": _mirrored_place,
    "turned_place": _turned_place,
    "start_of": _end_of("start"),
    "end_of": _end_of("end"),
    "at_line": _at_line,
    "extended_line": _extended_line,
    "level_through": _through("level"),
    "plumb_through": _through("plumb"),
    "line_through": _line_through,
    "ray": _ray,
    "sweep": _sweep,
    "joined": _joined,
    "part_of_line": _simple(s.Part),
    "mirrored_line": _simple(s.MirroredLine),
    "moved_line": _simple(s.MovedLine),
    "reversed_line": _simple(s.Reversed),
    "turned_line": _turned_line,
    "laying": _laying,
    "laid_place": _simple(s.LaidPlace),
    "laid_line": _simple(s.LaidLine),
    "parallel": _parallel,
}
