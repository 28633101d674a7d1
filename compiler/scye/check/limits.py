"""Kinds in a `limit`, and that what it names can be held."""

from __future__ import annotations

from collections.abc import Iterable

from scye.check.kinds import Kinds
from scye.diagnostics.limits import CannotBeLimited
from scye.diagnostics.model import Label
from scye.ir import syntax as s
from scye.ir.program import Scope
from scye.units.quantity import Kind

HELD = (Kind.LENGTH, Kind.ANGLE, Kind.PERCENT, Kind.NUMBER)


def check_limit(limit: s.Limit, scope: Scope, kinds: Kinds) -> None:
    """What is limited is a choice or a named amount, and every bound is of its kind."""
    typed = kinds.amount(limit.value, scope)
    if typed.kind is None:
        return
    role = _role(limit.value, scope)
    if role not in ("choice", "value") or typed.kind not in HELD:
        said = f"`{limit.value.span.text}` is no choice and no named amount of this recipe"
        hint = "give the amount a name at the left edge, and limit that"
        kinds.found.append(CannotBeLimited(span=limit.value.span, said=said, hint=hint))
        return
    for bound in (*limit.bounds, *limit.caution):
        _bound(bound, typed.kind, scope, kinds)
    if limit.minors is not None:
        kinds.want(limit.minors, scope, (typed.kind,), typed.kind.value)
    if limit.leaves is not None:
        kinds.amount(limit.leaves[1], scope)


def _role(name: s.Name, scope: Scope) -> str:
    symbols = scope.symbols.get(name.parts[0].text, ())
    return symbols[0].role if symbols and len(name.parts) == 1 else ""


def _bound(bound: s.Bound, kind: Kind, scope: Scope, kinds: Kinds) -> None:
    if bound.of is None:
        kinds.want(bound.amount, scope, (kind,), kind.value)
        return
    kinds.want(bound.amount, scope, (Kind.PERCENT, Kind.NUMBER), "percentage")
    kinds.want(bound.of, scope, (kind,), kind.value)


def told_apart(limits: Iterable[s.Limit], kinds: Kinds) -> None:
    """A decision names the limit it is about, so no two go by the same words."""
    first: dict[str, s.Limit] = {}
    for limit in limits:
        name = limit.called.lower()
        if name in first:
            said = f"there are two limits called {limit.called}"
            label = Label(first[name].span, "the first")
            hint = 'give one of them words of its own: limit "waist of the lining" ...'
            kinds.found.append(CannotBeLimited(span=limit.span, said=said, hint=hint, labels=(label,)))
        first.setdefault(name, limit)
