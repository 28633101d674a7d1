"""Places, directions and lines: each must be made of what it can be made of."""

from __future__ import annotations

from typing import assert_never

from scye.check.lookup import Lookup, Typed
from scye.diagnostics.kinds import WrongKind
from scye.diagnostics.model import Diagnostic
from scye.ir import syntax as s
from scye.ir.program import Program, Scope
from scye.source import Span
from scye.units.quantity import Kind

LINE_HINT = "a line is drawn by `line`, `curve`, `level` or `plumb`"


class Shapes:
    """Checks places, directions and lines. `Kinds` builds on it for amounts, which stand in all of them."""

    def __init__(self, program: Program, found: list[Diagnostic], lookup: Lookup) -> None:
        self.program = program
        self.found = found
        self.lookup = lookup

    def wrong(self, span: Span, typed: Typed, wanted: str, hint: str = "") -> None:
        kind = (
            f"list of {typed.kind.value}s"
            if typed.many and typed.kind
            else typed.kind.value
            if typed.kind
            else ""
        )
        if not hint and typed.kind is Kind.CHOICE:
            hint = f"compare it with one of its words: `if {span.text} is ...`"
        if not hint and typed.kind is Kind.YESNO:
            hint = f"ask for it by itself: `if {span.text}` or `if not {span.text}`"
        self.found.append(
            WrongKind(span=span, what=f"`{span.text}`", found_kind=kind, wanted=wanted, hint=hint)
        )

    # --- what Kinds supplies ----------------------------------------------------------------

    def want(self, expr: s.Expr, scope: Scope, kinds: tuple[Kind, ...], wanted: str) -> Typed:
        raise NotImplementedError

    def length(self, expr: s.Expr, scope: Scope) -> None:
        raise NotImplementedError

    # --- places ----------------------------------------------------------------------------

    def places(self, scope: Scope, *places: s.Place | None) -> None:
        for place in places:
            if place is not None:
                self.place(place, scope)

    def place(self, place: s.Place, scope: Scope) -> None:
        match place:
            case s.AtPoint(name=name):
                typed = self.lookup.typed(name, scope)
                if typed.many or typed.kind not in (None, Kind.POINT):
                    self.wrong(name.span, typed, "point", self._point_hint(typed))
            case s.Moved(base=base, moves=moves):
                self.place(base, scope)
                self.moves(moves, scope)
            case s.Meeting(first=first, second=second, nearest=near):
                self.line(first, scope)
                self.line(second, scope)
                self.places(scope, near)
            case s.OnLine(amount=amount, line=line, start=start):
                self.want(amount, scope, (Kind.LENGTH, Kind.NUMBER, Kind.PERCENT), "length or share")
                self.line(line, scope)
                self.places(scope, start)
            case s.PartWay(amount=amount, start=start, end=end):
                self.want(amount, scope, (Kind.LENGTH, Kind.NUMBER, Kind.PERCENT), "length or share")
                self.places(scope, start, end)
            case s.Foot(place=base, line=line) | s.MirroredPlace(place=base, line=line):
                self.place(base, scope)
                self.line(line, scope)
            case s.TurnedPlace(place=base, angle=angle, about=about):
                self.places(scope, base, about)
                self.want(angle, scope, (Kind.ANGLE,), "angle")
            case s.EndOf(line=line):
                self.line(line, scope)
            case s.LaidPlace(place=base, laying=laying):
                self.places(scope, base, *laying)
            case _:
                assert_never(place)

    def _point_hint(self, typed: Typed) -> str:
        if typed.many:
            return "say which one, as `[1]`"
        if typed.kind is Kind.LINE:
            return "name a point on it, or `start of` it, or `where` it `meets` another line"
        return ""

    def moves(self, moves: tuple[s.Move, ...], scope: Scope) -> None:
        for move in moves:
            self.direction(move.direction, scope)
            self.length(move.amount, scope)

    def direction(self, direction: s.Direction, scope: Scope) -> None:
        match direction:
            case s.Cardinal():
                pass
            case s.AlongLine(line=line):
                self.line(line, scope)
            case s.SquareTo(line=line, toward=toward):
                self.line(line, scope)
                self.places(scope, toward)
            case s.Toward(place=place):
                self.place(place, scope)
            case s.Turned(base=base, angle=angle, toward=toward_way):
                self.direction(base, scope)
                self.want(angle, scope, (Kind.ANGLE,), "angle")
                self.direction(toward_way, scope)
            case s.Bisecting(first=first, second=second):
                self.direction(first, scope)
                self.direction(second, scope)
            case _:
                assert_never(direction)

    # --- lines -----------------------------------------------------------------------------

    def line(self, line: s.LineExpr, scope: Scope) -> None:
        match line:
            case s.AtLine(name=name):
                self.line_name(name, scope)
            case s.GuideThrough(place=place):
                self.place(place, scope)
            case s.LineThrough(first=first, second=second):
                self.places(scope, first, second)
            case s.RayFrom(place=place, direction=direction):
                self.place(place, scope)
                self.direction(direction, scope)
            case s.Sweep(radius=radius, centre=centre):
                self.length(radius, scope)
                self.place(centre, scope)
            case s.Joined(lines=lines):
                for part in lines:
                    self.line(part, scope)
            case s.Part(line=base, start=start, end=end) | s.MovedLine(line=base, start=start, end=end):
                self.line(base, scope)
                self.places(scope, start, end)
            case s.MirroredLine(line=base, axis=axis):
                self.line(base, scope)
                self.line(axis, scope)
            case s.TurnedLine(line=base, angle=angle, about=about):
                self.line(base, scope)
                self.want(angle, scope, (Kind.ANGLE,), "angle")
                self.place(about, scope)
            case s.Reversed(line=base):
                self.line(base, scope)
            case s.LaidLine(line=base, laying=laying):
                self.line(base, scope)
                self.places(scope, *laying)
            case s.Parallel(line=base, amount=amount, side=side):
                self.line(base, scope)
                self.length(amount, scope)
                self.side(side, scope)
            case _:
                assert_never(line)

    def side(self, side: s.Place | s.Direction, scope: Scope) -> None:
        """What says to which side of a line something lies: a point or a direction."""
        if isinstance(side, s.Direction):
            self.direction(side, scope)
        else:
            self.place(side, scope)

    def line_name(self, name: s.Name, scope: Scope, *, or_point: bool = False) -> None:
        """A name that must be a line (or, in a list of boundaries, a point)."""
        typed = self.lookup.typed(name, scope)
        if typed.kind is Kind.PANEL_LINE:
            hint = f"say which edge: `{name.span.text}.left` or `{name.span.text}.right`"
            self.wrong(name.span, typed, "line", hint)
        elif typed.many or typed.kind not in (
            (None, Kind.LINE, Kind.POINT) if or_point else (None, Kind.LINE)
        ):
            self.wrong(name.span, typed, "line", "say which one, as `[1]`" if typed.many else LINE_HINT)

    def piece(self, name: s.Name, scope: Scope) -> s.Piece | None:
        """The piece that a name stands for."""
        typed = self.lookup.typed(name, scope)
        if typed.kind is Kind.PIECE:
            for symbol in self.lookup.reachable(name.parts[0].text, scope):
                if isinstance(symbol.statement, s.Piece):
                    return symbol.statement
        elif typed.kind is not None:
            self.wrong(name.span, typed, "piece")
        return None
