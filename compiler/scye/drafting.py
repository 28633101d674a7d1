"""A batch of bodies on its way through the phases: what each was ordered with, and what was drafted of it."""

from __future__ import annotations

import gc
import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace

import numpy as np

from scye.diagnostics.model import Diagnostic
from scye.explain.beside import beside_of, far_findings
from scye.explain.workings import Workings
from scye.fit.replay import Laid, amount_key, in_order
from scye.fit.sides import side_of
from scye.geometry.vector import Ints
from scye.ir import equations as e
from scye.ir.assembly import Assembly, Proofs
from scye.ir.choices import Settled
from scye.ir.fitting import Side
from scye.ir.pattern import Pattern
from scye.ir.people import Body, Decision
from scye.ir.plan import CuttingPlan
from scye.ir.solution import Solution
from scye.lists.half import Half, Joins
from scye.order.graph import inputs
from scye.solve.again import Again
from scye.solve.solve import Runnable, solve
from scye.source import Span
from scye.tolerance.bars import neighbours
from scye.tolerance.carry import how_sure
from scye.tolerance.figures import Figures
from scye.tolerance.tries import Tried

SIDES: tuple[Side, Side] = ("right", "left")


@dataclass(frozen=True, slots=True, eq=False)
class Compiled:
    """A recipe made ready for all bodies of one structure, and how corrections came out on it."""

    plan: CuttingPlan
    runnable: Runnable
    workings: Workings
    sources: Mapping[e.Ref, tuple[e.Ref, ...]]  # what each node is made from
    joins: Joins
    takings: tuple[tuple[e.Taken, Span], ...]  # the measures that are taken, and where
    points: tuple[tuple[str, e.Ref], ...]  # those with names
    laid: tuple[Laid, ...] = ()

    @property
    def taken(self) -> frozenset[str]:
        """The names of the measures that are taken."""
        return frozenset([taking.measure for taking, _ in self.takings])


@dataclass(frozen=True, slots=True, eq=False)
class Order:
    """One body with its settled choices and what is amiss with its measures. `side` is the half of it that is
    drafted (None: the whole), `halved` the measures whose left and right add to the whole."""

    body: Body
    settled: Settled
    remarks: tuple[Diagnostic, ...]
    doubted: frozenset[str]
    decisions: tuple[Decision, ...] = ()
    side: Side | None = None
    halved: frozenset[str] = frozenset()

    @property
    def taped(self) -> frozenset[str]:
        """The measures it is drafted with."""
        return frozenset(r.name for r in self.body.readings) - self.doubted


@dataclass(frozen=True, slots=True, eq=False)
class Batch:
    """All that was drafted of some rows, each a body or a half of one. Their neighbours come behind them."""

    compiled: Compiled
    rows: Sequence[Order]
    solution: Solution
    assembly: Assembly
    proofs: Proofs
    tries: Sequence[Tried] = ()
    figures: Figures | None = None

    @property
    def equations(self) -> e.Equations:
        return self.compiled.runnable.ordered.equations

    def placed(self, i: int) -> Callable[[e.Ref], bool]:
        """Says of a place of a correction whether it was found for a row."""

        def found(ref: e.Ref) -> bool:
            values = self.solution.values[ref]
            return bool(values[i if values.shape[-1] > 1 else 0] > 0.5)

        return found

    def half(self, i: int, pattern: Pattern) -> Half:
        """A row's pattern as findings are measured on it."""

        def figure(ref: e.Ref) -> float:
            values = self.solution.values[ref]
            return float(values[i if values.shape[-1] > 1 else 0])

        def girth(line: e.Ref, draft: str) -> float:
            across = [s for s in self.assembly.sections if s.line == line and s.draft == draft]
            return math.fsum(float(s.width[i]) * s.times for s in across)

        def place(point: e.Ref) -> tuple[float, float]:
            values = self.solution.values[point]
            x, y = values[:, i if values.shape[-1] > 1 else 0]
            return float(x), float(y)

        return Half(self.rows[i].side or "", pattern, figure, girth, place)

    def with_sureness(self, pattern: Pattern, i: int) -> Pattern:
        """A row's pattern with the error bars carried to it, and the rules beside the tape."""
        if self.figures is None:
            return pattern
        sure = how_sure(self.figures, self.tries[i], pattern.unit)
        bars = {bar.measure: bar for bar in sure.bars}
        beside = tuple(beside_of(self.equations, self.solution, i, bars, pattern.unit))
        far = tuple(far_findings(beside, pattern.unit))
        return replace(pattern, sure=sure, beside=beside, findings=(*pattern.findings, *far))


