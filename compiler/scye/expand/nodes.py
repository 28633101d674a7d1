"""The growing list of nodes, and the amounts: from syntax to operations."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import assert_never

from scye.diagnostics.expansion import NotKnownYet, NotMadeHere, OutOfRow, SharesDoNotClose, TooMany
from scye.diagnostics.model import Diagnostic
from scye.expand.frames import Collector, Definition, Env, Frame, Stop, Unknowable, key_of
from scye.ir import equations as e
from scye.ir import syntax as s
from scye.source import Span
from scye.units.quantity import Kind, Quantity

MOST_NODES = 60_000
PLAIN = (Kind.NUMBER, Kind.PERCENT)


class Store:
    """Nodes by index. A named node's place is kept before it is built, so that rings may refer to it."""

    def __init__(self) -> None:
        self.nodes: list[e.Node | None] = []
        self.kinds: list[Kind] = []
        self._parts: dict[tuple[e.Operation, Kind], e.Ref] = {}

    def reserve(self, kind: Kind, span: Span) -> e.Ref:
        if len(self.nodes) >= MOST_NODES:
            raise Stop
        self.nodes.append(None)
        self.kinds.append(kind)
        return len(self.nodes) - 1

    def fill(self, ref: e.Ref, node: e.Node) -> None:
        self.nodes[ref] = node
        self.kinds[ref] = node.kind

    def part(self, kind: Kind, op: e.Operation, span: Span, statement: s.Statement | None = None) -> e.Ref:
        """A node without a name; the same operation is made once only."""
        key = (op, kind)
        if key not in self._parts:
            ref = self.reserve(kind, span)
            self.fill(ref, e.Node(kind, op, "", span, statement))
            self._parts[key] = ref
        return self._parts[key]


class Scene:
    """Where an amount or place stands: its frame and the counters of the repeats round it."""

    __slots__ = ("env", "frame", "statement")

    def __init__(self, frame: Frame, env: Env, statement: s.Statement | None = None) -> None:
        self.frame = frame
        self.env = env
        self.statement = statement


