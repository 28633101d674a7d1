"""The steps as a machine can follow them: each thing marked, from things marked before and figures."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from scye.geometry import path
from scye.ir import equations as e
from scye.ir.lesson import Act, Field
from scye.lesson.drawn import Drawn
from scye.lesson.marks import ends_of, marks_of
from scye.units.quantity import Kind

Fields = tuple[tuple[str, Field], ...]
AS_STRAIGHT = 0.01  # mm out of the straight, which no ruler shows
_KINDS = {Kind.POINT: "point", Kind.LINE: "line", Kind.DIRECTION: "direction"}


def act_of(ref: e.Ref, drawn: Drawn) -> Act:
    """One node as an act. What cannot be measured off (a curve) is given by its marks."""
    node = drawn.node(ref)
    do, fields = _point(node.op, drawn) or _direction(node.op) or _line(ref, drawn)
    return Act(ref, node.name, _KINDS[node.kind], do, fields)  # type: ignore[arg-type]


def used_by(act: Act) -> Iterator[e.Ref]:
    """The things that an act is made from, by their numbers."""
    for _, value in act.fields:
        if isinstance(value, int):
            yield value
        elif isinstance(value, tuple):
            yield from (v for v in value if isinstance(v, int))


def _point(op: e.Operation, drawn: Drawn) -> tuple[str, Fields] | None:
    match op:
        case e.Origin():
            return "begin", ()
        case e.MovePoint(base=base, direction=direction, amount=amount):
            return "measure", (("from", base), ("way", direction), ("far", drawn.figure(amount)))
        case e.MeetPoint(a=a, b=b, nearest=nearest):
            return "meet", (("first", a), ("second", b), ("nearest", nearest))
        case e.PointOnLine(line=line, amount=amount, share=share, start=start):
            far = drawn.figure(amount)
            return "along line", (("line", line), ("share" if share else "far", far), ("from", start))
        case e.PointPartWay(amount=amount, share=share, a=a, b=b):
            return "part way", (("from", a), ("to", b), ("share" if share else "far", drawn.figure(amount)))
        case e.FootPoint(point=point, line=line):
            return "square", (("from", point), ("line", line))
        case e.MirrorPoint(point=point, line=line):
            return "mirror point", (("point", point), ("axis", line))
        case e.TurnPoint(point=point, angle=angle, about=about):
            return "turn point", (("point", point), ("angle", drawn.figure(angle)), ("about", about))
        case e.LayPoint(point=point, a=a, b=b, c=c, d=d):
            return "lay point", (("point", point), ("from", a), ("by", b), ("to", c), ("toward", d))
        case e.EndPoint(line=line, which=which):
            return "end", (("line", line), ("which", which))
        case _:
            return None


def _direction(op: e.Operation) -> tuple[str, Fields] | None:
    match op:
        case e.Fixed(x=x, y=y):
            return "way", (("xy", (x, y)),)
        case e.DirectionAlong(line=line, at=at, back=back):
            return "way along", (("line", line), ("at", at), ("back", "yes" if back else ""))
        case e.DirectionSquare(line=line, at=at, toward=toward):
            return "way square", (("line", line), ("at", at), ("toward", toward))
        case e.DirectionTo(a=a, b=b):
            return "way to", (("from", a), ("to", b))
        case _:
            return None


def _turning(op: e.Operation, drawn: Drawn) -> tuple[str, Fields] | None:
    match op:
        case e.DirectionTurned(base=base, angle=angle, toward=toward):
            return "way turned", (("base", base), ("angle", drawn.figure(angle)), ("toward", toward))
        case e.DirectionBetween(a=a, b=b):
            return "way between", (("first", a), ("second", b))
        case e.GuideLine(point=point, direction=direction):
            return "guide", (("through", point), ("way", direction))
        case e.CircleLine(radius=radius, centre=centre):
            return "arc", (("radius", drawn.figure(radius)), ("about", centre))
        case e.PolyLine(points=points):
            return "straight", (("points", points),)
        case e.Alias(a=a):
            return "same", (("of", a),)
        case _:
            return None


def _made_of_lines(op: e.Operation, drawn: Drawn) -> tuple[str, Fields] | None:
    match op:
        case e.JoinLines(lines=lines):
            return "join", (("lines", lines),)
        case e.PartLine(line=line, start=start, end=end):
            return "part", (("line", line), ("from", start), ("to", end))
        case e.MirrorLine(line=line, axis=axis):
            return "mirror line", (("line", line), ("axis", axis))
        case e.TurnLine(line=line, angle=angle, about=about):
            return "turn line", (("line", line), ("angle", drawn.figure(angle)), ("about", about))
        case e.MoveLine(line=line, a=a, b=b):
            return "move line", (("line", line), ("from", a), ("to", b))
        case e.ReverseLine(line=line):
            return "reverse", (("line", line),)
        case e.ExtendLine(line=line):
            return "extend", (("line", line),)
        case e.LayLine(line=line, a=a, b=b, c=c, d=d):
            return "lay line", (("line", line), ("from", a), ("by", b), ("to", c), ("toward", d))
        case e.ParallelLine(line=line, amount=amount, side=side, side_is_point=is_point):
            far = drawn.figure(amount)
            return "parallel", (("line", line), ("far", far), ("point" if is_point else "way", side))
        case _:
            return None


def _line(ref: e.Ref, drawn: Drawn) -> tuple[str, Fields]:
    op = drawn.node(ref).op
    found = _turning(op, drawn) or _made_of_lines(op, drawn)
    if found is not None:
        return found
    line = drawn.line(ref)
    assert isinstance(line, path.Path)
    if isinstance(op, e.PanelEdge):
        return _edge(op, line, drawn)
    assert isinstance(op, e.CurveLine)
    leaving, arriving = ends_of(line)
    ends = (("from", op.points[0]), ("to", op.points[-1]))
    return "curve", (
        *ends,
        ("marks", marks_of(line, drawn.tape)),
        ("leaving", leaving),
        ("arriving", arriving),
    )


def _edge(op: e.PanelEdge, line: path.Path, drawn: Drawn) -> tuple[str, Fields]:
    """Between two stations marks; the offsets at the stations are figures of the recipe."""
    marks, ways = [], []
    for piece in pieces_of(line) if len(op.stations) > 1 else []:
        some = marks_of(piece, drawn.tape)
        marks.append(some if any(abs(mark.out.exact) > AS_STRAIGHT for mark in some) else ())
        ways.append(ends_of(piece))
    fields: list[tuple[str, Field]] = [("centre", op.centre), ("stations", op.stations)]
    for i, offset in enumerate(op.offsets):
        fields.append((f"out {i}", drawn.figure(offset)))
    for i, (some, (leaving, arriving)) in enumerate(zip(marks, ways, strict=True)):
        fields += [(f"marks {i}", some), (f"leaving {i}", leaving), (f"arriving {i}", arriving)]
    return "panel edge", tuple(fields)


def pieces_of(line: path.Path) -> list[path.Path]:
    """The stretches of a panel edge from station to station, without what it runs on past them."""
    return [
        replace(line, ctrl=line.ctrl[i : i + 1], straight=(False,)) for i in range(1, len(line.straight) - 1)
    ]
