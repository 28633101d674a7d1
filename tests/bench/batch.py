"""Ten thousand bodies drafted: against the same draft written by hand in numpy, and against one at a time."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import by_hand
import numpy as np
from measuring import Result, by_turns, crowd, saltmarsh

from scye.driver import CHUNK, Compiled, Order
from scye.explain.trace import find_named
from scye.geometry.path import Path
from scye.ir.solution import Solution
from scye.solve.solve import solve

BODIES = 10_000
ALONE = 200  # bodies drafted one at a time, to say what one costs
SAME = 1e-9  # mm


def run() -> Iterator[Result]:
    _, _, order, compiled = saltmarsh()
    measures, choices = _arrays(compiled, crowd(order, BODIES))
    _check(compiled, measures, choices)
    times = by_turns(
        7,
        generated=lambda: _all_of(_by_chunks(compiled, measures, choices)),
        by_hand=lambda: _all_of(_hand_by_chunks(measures, choices)),
    )
    yield Result(
        "draft of 10,000 bodies / by hand in numpy",
        times["generated"] / times["by_hand"],
        "x",
        None,
        1.5,
        times,
    )
    one = by_turns(3, one_at_a_time=lambda: _one_by_one(compiled, measures, choices))
    each = {"alone": one["one_at_a_time"] / ALONE, "in the batch": times["generated"] / BODIES}
    yield Result(
        "a body in the batch / one at a time", each["alone"] / each["in the batch"], "x", 50, None, each
    )


Arrays = dict[str, np.ndarray]


def _arrays(compiled: Compiled, orders: list[Order]) -> tuple[Arrays, Arrays]:
    names = [r.name for r in orders[0].body.readings if r.side is None]
    table = np.array([[r.value for r in order.body.readings if r.side is None] for order in orders])
    measures = {name: np.ascontiguousarray(table[:, k]) for k, name in enumerate(names)}
    choices = {name: np.full(len(orders), value) for name, value in orders[0].settled.amounts}
    return measures, choices


def _part(arrays: Mapping[str, np.ndarray], start: int, stop: int) -> Arrays:
    return {name: values[start:stop] for name, values in arrays.items()}


def _by_chunks(compiled: Compiled, measures: Arrays, choices: Arrays) -> Iterator[Solution]:
    for i in range(0, BODIES, CHUNK):
        part, chosen = _part(measures, i, i + CHUNK), _part(choices, i, i + CHUNK)
        yield solve(compiled.runnable, part, chosen, min(CHUNK, BODIES - i))


def _hand_by_chunks(measures: Arrays, choices: Arrays) -> Iterator[dict[str, Path]]:
    for i in range(0, BODIES, CHUNK):
        yield by_hand.draft(_part(measures, i, i + CHUNK), _part(choices, i, i + CHUNK))


def _all_of(chunks: Iterator[object]) -> None:
    """Every chunk made and let go, as the driver does."""
    for _ in chunks:
        pass


def _one_by_one(compiled: Compiled, measures: Arrays, choices: Arrays) -> None:
    for i in range(ALONE):
        solve(compiled.runnable, _part(measures, i, i + 1), _part(choices, i, i + 1), 1)


def _check(compiled: Compiled, measures: Arrays, choices: Arrays) -> None:
    """Both drafts give the same lines."""
    equations = compiled.runnable.ordered.equations
    for solution, drawn in zip(
        _by_chunks(compiled, measures, choices), _hand_by_chunks(measures, choices), strict=True
    ):
        for name, line in drawn.items():
            ref = find_named(equations, name)
            assert ref is not None, name
            apart = np.abs(solution.values[ref].ctrl - line.ctrl).max()
            assert apart <= SAME, f"{name}: {apart} mm apart"
