"""What names stand for in one unrolled recipe: single things, parts of things, and lists."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import NoReturn

from scye.diagnostics.expansion import NotMadeHere, OutOfRow, SharesDoNotClose, TooMany
from scye.diagnostics.model import Diagnostic
from scye.expand.collector import Collector
from scye.expand.frames import Definition, Frame, Stop, StructureValue, Unknowable, key_of
from scye.expand.store import Scene, Store
from scye.ir import equations as e
from scye.ir import syntax as s
from scye.source import Span
from scye.units.quantity import Kind, Quantity

MOST_PARTS = 200


def _word(value: StructureValue) -> str:
    """A choice as it is spoken."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:g}" if isinstance(value, float) else value


class Names:
    """Finds what names stand for. `Amounts` builds on it for sums, `Drawing` for what is drawn."""

    def __init__(self, collector: Collector, found: list[Diagnostic]) -> None:
        self.collector = collector
        self.found = found
        self.store = Store()
        self.refs: dict[tuple[Definition, str], e.Ref] = {}
        self.under_way: set[tuple[Definition, str]] = set()
        self.lists: dict[Definition, tuple[e.Ref, ...]] = {}
        self.ledger: list[e.LedgerEntry] = []
        self._drawn_in: dict[Frame, dict[str, list[Frame]]] = {}
        self._reading: list[list[tuple[str, e.Ref]]] = []

    # --- names ------------------------------------------------------------------------------

    @contextmanager
    def reading(self) -> Iterator[list[tuple[str, e.Ref]]]:
        """Collects which names an amount refers to, for its working."""
        names: list[tuple[str, e.Ref]] = []
        self._reading.append(names)
        try:
            yield names
        finally:
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
            inside = (self._local(f, part, scene) for f in self._drafts_with(frame, part.text))
            return next((d for d in inside if d is not None), None)
        return None

    def _drafts_with(self, frame: Frame, text: str) -> list[Frame]:
        """The drafts of a recipe in which something of that name is drawn."""
        if frame not in self._drawn_in:
            drawn: dict[str, list[Frame]] = {}
            for draft in frame.frames.values():
                singles = (key for key in draft.definitions if "[" not in key)
                for name in dict.fromkeys((*singles, *draft.families)):
                    drawn.setdefault(name, []).append(draft)
            self._drawn_in[frame] = drawn
        return self._drawn_in[frame].get(text, [])

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
            self.found.append(self.collector.not_known(reason))
            raise Stop from reason

    def _missing(self, name: s.Name, scene: Scene) -> NoReturn:
        part = name.parts[-1] if len(name.parts) > 1 and name.parts[-1].index is not None else name.parts[0]
        family = self._family(scene.frame, part.text)
        if part.index is not None and family:
            has = f"{part.text}[{min(family)}] to {part.text}[{max(family)}]"
            index = str(self.index(part, scene))
            self.found.append(OutOfRow(span=name.span, name=part.text, index=index, has=has))
        else:
            text = name.span.text
            counter = text in self.collector.counters
            self.found.append(NotMadeHere(span=name.span, name=text, choices=self.choices(), counter=counter))
        raise Stop

    def _family(self, frame: Frame, text: str) -> list[int]:
        here: Frame | None = frame
        while here is not None:
            if text in here.families:
                return here.families[text]
            here = here.parent
        return next((f.families[text] for f in frame.frames.values() if text in f.families), [])

    def choices(self) -> str:
        """The choices that shape the draft, as they are spoken."""
        return " and ".join(f"{name} is {_word(value)}" for name, value in self.collector.structure.items())

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
                self.found.append(self.collector.not_known(reason))
                raise Stop from reason
            if not 1 <= count <= MOST_PARTS:
                said, limit = f"shared over {count:,}", f"from 1 to {MOST_PARTS} parts"
                self.found.append(TooMany(span=share.parts[0].span, said=said, limit=limit))
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
        ops = [self.store.op(part) for part in parts]
        written = [op.value for op in ops if isinstance(op, e.Constant)]
        total = sum(written) * 100
        if len(written) == len(ops) and abs(total - 100) > 1e-6:
            self.found.append(SharesDoNotClose(span=share.span, total=f"{total:g}"))

    # --- parts without a name ---------------------------------------------------------------

    def part(self, kind: Kind, op: e.Operation, span: Span) -> e.Ref:
        return self.store.part(kind, op, span)

    def number(self, value: float, span: Span) -> e.Ref:
        return self.part(Kind.NUMBER, e.Constant(value), span)

    def constant(self, quantity: Quantity, span: Span) -> e.Ref:
        return self.part(quantity.kind, e.Constant(quantity.inside, quantity), span)

    # --- what Amounts supplies --------------------------------------------------------------

    def amount(self, expr: s.Expr, scene: Scene) -> e.Ref:
        raise NotImplementedError
