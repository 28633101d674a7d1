"""Places, directions and lines in the words of the drawing table."""

from __future__ import annotations

import math
from dataclasses import dataclass

from scye.ir import equations as e
from scye.lesson.drawn import Drawn
from scye.lesson.sums import amount_words

_WAYS = {(0, -1): "up", (0, 1): "down", (-1, 0): "left", (1, 0): "right"}


@dataclass(frozen=True, slots=True, eq=False)
class Phrases:
    """Words for the things of one draft (`home`); `measured` gathers the amounts said with a figure."""

    drawn: Drawn
    home: str
    measured: list[e.Ref]

    def name(self, ref: e.Ref) -> str:
        return self.drawn.node(ref).name.removeprefix(self.home)

    def called(self, ref: e.Ref) -> str:
        """A point or line by its name, or as it is found."""
        node = self.drawn.node(ref)
        if node.name:
            return self.name(ref)
        return self.line(ref) if node.kind.name == "LINE" else self.place(ref)

    def figure(self, ref: e.Ref) -> str:
        """An amount as it is measured off; a row of the step's sums tells how it comes about."""
        if ref not in self.measured:
            self.measured.append(ref)
        return self.drawn.figure(ref).text

    def share(self, ref: e.Ref) -> str:
        value = self.drawn.number(ref)
        return "halfway" if value == 0.5 else f"{self.figure(ref)} of the way"

    def amount(self, ref: e.Ref) -> str:
        return amount_words(ref, self.drawn, self.called)

    # --- places -----------------------------------------------------------------------------

    def place(self, ref: e.Ref) -> str:
        op = self.drawn.node(ref).op
        match op:
            case e.MovePoint():
                return self._moves(ref)
            case e.MeetPoint(a=a, b=b, nearest=nearest):
                near = "" if nearest is None else f", the meeting nearest {self.called(nearest)}"
                return f"where {self.called(a)} meets {self.called(b)}{near}"
            case e.PointOnLine(line=line, amount=amount, share=share, start=start):
                far = self.share(amount) if share else self.figure(amount)
                since = "" if start is None else f" from {self.called(start)}"
                return f"{far} along {self.called(line)}{since}"
            case e.PointPartWay(amount=amount, share=True, a=a, b=b):
                return f"{self.share(amount)} from {self.called(a)} to {self.called(b)}"
            case e.PointPartWay(amount=amount, a=a, b=b):
                return f"{self.figure(amount)} from {self.called(a)} toward {self.called(b)}"
            case e.FootPoint(point=point, line=line):
                return f"square from {self.called(point)} to {self.called(line)}"
            case e.MirrorPoint(point=point, line=line):
                return f"{self.called(point)} mirrored in {self.called(line)}"
            case e.TurnPoint(point=point, angle=angle, about=about):
                return f"{self.called(point)} turned {self.figure(angle)} about {self.called(about)}"
            case e.LayPoint(point=point):
                return f"{self.called(point)} {self.laid(op)}"
            case e.EndPoint(line=line, which=which):
                return f"the {which} of {self.called(line)}"
            case e.Alias(a=a):
                return self.called(a)
            case _:
                return "the place where the draft begins"

    def moves(self, ref: e.Ref) -> tuple[e.Ref, list[tuple[str, str]]]:
        """Where a row of moves begins, and each move: the way and how far."""
        steps: list[tuple[str, str]] = []
        while isinstance(op := self.drawn.node(ref).op, e.MovePoint) and (
            not steps or not self.drawn.node(ref).name
        ):
            way, far = self.way(op.direction), self.figure(op.amount)
            if far.startswith("-"):
                way, far = f"{way} (backwards)", far[1:]
            steps.insert(0, (way, far))
            ref = op.base
        return ref, steps

    def _moves(self, ref: e.Ref) -> str:
        base, steps = self.moves(ref)
        return (
            "the place " + ", then ".join(f"{far} {way}" for way, far in steps) + f" from {self.base(base)}"
        )

    def base(self, ref: e.Ref) -> str:
        """Where a measure begins; of a level or plumb it is the line itself that is measured from."""
        op = self.drawn.node(ref).op
        match op:
            case e.EndPoint(line=line) if not self.drawn.node(ref).name:
                straight = isinstance(self.drawn.node(line).op, e.GuideLine)
                return self.called(line if straight else ref)
            case _:
                return self.called(ref)

    # --- directions -------------------------------------------------------------------------

    def way(self, ref: e.Ref) -> str:
        op = self.drawn.node(ref).op
        match op:
            case e.Fixed(x=x, y=y):
                return _WAYS.get((round(x), round(y)), "across")
            case e.DirectionAlong(line=line, back=back):
                return f"{'back ' if back else ''}along {self.called(line)}"
            case e.DirectionSquare(line=line):
                return f"square to {self.called(line)} ({self.leaning(ref)})"
            case e.DirectionTo(b=b):
                return f"toward {self.called(b)}"
            case e.DirectionTurned(base=base, angle=angle, toward=toward):
                return f"{self.way(base)}, turned {self.figure(angle)} {_toward(self.way(toward))}"
            case e.DirectionBetween(a=a, b=b):
                return f"halfway between {self.way(a)} and {self.way(b)}"
            case _:
                return self.leaning(ref)

    def leaning(self, ref: e.Ref) -> str:
        return leaning(*self.drawn.place(ref))

    def laid(self, op: e.Laying) -> str:
        a, b, c, d = (self.called(ref) for ref in (op.a, op.b, op.c, op.d))
        return f"laid so that {a} falls on {c} and {b} toward {d}"

    # --- lines ------------------------------------------------------------------------------

    def line(self, ref: e.Ref) -> str:
        op = self.drawn.node(ref).op
        match op:
            case e.GuideLine(point=point, direction=direction):
                words = self.way(direction)
                if words in ("right", "left"):
                    return f"the level through {self.called(point)}"
                if words in ("up", "down"):
                    return f"the plumb through {self.called(point)}"
                return f"the line from {self.called(point)} {words}"
            case e.CircleLine(radius=radius, centre=centre):
                return f"the arc of {self.figure(radius)} about {self.called(centre)}"
            case e.PolyLine(points=points):
                return "the straight from " + " to ".join(self.called(p) for p in points)
            case e.JoinLines(lines=lines):
                return " then ".join(self.called(x) for x in lines)
            case e.PartLine(line=line, start=start, end=end):
                return f"{self.called(line)} from {self.called(start)} to {self.called(end)}"
            case e.MirrorLine(line=line, axis=axis):
                return f"{self.called(line)} mirrored in {self.called(axis)}"
            case e.TurnLine(line=line, angle=angle, about=about):
                return f"{self.called(line)} turned {self.figure(angle)} about {self.called(about)}"
            case e.MoveLine(line=line, a=a, b=b):
                return f"{self.called(line)} moved from {self.called(a)} to {self.called(b)}"
            case e.ReverseLine(line=line):
                return f"{self.called(line)} taken from its other end"
            case e.ExtendLine(line=line):
                return f"{self.called(line)} run on straight"
            case e.LayLine(line=line):
                return f"{self.called(line)} {self.laid(op)}"
            case e.ParallelLine(line=line, amount=amount, side=side, side_is_point=is_point):
                toward = self.called(side) if is_point else self.way(side)
                return f"the line {self.figure(amount)} beside {self.called(line)}, toward {toward}"
            case e.Alias(a=a):
                return self.called(a)
            case _:
                return "the line"


def move_words(way: str, far: str) -> str:
    """`down 7 1/4 in`; `4 7/8 in along shoulder`."""
    return f"{way} {far}" if way in _WAYS.values() else f"{far} {way}"


def _toward(way: str) -> str:
    return {"up": "upward", "down": "downward", "left": "to the left", "right": "to the right"}.get(way, way)


def leaning(x: float, y: float) -> str:
    """A direction by the way of the paper that it leans to most."""
    if not math.isfinite(x + y):
        return "across"
    if abs(x) > abs(y):
        return "to the right" if x > 0 else "to the left"
    return "down" if y > 0 else "up"
