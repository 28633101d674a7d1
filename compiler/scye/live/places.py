"""Where in the texts of a recipe the things of a pattern are written."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TypeVar

from scye.drafting import Compiled
from scye.ir.equations import Node
from scye.ir.plan import CuttingPlan, MovePlan
from scye.source import Span

Key = TypeVar("Key")


@dataclass(frozen=True, slots=True)
class Places:
    """The words that made each thing: its statement, or its name where that opens a block. Of what was made
    twice the first is told.

    Pieces, edges (piece, edge), darts and seams (by letter) go by the names that they have in the `Pattern`,
    proofs by their title. `names` has every named amount, point and line of the draft by its full name, as
    `front.waist_line`; `lines` has for an edge the clause of its piece that asks for it.
    """

    pieces: Mapping[str, Span]
    edges: Mapping[tuple[str, str], Span]
    lines: Mapping[tuple[str, str], Span]
    darts: Mapping[str, Span]
    seams: Mapping[str, Span]
    proofs: Mapping[str, Span]
    names: Mapping[str, Span]


NOWHERE = Places(*(MappingProxyType({}) for _ in range(7)))


def places_of(compiled: Compiled) -> Places:
    """The places of all that a compiled recipe makes."""
    plan, nodes = compiled.plan, compiled.runnable.ordered.equations.nodes
    edges = [((p.name, b.name), b) for p in plan.pieces for b in p.boundary]
    return Places(
        pieces=_first((p.name, p.span) for p in plan.pieces),
        edges=_first((key, _statement(nodes[b.line])) for key, b in edges),
        lines=_first((key, b.span) for key, b in edges),
        darts=_darts(plan),
        seams=_first((s.letter, s.span) for s in plan.seams),
        proofs=_first((p.title, p.span) for p in plan.proofs),
        names=_first((n.name, _statement(n)) for n in nodes if n.name),
    )


def _darts(plan: CuttingPlan) -> Mapping[str, Span]:
    """Darts as they were drawn, and those that moving has made, by the clause that moves them."""
    moved = [(m.new_name, m.span) for p in plan.pieces for m in p.moves if isinstance(m, MovePlan)]
    return _first([*((d.name, d.span) for d in plan.darts), *moved])


def _statement(node: Node) -> Span:
    return node.statement.span if node.statement is not None else node.span


def _first(rows: Iterable[tuple[Key, Span]]) -> Mapping[Key, Span]:
    found: dict[Key, Span] = {}
    for key, span in rows:
        found.setdefault(key, span)
    return MappingProxyType(found)
