"""The recipe unrolled: every `when` and `repeat` opened, every definition entered in its frame."""

from __future__ import annotations

from collections.abc import Mapping

from scye.diagnostics.expansion import MadeTwiceHere, TooMany
from scye.diagnostics.model import Diagnostic, Label
from scye.expand.frames import (
    Definition,
    Enough,
    Env,
    Frame,
    StructureValue,
    Trail,
    Unknowable,
    in_written_order,
    key_of,
)
from scye.expand.known import Known
from scye.ir import syntax as s
from scye.ir.program import Program
from scye.source import Span

MOST_REPEATS = 200
MOST_ROUNDS = 20_000
MOST_THINGS = 20_000


class Collector(Known):
    """Unrolls `when` and `repeat`, and enters every definition in its frame."""

    def __init__(
        self, program: Program, structure: Mapping[str, StructureValue], found: list[Diagnostic]
    ) -> None:
        self.program = program
        super().__init__(structure)
        self.found = found
        self.things = 0
        self.rounds = 0
        self.root = Frame("", None, "")
        self._every_round: set[Span] = set()
        self._trail: Trail = ()
        # Where each statement stands among all; not its offset, since a variant is of several texts.
        self._places: dict[int, int] = {}

    def collect(self) -> Frame:
        self._number(self.program.recipe.body)
        self.body(self.program.recipe.body, self.root, ())
        return self.root

    def method(self, body: tuple[s.Statement, ...], frame: Frame) -> None:
        """Enter the body of a method; `trail`s begin anew in each file."""
        self._number(body)
        outer, self._trail = self._trail, ()
        self.body(body, frame, ())
        self._trail = outer

    def _number(self, body: tuple[s.Statement, ...]) -> None:
        for statement in body:
            self._places.setdefault(id(statement), len(self._places))
            match statement:
                case s.Draft(body=inner) | s.Repeat(body=inner):
                    self._number(inner)
                case s.When(body=inner, otherwise=other):
                    self._number((*inner, *other))
                case _:
                    pass

    def body(self, body: tuple[s.Statement, ...], frame: Frame, env: Env) -> None:
        """Enter what is plainly there first, so that a `when` may depend on amounts named below it."""
        waiting: list[s.When | s.Repeat | s.Draft] = []
        for statement in body:
            if isinstance(statement, s.When | s.Repeat | s.Draft):
                waiting.append(statement)
            else:
                self._enter(statement, frame, env)
        for later in waiting:
            self._open(later, frame, env)
        if not self._trail:
            in_written_order(frame)

    def _open(self, statement: s.When | s.Repeat | s.Draft, frame: Frame, env: Env) -> None:
        match statement:
            case s.Draft(name=name, body=body):
                inner = frame.frames.get(name.text)
                if inner is None:
                    inner = Frame(f"{name.text}.", frame, name.text)
                    frame.frames[name.text] = inner
                self._within(statement, 0, body, inner, env)
            case s.When(condition=condition, body=body, otherwise=otherwise):
                chosen = self._decide(condition, frame, env)
                if chosen is not None:
                    self._within(statement, 0, body if chosen else otherwise, frame, env)
            case s.Repeat():
                self._repeat(statement, frame, env)

    def _repeat(self, repeat: s.Repeat, frame: Frame, env: Env) -> None:
        self.counters.add(repeat.variable.text)
        try:
            first = self.count(repeat.first, frame, env)
            last = self.count(repeat.last, frame, env)
        except Unknowable as reason:
            self.found.append(self.not_known(reason))
            return
        if last - first + 1 > MOST_REPEATS:
            said = f"`repeat` from {first:,} to {last:,} is {last - first + 1:,} times"
            self.found.append(TooMany(span=repeat.span, said=said, limit=f"at most {MOST_REPEATS} times"))
            return
        for i in range(first, last + 1):
            self._count_round(repeat.span)
            self._within(repeat, i, repeat.body, frame, (*env, (repeat.variable.text, i)))

    def _count_round(self, span: Span) -> None:
        self.rounds += 1
        if self.rounds > MOST_ROUNDS:
            said = f"the `repeat`s of this recipe come to more than {MOST_ROUNDS:,} rounds"
            self.found.append(TooMany(span=span, said=said, limit=f"at most {MOST_ROUNDS:,} rounds in all"))
            raise Enough

    def _count_thing(self, span: Span) -> None:
        self.things += 1
        if self.things > MOST_THINGS:
            said = f"this recipe comes to more than {MOST_THINGS:,} things"
            self.found.append(TooMany(span=span, said=said, limit=f"at most {MOST_THINGS:,} things"))
            raise Enough

    def _within(
        self, block: s.Statement, round_: int, body: tuple[s.Statement, ...], frame: Frame, env: Env
    ) -> None:
        outer = self._trail
        self._trail = (*outer, (self._places[id(block)], round_))
        self.body(body, frame, env)
        self._trail = outer

    def _decide(self, condition: s.Condition, frame: Frame, env: Env) -> bool | None:
        try:
            return self.truth(condition, frame, env)
        except Unknowable as reason:
            self.found.append(self.not_known(reason))
            return None

    # --- entering ---------------------------------------------------------------------------

    def _enter(self, statement: s.Statement, frame: Frame, env: Env) -> None:
        self._count_thing(statement.span)
        before = len(frame.others)
        self._enter_one(statement, frame, env)
        frame.trails += [(*self._trail, (self._places[id(statement)], 0))] * (len(frame.others) - before)

    def _enter_one(self, statement: s.Statement, frame: Frame, env: Env) -> None:
        match statement:
            case s.Needs(items=items):
                for need in items:
                    self._define(need.name, statement, frame, env, need)
            case s.Find(unknowns=unknowns):
                for unknown in unknowns:
                    self._define(unknown.name, statement, frame, env, unknown)
                frame.others.append((statement, env))
            case s.Piece(name=name):
                self._define(name, statement, frame, env, None)
                frame.others.append((statement, env))
            case s.Keep(value=s.Name(parts=(part,)), require=True):
                frame.others.append((statement, env))
                key = self._key_or_none(part, frame, env)
                if key is not None:
                    frame.requires.setdefault(key, []).append((statement, env))
            case s.Limit(value=value):
                frame.others.append((statement, env))
                key = self._key_or_none(value.parts[0], frame, env)
                if key is not None:
                    frame.limits.setdefault(key, []).append((statement, env))
            case s.Sew() | s.Prove() | s.Keep() | s.Report() | s.Caution() | s.SeamTolerance():
                frame.others.append((statement, env))
            case s.Bone() | s.Busk() | s.Fastening() | s.Lace() | s.Bind() | s.Tape() | s.Zip():
                frame.others.append((statement, env))
            case s.SewingOrder() | s.EveryPiece():
                frame.others.append((statement, env))
            case s.Use() | s.Method():
                pass
            case _:
                self._define(statement.name, statement, frame, env, None)  # type: ignore[union-attr]

    def _key_or_none(self, part: s.NamePart, frame: Frame, env: Env) -> str | None:
        try:
            return self._key(part, frame, env)
        except Unknowable as reason:
            self.found.append(self.not_known(reason))
            return None

    def _define(
        self,
        ident: s.Ident,
        statement: s.Statement,
        frame: Frame,
        env: Env,
        part: s.Unknown | s.Need | None,
    ) -> None:
        index = None
        if ident.index is not None:
            try:
                index = self.count(ident.index, frame, env)
            except Unknowable as reason:
                self.found.append(self.not_known(reason))
                return
            frame.families.setdefault(ident.text, []).append(index)
        key = key_of(ident.text, index)
        if key in frame.definitions:
            self._made_twice(ident, key, statement, frame.definitions[key].statement, env)
            return
        trail = (*self._trail, (self._places[id(statement)], 0))
        frame.definitions[key] = Definition(key, statement, frame, env, part, trail)

    def _made_twice(
        self,
        ident: s.Ident,
        key: str,
        statement: s.Statement,
        first: s.Statement | s.Argument | s.Parameter,
        env: Env,
    ) -> None:
        """Two statements of one name; or one that makes it anew in every round, which is said once."""
        if first is not statement:
            label = Label(first.span, "made here first")
            self.found.append(MadeTwiceHere(span=ident.span, name=key, labels=(label,)))
        elif ident.span not in self._every_round:
            self._every_round.add(ident.span)
            own = f"{ident.text}[{env[-1][0]}]"
            self.found.append(MadeTwiceHere(span=ident.span, name=key, own_row=own))
