"""Lines that have no ends, used where ends are wanted.

Levels, plumbs and other guides run on for ever, and a sweep goes round: none has a beginning, a length to its
end, or a place so far along it from there.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from scye.diagnostics.expansion import LineWithoutEnds
from scye.ir import equations as e


def lines_without_ends(nodes: Sequence[e.Node]) -> Iterator[LineWithoutEnds]:
    """One for each place that wants a drawn line and has a guide or a sweep, in the order of the nodes."""
    for node in nodes:
        for line in _wanted(node.op, nodes):
            written = nodes[line].span.text
            yield LineWithoutEnds(span=node.span, line=nodes[line].name or written, sweep=_sweep(line, nodes))


def _wanted(op: e.Operation, nodes: Sequence[e.Node]) -> Iterator[e.Ref]:
    """The lines of an operation that it can't be done with."""
    match op:
        case e.JoinLines(lines=lines):
            yield from (line for line in lines if _guide(line, nodes) or _sweep(line, nodes))
        case e.LineLength(line=line, start=start, end=end) if (start is None or end is None):
            one = (start is None) != (end is None)
            if _guide(line, nodes) or (one and _sweep(line, nodes)):
                yield line
        case e.PointOnLine(line=line) | e.FootPoint(line=line) if _sweep(line, nodes):
            yield line
        case e.DirectionAlong(line=line) | e.DirectionSquare(line=line) if _sweep(line, nodes):
            yield line
        case _:
            pass


def _guide(line: e.Ref, nodes: Sequence[e.Node]) -> bool:
    return isinstance(_source(line, nodes), e.GuideLine)


def _sweep(line: e.Ref, nodes: Sequence[e.Node]) -> bool:
    return isinstance(_source(line, nodes), e.CircleLine)


def _source(line: e.Ref, nodes: Sequence[e.Node]) -> e.Operation:
    """What a line was made as, before it was copied, mirrored, turned or carried."""
    op = nodes[line].op
    while True:
        match op:
            case e.Alias(a=line) | e.MirrorLine(line=line) | e.TurnLine(line=line) | e.MoveLine(line=line):
                op = nodes[line].op
            case e.ReverseLine(line=line) | e.LayLine(line=line) | e.ParallelLine(line=line):
                op = nodes[line].op
            case _:
                return op