class Amounts:
    """Builds amount nodes. `Drawing` builds on it for places, directions and lines."""

    def __init__(self, collector: Collector, found: list[Diagnostic]) -> None:
        self.collector = collector
        self.found = found
        self.store = Store()
        self.refs: dict[tuple[Definition, str], e.Ref] = {}
        self.under_way: set[tuple[Definition, str]] = set()
        self.lists: dict[Definition, tuple[e.Ref, ...]] = {}
        self.ledger: list[e.LedgerEntry] = []
        self._reading: list[list[tuple[str, e.Ref]]] = []

    # --- names ------------------------------------------------------------------------------

    @contextmanager
    def reading(self) -> Iterator[list[tuple[str, e.Ref]]]:
        """Collects which names an amount refers to, for its working."""
        names: list[tuple[str, e.Ref]] = []
        self._reading.append(names)
        yield names
        self._reading.pop()

    def find(self, name: s.Name, scene: Scene) -> tuple[Definition, tuple[s.NamePart, ...]]:
        """The definition of a name and what is left of it (parts of a panel line, a dart)."""
        frame, parts = scene.frame, name.parts
        definition = self._from(frame, parts[0], scene)
        at = 0
        while definition is None or isinstance(definition.statement, s.Draft):
            inner = self._inner(frame, parts[at].text)
            if inner is None or at + 1 >= len(parts):
                self._missing(name, scene)
            frame, at = inner, at + 1
            definition = self._local(frame, parts[at], scene)
        while isinstance(definition.statement, s.Draw) and at + 1 < len(parts):
            frame = self.method_frame(definition)
            at += 1
            inside = self._local(frame, parts[at], scene)
            if inside is None:
                self._missing(name, scene)
            definition = inside
        return definition, parts[at + 1 :]

    def _inner(self, frame: Frame, text: str) -> Frame | None:
        here: Frame | None = frame
        while here is not None:
            if text in here.frames:
                return here.frames[text]
            here = here.parent
        return None

    def _from(self, frame: Frame, part: s.NamePart, scene: Scene) -> Definition | None:
        here: Frame | None = frame
        while here is not None:
            definition = self._local(here, part, scene)
            if definition is not None:
                return definition
            here = here.parent
        if frame.parent is None:
            inside = [self._local(f, part, scene) for f in frame.frames.values()]
            return next((d for d in inside if d is not None), None)
        return None

    def _local(self, frame: Frame, part: s.NamePart, scene: Scene) -> Definition | None:
        """A definition of this frame: by key, or a list that the index picks from."""
        if part.index is None:
            return frame.definitions.get(part.text)
        key = key_of(part.text, self.index(part, scene))
        return frame.definitions.get(key) or frame.definitions.get(part.text)

    def index(self, part: s.NamePart, scene: Scene) -> int:
        if part.index is None:
            raise ValueError(part.text)
        try:
            return self.collector.count(part.index, scene.frame, scene.env)
        except Unknowable as reason:
            self.found.append(NotKnownYet(span=reason.span, what=reason.what))
            raise Stop from reason

    def _missing(self, name: s.Name, scene: Scene) -> Definition:
        part = name.parts[-1] if len(name.parts) > 1 and name.parts[-1].index is not None else name.parts[0]
        family = self._family(scene.frame, part.text)
        if part.index is not None and family:
            has = f"{part.text}[{min(family)}] to {part.text}[{max(family)}]"
            index = str(self.index(part, scene))
            self.found.append(OutOfRow(span=name.span, name=part.text, index=index, has=has))
        else:
            self.found.append(NotMadeHere(span=name.span, name=name.span.text, choices=self._choices()))
        raise Stop

    def _family(self, frame: Frame, text: str) -> list[int]:
        here: Frame | None = frame
        while here is not None:
            if text in here.families:
                return here.families[text]
            here = here.parent
        return next((f.families[text] for f in frame.frames.values() if text in f.families), [])

    def _choices(self) -> str:
        said = []
        for name, value in self.collector.structure.items():
            word = (
                ("yes" if value else "no")
                if isinstance(value, bool)
                else f"{value:g}"
                if isinstance(value, float)
                else value
            )
            said.append(f"{name} is {word}")
        return " and ".join(said)

    def method_frame(self, definition: Definition) -> Frame:
        raise NotImplementedError

    def ref(self, name: s.Name, scene: Scene) -> e.Ref:
        """The node that a name stands for; notes that the amount being read refers to it."""
        counter = self._counter(name, scene)
        if counter is not None:
            return self.number(counter, name.span)
        definition, rest = self.find(name, scene)
        ref = self.resolve(definition, rest, name, scene)
        if self._reading:
            self._reading[-1].append((name.span.text, ref))
        return ref

    def _counter(self, name: s.Name, scene: Scene) -> float | None:
        if len(name.parts) == 1 and name.parts[0].index is None:
            for variable, value in reversed(scene.env):
                if variable == name.parts[0].text:
                    return float(value)
        return None

    def resolve(
        self, definition: Definition, rest: tuple[s.NamePart, ...], name: s.Name, scene: Scene
    ) -> e.Ref:
        statement = definition.statement
        if isinstance(statement, s.Argument | s.Parameter) or self._is_list(definition):
            values = self._list_or_none(definition)
            if values is not None:
                return self._pick(values, name, scene)
        return self.made(definition, rest[0].text if rest else "")

    def _is_list(self, definition: Definition) -> bool:
        return isinstance(definition.statement, s.Let) and isinstance(
            definition.statement.value, s.ListOf | s.Share
        )

    def _pick(self, values: tuple[e.Ref, ...], name: s.Name, scene: Scene) -> e.Ref:
        part = name.parts[-1]
        index = self.index(part, scene) if part.index is not None else 0
        if not 1 <= index <= len(values):
            has = f"{part.text}[1] to {part.text}[{len(values)}]"
            self.found.append(OutOfRow(span=name.span, name=part.text, index=str(index), has=has))
            raise Stop
        return values[index - 1]

    def made(self, definition: Definition, part: str) -> e.Ref:
        raise NotImplementedError

    # --- lists ------------------------------------------------------------------------------

    def _list_or_none(self, definition: Definition) -> tuple[e.Ref, ...] | None:
        """The nodes of a definition that is a list, else nothing."""
        match definition.statement:
            case s.Let(value=s.ListOf() | s.Share()):
                return self.list_of(definition)
            case s.Argument(value=value):
                scene = Scene(definition.frame, definition.env)
                return self.items_or_none(value, scene)
            case s.Parameter(default=default) if default is not None:
                return self.items_or_none(default, Scene(definition.frame, definition.env))
            case _:
                return None

    def list_of(self, definition: Definition) -> tuple[e.Ref, ...]:
        raise NotImplementedError

    def items_or_none(self, value: object, scene: Scene) -> tuple[e.Ref, ...] | None:
        """The nodes of a list: written out, shared, a named list or a row of names; else nothing."""
        match value:
            case s.ListOf() | s.Share():
                return self.unnamed_list(value, scene)
            case s.Name() as name if name.parts[-1].index is None and self._counter(name, scene) is None:
                return self._named_items(name, scene)
            case _:
                return None

    def _named_items(self, name: s.Name, scene: Scene) -> tuple[e.Ref, ...] | None:
        frame = self._frame_of(name, scene)
        text = name.parts[-1].text
        here: Frame | None = frame
        while here is not None:
            if text in here.definitions:
                return self._list_or_none(here.definitions[text])
            if text in here.families:
                keys = [key_of(text, i) for i in sorted(set(here.families[text]))]
                return tuple(self.made(here.definitions[k], "") for k in keys)
            here = here.parent
        inside = [f for f in frame.frames.values() if text in f.families or text in f.definitions]
        if frame.parent is None and inside:
            return self._named_items(s.Name(name.span, name.parts[-1:]), Scene(inside[0], scene.env))
        return None

    def _frame_of(self, name: s.Name, scene: Scene) -> Frame:
        frame = scene.frame
        for part in name.parts[:-1]:
            inner = self._inner(frame, part.text)
            if inner is not None:
                frame = inner
            else:
                definition = self._from(frame, part, scene)
                if definition is None or not isinstance(definition.statement, s.Draw):
                    return frame
                frame = self.method_frame(definition)
        return frame

    def items(self, exprs: tuple[s.Expr, ...], scene: Scene) -> tuple[e.Ref, ...]:
        """Several amounts, or the amounts of the one list named."""
        if len(exprs) == 1:
            values = self.items_or_none(exprs[0], scene)
            if values is not None:
                self._note_list(exprs[0], values)
                return values
        return tuple(self.amount(x, scene) for x in exprs)

    def _note_list(self, expr: s.Expr, values: tuple[e.Ref, ...]) -> None:
        if self._reading and isinstance(expr, s.Name):
            self._reading[-1].extend((f"{expr.span.text}[{i}]", r) for i, r in enumerate(values, 1))

    def unnamed_list(self, value: s.ListOf | s.Share, scene: Scene) -> tuple[e.Ref, ...]:
        match value:
            case s.ListOf(items=items):
                return tuple(self.amount(x, scene) for x in items)
            case s.Share():
                return tuple(
                    self.part(self.store.kinds[ref_a], e.Combine("*", ref_a, ref_b), value.span)
                    for ref_a, ref_b in self.shares(value, scene)
                )

    def shares(self, share: s.Share, scene: Scene) -> list[tuple[e.Ref, e.Ref]]:
        """For each part of a share: the whole, and the part of it as a number."""
        total = self.amount(share.total, scene)
        if share.how == "evenly":
            try:
                count = self.collector.count(share.parts[0], scene.frame, scene.env)
            except Unknowable as reason:
                self.found.append(NotKnownYet(span=reason.span, what=reason.what))
                raise Stop from reason
            if not 1 <= count <= 200:
                said = f"shared over {count}"
                self.found.append(TooMany(span=share.parts[0].span, said=said, limit="from 1 to 200 parts"))
                raise Stop
            return [(total, self.number(1 / count, share.span))] * count
        parts = self.items(share.parts, scene)
        if share.how == "by":
            self._check_closed(share, parts)
            return [(total, part) for part in parts]
        whole = self.part(self.store.kinds[parts[0]], e.Total(parts), share.span)
        ratios = [self.part(Kind.NUMBER, e.Combine("/", part, whole), share.span) for part in parts]
        return [(total, ratio) for ratio in ratios]

    def _check_closed(self, share: s.Share, parts: tuple[e.Ref, ...]) -> None:
        """Percentages that are written out must come to 100 %: three times 33.3 % loses some of the whole."""
        ops = [self.store.nodes[p].op for p in parts if self.store.nodes[p] is not None]  # type: ignore[union-attr]
        if all(isinstance(op, e.Constant) for op in ops):
            total = sum(op.value for op in ops if isinstance(op, e.Constant)) * 100
            if abs(total - 100) > 1e-6:
                self.found.append(SharesDoNotClose(span=share.span, total=f"{total:g}"))

    # --- amounts ----------------------------------------------------------------------------

    def part(self, kind: Kind, op: e.Operation, span: Span) -> e.Ref:
        return self.store.part(kind, op, span)

    def number(self, value: float, span: Span) -> e.Ref:
        return self.part(Kind.NUMBER, e.Constant(value), span)

    def constant(self, quantity: Quantity, span: Span) -> e.Ref:
        return self.part(quantity.kind, e.Constant(quantity.inside, quantity), span)

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
                self.found.append(NotKnownYet(span=reason.span, what=reason.what))
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
