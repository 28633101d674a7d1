"""Beside which pieces a finding stands: those that it names, or that hang on what it is about."""

from __future__ import annotations

from functools import cached_property

from scye.drafting import Compiled
from scye.ir import equations as e
from scye.ir.pattern import Finding
from scye.ir.plan import PiecePlan
from scye.order.graph import inputs
from scye.source import Span
from scye.units.names import plain_name

# What more pieces hang on than this is about the whole garment, and stands beside none.
MOST_PIECES = 3


class Beside:
    """Looks for the pieces of findings in what a recipe was compiled to."""

    def __init__(self, compiled: Compiled) -> None:
        self._plan = compiled.plan
        self._nodes = compiled.runnable.ordered.equations.nodes

    def pieces(self, finding: Finding) -> list[str]:
        """The names of the pieces, in the order of the recipe; none where it is about all of them."""
        named = [p.name for p in self._plan.pieces if _names(finding.where, p)]
        if named or finding.span is None:
            return named
        joined = self._joined(finding.span)
        if joined:
            return joined
        about = self._about(finding.span)
        found = [name for name, made_from in self._made_from.items() if not about.isdisjoint(made_from)]
        return found if len(found) <= MOST_PIECES else []

    def _joined(self, span: Span) -> list[str]:
        """The pieces of a seam."""
        sides = [side for sew in self._plan.seams if sew.span == span for side in (*sew.first, *sew.second)]
        return list(dict.fromkeys(side.piece for side in sides))

    def _about(self, span: Span) -> set[e.Ref]:
        """The things of the draft that a statement makes, or that it keeps within a limit."""
        made = {ref for ref, node in enumerate(self._nodes) if span in (node.span, _statement(node))}
        kept = {keep.value for keep in self._plan.keeps if keep.span == span}
        return made | kept | {limit.used for limit in self._plan.limits if limit.span == span}

    @cached_property
    def _made_from(self) -> dict[str, set[e.Ref]]:
        """All that the lines round each piece are made from."""
        return {piece.name: self._sources(piece) for piece in self._plan.pieces}

    def _sources(self, piece: PiecePlan) -> set[e.Ref]:
        waiting = [bound.line for bound in piece.boundary]
        found = set(waiting)
        while waiting:
            for ref in inputs(self._nodes[waiting.pop()].op):
                if ref not in found:
                    found.add(ref)
                    waiting.append(ref)
        return found


def _statement(node: e.Node) -> Span | None:
    return node.statement.span if node.statement is not None else None


def _names(where: str, piece: PiecePlan) -> bool:
    """Whether a finding's place is a piece, or something of it: `front side`, `front_side.armhole`."""
    said = (piece.name, piece.title, plain_name(piece.name))
    return where in said or where.startswith((f"{piece.name}.", f"{piece.title} "))
