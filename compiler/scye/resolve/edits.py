"""A parent laid open for its variant: where it makes each thing, and what is done to its statements."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

from scye.diagnostics.model import Diagnostic
from scye.diagnostics.suggest import nearest
from scye.diagnostics.variants import NotInParent
from scye.ir import syntax as s
from scye.resolve.makers import Found, Key, all_found, keys
from scye.source import Span


@dataclass(slots=True)
class Edits:
    """What is done to statements, by their identity: swapped for others, or others set before or within."""

    swapped: dict[int, tuple[s.Statement, ...]] = field(default_factory=dict)
    before: dict[int, list[s.Statement]] = field(default_factory=dict)
    within: dict[int, list[s.Statement]] = field(default_factory=dict)

    def applied(self, body: Iterable[s.Statement]) -> Iterator[s.Statement]:
        """The statements after the edits; a block that nothing is left in goes too."""
        for statement in body:
            yield from self.before.get(id(statement), ())
            if id(statement) in self.swapped:
                yield from self.swapped[id(statement)]
                continue
            match statement:
                case s.Draft(body=inner):
                    added = self.within.get(id(statement), ())
                    yield replace(statement, body=(*self.applied(inner), *added))
                case s.Repeat(body=inner):
                    kept = tuple(self.applied(inner))
                    if kept:
                        yield replace(statement, body=kept)
                case s.When(body=inner, otherwise=other):
                    arm, other_arm = tuple(self.applied(inner)), tuple(self.applied(other))
                    if arm or other_arm:
                        yield replace(statement, body=arm, otherwise=other_arm)
                case _:
                    yield statement


class Parent:
    """The statements of a parent, with where it makes what.

    `forgiven` are names in lines of it that could not be read: nobody complains that those are missing.
    """

    def __init__(self, body: tuple[s.Statement, ...], forgiven: frozenset[str]) -> None:
        self.body = body
        self.made = list(all_found(body))
        self.forgiven = forgiven

    def makers(self, key: Key, draft: str) -> list[Found]:
        """Where a thing is made; draft is "" for the left edge."""
        return [m for m in self.made if m.draft == draft and key in keys(m.statement)]

    def row(self, key: Key, draft: str) -> list[Found]:
        """Where anything of a name is made, whatever its index."""
        return [
            m
            for m in self.made
            if m.draft == draft and any((k.sort, k.text) == (key.sort, key.text) for k in keys(m.statement))
        ]

    def drafts(self, name: str) -> list[Found]:
        return [m for m in self.made if isinstance(m.statement, s.Draft) and m.statement.name.text == name]

    def missing(self, span: Span, word: str, key: Key, draft: str) -> Iterator[Diagnostic]:
        """What to say of a thing that is to be redrawn or left out and is not there."""
        if key.text in self.forgiven:
            return
        row = self.row(key, draft)
        homes = [m.draft for m in self.made if key in keys(m.statement)]
        where = f" in its draft `{draft}`" if draft else " at the left edge" if homes else ""
        near, hint = None, ""
        if row:
            names = ", ".join(f"`{k.name}`" for m in row for k in keys(m.statement) if k.text == key.text)
            hint = f"the parent makes {names}: name one of them as it stands there"
        elif homes:
            home = f"in the draft `{homes[0]}`" if homes[0] else "at the left edge"
            hint = f"the parent has it {home}: write this there"
        else:
            name = nearest(key.name, sorted(self._alike(key, draft)))
            near = Key(key.sort, name).shown if name else None
        yield NotInParent(span=span, word=word, name=key.shown, where=where, near=near, hint=hint)

    def _alike(self, key: Key, draft: str) -> set[str]:
        """The names of the same sort that the parent has there."""
        found = (k for m in self.made if m.draft == draft for k in keys(m.statement))
        return {k.name for k in found if k.sort == key.sort}
