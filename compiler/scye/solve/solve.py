"""Solve: blocks + measures of a chunk of bodies -> every node's value.

Reads the ordered equations. Generates and compiles their source once; evaluates it for any number of
bodies. Never raises for a body that can't be drawn: its values are NaN, and `causes` says why. Guarantees:
a body's values are the same bits alone or among others.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from scye.geometry.vector import Array, row
from scye.ir import equations as e
from scye.ir.solution import Solution
from scye.solve import kernels
from scye.solve.generate import constants, generate

Constants = tuple[float | None, ...]
Evaluate = Callable[[Mapping[str, Array], Mapping[str, Array], int, Constants], tuple[list[Any], list[Any]]]
# So many functions are kept that were compiled last: those of a few structures of a recipe or two.
MOST_FUNCTIONS = 16


@dataclass(frozen=True, slots=True, eq=False)
class Runnable:
    """Ordered equations made ready to evaluate."""

    ordered: e.Ordered
    source: str
    constants: Constants
    evaluate: Evaluate
    names: list[str]


def prepare(ordered: e.Ordered) -> Runnable:
    """Generate and compile the source of ordered equations."""
    source = generate(ordered)
    names = [node.name for node in ordered.equations.nodes]
    return Runnable(ordered, source, constants(ordered.equations), function_of(source, "evaluate"), names)


@lru_cache(maxsize=MOST_FUNCTIONS)
def function_of(source: str, name: str) -> Any:
    """The function that a generated source defines."""
    scope: dict[str, Any] = {"k": kernels}
    exec(compile(source, "<draft>", "exec"), scope)
    return scope[name]


def solve(
    runnable: Runnable, measures: Mapping[str, Array], choices: Mapping[str, Array], count: int
) -> Solution:
    """The values for `count` bodies; measures and choices are (n,) in mm and radians, NaN
    where the body has none."""
    with np.errstate(all="ignore"):
        values, reports = runnable.evaluate(measures, choices, count, runnable.constants)
    return Solution(count, [with_bodies(v) for v in values], runnable.names, reports)


def with_bodies(value: Any) -> Any:
    """A sum of constants alone is a bare number: one for all bodies, it is (1,) like any other."""
    bare = isinstance(value, float | int) or (isinstance(value, np.ndarray) and value.ndim == 0)
    return row(value) if bare else value
