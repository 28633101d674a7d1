"""What the grade needs of a solved draft besides its pieces: its named points, and where pieces nest."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from scye.ir.equations import Equations, Ref
from scye.ir.pattern import Nesting, Point
from scye.ir.plan import CuttingPlan, PiecePlan
from scye.ir.solution import Solution
from scye.units.quantity import Kind


def named_points(equations: Equations) -> tuple[tuple[str, Ref], ...]:
    """The points of a draft that have names, in the order they were written."""
    nodes = enumerate(equations.nodes)
    return tuple((node.name, ref) for ref, node in nodes if node.name and node.kind is Kind.POINT)


def points_of(named: Sequence[tuple[str, Ref]], solution: Solution, body: int) -> Iterator[tuple[str, Point]]:
    """Those of some named points that were drawn for a body, in order; mm from their draft's beginning."""
    for name, ref in named:
        x, y = at = _pair(solution, ref, body)
        if math.isfinite(x) and math.isfinite(y):
            yield name, at


def nests_of(plan: CuttingPlan, solution: Solution, body: int) -> Iterator[Nesting]:
    """The place each piece shares with its other sizes: as its `nest` says, else its draft's beginning."""
    for piece in plan.pieces:
        yield _nest_of(piece, solution, body)


def _nest_of(piece: PiecePlan, solution: Solution, body: int) -> Nesting:
    if piece.nest is None:
        return Nesting(piece.name, piece.draft, (0.0, 0.0), 0.0, "")
    at = _pair(solution, piece.nest.point, body)
    if piece.nest.along is None:
        return Nesting(piece.name, piece.draft, at, 0.0, piece.nest.words)
    x, y = _pair(solution, piece.nest.along, body)
    return Nesting(piece.name, piece.draft, at, math.atan2(y, x), piece.nest.words)


def _pair(solution: Solution, ref: Ref, body: int) -> Point:
    values: np.ndarray[tuple[int, ...], np.dtype[np.float64]] = solution.values[ref]
    i = body if values.shape[-1] > 1 else 0
    return float(values[0, i]), float(values[1, i])
