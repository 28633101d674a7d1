"""Limits: what an order says besides its choices, and the amounts that are held until somebody decides."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from scye.diagnostics.limits import CannotBeLimited, DecisionIncomplete, DecisionUnused
from scye.diagnostics.model import Diagnostic
from scye.diagnostics.suggest import nearest
from scye.expand.choices import choices_of
from scye.expand.frames import Definition
from scye.expand.store import Scene
from scye.expand.wording import words
from scye.ir import equations as e
from scye.ir import plan as p
from scye.ir import syntax as s
from scye.ir.choices import HEALTH, MINOR, UNDECIDED, asked_for, decided_on
from scye.ir.people import Body, Decision
from scye.ir.program import Program
from scye.units.quantity import Kind

if TYPE_CHECKING:
    from scye.expand.things import Things

# Under this age a wearer counts as a minor, and under that one as a child. Ages differ from place to place;
# 14 years is where EN 14682 (cords on children's clothing) ends, and 18 the commonest age of consent to risk.
GROWN, CHILD = 18, 14


# --- what an order says -----------------------------------------------------------------------


def is_minor(program: Program, body: Body) -> bool:
    return for_children(program) or (body.age is not None and body.age < GROWN)


def wearers_of(program: Program, body: Body) -> frozenset[str]:
    """For whom cautions are shown unasked: `child` by the recipe's heading or the wearer's age, `minor` where
    the recipe limits something for minors."""
    child = for_children(program) or (body.age is not None and body.age < CHILD)
    limited = any(limit.minors is not None for limit in limits_of(program.recipe.body))
    minor = limited and is_minor(program, body)
    return frozenset(w for w, holds in (("child", child), ("minor", minor)) if holds)


def for_children(program: Program) -> bool:
    """Whether the recipe is headed `wearer child`."""
    head = program.recipe.head
    return head is not None and any(h.key == "wearer" and h.value == "child" for h in head.headings)


def circumstances(
    program: Program, body: Body, said: frozenset[str]
) -> tuple[tuple[tuple[str, float], ...], tuple[Decision, ...], list[Diagnostic]]:
    """What an order says for the limits of its recipe, as amounts; the decisions that concern it; and what
    is amiss with them. `said` names the choices that were set by hand."""
    limits = {limit.called.lower(): limit for limit in limits_of(program.recipe.body)}
    if not limits:
        return (), (), []
    decisions = {d.limit.lower(): d for d in body.decisions if d.limit.lower() in limits}
    amiss = [*_unused(body, limits), *_unlike(program, decisions, limits)]
    amounts = [(MINOR, float(is_minor(program, body))), (HEALTH, float(body.health_noted))]
    for name, limit in limits.items():
        choice = limit.value.parts[0].text
        undecided = -UNDECIDED if limit.relation == "at most" else UNDECIDED
        decided = decisions[name].value.inside if name in decisions else undecided
        amounts += [(asked_for(choice), float(choice in said)), (decided_on(limit.called), decided)]
    return tuple(dict(amounts).items()), tuple(decisions.values()), amiss


def _unused(body: Body, limits: dict[str, s.Limit]) -> Iterator[Diagnostic]:
    for decision in body.decisions:
        name = decision.limit.lower()
        if name not in limits:
            near = nearest(name, sorted(limits))
            hint = f"did you mean {limits[near].called}?" if near else ""
            said = f"the card decides on {decision.limit}, and this recipe has no limit of that name"
            yield DecisionUnused(span=decision.span, said=said, hint=hint)


def _unlike(
    program: Program, decisions: Mapping[str, Decision], limits: Mapping[str, s.Limit]
) -> Iterator[Diagnostic]:
    """Decisions of another kind than the choice they are about: a percentage on a length."""
    choices = {c.name.text: c.default for c in choices_of(program.recipe.body)}
    for name, decision in decisions.items():
        default = choices.get(limits[name].value.parts[0].text)
        kind = default.quantity.kind if isinstance(default, s.Amount) else decision.value.kind
        if kind is not decision.value.kind:
            said = f"the decision on {decision.limit} is a {decision.value.kind.value}, and the limit is on a"
            hint = f"write the value as a {kind.value}"
            yield DecisionIncomplete(span=decision.span, said=f"{said} {kind.value}", hint=hint)


def limits_of(body: tuple[s.Statement, ...]) -> Iterator[s.Limit]:
    """The limits of a recipe, also those inside a `when`."""
    for statement in body:
        match statement:
            case s.Limit():
                yield statement
            case s.When(body=inner, otherwise=other):
                yield from limits_of(inner)
                yield from limits_of(other)
            case _:
                pass


# --- what is held -----------------------------------------------------------------------------


def limited(things: Things, definition: Definition, kind: Kind, op: e.Operation) -> e.Operation:
    """A choice or an amount as far as its limits let it go; each limit's plan is noted, but for `leaves`."""
    chosen = isinstance(definition.statement, s.Choose)
    for limit, env in definition.frame.limits.get(definition.key, ()):
        if chosen and isinstance(op, e.Constant):
            said = f"`{definition.key}` decides how the draft is made, so it can't be held for one body"
            hint = "ask another choice in `when` or `repeat`, or write the amount with `if`"
            things.found.append(CannotBeLimited(span=limit.span, said=said, hint=hint))
            continue
        raw = things.part(kind, op, limit.span)
        with things.reading():
            plan = _plan(_Hold(things, limit, Scene(definition.frame, env, limit), kind), raw, chosen)
        things.limits[limit.span.start, env] = plan
        op = e.Limited(plan.asked, plan.allowed, plan.relation)
    return op


