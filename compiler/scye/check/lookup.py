"""What a name means from where it stands, and of what kind it is."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from scye.check.again import Again
from scye.diagnostics.kinds import IndexTrouble
from scye.diagnostics.model import Diagnostic
from scye.diagnostics.names import NameUnclear, NotInReach, NotNeeded, UnknownName
from scye.diagnostics.suggest import nearest
from scye.ir import syntax as s
from scye.ir.program import PARAMETER_KINDS, Program, Scope, Symbol
from scye.units.quantity import Kind

PANEL_PARTS = {"left": Kind.LINE, "right": Kind.LINE, "centre": Kind.LINE}
DART_PARTS = {"point": Kind.POINT, "angle": Kind.ANGLE, "intake": Kind.LENGTH}


@dataclass(frozen=True, slots=True)
class Typed:
    """A kind, and whether it is a whole list of them. A kind of None is not known and agrees with all."""

    kind: Kind | None
    many: bool = False


UNKNOWN = Typed(None)
MOST_COMPARED = 100_000


@dataclass(slots=True)
class Lookup:
    """Finds names in the scopes of one program.

    `kind_of_value` works out a named amount's kind; `check_index` looks at what stands in square brackets.
    """

    program: Program
    found: list[Diagnostic]
    again: Again
    kind_of_value: Callable[[Symbol, Scope], Kind | None]
    check_index: Callable[[s.Expr, Scope], None]
    _drawn_in: dict[str, list[Scope]] | None = None
    _compared: int = 0

    def symbol(self, name: s.Name, scope: Scope) -> Symbol | None:
        """The symbol of the name's first part; says so if there is none."""
        first = name.parts[0]
        symbols = self.reachable(first.text, scope)
        if symbols:
            return symbols[0]
        elsewhere = self.drafts_with(first.text, scope)
        if len(elsewhere) == 1:
            return elsewhere[0].symbols[first.text][0]
        if elsewhere:
            names = tuple(d.name for d in elsewhere)
            self.found.append(NameUnclear(span=first.span, name=first.text, drafts=names))
        elif first.text not in self.program.forgiven:
            self._complain(first, scope)
        return None

    def reachable(self, text: str, scope: Scope) -> list[Symbol]:
        """The symbols of a name in this scope or the nearest one round it."""
        self.again.asked("name", scope, text)
        here: Scope | None = scope
        while here is not None:
            if text in here.symbols:
                return here.symbols[text]
            here = here.parent
        return []

    def forgiven(self, text: str) -> bool:
        """Whether a name stands in a line that could not be read, so that nobody complains of it again."""
        self.again.asked("forgiven", None, text)
        return text in self.program.forgiven

    def method(self, name: str) -> s.Method | None:
        self.again.asked("method", None, name)
        entry = self.program.methods.get(name)
        return entry.method if entry is not None else None

    def drafts_with(self, text: str, scope: Scope) -> list[Scope]:
        """The drafts of a recipe in which something of that name is drawn."""
        if scope is not self.program.root:
            return [d for d in scope.drafts.values() if text in d.symbols]
        if self._drawn_in is None:
            self._drawn_in = {}
            for draft in scope.drafts.values():
                for name in draft.symbols:
                    self._drawn_in.setdefault(name, []).append(draft)
        return self._drawn_in.get(text, [])

    def _complain(self, part: s.NamePart, scope: Scope) -> None:
        if part.text in self.program.measures and scope.name not in self.program.methods:
            self.found.append(NotNeeded(span=part.span, name=part.text))
            return
        near = self._near(part.text, names_in_reach(scope))
        elsewhere = self.drafts_with(part.text, self.program.root) if scope.parent else []
        if elsewhere:
            drawn = " or ".join(f"`{draft.name}.{part.text}`" for draft in elsewhere[:3])
            hint = f"a thing of another draft is named with its draft: {drawn}"
            self.found.append(UnknownName(span=part.span, name=part.text, hint=hint))
        elif near is None and _unbegun(scope):
            hint = f"if it is where the draft begins, write `begin at {part.text}` as the draft's first line"
            self.found.append(UnknownName(span=part.span, name=part.text, hint=hint))
        else:
            self.found.append(UnknownName(span=part.span, name=part.text, near=near))

    def _near(self, text: str, names: Iterable[str]) -> str | None:
        """The nearest name; not sought any more where so much is wrong that it is no slip of the pen."""
        if self._compared > MOST_COMPARED:
            return None
        candidates = sorted(set(names))
        self._compared += len(candidates)
        return nearest(text, candidates)

    def typed(self, name: s.Name, scope: Scope) -> Typed:
        """The kind of what the whole name stands for."""
        for part in name.parts:
            if part.index is not None:
                self.check_index(part.index, scope)
        symbol = self.symbol(name, scope)
        if symbol is None:
            return UNKNOWN
        return self._walk(symbol, name, 0, scope)

    def _walk(self, symbol: Symbol, name: s.Name, at: int, scope: Scope) -> Typed:
        rest = name.parts[at + 1 :]
        kind = symbol.kind
        if kind is Kind.DRAFT and symbol.inner is not None and rest:
            return self._into_draft(symbol.inner, name, at + 1)
        typed = self._indexed(symbol, name.parts[at], scope)
        if not rest:
            return typed
        if kind is Kind.DRAWN:
            return self._given(symbol, rest[0], len(rest) > 1)
        if kind is Kind.PANEL_LINE:
            return self._part(symbol.name, rest[0], PANEL_PARTS, len(rest) > 1)
        if kind is Kind.DART:
            return self._part(symbol.name, rest[0], DART_PARTS, len(rest) > 1)
        if kind is Kind.PIECE:
            return Typed(Kind.PIECE)
        return self._part(symbol.name, rest[0], {}, False, _end_hint(symbol))

    def _into_draft(self, inner: Scope, name: s.Name, at: int) -> Typed:
        part = name.parts[at]
        self.again.asked("name here", inner, part.text)
        symbols = inner.symbols.get(part.text)
        if not symbols:
            if part.text not in self.program.forgiven:
                near = self._near(part.text, inner.symbols)
                where, hint = f" in the draft `{inner.name}`", "draw it there, or say which draft draws it"
                self.found.append(
                    UnknownName(span=part.span, name=part.text, near=near, where=where, hint=hint)
                )
            return UNKNOWN
        return self._walk(symbols[0], name, at, inner)

    def _indexed(self, symbol: Symbol, part: s.NamePart, scope: Scope) -> Typed:
        kind = symbol.kind if symbol.kind is not None else self.kind_of_value(symbol, scope)
        row = symbol.many or symbol.family
        if part.index is None:
            return Typed(kind, many=row)
        if not row:
            said = f"`{symbol.name}` is a single {kind.value if kind else 'thing'}, not one of a row"
            self.found.append(IndexTrouble(span=part.span, said=said, hint=f"write `{symbol.name}`"))
        return Typed(kind)

    def _given(self, symbol: Symbol, part: s.NamePart, more: bool) -> Typed:
        method = self.method(symbol.method)
        if method is None:
            return UNKNOWN
        gives = {g.name.text: PARAMETER_KINDS[g.kind] for g in method.gives}
        if part.text in gives and not more:
            kind, many = gives[part.text]
            return Typed(kind, many and part.index is None)
        self._not_in_reach(symbol.name, part, tuple(gives), "")
        return UNKNOWN

    def _part(self, owner: str, part: s.NamePart, has: dict[str, Kind], more: bool, hint: str = "") -> Typed:
        if part.text in has and not more:
            return Typed(has[part.text])
        self._not_in_reach(owner, part, tuple(has), hint)
        return UNKNOWN

    def _not_in_reach(self, owner: str, part: s.NamePart, has: tuple[str, ...], hint: str) -> None:
        near = self._near(part.text, has)
        self.found.append(
            NotInReach(span=part.span, name=owner, part=part.text, has=has, near=near, hint=hint)
        )


def _unbegun(scope: Scope) -> bool:
    """Whether a scope is a draft that does not say where it begins."""
    made = (symbol for symbols in scope.symbols.values() for symbol in symbols)
    return scope.parent is not None and not any(isinstance(symbol.statement, s.Begin) for symbol in made)


def _end_hint(symbol: Symbol) -> str:
    if symbol.kind is not Kind.LINE:
        return ""
    return f"its ends are `start of {symbol.name}` and `end of {symbol.name}`"


def names_in_reach(scope: Scope) -> Iterator[str]:
    here: Scope | None = scope
    while here is not None:
        yield from here.symbols
        here = here.parent
    for draft in scope.drafts.values():
        yield from draft.symbols
