"""How the benchmarks measure: things are timed by turns in one run, so that a ratio holds on any machine."""

from __future__ import annotations

import statistics
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from time import perf_counter

import numpy as np

from scye.driver import Compiled, Compiler, Order
from scye.project import Project, open_card, open_project

ROOT = Path(__file__).resolve().parents[2]
RECIPE = ROOT / "recipes" / "saltmarsh-bodice" / "saltmarsh-bodice.scye"


@dataclass(frozen=True, slots=True)
class Result:
    """One figure and its goal. `times` are medians in seconds of what was timed, by name."""

    name: str
    measured: float
    unit: str
    least: float | None
    most: float | None
    times: Mapping[str, float]

    @property
    def holds(self) -> bool:
        """Whether the goal is met."""
        low = self.least is None or self.measured >= self.least
        return low and (self.most is None or self.measured <= self.most)

    @property
    def goal(self) -> str:
        if self.least is not None:
            return f"at least {self.least:g} {self.unit}"
        return f"at most {self.most:g} {self.unit}"


def by_turns(rounds: int, **tasks: Callable[[], object]) -> dict[str, float]:
    """Every task once untimed, then all of them by turns; the median time of each, in seconds."""
    for task in tasks.values():
        task()
    taken: dict[str, list[float]] = {name: [] for name in tasks}
    for _ in range(rounds):
        for name, task in tasks.items():
            begin = perf_counter()
            task()
            taken[name].append(perf_counter() - begin)
    return {name: statistics.median(times) for name, times in taken.items()}


def saltmarsh() -> tuple[Project, Compiler, Order, Compiled]:
    """The bodice for Wren: its project, compiler, order, and what it compiled to."""
    project = open_project(RECIPE)
    body, _ = open_card(ROOT / "examples" / "cards" / "wren.yaml", project.catalogue)
    assert body is not None
    compiler = Compiler(project)
    order, _ = compiler.order(body, ())
    compiled = compiler.compiled(order.settled)
    assert isinstance(compiled, Compiled)
    return project, compiler, order, compiled


def crowd(order: Order, count: int) -> list[Order]:
    """Invented bodies about one: each 5 % larger or smaller on the whole, and every measure of it 2 %."""
    draw = np.random.default_rng(7)
    whole = draw.normal(1.0, 0.05, count)
    each = draw.normal(1.0, 0.02, (count, len(order.body.readings)))
    orders = []
    for i in range(count):
        factors = (whole[i] * each[i]).tolist()
        readings = tuple(
            replace(r, value=r.value * f) for r, f in zip(order.body.readings, factors, strict=True)
        )
        body = replace(order.body, code=f"{order.body.code}-{i}", readings=readings)
        orders.append(Order(body, order.settled, (), frozenset()))
    return orders
