"""The order of the steps: as written, save that what a thing is made from is marked before it."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from scye.ir import equations as e
from scye.ir import syntax as s
from scye.ir.plan import DartPlan
from scye.ir.program import Program
from scye.units.quantity import Kind

Inputs = Callable[[e.Operation], tuple[e.Ref, ...]]
DRAWS = (Kind.POINT, Kind.LINE)
_PART = r"(\[\d+\])?(\.(left|right|centre|angle|intake|point))?$"


@dataclass(frozen=True, slots=True)
class Unit:
    """What one statement makes, drawn once: its nodes, in a draft or in a method drawn there (`prefix`)."""

    key: str
    refs: tuple[e.Ref, ...]
    draft: str
    prefix: str
    method: str


@dataclass(frozen=True, slots=True)
class Tried:
    """The place at which the conditions of a find can be looked at."""

    find: int
    draft: str
    prefix: str
    method: str


class Order:
    """Gathers the units of a recipe's equations and puts them in order."""

    def __init__(
        self, equations: e.Equations, program: Program, inputs: Inputs, darts: Mapping[str, DartPlan]
    ) -> None:
        self.equations, self.inputs, self.darts = equations, inputs, darts
        self.methods = dict(_statements_of_methods(program))
        self.places = _places(program.recipe.body)
        self.drafts = list(
            dict.fromkeys(x.name.text for x in _flat(program.recipe.body) if isinstance(x, s.Draft))
        )
        self.drawn = self._from_the_draft()
        self.units = self._units()
        self.unit_of = {ref: unit for unit in self.units for ref in unit.refs}

    def ordered(self) -> Iterator[Unit | Tried]:
        """Every unit once, each after those it is made from, and each find where it can be tried."""
        done: set[str] = set()
        told: set[int] = set()
        for seed in sorted(self.units, key=self._written):
            for unit in self._after_sources(seed, done):
                yield unit
                for find in self._to_try(done, told):
                    yield Tried(find, unit.draft, unit.prefix, unit.method)

    def _to_try(self, done: set[str], told: set[int]) -> Iterator[int]:
        for i in range(len(self.equations.finds)):
            conditions = [c for c in self.equations.conditions if c.find == i]
            needed = {u.key for c in conditions for u in self.units_behind([c.residual])}
            if i not in told and needed <= done and conditions:
                told.add(i)
                yield i

    def _after_sources(self, seed: Unit, done: set[str]) -> Iterator[Unit]:
        waiting: list[tuple[Unit, bool]] = [(seed, False)]
        open_: set[str] = set()
        while waiting:
            unit, ready = waiting.pop()
            if unit.key in done:
                continue
            if ready:
                done.add(unit.key)
                yield unit
            elif unit.key not in open_:
                open_.add(unit.key)
                waiting.append((unit, True))
                waiting += [(u, False) for u in reversed(self.sources(unit)) if u.key not in done]

    def sources(self, unit: Unit) -> list[Unit]:
        """The units that a unit is made from; of a dart those of all its places."""
        first = [r for ref in unit.refs for r in self.inputs(self.equations.nodes[ref].op)]
        dart = self.darts.get(unit.key)
        return self.units_behind([*first, *(places_of(dart) if dart is not None else ())], unit.refs)

    def units_behind(self, refs: Sequence[e.Ref], but: Sequence[e.Ref] = ()) -> list[Unit]:
        """The units nearest behind nodes, through parts without a name and amounts known beforehand."""
        found: dict[str, Unit] = {}
        waiting = list(refs)
        seen = set(waiting)
        while waiting:
            at = waiting.pop(0)
            unit = self.unit_of.get(at)
            if unit is not None:
                if at not in but:
                    found.setdefault(unit.key, unit)
                continue
            for other in self.inputs(self.equations.nodes[at].op):
                if other not in seen:
                    seen.add(other)
                    waiting.append(other)
        return list(found.values())

    def _units(self) -> list[Unit]:
        gathered: dict[str, list[e.Ref]] = {}
        for ref, node in enumerate(self.equations.nodes):
            if node.name and (node.kind in DRAWS or ref in self.drawn):
                gathered.setdefault(_thing(node), []).append(ref)
        return [self._unit(key, refs) for key, refs in gathered.items()]

    def _unit(self, key: str, refs: list[e.Ref]) -> Unit:
        node = self.equations.nodes[refs[0]]
        method = self.methods.get(id(node.statement), "")
        prefix = f"{node.draft}." if node.draft else ""
        if method and node.statement is not None:
            own = getattr(node.statement, "name", None)
            if isinstance(own, s.Ident):
                prefix = re.sub(rf"(^|(?<=\.)){re.escape(own.text)}{_PART}", "", node.name)
        return Unit(key, tuple(refs), node.draft, prefix, method)

    def _from_the_draft(self) -> set[e.Ref]:
        """Amounts that are measured on the draft, or found by trying it."""
        inner: set[e.Ref] = set()
        nodes = self.equations.nodes
        rounds = True
        while rounds:
            rounds = False
            for ref, node in enumerate(nodes):
                if ref not in inner and node.kind not in DRAWS and self._is_drawn(node, inner):
                    inner.add(ref)
                    rounds = True
        return inner

    def _is_drawn(self, node: e.Node, inner: set[e.Ref]) -> bool:
        if isinstance(node.op, e.Sought):
            return True
        nodes = self.equations.nodes
        return any(r in inner or nodes[r].kind in DRAWS for r in self.inputs(node.op))

    def _written(self, unit: Unit) -> tuple[int, int, int, int, int, int]:
        """Where a unit stands in the text: its draft, and in a `repeat` the round before the statement."""
        node = self.equations.nodes[unit.refs[0]]
        draft = self.drafts.index(unit.draft) if unit.draft in self.drafts else len(self.drafts)
        end = len(self.places)
        outer, inner = self.places.get(id(node.statement), (end, end))
        index = re.search(r"\[(\d+)\]$", unit.key)
        turn = int(index[1]) if index and outer != inner else 0
        return draft, int(bool(unit.method)), outer, turn, inner, unit.refs[0]


