"""Amounts and conditions: from syntax to operations."""

from __future__ import annotations

from typing import assert_never

from scye.diagnostics.expansion import NotKnownYet, OutOfRow
from scye.expand.frames import Stop, Unknowable
from scye.expand.names import Names
from scye.expand.store import Scene
from scye.ir import equations as e
from scye.ir import syntax as s
from scye.units.quantity import Kind

PLAIN = (Kind.NUMBER, Kind.PERCENT)


class Amounts(Names):
    """Builds amount nodes. `Drawing` builds on it for places, directions and lines."""

    def amount(self, expr: s.Expr, scene: Scene) -> e.Ref:
        match expr:
            case s.Name():
                return self.ref(expr, scene)
            case _:
                kind, op = self.operation(expr, scene)
                return self.part(kind, op, expr.span)

    def operation(self, expr: s.Expr, scene: Scene) -> tuple[Kind, e.Operation]:
        """The root operation of an amount and its kind."""
        match expr:
            case s.Amount(quantity=quantity):
                return quantity.kind, e.Constant(quantity.inside, quantity)
            case s.Name():
                ref = self.ref(expr, scene)
                return self.store.kinds[ref], e.Alias(ref)
            case s.Negative(operand=operand):
                ref = self.amount(operand, scene)
                return self.store.kinds[ref], e.Negated(ref)
            case s.Arithmetic(op=op, left=left, right=right):
                a, b = self.amount(left, scene), self.amount(right, scene)
                return combined(op, self.store.kinds[a], self.store.kinds[b]), e.Combine(op, a, b)
            case s.Rounded(value=value, step=step, mode=mode):
                a, b = self.amount(value, scene), self.amount(step, scene)
                return self.store.kinds[a], e.RoundTo(a, b, mode)
            case s.LengthOf(line=line, start=start, end=end):
                at = self.line(line, scene)
                return Kind.LENGTH, e.LineLength(at, self._place(start, scene), self._place(end, scene))
            case s.Distance(start=start, end=end):
                return Kind.LENGTH, e.DistanceOf(self.place(start, scene), self.place(end, scene))
            case s.Rise(axis=axis, start=start, end=end):
                return Kind.LENGTH, e.RiseOf(axis, self.place(start, scene), self.place(end, scene))
            case s.AngleBetween(first=first, second=second):
                return Kind.ANGLE, e.AngleOf(
                    self.bare_direction(first, scene), self.bare_direction(second, scene)
                )
            case s.Extremum(which=which, items=items):
                refs = self.items(items, scene)
                return self.store.kinds[refs[0]], e.Extreme(which, refs)
            case s.SquareRoot(operand=operand):
                ref = self.amount(operand, scene)
                return Kind.LENGTH if self.store.kinds[ref] is Kind.AREA else Kind.NUMBER, e.Root(ref)
            case s.Trig(which=which, operand=operand):
                kind = Kind.ANGLE if which.startswith("arc") else Kind.NUMBER
                return kind, e.TrigOf(which, self.amount(operand, scene))
            case s.SumOf(items=items, first=first):
                return self._total(expr, items, first, scene)
            case s.CountOf(items=items):
                return Kind.NUMBER, e.Constant(float(len(self.items((items,), scene))))
            case s.Conditional():
                return self._conditional(expr, scene)
            case s.IntakesAt(line=line):
                return self.intakes_at(expr, line, scene)
            case s.ListOf() | s.Share() | s.GirthAt() | s.WidthAt() | s.TextValue():
                raise AssertionError(f"the checker lets no {type(expr).__name__} stand here")
            case _:
                assert_never(expr)

    def _total(
        self, expr: s.SumOf, items: tuple[s.Expr, ...], first: s.Expr | None, scene: Scene
    ) -> tuple[Kind, e.Operation]:
        refs = self.items(items, scene)
        kind = self.store.kinds[refs[0]]
        if first is not None:
            try:
                count = self.collector.count(first, scene.frame, scene.env)
            except Unknowable as reason:
                self.found.append(self.collector.not_known(reason))
                raise Stop from reason
            if not 0 <= count <= len(refs):
                name = items[0].span.text
                has = f"{len(refs)} in all"
                self.found.append(OutOfRow(span=expr.span, name=name, index=str(count), has=has))
                raise Stop
            refs = refs[:count]
        return kind, e.Total(refs) if refs else e.Constant(0.0)

    def _conditional(self, expr: s.Conditional, scene: Scene) -> tuple[Kind, e.Operation]:
        try:
            holds = self.collector.truth(expr.condition, scene.frame, scene.env)
        except Unknowable:
            condition = self.condition(expr.condition, scene)
            a, b = self.amount(expr.value, scene), self.amount(expr.otherwise, scene)
            return self.store.kinds[a], e.Select(condition, a, b)
        return self.operation(expr.value if holds else expr.otherwise, scene)

    def condition(self, condition: s.Condition, scene: Scene) -> e.Ref:
        """A node that is true or false for each body."""
        try:
            holds = self.collector.truth(condition, scene.frame, scene.env)
            return self.part(Kind.YESNO, e.Constant(1.0 if holds else 0.0), condition.span)
        except Unknowable:
            return self.part(Kind.YESNO, self._condition(condition, scene), condition.span)

    def _condition(self, condition: s.Condition, scene: Scene) -> e.Operation:
        match condition:
            case s.Compare(op=op, left=left, right=right):
                return e.CompareOf(op, self.amount(left, scene), self.amount(right, scene))
            case s.Not(operand=operand):
                return e.Logic("not", (self.condition(operand, scene),))
            case s.Both(left=first, right=second):
                return e.Logic("and", (self.condition(first, scene), self.condition(second, scene)))
            case s.Either(left=first, right=second):
                return e.Logic("or", (self.condition(first, scene), self.condition(second, scene)))
            case s.Is() | s.Truth():
                self.found.append(NotKnownYet(span=condition.span, what=condition.span.text))
                raise Stop
            case _:
                assert_never(condition)

    def _place(self, place: s.Place | None, scene: Scene) -> e.Ref | None:
        return None if place is None else self.place(place, scene)

    # --- what Drawing supplies --------------------------------------------------------------

    def place(self, place: s.Place, scene: Scene) -> e.Ref:
        raise NotImplementedError

    def line(self, line: s.LineExpr, scene: Scene) -> e.Ref:
        raise NotImplementedError

    def bare_direction(self, direction: s.Direction, scene: Scene) -> e.Ref:
        raise NotImplementedError

    def intakes_at(self, expr: s.IntakesAt, line: s.LineExpr, scene: Scene) -> tuple[Kind, e.Operation]:
        raise NotImplementedError


def combined(op: str, a: Kind, b: Kind) -> Kind:
    """The kind of a sum, product or quotient that the checker has passed."""
    if op in "+-":
        return a if a not in PLAIN or b in PLAIN else b
    if op == "*":
        if a in PLAIN and b in PLAIN:
            return Kind.NUMBER
        return (b if a in PLAIN else a) if a in PLAIN or b in PLAIN else Kind.AREA
    if b in PLAIN:
        return Kind.NUMBER if a in PLAIN else a
    return Kind.NUMBER if a is b else Kind.LENGTH
