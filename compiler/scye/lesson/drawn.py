"""What was drafted for one body, as the sheet reads it: figures, places and lines by node."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np

from scye.geometry import path
from scye.geometry.path import Line
from scye.ir import equations as e
from scye.ir.lesson import Figure
from scye.ir.pattern import Point, Stroke
from scye.ir.solution import Solution
from scye.lesson.tape import Tape
from scye.units.quantity import Kind
from scye.units.tape import show_length, spread


@dataclass(frozen=True, slots=True, eq=False)
class Drawn:
    """One body of a solution. `together` holds the figures of lists, which are rounded together, and `taped`
    the names of the measures that were taken of the body."""

    equations: e.Equations
    solution: Solution
    body: int
    tape: Tape
    together: dict[e.Ref, Figure] = field(default_factory=dict)
    taped: frozenset[str] = frozenset()

    def node(self, ref: e.Ref) -> e.Node:
        return self.equations.nodes[ref]

    def number(self, ref: e.Ref) -> float:
        values = self.solution.values[ref]
        return float(values[self.body if values.shape[-1] > 1 else 0])

    def figure(self, ref: e.Ref) -> Figure:
        known = self.together.get(ref)
        return known if known is not None else self.tape.figure(self.number(ref), self.node(ref).kind)

    def place(self, ref: e.Ref) -> Point:
        values = self.solution.values[ref]
        at = self.body if values.shape[-1] > 1 else 0
        return float(values[0, at]), float(values[1, at])

    def line(self, ref: e.Ref) -> Line:
        line: Line = path.take(self.solution.values[ref], self.body)
        return line

    def whole(self, ref: e.Ref) -> bool:
        """Whether a thing could be drawn at all."""
        match self.node(ref).kind:
            case Kind.POINT | Kind.DIRECTION:
                return all(map(math.isfinite, self.place(ref)))
            case Kind.LINE:
                return self._whole_line(self.line(ref))
            case _:
                return math.isfinite(self.number(ref))

    @staticmethod
    def _whole_line(line: Line) -> bool:
        match line:
            case path.Path():
                return bool(np.isfinite(line.ctrl).all())
            case path.Guide():
                return bool(np.isfinite(line.point + line.direction).all())
            case path.Circle():
                return bool(np.isfinite(line.centre + line.radius).all())


def rounded_together(
    equations: e.Equations, solution: Solution, body: int, tape: Tape
) -> dict[e.Ref, Figure]:
    """The printed figures of every list of lengths, so that those of a list come to its rounded total."""
    found: dict[e.Ref, Figure] = {}
    plain = Drawn(equations, solution, body, tape)
    per_unit = {"in": 25.4, "cm": 10.0, "mm": 1.0}[tape.unit]
    for _, refs in equations.lists:
        values = [plain.number(ref) for ref in refs if equations.nodes[ref].kind is Kind.LENGTH]
        if len(values) == len(refs) > 0 and all(map(math.isfinite, values)):
            for ref, value, printed in zip(refs, values, spread(values, tape.unit, tape.step), strict=True):
                mm = float(printed) * per_unit
                found.setdefault(ref, Figure(show_length(mm, tape.unit, tape.step), value, mm))
    return found


def stroke_of(line: path.Path) -> Stroke:
    """A line of one body as a stroke; its straights stay straight."""
    points = [[(float(p[0, 0]), float(p[1, 0])) for p in cubic] for cubic in line.ctrl]
    segments = tuple(
        (p[3],) if straight else (p[1], p[2], p[3]) for p, straight in zip(points, line.straight, strict=True)
    )
    return Stroke(points[0][0], segments, False)