def places_of(dart: DartPlan) -> tuple[e.Ref, ...]:
    """The nodes that a dart is drawn from."""
    centre = (dart.edge_line, dart.mouth, dart.apex, dart.short, dart.start, dart.end, dart.pressed)
    stations = (ref for at, amount, _ in dart.stations for ref in (at, amount))
    return (*(ref for ref in centre if ref is not None), *stations)


def part_of(node: e.Node) -> str:
    """Which part of a panel line or dart a node is: `left` of `seam[1].left`; else nothing."""
    parted = isinstance(node.statement, s.PanelLine | s.Dart) and node.name
    return node.name.rpartition(".")[2] if parted else ""


def _thing(node: e.Node) -> str:
    """The thing that a node is, or is a part of: `seam[1].left` is of `seam[1]`."""
    part = part_of(node)
    return node.name.removesuffix(f".{part}") if part else node.name


def _flat(body: tuple[s.Statement, ...]) -> Iterator[s.Statement]:
    for statement in body:
        yield statement
        match statement:
            case s.Draft(body=inner):
                yield from _flat(inner)
            case s.When(body=inner, otherwise=other):
                yield from _flat((*inner, *other))
            case _:
                pass


def _places(body: tuple[s.Statement, ...]) -> dict[int, tuple[int, int]]:
    """For each statement the place of the outermost `repeat` round it (or its own), and its own place."""
    places: dict[int, tuple[int, int]] = {}
    for statement in _flat(body):
        outer = len(places)
        places.setdefault(id(statement), (outer, outer))
        for inner in _all(statement.body) if isinstance(statement, s.Repeat) else ():
            places.setdefault(id(inner), (outer, len(places)))
    return places


def _statements_of_methods(program: Program) -> Iterator[tuple[int, str]]:
    for name, entry in program.methods.items():
        for statement in _all(entry.method.body):
            yield id(statement), name


def _all(body: tuple[s.Statement, ...]) -> Iterator[s.Statement]:
    for statement in _flat(body):
        yield statement
        if isinstance(statement, s.Repeat):
            yield from _all(statement.body)
