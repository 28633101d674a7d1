"""Blocks -> Python source: one statement a node, evaluated on arrays for any number of bodies.

Generated source on numpy arrays was measured to be twice as fast as a graph of calls, and it can be read
when something is wrong. Every name in it is made here from a node's index. Figures that are written in the
recipe are no part of it but given to it, so that a recipe in which only a figure was changed has the same.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import groupby
from typing import assert_never

from scye.ir import equations as e

PLAIN_OPS = {"+": "+", "-": "-", "*": "*"}
TRIG = {
    "sine": "k.sin(k.row({0}))",
    "cosine": "k.cos(k.row({0}))",
    "tangent": "k.tangent_of({0})",
    "arcsine": "k.arcsin(k.row({0}))",
    "arccosine": "k.arccos(k.row({0}))",
    "arctangent": "k.arctangent({0})",
}


def generate(ordered: e.Ordered) -> str:
    """The source of `evaluate(measures, choices, count, c)`, which returns the values of all nodes and the
    reports of the blocks of unknowns. `c` are the `constants` by their nodes."""
    writer = _Writer(ordered.equations)
    lines = ["def evaluate(measures, choices, count, c):", "    reports = []"]
    for number, block in enumerate(ordered.blocks):
        match block:
            case e.Straight(nodes=nodes):
                lines += [f"    {writer.assign(ref)}" for ref in nodes if not writer.inlined(ref)]
            case e.Simultaneous():
                lines += writer.simultaneous(block, number)
            case _:
                assert_never(block)
    values = ", ".join(writer.value(i) for i in range(len(ordered.equations.nodes)))
    lines.append(f"    return [{values}], reports")
    return "\n".join(lines) + "\n"


def generate_again(ordered: e.Ordered, bits: Mapping[e.Ref, int]) -> str:
    """The source of `evaluate_again(measures, choices, count, c, changed, old, told)`: as `evaluate`, but a
    node is worked out only if one of its `bits` is among those `changed`; the others are taken from the
    values `old`, and the reports of blocks from those `told` before."""
    writer = _Writer(ordered.equations)
    lines = ["def evaluate_again(measures, choices, count, c, changed, old, told):", "    reports = []"]
    told = 0
    for number, block in enumerate(ordered.blocks):
        match block:
            case e.Straight(nodes=nodes):
                lines += _again_in_turn(writer, nodes, bits)
            case e.Simultaneous(unknowns=unknowns, nodes=inside):
                work = writer.simultaneous(block, number)
                here = (*unknowns, *(ref for ref in inside if not writer.inlined(ref)))
                lines += _if_changed(bits[unknowns[0]], work, here)
                lines.append(f"        reports.append(told[{told}])")
                told += 1
            case _:
                assert_never(block)
    values = ", ".join(writer.value(i) for i in range(len(ordered.equations.nodes)))
    lines.append(f"    return [{values}], reports")
    return "\n".join(lines) + "\n"


def constants(equations: e.Equations) -> tuple[float | None, ...]:
    """The figures written in a recipe, by node; None for all other nodes."""
    return tuple(node.op.value if isinstance(node.op, e.Constant) else None for node in equations.nodes)


def _again_in_turn(writer: _Writer, nodes: tuple[e.Ref, ...], bits: Mapping[e.Ref, int]) -> Iterator[str]:
    """Straight work in runs of nodes with the same bits. What a node is made from has no bits but its own, so
    sorted by their number the nodes are still in order."""
    live = sorted(
        (ref for ref in nodes if not writer.inlined(ref)), key=lambda r: (bits[r].bit_count(), bits[r])
    )
    for mask, run in groupby(live, key=bits.__getitem__):
        refs = tuple(run)
        yield from _if_changed(mask, [f"    {writer.assign(ref)}" for ref in refs], refs)


def _if_changed(mask: int, work: list[str], refs: tuple[e.Ref, ...]) -> Iterator[str]:
    yield f"    if changed & {mask}:"
    yield from (f"    {line}" for line in work)
    yield "    else:"
    yield from (f"        v{ref} = old[{ref}]" for ref in refs)


class _Writer:
    def __init__(self, equations: e.Equations) -> None:
        self.nodes = equations.nodes

    def inlined(self, ref: e.Ref) -> bool:
        return isinstance(self.nodes[ref].op, e.Constant)

    def value(self, ref: e.Ref) -> str:
        """A node as the result holds it: constants as arrays."""
        return f"k.row({self.v(ref)})" if self.inlined(ref) else f"v{ref}"

    def v(self, ref: e.Ref | None) -> str:
        if ref is None:
            return "None"
        return f"c[{ref}]" if self.inlined(ref) else f"v{ref}"

    def vs(self, refs: tuple[e.Ref | None, ...]) -> str:
        return "(" + "".join(f"{self.v(r)}, " for r in refs) + ")"

    def assign(self, ref: e.Ref) -> str:
        return f"v{ref} = {self.expression(self.nodes[ref].op)}"

    def simultaneous(self, block: e.Simultaneous, number: int) -> list[str]:
        """A function of the unknowns for the search, then the same statements again with what it found."""
        unknowns = block.unknowns
        inside = [self.assign(ref) for ref in block.nodes if not self.inlined(ref)]
        residuals = self.vs(tuple(c.residual for c in block.conditions))
        names = "".join(f"v{u}, " for u in unknowns)
        lines = [f"    def residuals{number}({names.rstrip(', ')}):"]
        lines += [f"        {line}" for line in inside]
        lines.append(f"        return {residuals}")
        lows = self.vs(tuple(self.nodes[u].op.low for u in unknowns))  # type: ignore[union-attr]
        highs = self.vs(tuple(self.nodes[u].op.high for u in unknowns))  # type: ignore[union-attr]
        refs = repr(unknowns)
        lines.append(f"    ({names}) = k.seek(residuals{number}, {lows}, {highs}, count, {refs}, reports)")
        return lines + [f"    {line}" for line in inside]

    def expression(self, op: e.Operation) -> str:
        v = self.v
        match op:
            case e.Constant():
                raise AssertionError("constants are written where they are used")
            case e.Alias(a=a):
                return f"{v(a)}"
            case e.Taken(measure=measure, otherwise=None):
                return f"measures[{measure!r}]"
            case e.Taken(measure=measure, otherwise=rule):
                return f"k.taken(measures[{measure!r}], {v(rule)})"
            case e.Chosen(choice=choice):
                return f"choices[{choice!r}]"
            case e.Negated(a=a):
                return f"-{v(a)}"
            case e.Combine(op="/", a=a, b=b):
                return self._quotient(a, b)
            case e.Combine(op=sign, a=a, b=b):
                return f"{v(a)} {PLAIN_OPS[sign]} {v(b)}"
            case e.RoundTo(a=a, step=step, mode=mode):
                return f"k.round_to({v(a)}, {v(step)}, {mode!r})"
            case e.Extreme(which=which, items=items):
                return f"k.{which}({self.vs(items)})"
            case e.Total(items=items):
                return f"k.total({self.vs(items)})"
            case e.Root(a=a):
                return f"k.root({v(a)})"
            case e.TrigOf(which=which, a=a):
                return TRIG[which].format(v(a))
            case e.CompareOf(op=sign, a=a, b=b):
                return f"k.row({v(a)}) {'==' if sign == '=' else sign} {v(b)}"
            case e.Logic(op="not", items=(item,)):
                return f"k.np.logical_not({v(item)})"
            case e.Logic(op=word, items=items):
                return self._folded(f"k.np.logical_{word}", items)
            case e.Select(condition=condition, a=a, b=b):
                return f"k.choose({v(condition)}, {v(a)}, {v(b)})"
            case e.LineLength(line=line, start=start, end=end):
                return f"k.line_length({v(line)}, {v(start)}, {v(end)})"
            case e.DistanceOf(a=a, b=b):
                return f"k.vector.norm({v(b)} - {v(a)})"
            case e.RiseOf(axis="height", a=a, b=b):
                return f"{v(a)}[1] - {v(b)}[1]"
            case e.RiseOf(a=a, b=b):
                return f"{v(b)}[0] - {v(a)}[0]"
            case e.AngleOf(a=a, b=b):
                return f"k.vector.angle_between({v(a)}, {v(b)})"
            case e.OffLine(point=point, line=line):
                return f"k.off_line({v(point)}, {v(line)})"
            case e.Sought():
                raise AssertionError("an unknown is assigned by its block")
            case e.Held(a=a, limit=limit, relation=relation):
                return f"k.hold({v(a)}, {v(limit)}, {relation!r})"
            case e.Limited(a=a, limit=limit, relation=relation):
                return self._folded("k.np.minimum" if relation == "at most" else "k.np.maximum", (a, limit))
            case _:
                return self._drawn(op)

    def _quotient(self, a: e.Ref, b: e.Ref) -> str:
        divisor = self.nodes[b].op
        if isinstance(divisor, e.Constant) and divisor.value:
            return f"{self.v(a)} / {self.v(b)}"
        return f"k.divide({self.v(a)}, {self.v(b)})"

    def _folded(self, function: str, items: tuple[e.Ref, ...]) -> str:
        text = f"k.row({self.v(items[0])})"
        for item in items[1:]:
            text = f"{function}({text}, {self.v(item)})"
        return text

    def _drawn(self, op: e.Operation) -> str:
        """Directions, points and lines."""
        v = self.v
        match op:
            case e.Fixed(x=x, y=y):
                return f"k.vector.vec({x!r}, {y!r})"
            case e.DirectionAlong(line=line, at=at, back=back):
                return f"k.along_line({v(line)}, {v(at)}, {back})"
            case e.DirectionSquare(line=line, at=at, toward=toward):
                return f"k.square_to({v(line)}, {v(at)}, {v(toward)})"
            case e.DirectionTo(a=a, b=b):
                return f"k.towards({v(a)}, {v(b)})"
            case e.DirectionTurned(base=base, angle=angle, toward=toward):
                return f"k.turned({v(base)}, {v(angle)}, {v(toward)})"
            case e.DirectionBetween(a=a, b=b):
                return f"k.between({v(a)}, {v(b)})"
            case e.Origin():
                return "k.vector.vec(0.0, 0.0)"
            case e.MovePoint(base=base, direction=direction, amount=amount):
                return self._move(base, direction, amount)
            case e.MeetPoint(a=a, b=b, nearest=nearest):
                return f"k.meet_point({v(a)}, {v(b)}, {v(nearest)})"
            case e.PointOnLine(line=line, amount=amount, share=share, start=start):
                return f"k.on_line({v(line)}, {v(amount)}, {share}, {v(start)})"
            case e.PointPartWay(amount=amount, share=share, a=a, b=b):
                return f"k.part_way({v(amount)}, {share}, {v(a)}, {v(b)})"
            case e.FootPoint(point=point, line=line):
                return f"k.foot({v(point)}, {v(line)})"
            case e.MirrorPoint(point=point, line=line):
                return f"k.mirror_point({v(point)}, {v(line)})"
            case e.TurnPoint(point=point, angle=angle, about=about):
                return f"k.turn_point({v(point)}, {v(angle)}, {v(about)})"
            case e.LayPoint(point=point):
                return f"k.lay_point({v(point)}, {self.vs((op.a, op.b, op.c, op.d))})"
            case e.EndPoint(line=line, which=which):
                return f"k.end_point({v(line)}, {which!r})"
            case e.GuideLine(point=point, direction=direction):
                return f"k.Guide({v(point)}, {v(direction)})"
            case e.PolyLine(points=points):
                return f"k.polyline({self.vs(points)})"
            case e.CircleLine(radius=radius, centre=centre):
                return f"k.Circle({v(centre)}, k.row({v(radius)}))"
            case e.CurveLine():
                return self._curve(op)
            case e.JoinLines(lines=lines):
                return f"k.join_lines({self.vs(lines)})"
            case e.PartLine(line=line, start=start, end=end):
                return f"k.part({v(line)}, {v(start)}, {v(end)})"
            case e.MirrorLine(line=line, axis=axis):
                return f"k.mirror_line({v(line)}, {v(axis)})"
            case e.TurnLine(line=line, angle=angle, about=about):
                return f"k.turn_line({v(line)}, {v(angle)}, {v(about)})"
            case e.MoveLine(line=line, a=a, b=b):
                return f"k.move_line({v(line)}, {v(a)}, {v(b)})"
            case e.ReverseLine(line=line):
                return f"k.reverse_line({v(line)})"
            case e.ExtendLine(line=line):
                return f"k.extend_line({v(line)})"
            case e.LayLine(line=line):
                return f"k.lay_line({v(line)}, {self.vs((op.a, op.b, op.c, op.d))})"
            case e.ParallelLine(line=line, amount=amount, side=side, side_is_point=is_point):
                return f"k.parallel_line({v(line)}, {v(amount)}, {v(side)}, {is_point})"
            case e.PanelEdge(centre=centre, stations=stations, offsets=offsets):
                return f"k.panel_edge({v(centre)}, {self.vs(stations)}, {self.vs(offsets)})"
            case e.EdgeEnd(line=line, neighbour=neighbour, named=named):
                return f"k.fitted.corner({v(line)}, {v(neighbour)}, {v(named)})"
            case e.EndOf(a=a, b=b, which=which):
                return f"k.fitted.end_of({v(a)}, {v(b)}, {which!r})"
            case e.PieceSide(lines=lines, meets=meets, edge=edge):
                return f"k.fitted.piece_side({self.vs(lines)}, {self.vs(meets)}, {edge})"
            case e.FittedLine(past=past):
                return f"k.fitted.fitted_line({self._fit(op)}, {past!r})"
            case e.FollowedLine(line=line):
                return f"k.fitted.followed_line({v(line)}, {self._fit(op)})"
            case e.FollowedPoint(point=point):
                return f"k.fitted.followed_point({v(point)}, {self._fit(op)})"
            case e.FittedAt(level=level):
                return f"k.fitted.fitted_at({v(level)}, {self._fit(op)})"
            case e.FitPlaced():
                return f"k.fitted.fit_placed({self._fit(op)})"
            case _:
                raise AssertionError(type(op).__name__)

    def _move(self, base: e.Ref, direction: e.Ref, amount: e.Ref) -> str:
        way = self.nodes[direction].op
        match way:
            case e.Fixed(x=1.0 | -1.0 as x, y=0.0):
                return f"k.step({self.v(base)}, {'' if x > 0 else '-'}{self.v(amount)}, 0.0)"
            case e.Fixed(x=0.0, y=1.0 | -1.0 as y):
                return f"k.step({self.v(base)}, 0.0, {'' if y > 0 else '-'}{self.v(amount)})"
            case _:
                return f"k.along({self.v(base)}, {self.v(direction)}, {self.v(amount)})"

    def _fit(self, op: e.FitMove) -> str:
        ends = f"{self.v(op.was)}, {self.v(op.start)}, {self.v(op.end)}"
        way = f"{self.v(op.amount)}, {self.v(op.toward)}"
        places = f"{self.v(op.at)}, {self.vs(op.nothing)}, {self.vs(op.carried)}"
        return f"k.fitted.move({ends}, {way}, {places})"

    def _curve(self, op: e.CurveLine) -> str:
        points, goings = self.vs(op.points), self.vs(op.goings)
        a, b = self.v(op.points[0]), self.v(op.points[-1])
        if op.bow is not None:
            bow = op.bow
            sign = f"k.bow_side({a}, {b}, {self.v(bow.side)}, {bow.side_is_point}, {bow.away})"
            if op.length is not None:
                return f"k.arc_of_length({a}, {b}, {self.v(op.length)}, k.bow_direction({a}, {b}, {sign}))"
            ends = f"{self.v(op.goings[0])}, {self.v(op.goings[-1])}"
            return f"k.bowed({a}, {b}, {self.v(bow.depth)}, {sign}, {self.v(bow.at)}, {ends})"
        if op.length is not None:
            return f"k.curve_of_length({points}, {goings}, {self.v(op.length)})"
        return f"k.curve({points}, {goings}, {self.v(op.fulness)})"