@contextmanager
def nothing_to_sweep() -> Iterator[None]:
    """Makes no search for rubbish in rings while a pattern is put together: it is thousands of small values
    in no ring, and to look through all that stands in memory for them takes longer than to make them. What
    was made counts as old afterwards, as if a search had been through it; a later search for old rubbish
    still finds it."""
    sweeping = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if sweeping:
            gc.freeze()
            gc.unfreeze()
            gc.enable()


class Recall:
    """What is kept from draft to draft by whoever drafts one body again and again."""

    def __init__(self) -> None:
        self._compiled: Compiled | None = None
        self._again: Again | None = None

    def solver(self, compiled: Compiled) -> Again | None:
        """Solves a structure again, for little changes, be it of figures in the text; None where it is solved
        for the first time, since most edits but those of figures make a structure of their own."""
        before, self._compiled = self._compiled, compiled
        if before is None or before.runnable.source != compiled.runnable.source:
            self._again = None
        elif self._again is None:
            self._again = Again(compiled.runnable, inputs)
        else:
            self._again.take_up(compiled.runnable)
        return self._again


def solved(compiled: Compiled, orders: Sequence[Order], recall: Recall | None = None) -> Solution:
    """The draft of several orders at once. A doubted measure is nothing, so that what uses it is held."""
    ruled = {taking.measure: taking.otherwise is not None for taking, _ in compiled.takings}
    rows = [_readings(asked, ruled) for asked in orders]
    measures = {name: np.array([row[name] for row in rows]) for name in ruled}
    names = [name for name, _ in orders[0].settled.amounts]
    amounts = [dict(asked.settled.amounts) for asked in orders]
    choices = {name: np.array([its[name] for its in amounts]) for name in names}
    for number in range(len(compiled.laid)):
        choices[amount_key(number)] = np.array([_correction(asked, number) for asked in orders])
    again = recall.solver(compiled) if recall is not None else None
    if again is not None:
        return again.solve(measures, choices, len(orders))
    return solve(compiled.runnable, measures, choices, len(orders))


def _readings(asked: Order, ruled: Mapping[str, bool]) -> dict[str, float]:
    """Measures in mm, of which some have a rule; infinite where one is doubted and its rule would stand in
    for it unsaid."""
    read = side_of(asked.body.readings, ruled, asked.side, asked.halved)
    read.update({name: np.inf if ruled[name] else np.nan for name in asked.doubted if name in ruled})
    return read


def _correction(asked: Order, number: int) -> float:
    """What a row has of a correction, mm: nothing where it is for the other side."""
    _, correction = in_order(asked.body.fittings)[number]
    return correction.amount if correction.side in ("both", asked.side) else 0.0


def other_sides(rows: Sequence[Order], count: int) -> Ints | None:
    """Where in a batch of `count`, which begins with some rows, the other half of each is: its own place for
    a whole body and for neighbours, whose other half is moved alike. None if all are whole."""
    if all(row.side is None for row in rows):
        return None
    places = np.arange(count, dtype=np.int64)
    for at, row in enumerate(rows):
        places[at] += {None: 0, "right": 1, "left": -1}[row.side]
    return places


def beside(orders: Sequence[Order], tries: Sequence[Tried]) -> Iterator[Order]:
    """The neighbours of all bodies, drafted with what their body was ordered with."""
    for asked, tried in zip(orders, tries, strict=False):
        for body in neighbours(asked.body, tried.trials):
            yield replace(asked, body=body)
