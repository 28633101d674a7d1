"""Which pieces are held back because a measure they are drawn from is in doubt."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator

from scye.ir import equations as e
from scye.ir.plan import CuttingPlan, PiecePlan

Inputs = Callable[[e.Operation], tuple[e.Ref, ...]]


def held_pieces(
    plan: CuttingPlan,
    equations: e.Equations,
    doubted: Collection[str],
    drawn: Collection[str],
    inputs: Inputs,
) -> Iterator[tuple[PiecePlan, tuple[str, ...]]]:
    """Each piece that was not drawn, with the doubted measures that its boundaries come from."""
    for piece in plan.pieces:
        if piece.name not in drawn:
            used = _measures_behind(piece, equations, inputs)
            held = tuple(name for name in sorted(doubted) if name in used)
            if held:
                yield piece, held


def _measures_behind(piece: PiecePlan, equations: e.Equations, inputs: Inputs) -> set[str]:
    waiting = [boundary.line for boundary in piece.boundary]
    seen = set(waiting)
    measures: set[str] = set()
    while waiting:
        op = equations.nodes[waiting.pop()].op
        if isinstance(op, e.Taken):
            measures.add(op.measure)
        for ref in inputs(op):
            if ref not in seen:
                seen.add(ref)
                waiting.append(ref)
    return measures
