"""Places, directions and lines: from syntax to operations."""

from __future__ import annotations

from typing import assert_never

from scye.diagnostics.expansion import SideUnclear
from scye.expand.amounts import Amounts
from scye.expand.store import Scene
from scye.ir import equations as e
from scye.ir import syntax as s
from scye.source import Span
from scye.units.quantity import Kind

# Unit vectors on paper: x to the right, y down.
WAYS = {"up": (0.0, -1.0), "down": (0.0, 1.0), "left": (-1.0, 0.0), "right": (1.0, 0.0)}


class Drawing(Amounts):
    """Builds the nodes of places, directions and lines."""

    # --- places -----------------------------------------------------------------------------

    def place(self, place: s.Place, scene: Scene) -> e.Ref:
        match place:
            case s.AtPoint(name=name):
                return self.ref(name, scene)
            case _:
                return self.part(Kind.POINT, self.place_operation(place, scene), place.span)

    def place_operation(self, place: s.Place, scene: Scene) -> e.Operation:
        match place:
            case s.AtPoint(name=name):
                return e.Alias(self.ref(name, scene))
            case s.Moved(base=base, moves=moves):
                return self.moved(self.place(base, scene), moves, scene)
            case s.Meeting(first=first, second=second, nearest=nearest):
                near = None if nearest is None else self.place(nearest, scene)
                return e.MeetPoint(self.line(first, scene), self.line(second, scene), near)
            case s.OnLine(amount=amount, line=line, start=start):
                along = self.amount(amount, scene)
                share = self.store.kinds[along] is not Kind.LENGTH
                return e.PointOnLine(self.line(line, scene), along, share, self._place(start, scene))
            case s.PartWay(amount=amount, start=start, end=end):
                along = self.amount(amount, scene)
                share = self.store.kinds[along] is not Kind.LENGTH
                return e.PointPartWay(along, share, self.place(start, scene), self.place(end, scene))
            case s.Foot(place=base, line=line):
                return e.FootPoint(self.place(base, scene), self.line(line, scene))
            case s.MirroredPlace(place=base, line=line):
                return e.MirrorPoint(self.place(base, scene), self.line(line, scene))
            case s.TurnedPlace(place=base, angle=angle, about=about):
                turn = self.amount(angle, scene)
                return e.TurnPoint(self.place(base, scene), turn, self.place(about, scene))
            case s.EndOf(which=which, line=line):
                return e.EndPoint(self.line(line, scene), which)
            case s.LaidPlace(place=base, laying=laying):
                return e.LayPoint(*self._laying(laying, scene), point=self.place(base, scene))
            case _:
                assert_never(place)

    def moved(self, base: e.Ref, moves: tuple[s.Move, ...], scene: Scene) -> e.Operation:
        """The last move's operation, the earlier ones as nodes before it."""
        op: e.Operation = e.Alias(base)
        for i, move in enumerate(moves):
            direction = self.direction(move.direction, base, scene)
            op = e.MovePoint(base, direction, self.amount(move.amount, scene))
            if i + 1 < len(moves):
                base = self.part(Kind.POINT, op, move.amount.span)
        return op

    # --- directions -------------------------------------------------------------------------

    def bare_direction(self, direction: s.Direction, scene: Scene) -> e.Ref:
        """A direction that stands by itself: lines are taken where they begin."""
        return self.direction(direction, None, scene)

    def direction(
        self, direction: s.Direction, at: e.Ref | None, scene: Scene, lean: e.Ref | None = None
    ) -> e.Ref:
        """A unit vector at a place; `lean` is the direction that settles the side of `square to`."""
        op = self._direction(direction, at, scene, lean)
        return self.part(Kind.DIRECTION, op, direction.span)

    def _direction(
        self, direction: s.Direction, at: e.Ref | None, scene: Scene, lean: e.Ref | None
    ) -> e.Operation:
        match direction:
            case s.Cardinal(way=way):
                return e.Fixed(*WAYS[way])
            case s.AlongLine(line=line, back=back):
                return e.DirectionAlong(self.line(line, scene), at, back)
            case s.SquareTo(line=line, toward=toward):
                return self._square(line, toward, at, scene, lean)
            case s.Toward(place=place):
                if at is None:
                    self.found.append(SideUnclear(span=direction.span, line=direction.span.text))
                    return e.Fixed(1.0, 0.0)
                return e.DirectionTo(at, self.place(place, scene))
            case s.Turned(base=base, angle=angle, toward=toward_way):
                a = self.direction(base, at, scene, lean)
                turn = self.amount(angle, scene)
                return e.DirectionTurned(a, turn, self.direction(toward_way, at, scene, lean))
            case s.Bisecting(first=first, second=second):
                a = self.direction(first, at, scene, lean)
                return e.DirectionBetween(a, self.direction(second, at, scene, lean))
            case _:
                assert_never(direction)

    def _square(
        self, line: s.LineExpr, toward: s.Place | None, at: e.Ref | None, scene: Scene, lean: e.Ref | None
    ) -> e.Operation:
        ref = self.line(line, scene)
        if at is None:
            at = self.part(Kind.POINT, e.EndPoint(ref, "start"), line.span)
        if toward is not None:
            lean = self.part(Kind.DIRECTION, e.DirectionTo(at, self.place(toward, scene)), toward.span)
        if lean is None:
            self.found.append(SideUnclear(span=line.span, line=line.span.text))
            return e.Fixed(1.0, 0.0)
        return e.DirectionSquare(ref, at, lean)

    # --- lines ------------------------------------------------------------------------------

    def line(self, line: s.LineExpr, scene: Scene) -> e.Ref:
        match line:
            case s.AtLine(name=name, extended=False):
                return self.ref(name, scene)
            case _:
                return self.part(Kind.LINE, self.line_operation(line, scene), line.span)

    def line_operation(self, line: s.LineExpr, scene: Scene) -> e.Operation:
        match line:
            case s.AtLine(name=name, extended=extended):
                ref = self.ref(name, scene)
                return e.ExtendLine(ref) if extended else e.Alias(ref)
            case s.GuideThrough(way=way, place=place):
                return e.GuideLine(self.place(place, scene), self.way(way, line.span))
            case s.LineThrough(first=first, second=second):
                a, b = self.place(first, scene), self.place(second, scene)
                return e.GuideLine(a, self.part(Kind.DIRECTION, e.DirectionTo(a, b), line.span))
            case s.RayFrom(place=place, direction=direction):
                at = self.place(place, scene)
                return e.GuideLine(at, self.direction(direction, at, scene, self._any_way(line.span)))
            case s.Sweep(radius=radius, centre=centre):
                return e.CircleLine(self.amount(radius, scene), self.place(centre, scene))
            case s.Joined(lines=lines):
                return e.JoinLines(tuple(self.line(x, scene) for x in lines))
            case s.Part(line=base, start=start, end=end):
                return e.PartLine(self.line(base, scene), self.place(start, scene), self.place(end, scene))
            case s.MirroredLine(line=base, axis=axis):
                return e.MirrorLine(self.line(base, scene), self.line(axis, scene))
            case s.TurnedLine(line=base, angle=angle, about=about):
                ref, turn = self.line(base, scene), self.amount(angle, scene)
                return e.TurnLine(ref, turn, self.place(about, scene))
            case s.MovedLine(line=base, start=start, end=end):
                return e.MoveLine(self.line(base, scene), self.place(start, scene), self.place(end, scene))
            case s.Reversed(line=base):
                return e.ReverseLine(self.line(base, scene))
            case s.LaidLine(line=base, laying=laying):
                return e.LayLine(*self._laying(laying, scene), line=self.line(base, scene))
            case s.Parallel():
                return self._parallel(line, scene)
            case _:
                assert_never(line)

    def _laying(
        self, laying: tuple[s.Place, s.Place, s.Place, s.Place], scene: Scene
    ) -> tuple[e.Ref, e.Ref, e.Ref, e.Ref]:
        one, toward, other, other_toward = (self.place(place, scene) for place in laying)
        return one, toward, other, other_toward

    def _parallel(self, parallel: s.Parallel, scene: Scene) -> e.Operation:
        line, amount = self.line(parallel.line, scene), self.amount(parallel.amount, scene)
        side = parallel.side
        if isinstance(side, s.Direction):
            op = e.ParallelLine(line, amount, self.bare_direction(side, scene), False)
        else:
            op = e.ParallelLine(line, amount, self.place(side, scene), True)
        if not parallel.extended:
            return op
        return e.ExtendLine(self.part(Kind.LINE, op, parallel.span))

    def way(self, way: str, span: Span) -> e.Ref:
        """The direction of a level (to the right) or a plumb (down)."""
        return self.part(Kind.DIRECTION, e.Fixed(*WAYS["right" if way == "level" else "down"]), span)

    def _any_way(self, span: Span) -> e.Ref:
        """An endless line runs both ways, so either side of `square to` draws the same one."""
        return self.part(Kind.DIRECTION, e.Fixed(0.6, 0.8), span)

    # --- curves -----------------------------------------------------------------------------

    def curve(self, curve: s.Curve, scene: Scene) -> e.CurveLine:
        points = [self.place(curve.start, scene)]
        ways: list[s.Direction | None] = [curve.leaving]
        for through in curve.through:
            for point in self._through(through, scene):
                points.append(point)
                ways.append(through.going)
        points.append(self.place(curve.end, scene))
        ways.append(curve.arriving)
        goings = tuple(self._going(way, points, i, scene) for i, way in enumerate(ways))
        bow = None if curve.bow is None else self._bow(curve.bow, points, scene)
        length = None if curve.length is None else self.amount(curve.length, scene)
        fulness = None if curve.fulness is None else self.amount(curve.fulness, scene)
        return e.CurveLine(tuple(points), goings, bow, length, fulness)

    def _through(self, through: s.Through, scene: Scene) -> tuple[e.Ref, ...]:
        if through.each is not None:
            return self.items_or_none(through.each, scene) or ()
        return () if through.place is None else (self.place(through.place, scene),)

    def _going(self, way: s.Direction | None, points: list[e.Ref], i: int, scene: Scene) -> e.Ref | None:
        """The stated direction of travel at a point; `square to` leans the way the curve runs there."""
        if way is None:
            return None
        before, after = points[max(i - 1, 0)], points[min(i + 1, len(points) - 1)]
        lean = self.part(Kind.DIRECTION, e.DirectionTo(before, after), way.span)
        return self.direction(way, points[i], scene, lean)

    def _bow(self, bow: s.Bow, points: list[e.Ref], scene: Scene) -> e.BowSpec:
        depth = self.amount(bow.depth, scene)
        at = None if bow.at is None else self.amount(bow.at, scene)
        if isinstance(bow.side, s.Direction):
            return e.BowSpec(depth, self.direction(bow.side, points[0], scene), False, bow.away, at)
        return e.BowSpec(depth, self.place(bow.side, scene), True, bow.away, at)
