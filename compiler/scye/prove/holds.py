"""Limits that hold: what is said where more was asked than a limit allows, and where somebody decided."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from scye.diagnostics.limits import ConditionNoted, ForMinors, LimitHolds, LimitReleased, NearLimit
from scye.diagnostics.model import Diagnostic
from scye.geometry.vector import Array, Flags
from scye.ir.assembly import BodyFinding, Words
from scye.ir.people import DisplayUnit
from scye.ir.plan import BoundPlan, LimitPlan
from scye.prove.figures import Amounts, finding, said
from scye.units.quantity import Kind

SLACK = 1e-6
RECORD = "record it on the card under `decisions`: the limit, the value, by whom, the date and why"
NO_ADVICE = "Seek medical advice: this tool gives none."
_DECIMALS: dict[DisplayUnit, tuple[float, int]] = {"in": (25.4, 1), "cm": (10.0, 1), "mm": (1.0, 0)}


def judge_limits(plans: Sequence[LimitPlan], amounts: Amounts) -> Iterator[BodyFinding]:
    """What each limit has to say, and once for all of them that a condition was noted."""
    for plan in plans:
        yield from _Hold(plan, amounts).findings()
    noted = _noted(plans, amounts)
    if noted.any():
        yield finding(
            ConditionNoted, "measure card", noted, said(f"The card notes a condition. {NO_ADVICE}"),
            said("leave it to the wearer's clinician, before the fitting"), None,
        )  # fmt: skip


def _noted(plans: Sequence[LimitPlan], amounts: Amounts) -> Flags:
    """Bodies whose card notes a condition, and for whom something limited is asked at all."""
    noted = np.zeros(amounts.solution.count, dtype=bool)
    for plan in plans:
        asked = np.abs(amounts.amount(plan.asked)) > SLACK
        noted |= asked & (amounts.amount(plan.health) > 0.5)
    return noted


@dataclass(frozen=True, slots=True)
class _Hold:
    plan: LimitPlan
    amounts: Amounts

    def amount(self, ref: int) -> Array:
        return self.amounts.amount(ref)

    def past(self, value: Array, bound: Array) -> Flags:
        with np.errstate(invalid="ignore"):
            over = value - bound if self.plan.relation == "at most" else bound - value
            return np.asarray(over > SLACK)

    def findings(self) -> Iterator[BodyFinding]:
        plan = self.plan
        asked, limit, allowed = (self.amount(r) for r in (plan.asked, plan.limit, plan.allowed))
        beyond, held = self.past(asked, limit), self.past(asked, allowed)
        untold = self._left_alone()
        yield from self._said(LimitHolds, held, self.held_words, said(RECORD))
        released = self.released_words
        yield from self._said(LimitReleased, beyond & ~held, released, said("see who decided, when and why"))
        yield from self._said(NearLimit, self._near() & ~beyond, self.near_words, said("look at it again"))
        change = said("to draft another amount set it by hand, and record who decided, when and why")
        yield from self._said(ForMinors, untold, self.minor_words, change)

    def _said(
        self, kind: type[Diagnostic], mask: Flags, text: Words, attempt: Words
    ) -> Iterator[BodyFinding]:
        if mask.any():
            yield finding(kind, self.plan.title, mask, text, attempt, self.plan.span)

    def _left_alone(self) -> Flags:
        if self.plan.for_minors is None:
            return np.zeros(self.amounts.solution.count, dtype=bool)
        return np.asarray((self.amount(self.plan.minor) > 0.5) & (self.amount(self.plan.by_hand) < 0.5))

    def _near(self) -> Flags:
        near = np.zeros(self.amounts.solution.count, dtype=bool)
        for bound in self.plan.caution:
            near |= self.past(self.amount(self.plan.used), self.amount(bound.amount))
        return near

    # --- words ------------------------------------------------------------------------------

    def held_words(self, body: int, unit: DisplayUnit) -> str:
        plan = self.plan
        beyond = self._beyond(body, unit)
        if self.past(self.amount(plan.allowed), self.amount(plan.limit))[body]:
            decided = self._show(plan.allowed, body, unit)
            beyond = f"{beyond}, and beyond the {decided} that was decided"
        where = self._show(plan.used, body, unit)
        if plan.leaves is not None:
            title, left = plan.leaves
            where = f"{title} {self._bare(left, body, unit)}"
        return f"{beyond}. The draft is held at {where} until you record who decided, when, and why."

    def released_words(self, body: int, unit: DisplayUnit) -> str:
        return f"{self._beyond(body, unit)}. It is drafted as the decision on the card says."

    def near_words(self, body: int, unit: DisplayUnit) -> str:
        used = self.amount(self.plan.used)
        bounds = [b for b in self.plan.caution if self.past(used, self.amount(b.amount))[body]]
        passed = " and ".join(self._of(b, body, unit) for b in bounds)
        side = "over" if self.plan.relation == "at most" else "under"
        return f"{self._asked(body, unit, self.plan.caution)} is {side} {passed}"

    def minor_words(self, body: int, unit: DisplayUnit) -> str:
        return f"{self._title()} is {self._show(self.plan.used, body, unit)} for a wearer under age"

    def _beyond(self, body: int, unit: DisplayUnit) -> str:
        plan = self.plan
        lead = f"{self._asked(body, unit, plan.bounds)} is beyond the studio's limit of"
        if plan.for_minors is not None and self.amount(plan.minor)[body] > 0.5:
            return f"{lead} {self._show(plan.for_minors, body, unit)} for a wearer under age"
        bounds = " or ".join(self._bound(b, body, unit) for b in plan.bounds)
        return f"{lead} {bounds}{self._which(body, unit)}"

    def _title(self) -> str:
        return self.plan.title[:1].upper() + self.plan.title[1:]

    def _asked(self, body: int, unit: DisplayUnit, bounds: Sequence[BoundPlan]) -> str:
        """`Reduction 7 in (27 %)`."""
        asked = self.plan.asked
        shown = f"{self._title()} {self._show(asked, body, unit)}"
        shares = ((b.share, b.whole) for b in bounds if b.share is not None and b.whole is not None)
        share = next(shares, None)
        if share is None:
            return shown
        per_cent = 100.0 * float(self.amount(asked)[body] / self.amount(share[1])[body])
        apart = abs(per_cent - 100.0 * float(self.amount(share[0])[body]))
        return f"{shown} ({per_cent:.{0 if apart >= 1.0 else 1}f} %)"

    def _bound(self, bound: BoundPlan, body: int, unit: DisplayUnit) -> str:
        if bound.share is None:
            return self._show(bound.amount, body, unit)
        return f"{100.0 * float(self.amount(bound.share)[body]):g} %"

    def _of(self, bound: BoundPlan, body: int, unit: DisplayUnit) -> str:
        shown = self._bound(bound, body, unit)
        return shown if bound.share is None else f"{shown} of the {bound.whole_name}"

    def _which(self, body: int, unit: DisplayUnit) -> str:
        """` (on a 26 in waist 15 % = 3.9 in comes first)`: what a share comes to, and which bound counts."""
        bounds = self.plan.bounds
        share = next((b for b in bounds if b.whole is not None), None)
        if share is None or share.whole is None:
            return ""
        whole = self._show(share.whole, body, unit)
        worked = f"{self._bound(share, body, unit)} = {self._decimal(share.amount, body, unit)}"
        on = f"on {_article(whole)} {whole} {share.whole_name} {worked}"
        if len(bounds) == 1:
            return f" ({on})"
        pick: Callable[..., BoundPlan] = min if self.plan.relation == "at most" else max
        first = pick(bounds, key=lambda b: float(self.amount(b.amount)[body]))
        tail = " comes first" if first is share else f"; {self._bound(first, body, unit)} comes first"
        return f" ({on}{tail})"

    def _show(self, ref: int, body: int, unit: DisplayUnit) -> str:
        return self.amounts.show(ref, float(self.amount(ref)[body]), unit)

    def _bare(self, ref: int, body: int, unit: DisplayUnit) -> str:
        """A length without its unit, which the sentence has named already."""
        return self._show(ref, body, unit).removesuffix(f" {unit}")

    def _decimal(self, ref: int, body: int, unit: DisplayUnit) -> str:
        if self.amounts.kinds[ref] is not Kind.LENGTH:
            return self._show(ref, body, unit)
        size, places = _DECIMALS[unit]
        return f"{float(self.amount(ref)[body]) / size:.{places}f} {unit}"


def _article(figure: str) -> str:
    """`an 8`, `an 11 1/2`, `an 18`, but `a 26`."""
    whole = figure.split(maxsplit=1)[0].split(".", maxsplit=1)[0]
    return "an" if whole.startswith("8") or whole in ("11", "18") else "a"
