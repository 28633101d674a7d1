"""A program checked again and again, mostly after little changes: what asks nothing new is not checked anew.

While a statement is checked, all that it asks of the rest of the program is noted. It is left alone the next
time if it is the very same statement and all that it asked is answered alike. Only statements without a
mistake are kept, so that every diagnostic is always found anew, in its place among the others: what was asked
is asked again in the same order, and what that brings to light comes where a whole check would find it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any, TypeGuard

from scye.check.clauses import of_every_piece
from scye.ir import syntax as s
from scye.ir.program import Program, Scope, Symbol
from scye.units.quantity import Kind

# What is asked: the sort of question, the path of the scope it is asked of, and a name.
Question = tuple[str, str, str]


@dataclass(frozen=True, slots=True)
class Kept:
    """What a part of a program asked when it was checked in a scope, and what came out: the kind of a named
    amount. `proving` is whether a proof stood round it, where widths of pieces are allowed."""

    part: object
    path: str
    proving: bool
    asked: tuple[Question, ...]
    outcome: Any


@dataclass(slots=True)
class Before:
    """What is left of an earlier check of a program, to go on from."""

    parts: dict[int, Kept] = field(default_factory=dict)
    answers: dict[Question, object] = field(default_factory=dict)


class Again:
    """Keeps the checks of one program's parts, beginning from what is left of an earlier one.

    Without `before` nothing is noted and nothing kept. `kind_of_value` works out a named amount's kind.
    """

    def __init__(
        self,
        program: Program,
        found: list[Any],
        before: Before | None,
        kind_of_value: Callable[[Symbol, Scope], Kind | None],
    ) -> None:
        self.now = Before()
        self.ring = False  # whether a ring of names was met, whose kinds hang on where it is entered
        self._program = program
        self._found = found
        self._before = before
        self._kind_of_value = kind_of_value
        self._alike: dict[Question, bool] = {}
        self._noting: list[dict[Question, None] | None] = []
        self._scopes = dict(_scopes(program)) if before is not None else {}
        self._paths = {id(scope): path for path, scope in self._scopes.items()}

    def once(self, part: object, scope: Scope, proving: bool, check: Callable[[], Any]) -> Any:
        """The outcome of checking a part of the program: the kept one if all that it asked is as it was."""
        if self._before is None:
            return check()
        path = self._paths[id(scope)]
        kept = self._before.parts.get(id(part))
        if not self._stands(kept, part, path, proving):
            said, noted = len(self._found), dict[Question, None]()
            self._noting.append(noted)
            outcome = check()
            self._noting.pop()
            if len(self._found) > said:
                return outcome
            kept = Kept(part, path, proving, tuple(noted), outcome)
        self.now.parts[id(part)] = kept
        return kept.outcome

    def asked(self, sort: str, scope: Scope | None, text: str) -> None:
        """Note a question that is about to be asked, unless it is for the kind of a named amount."""
        if self._noting and (noted := self._noting[-1]) is not None:
            question = sort, self._paths[id(scope)] if scope is not None else "", text
            noted[question] = None
            self._answered(question)

    def told(self, scope: Scope, text: str, kind: Kind | None) -> None:
        """Note the kind of a named amount, which has just been asked for."""
        if self._noting and (noted := self._noting[-1]) is not None:
            question = "kind", self._paths[id(scope)], text
            noted[question] = None
            self.now.answers.setdefault(question, kind)

    def _answered(self, question: Question) -> object:
        if question not in self.now.answers:
            self.now.answers[question] = self._answer(question)
        return self.now.answers[question]

    def _stands(self, kept: Kept | None, part: object, path: str, proving: bool) -> TypeGuard[Kept]:
        """Whether what was kept of a part is that of the very part, and still holds."""
        if kept is None or kept.part is not part or (kept.path, kept.proving) != (path, proving):
            return False
        self._noting.append(None)
        stands = all(map(self._as_before, kept.asked))
        self._noting.pop()
        return stands

    def _as_before(self, question: Question) -> bool:
        """Whether a question is answered as it was in the check before."""
        alike = self._alike.get(question)
        if alike is None:
            assert self._before is not None
            alike = self._answered(question) == self._before.answers.get(question)
            self._alike[question] = alike
        return alike

    def _answer(self, question: Question) -> object:
        sort, path, text = question
        match sort:
            case "method":
                entry = self._program.methods.get(text)
                return None if entry is None else entry.method
            case "forgiven":
                return text in self._program.forgiven
            case "every piece":
                return [
                    any(isinstance(c, kind) for c in of_every_piece(self._program.recipe.body))
                    for kind in (s.Cut, s.Grain)
                ]
        scope = self._scopes.get(path)
        if scope is None:
            return None
        if sort == "name":
            return self._name(text, scope)
        here = scope.symbols.get(text, [])
        if sort == "name here":
            return self._facts(here), text in self._program.forgiven
        return self._kind_of_value(here[0], scope) if here else None

    def _name(self, text: str, scope: Scope) -> object:
        """What a name may stand for, seen from a scope: things of the nearest that has it, or of drafts."""
        here: Scope | None = scope
        while here is not None:
            if text in here.symbols:
                return self._paths[id(here)], self._facts(here.symbols[text])
            here = here.parent
        drafts = [d for d in scope.drafts.values() if text in d.symbols]
        there = [(self._paths[id(d)], self._facts(d.symbols[text])) for d in drafts]
        return there, text in self._program.forgiven

    def _facts(self, symbols: list[Symbol]) -> list[object]:
        """All that the checker may ask of things but the kinds of named amounts."""
        return [
            (
                *(x.kind, x.role, x.many, x.family, x.method),
                self._paths[id(x.inner)] if x.inner is not None else None,
                x.statement if isinstance(x.statement, s.Piece | s.Choose) else None,
            )
            for x in symbols
        ]


def _scopes(program: Program) -> Iterator[tuple[str, Scope]]:
    """Every scope by a path of its own."""
    waiting = [("", program.root), *((f"method {name}", e.scope) for name, e in program.methods.items())]
    while waiting:
        path, scope = waiting.pop()
        yield path, scope
        waiting += [(f"{path}/{name}", inner) for name, inner in scope.drafts.items()]
