"""Kinds in what is said of findings: lengths, edges and places."""

from __future__ import annotations

from typing import assert_never

from scye.check.pieces import Pieces
from scye.ir import syntax as s
from scye.ir.program import Scope
from scye.units.quantity import Kind


class Findings:
    """Checks the statements that say what is bought; each mistake is noted once, with those of pieces."""

    def __init__(self, pieces: Pieces) -> None:
        self.pieces = pieces
        self.kinds = pieces.kinds

    def finding(self, statement: s.FindingStatement, scope: Scope) -> None:
        match statement:
            case s.Bone(channel=edge, short=short) | s.Busk(edge=edge, short=short):
                self._said((edge,), (short,), scope)
            case s.Fastening(edge=edge, every=every, inset=inset, set_in=set_in):
                self._said((edge,), (every, inset, set_in), scope)
            case s.Lace(edge=edge, opened=opened, closed=closed, tails=tails, bought=bought):
                self._said((edge,), (opened, closed, tails, bought), scope)
            case s.Bind(edges=edges, cut=cut, share=share, joins=joins):
                self._said(edges, (cut, joins), scope)
                if share is not None:
                    self.kinds.want(share, scope, (Kind.PERCENT, Kind.NUMBER), "percentage")
            case s.Tape(line=line, extra=extra):
                self.kinds.line(line, scope)
                self._said((), (extra,), scope)
            case s.Zip(edge=edge, start=start, end=end, loses=loses):
                self._said((edge,), (loses,), scope)
                for place in (start, end):
                    if place is not None:
                        self.kinds.place(place, scope)
            case _:
                assert_never(statement)

    def _said(self, edges: tuple[s.EdgeRef, ...], lengths: tuple[s.Expr | None, ...], scope: Scope) -> None:
        for edge in edges:
            self.pieces.edge_reference(edge, scope)
        for length in lengths:
            if length is not None:
                self.kinds.length(length, scope)
