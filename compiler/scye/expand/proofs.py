"""The plans of proofs, limits, reports and cautions."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from scye.diagnostics.expansion import EdgeNotSeamed
from scye.expand.across import see_that_straight
from scye.expand.frames import Stop
from scye.expand.pieces import Pieces
from scye.expand.store import Scene
from scye.expand.wording import filled, words
from scye.ir import equations as e
from scye.ir import plan as p
from scye.ir import syntax as s


class Proofs:
    """Makes the plan of each statement that judges the draft. The pieces must have been made before."""

    def __init__(self, pieces: Pieces) -> None:
        self.pieces = pieces
        self.things = pieces.things
        self.found = pieces.found

    def prove(self, prove: s.Prove, scene: Scene) -> p.ProvePlan:
        within = None if prove.within is None else self.things.amount(prove.within, scene)
        return p.ProvePlan(
            filled(prove.title.value, scene.env),
            tuple(self._terms(prove.left, 1.0, scene)),
            prove.relation,
            tuple(self._terms(prove.right, 1.0, scene)),
            within,
            prove.left,
            prove.right,
            prove.span,
        )

    def _terms(self, expr: s.Expr, sign: float, scene: Scene) -> Iterator[p.ProveTerm]:
        match expr:
            case s.GirthAt(line=line):
                yield p.ProveTerm(sign, self._measured("girth", line, None, scene))
            case s.WidthAt(piece=piece, line=line):
                plan = self.pieces.named(piece.parts, scene)
                if plan is None:
                    self.found.append(
                        EdgeNotSeamed(span=piece.span, said=f"there is no piece `{piece.span.text}`")
                    )
                    raise Stop
                yield p.ProveTerm(sign, self._measured("width", line, plan.name, scene))
            case s.Arithmetic(op="+" | "-" as op, left=left, right=right):
                yield from self._terms(left, sign, scene)
                yield from self._terms(right, sign if op == "+" else -sign, scene)
            case s.Arithmetic(op="/", left=left, right=s.Amount(quantity=q)) if q.unit is None and q.value:
                yield from self._terms(left, sign / float(q.value), scene)
            case s.Arithmetic(op="*", left=left, right=s.Amount(quantity=q)) if q.unit is None:
                yield from self._terms(left, sign * float(q.value), scene)
            case s.Arithmetic(op="*", left=s.Amount(quantity=q), right=right) if q.unit is None:
                yield from self._terms(right, sign * float(q.value), scene)
            case s.Negative(operand=operand):
                yield from self._terms(operand, -sign, scene)
            case _:
                yield p.ProveTerm(sign, self.things.amount(expr, scene))

    def _measured(self, what: str, line: s.LineExpr, piece: str | None, scene: Scene) -> p.MeasuredOnPieces:
        ref = self.things.line(line, scene)
        see_that_straight(ref, line, self.things)
        draft = scene.frame.draft
        if not draft and isinstance(line, s.AtLine):
            draft = self.things.find(line.name, scene)[0].frame.draft
        if what == "girth":
            return p.MeasuredOnPieces("girth", ref, line.span.text, draft, None)
        return p.MeasuredOnPieces("width", ref, line.span.text, draft, piece)

    def keep(self, keep: s.Keep, scene: Scene) -> p.KeepPlan:
        value = self.things.amount(keep.value, scene)
        if keep.require:
            value = self._unheld(value)
        title = keep.title.value if keep.title is not None else words(keep.value.span.text)
        return p.KeepPlan(
            filled(title, scene.env),
            value,
            keep.relation,
            self.things.amount(keep.limit, scene),
            keep.limit.span.text,
            filled(keep.advice.value, scene.env) if keep.advice is not None else "",
            keep.require,
            keep.span,
        )

    def limit(self, limit: s.Limit, scene: Scene) -> p.LimitPlan:
        used = self.things.ref(limit.value, scene)
        plan = self.things.limits.get((limit.span.start, scene.env))
        if plan is None:
            raise Stop
        if limit.leaves is None:
            return replace(plan, used=used)
        title, amount = limit.leaves
        return replace(plan, used=used, leaves=(title.value, self.things.amount(amount, scene)))

    def _unheld(self, ref: e.Ref) -> e.Ref:
        """The value before any `require` held it, so that the message can say what was asked."""
        op = self.things.store.op(ref)
        while isinstance(op, e.Held):
            ref = op.a
            op = self.things.store.op(ref)
        return ref

    def report(self, report: s.Report, scene: Scene) -> p.ReportPlan:
        share = None if report.share_of is None else self.things.amount(report.share_of, scene)
        name = "" if report.share_of is None else words(report.share_of.span.text)
        return p.ReportPlan(
            filled(report.title.value, scene.env),
            self.things.amount(report.value, scene),
            share,
            name,
            report.span,
        )

    def caution(self, caution: s.Caution, scene: Scene) -> p.CautionPlan:
        condition = None if caution.condition is None else self.things.condition(caution.condition, scene)
        return p.CautionPlan(caution.name.text, condition, caution.span)
