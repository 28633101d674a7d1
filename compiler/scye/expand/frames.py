"""Frames: the names of a recipe, a draft or one drawing of a method, unrolled for one set of choices."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from scye.diagnostics.expansion import MadeTwiceHere, NotKnownYet, NotMadeHere, TooMany
from scye.diagnostics.model import Diagnostic, Label
from scye.ir import syntax as s
from scye.ir.program import Program
from scye.source import Span

MOST_REPEATS = 200
MOST_ROUNDS = 20_000
MOST_THINGS = 20_000

Env = tuple[tuple[str, int], ...]
# The place of a statement in the order of writing: for each block round it its place and the round.
Trail = tuple[tuple[int, int], ...]
StructureValue = str | bool | float


class Unknowable(Exception):
    """Something that decides the draft's shape is not known before drawing."""

    def __init__(self, span: Span, what: str) -> None:
        super().__init__(what)
        self.span = span
        self.what = what


class Stop(Exception):
    """One thing can't be made; the reason has been noted."""


class Enough(Stop):
    """The whole recipe is more than can be unrolled: nothing further is made."""


@dataclass(frozen=True, slots=True, eq=False)
class Definition:
    """One thing to be made: its statement, with the counters of the repeats it stands in."""

    key: str
    statement: s.Statement | s.Argument | s.Parameter
    frame: Frame
    env: Env
    # For a statement that makes several things (a `find`, a `needs`): which of them.
    part: s.Unknown | s.Need | None = None
    # Where it stands in the text, with the rounds of the repeats round it.
    trail: Trail = ()


@dataclass(slots=True, eq=False)
class Frame:
    """Names by key (`waist`, `top[2]`), with the frame round it. `draft` is the draft drawn in."""

    prefix: str
    parent: Frame | None
    draft: str
    definitions: dict[str, Definition] = field(default_factory=dict)
    frames: dict[str, Frame] = field(default_factory=dict)
    # Statements that make no name of their own but belong here: pieces, seams, proofs, limits.
    others: list[tuple[s.Statement, Env]] = field(default_factory=list)
    trails: list[Trail] = field(default_factory=list)
    requires: dict[str, list[tuple[s.Keep, Env]]] = field(default_factory=dict)
    limits: dict[str, list[tuple[s.Limit, Env]]] = field(default_factory=dict)
    gives: frozenset[str] | None = None
    families: dict[str, list[int]] = field(default_factory=dict)


def in_written_order(frame: Frame) -> None:
    """Put a frame's things, and those of its drafts, into the order in which they were written."""
    order = sorted(range(len(frame.others)), key=lambda i: frame.trails[i])
    frame.others = [frame.others[i] for i in order]
    frame.trails = [frame.trails[i] for i in order]
    frame.definitions = dict(sorted(frame.definitions.items(), key=lambda item: item[1].trail))
    for inner in frame.frames.values():
        in_written_order(inner)


def key_of(text: str, index: int | None) -> str:
    return text if index is None else f"{text}[{index}]"


