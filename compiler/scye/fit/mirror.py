"""Pieces turned over: mirrored in a straight on the paper, and run the same way round again."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from scye.ir.pattern import (
    AllowanceRun,
    DartMark,
    DrillHole,
    Edge,
    EdgeLabel,
    FindingMark,
    Notch,
    Piece,
    Point,
    Stroke,
)


@dataclass(frozen=True, slots=True)
class Axis:
    """A straight through a point in a direction (a unit vector), mm."""

    point: Point
    way: Point

    def mirror(self, p: Point) -> Point:
        along, off = self._parts(p)
        return (
            self.point[0] + along * self.way[0] + off * self.way[1],
            self.point[1] + along * self.way[1] - off * self.way[0],
        )

    def off(self, p: Point) -> float:
        """How far a point lies from it, mm."""
        return abs(self._parts(p)[1])

    def along(self, p: Point) -> float:
        return self._parts(p)[0]

    def turned(self, way: Point) -> Point:
        """A direction mirrored."""
        dot = way[0] * self.way[0] + way[1] * self.way[1]
        return 2.0 * dot * self.way[0] - way[0], 2.0 * dot * self.way[1] - way[1]

    def _parts(self, p: Point) -> tuple[float, float]:
        x, y = p[0] - self.point[0], p[1] - self.point[1]
        return x * self.way[0] + y * self.way[1], y * self.way[0] - x * self.way[1]


# As words are turned when they are first laid along an edge, radians.
STEEP, ROUNDED = math.radians(80.0), 1e-9
UPRIGHT = Axis((0.0, 0.0), (0.0, 1.0))


def mirrored(piece: Piece, axis: Axis) -> Piece:
    """A piece as it is cut for the other side. Its edges still run clockwise, the first one first."""
    first, *others = (_edge(edge, axis) for edge in piece.edges)
    lengths = {edge.name: edge.length for edge in piece.edges}
    return replace(
        piece,
        net=turned(stroke(piece.net, axis)),
        cutting=turned(stroke(piece.cutting, axis)),
        edges=(first, *reversed(others)),
        notches=tuple(_notch(notch, axis, lengths[notch.edge]) for notch in piece.notches),
        darts=tuple(_dart(dart, axis) for dart in piece.darts),
        drills=tuple(DrillHole(axis.mirror(drill.at), drill.text) for drill in piece.drills),
        grain=(axis.mirror(piece.grain[0]), axis.mirror(piece.grain[1])),
        label_at=axis.mirror(piece.label_at),
        edge_labels=tuple(_label(label, axis) for label in piece.edge_labels),
        levels=tuple((name, axis.mirror(b), axis.mirror(a)) for name, a, b in piece.levels),
        shown=tuple(replace(line, stroke=stroke(line.stroke, axis)) for line in piece.shown),
        marked=tuple(_marked(mark, axis) for mark in piece.marked),
    )


def stroke(line: Stroke, axis: Axis) -> Stroke:
    segments = tuple(tuple(axis.mirror(p) for p in segment) for segment in line.segments)
    return Stroke(axis.mirror(line.start), segments, line.closed)


def turned(line: Stroke) -> Stroke:
    """A stroke run from its other end."""
    points = [line.start, *(p for segment in line.segments for p in segment)]
    points.reverse()
    begin, places = points[0], iter(points[1:])
    segments = tuple(tuple(next(places) for _ in segment) for segment in reversed(line.segments))
    return Stroke(begin, segments, line.closed)


def _edge(edge: Edge, axis: Axis) -> Edge:
    runs = tuple(
        AllowanceRun(run.width, edge.length - run.end, edge.length - run.start)
        for run in reversed(edge.allowances)
    )
    return replace(edge, allowances=runs, path=turned(stroke(edge.path, axis)))


def _marked(mark: FindingMark, axis: Axis) -> FindingMark:
    return replace(
        mark,
        places=tuple(map(axis.mirror, mark.places)),
        lines=tuple(stroke(line, axis) for line in mark.lines),
        along=tuple(map(axis.mirror, mark.along)),
    )


def _notch(notch: Notch, axis: Axis, length: float) -> Notch:
    return replace(
        notch,
        at=axis.mirror(notch.at),
        cut=axis.mirror(notch.cut),
        inward=axis.turned(notch.inward),
        along=length - notch.along,
    )


def _dart(dart: DartMark, axis: Axis) -> DartMark:
    return replace(
        dart,
        pivot=axis.mirror(dart.pivot),
        point=axis.mirror(dart.point),
        legs=tuple(stroke(leg, axis) for leg in dart.legs),
        fold=stroke(dart.fold, axis),
    )


def _label(label: EdgeLabel, axis: Axis) -> EdgeLabel:
    """Words stay readable: upright ones upright, those along an edge along the mirrored edge."""
    x, y = axis.turned((math.cos(label.angle), math.sin(label.angle)))
    angle = math.atan2(y, x) if label.role == "allowance" else label.angle
    if angle >= STEEP - ROUNDED:
        angle -= math.pi
    if angle < STEEP - math.pi - ROUNDED:
        angle += math.pi
    return replace(label, at=axis.mirror(label.at), angle=angle)
