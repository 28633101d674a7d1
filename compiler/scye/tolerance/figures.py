"""The figures that error bars are carried to: named amounts, seams, proofs and edges of a batch of bodies."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np

from scye.geometry.vector import Array
from scye.ir import equations as e
from scye.ir import plan as p
from scye.ir.assembly import Assembly, Proofs
from scye.ir.solution import Solution
from scye.units.quantity import Kind

TAGS = {Kind.LENGTH: "mm", Kind.ANGLE: "rad", Kind.NUMBER: "", Kind.PERCENT: ""}
Refs = tuple[e.Ref, ...]
What = Literal["amount", "seam", "proof", "edge"]


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure of every body, and the nodes it is made of. `owner` is the piece of an edge and its title."""

    what: What
    name: str
    unit: str
    made_of: Refs
    owner: tuple[str, str] = ("", "")


@dataclass(frozen=True, slots=True, eq=False)
class Figures:
    """`values` (K, n): a row for each of the K figures, in mm, radians or plain numbers."""

    rows: tuple[Figure, ...]
    values: Array


def figures_of(
    plan: p.CuttingPlan, nodes: tuple[e.Node, ...], solution: Solution, assembly: Assembly, proofs: Proofs
) -> Figures:
    """Every figure of the batch; NaN where a body has none."""
    by_piece = {piece.name: tuple(_refs(piece, plan)) for piece in plan.pieces}
    found = [
        *_amounts(nodes, solution),
        *_seams(plan, proofs, by_piece),
        *_proofs(plan, proofs, by_piece),
        *_edges(assembly, by_piece),
    ]
    count = solution.count
    values = np.stack([np.broadcast_to(v, (count,)) for _, v in found]) if found else np.zeros((0, count))
    return Figures(tuple(figure for figure, _ in found), values)


def _amounts(nodes: tuple[e.Node, ...], solution: Solution) -> Iterator[tuple[Figure, Array]]:
    for ref, node in enumerate(nodes):
        if node.name and node.kind in TAGS and not isinstance(node.op, e.Taken | e.Chosen | e.Constant):
            value = np.asarray(solution.values[ref], dtype=np.float64)
            yield Figure("amount", node.name, TAGS[node.kind], (ref,)), value


def _seams(
    plan: p.CuttingPlan, proofs: Proofs, by_piece: Mapping[str, Refs]
) -> Iterator[tuple[Figure, Array]]:
    for sew, seam in zip(plan.seams, proofs.seams, strict=True):
        made_of = tuple(ref for side in sew.first for ref in by_piece.get(side.piece, ()))
        yield Figure("seam", seam.letter, "mm", made_of), seam.length_a


def _proofs(
    plan: p.CuttingPlan, proofs: Proofs, by_piece: Mapping[str, Refs]
) -> Iterator[tuple[Figure, Array]]:
    everywhere = tuple(ref for refs in by_piece.values() for ref in refs)
    for prove, judged in zip(plan.proofs, proofs.proofs, strict=True):
        terms = [term.value for term in prove.left]
        on_pieces = any(isinstance(value, p.MeasuredOnPieces) for value in terms)
        made_of = everywhere if on_pieces else tuple(v for v in terms if isinstance(v, int))
        yield Figure("proof", judged.name, judged.unit, made_of), judged.found


def _edges(assembly: Assembly, by_piece: Mapping[str, Refs]) -> Iterator[tuple[Figure, Array]]:
    """The finished length of each edge. Bodies whose pieces are built otherwise are put together by name."""
    lengths: dict[tuple[str, str, str], Array] = {}
    for part in assembly.parts:
        for piece in part.pieces:
            for edge in piece.edges:
                key = (piece.plan.name, piece.plan.title, edge.name)
                row = lengths.setdefault(key, np.full(assembly.count, np.nan))
                row[part.bodies] = np.where(piece.drawn, edge.length, np.nan)
    for (name, title, edge_name), length in lengths.items():
        yield Figure("edge", edge_name, "mm", by_piece[name], (name, title)), length


def _refs(piece: p.PiecePlan, plan: p.CuttingPlan) -> Iterator[e.Ref]:
    """The nodes that a piece is made of: its boundaries, and the darts of its draft."""
    for boundary in piece.boundary:
        yield boundary.line
    for dart in plan.darts:
        if dart.draft == piece.draft:
            parts = (dart.mouth, dart.apex, dart.intake, dart.angle, dart.short)
            yield from (ref for ref in parts if ref is not None)