class Collector:
    """Unrolls `when` and `repeat`, and enters every definition in its frame."""

    def __init__(
        self, program: Program, structure: Mapping[str, StructureValue], found: list[Diagnostic]
    ) -> None:
        self.program = program
        self.structure = structure
        self.found = found
        self.things = 0
        self.rounds = 0
        self.root = Frame("", None, "")
        self.counters: set[str] = set()
        self._asking: set[Definition] = set()
        self._answers: dict[Definition, StructureValue] = {}
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
            case s.Use() | s.Method():
                pass
            case _:
                self._define(statement.name, statement, frame, env, None)  # type: ignore[union-attr]

    def _key(self, part: s.NamePart | s.Ident, frame: Frame, env: Env) -> str:
        return key_of(part.text, None if part.index is None else self.count(part.index, frame, env))

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

    def not_known(self, reason: Unknowable) -> Diagnostic:
        """Why something is not known before drawing: most often it is a measure, or a counter outside its
        repeat."""
        if reason.what in self.counters:
            return NotMadeHere(span=reason.span, name=reason.what, choices="", counter=True)
        return NotKnownYet(span=reason.span, what=reason.what)

    # --- what is known before drawing -------------------------------------------------------

    def count(self, expr: s.Expr, frame: Frame, env: Env) -> int:
        """A whole number that is known before drawing."""
        value = self.known(expr, frame, env)
        if isinstance(value, str) or not math.isfinite(value) or value != int(value):
            raise Unknowable(expr.span, expr.span.text)
        return int(value)

    def truth(self, condition: s.Condition, frame: Frame, env: Env) -> bool:
        """Whether a condition holds, from choices alone; raises Unknowable if they do not settle it."""
        match condition:
            case s.Truth(name=name):
                return bool(self.known(name, frame, env))
            case s.Is(name=name, word=word, negated=negated):
                value = self.known(name, frame, env)
                if isinstance(value, bool):
                    value = "yes" if value else "no"
                return (value == word) is not negated
            case s.Not(operand=operand):
                return not self.truth(operand, frame, env)
            case s.Both(left=left, right=right):
                return self.truth(left, frame, env) and self.truth(right, frame, env)
            case s.Either(left=left, right=right):
                return self.truth(left, frame, env) or self.truth(right, frame, env)
            case s.Compare(op=op, left=a, right=b):
                x, y = float(self.known(a, frame, env)), float(self.known(b, frame, env))
                return {"<": x < y, ">": x > y, "<=": x <= y, ">=": x >= y, "=": x == y}[op]

    def known(self, expr: s.Expr, frame: Frame, env: Env) -> StructureValue:
        """The value of an amount that choices and constants settle; raises Unknowable otherwise."""
        match expr:
            case s.Amount(quantity=quantity):
                return quantity.inside
            case s.Name():
                return self._known_name(expr, frame, env)
            case s.Negative(operand=operand):
                return -float(self.known(operand, frame, env))
            case s.Arithmetic(op=op, left=left, right=right):
                a, b = float(self.known(left, frame, env)), float(self.known(right, frame, env))
                if op == "/" and b == 0:
                    raise Unknowable(expr.span, expr.span.text)
                return {"+": a + b, "-": a - b, "*": a * b}[op] if op != "/" else a / b
            case s.CountOf(items=s.Name() as name):
                return float(self._count_of(name, frame, env))
            case s.Extremum(which=which, items=items) if len(items) > 1:
                values = [float(self.known(item, frame, env)) for item in items]
                return min(values) if which == "least" else max(values)
            case s.Conditional(value=value, condition=condition, otherwise=otherwise):
                return self.known(value if self.truth(condition, frame, env) else otherwise, frame, env)
            case _:
                raise Unknowable(expr.span, expr.span.text)

    def _known_name(self, name: s.Name, frame: Frame, env: Env) -> StructureValue:
        part = name.parts[0]
        if len(name.parts) == 1 and part.index is None:
            for variable, value in reversed(env):
                if variable == part.text:
                    return float(value)
        key = self._key(part, frame, env)
        here: Frame | None = frame
        while here is not None:
            definition = here.definitions.get(key)
            if definition is not None and len(name.parts) == 1:
                return self._answer(definition, name)
            here = here.parent
        raise Unknowable(name.span, name.span.text)

    def _answer(self, definition: Definition, name: s.Name) -> StructureValue:
        """The value of a definition, worked out once; one that is defined by itself has none."""
        if definition in self._asking:
            raise Unknowable(name.span, name.span.text)
        if definition not in self._answers:
            self._asking.add(definition)
            try:
                self._answers[definition] = self._known_definition(definition, name)
            finally:
                self._asking.discard(definition)
        return self._answers[definition]

    def _known_definition(self, definition: Definition, name: s.Name) -> StructureValue:
        match definition.statement:
            case s.Let(value=value):
                return self.known(value, definition.frame, definition.env)
            case s.Choose(name=ident) if ident.text in self.structure:
                return self.structure[ident.text]
            case s.Argument(value=value) if not isinstance(value, s.AtPoint | s.AtLine):
                caller = definition.frame
                return self.known(value, caller, definition.env)  # type: ignore[arg-type]
            case s.Parameter(default=default) if default is not None:
                return self.known(default, definition.frame, definition.env)
            case _:
                raise Unknowable(name.span, name.span.text)

    def _count_of(self, name: s.Name, frame: Frame, env: Env) -> int:
        """How many a list or a row holds."""
        text = name.parts[0].text
        here: Frame | None = frame
        while here is not None:
            if text in here.families:
                return len(here.families[text])
            definition = here.definitions.get(text)
            if definition is not None:
                return self._count_definition(definition, name)
            here = here.parent
        raise Unknowable(name.span, name.span.text)

    def _count_definition(self, definition: Definition, name: s.Name) -> int:
        match definition.statement:
            case s.Let(value=value):
                return self._count_value(value, definition.frame, definition.env)
            case s.Argument(value=s.Name() as value):
                return self._count_of(value, definition.frame, definition.env)
            case s.Argument(value=s.ListOf() | s.Share() as value):
                return self._count_value(value, definition.frame, definition.env)
            case _:
                raise Unknowable(name.span, name.span.text)

    def _count_value(self, value: s.Expr, frame: Frame, env: Env) -> int:
        match value:
            case s.ListOf(items=items):
                return len(items)
            case s.Share(how="evenly", parts=(count,)):
                return self.count(count, frame, env)
            case s.Share(parts=(s.Name() as one,)):
                return self._count_of(one, frame, env)
            case s.Share(parts=parts):
                return len(parts)
            case s.Name():
                return self._count_of(value, frame, env)
            case _:
                raise Unknowable(value.span, value.span.text)