@dataclass(frozen=True, slots=True)
class _Hold:
    """One limit where it stands, and the kind of what it holds."""

    things: Things
    limit: s.Limit
    scene: Scene
    kind: Kind

    def part(self, op: e.Operation, kind: Kind | None = None) -> e.Ref:
        return self.things.part(kind or self.kind, op, self.limit.span)

    def told(self, name: str) -> e.Ref:
        """A figure that the order brings along."""
        return self.part(e.Chosen(name), Kind.NUMBER)

    def yes(self, told: e.Ref) -> e.Ref:
        half = self.part(e.Constant(0.5), Kind.NUMBER)
        return self.part(e.CompareOf(">", told, half), Kind.YESNO)

    def extreme(self, which: Literal["least", "most"], items: tuple[e.Ref, ...]) -> e.Ref:
        return items[0] if len(items) == 1 else self.part(e.Extreme(which, items))

    def bound(self, bound: s.Bound) -> p.BoundPlan:
        amount = self.things.amount(bound.amount, self.scene)
        if bound.of is None:
            return p.BoundPlan(amount, None, None, "")
        whole = self.things.ref(bound.of, self.scene)
        return p.BoundPlan(self.part(e.Combine("*", amount, whole)), amount, whole, words(bound.of.span.text))


def _plan(hold: _Hold, raw: e.Ref, chosen: bool) -> p.LimitPlan:
    limit = hold.limit
    bounds = tuple(hold.bound(b) for b in limit.bounds)
    minor = hold.told(MINOR)
    # An amount that follows from others is never left at a default.
    by_hand = hold.part(e.Constant(1.0), Kind.NUMBER)
    if chosen:
        by_hand = hold.told(asked_for(limit.value.parts[0].text))
    own = hold.extreme("least" if limit.relation == "at most" else "most", tuple(b.amount for b in bounds))
    asked, for_minors = raw, None
    if limit.minors is not None:
        for_minors = hold.things.amount(limit.minors, hold.scene)
        own = hold.part(e.Select(hold.yes(minor), for_minors, own))
        if chosen:
            asked = hold.part(e.Select(_left_alone(hold, minor, by_hand), for_minors, raw))
    decided = hold.part(e.Chosen(decided_on(limit.called)))
    return p.LimitPlan(
        title=limit.called,
        relation=limit.relation,
        asked=asked,
        used=asked,
        limit=own,
        allowed=hold.extreme("most" if limit.relation == "at most" else "least", (own, decided)),
        bounds=bounds,
        caution=tuple(hold.bound(b) for b in limit.caution),
        leaves=None,
        for_minors=for_minors,
        minor=minor,
        by_hand=by_hand,
        health=hold.told(HEALTH),
        span=limit.span,
    )


def _left_alone(hold: _Hold, minor: e.Ref, by_hand: e.Ref) -> e.Ref:
    """Whether the wearer is a minor and nobody set the choice by hand."""
    not_set = hold.part(e.Logic("not", (hold.yes(by_hand),)), Kind.YESNO)
    return hold.part(e.Logic("and", (hold.yes(minor), not_set)), Kind.YESNO)
