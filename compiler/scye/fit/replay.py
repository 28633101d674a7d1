"""Replay: fitting corrections, in the order of their dates, laid over a recipe's equations and plan.

Reads the equations and the cutting plan of an expanded recipe. Adds, for each correction, the moved edges,
their neighbours trued and what checks them; exchanges lines in their own places, so that sleeves, lengths and
whatever else is drawn from an edge follow by themselves. Never looks at a body: how much each body has of a
correction comes in as a choice (`amount_key`), nothing for a side that it is not meant for. A correction that
cannot be placed changes nothing and says why.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import PurePath
from typing import Literal

from scye.fit import words
from scye.fit.layers import Inputs, Layers, Renamed
from scye.fit.laying import SQUARE, Asked, Laying, endless, on_both_sides
from scye.fit.names import (
    STEPS,
    Corner,
    Crossing,
    EdgeOf,
    Place,
    Upright,
    find_edges,
    find_place,
    is_beside,
    is_piece,
    plainly,
)
from scye.ir import equations as e
from scye.ir import plan as p
from scye.ir.fitting import Correction, Fitting, Outcome
from scye.units.quantity import Kind

_ALL_ALONG = "all along"
ENDS: tuple[Literal["start"], Literal["end"]] = ("start", "end")


@dataclass(frozen=True, slots=True)
class Laid:
    """How one correction came out for a recipe. `where` names each edge it is on and the place, with a number
    that is 1 for the bodies on whose edge the place was found."""

    outcome: Outcome
    where: tuple[tuple[str, e.Ref], ...]
    reason: str


@dataclass(frozen=True, slots=True)
class Fitted:
    equations: e.Equations
    plan: p.CuttingPlan
    laid: tuple[Laid, ...]


def in_order(fittings: Sequence[Fitting]) -> tuple[tuple[Fitting, Correction], ...]:
    """The corrections of several fittings as they are replayed: by date, then as they were written."""
    dated = sorted(fittings, key=lambda fitting: fitting.date)
    return tuple((fitting, correction) for fitting in dated for correction in fitting.corrections)


def amount_key(number: int) -> str:
    """The name by which the amount of a correction comes in; no choice of a recipe can have it."""
    return f"correction {number}"


Shape = tuple[str, str, str, tuple[str, ...], tuple[str, ...], str, str, str]


def shape_of(fittings: Sequence[Fitting]) -> tuple[Shape, ...]:
    """All but the amounts of some fittings: bodies of one shape are drafted together."""
    return tuple(
        (c.verb, c.seam, c.at, c.nothing_at, c.carried_to, c.piece, c.side, c.only)
        for _, c in in_order(fittings)
    )


def with_fittings(
    equations: e.Equations,
    plan: p.CuttingPlan,
    fittings: Sequence[Fitting],
    inputs: Inputs,
    renamed: Renamed,
) -> Fitted:
    """A recipe with corrections laid over it. `inputs` gives the nodes that an operation refers to, `renamed`
    an operation with some of them exchanged."""
    replay = _Replay(Layers(equations, inputs, renamed), plan)
    laid = tuple(replay.lay(number, c) for number, (_, c) in enumerate(in_order(fittings)))
    return Fitted(replay.layers.done(), replay.plan, laid)


Placed = tuple[tuple[str, e.Ref], ...]


class _Refused(Exception):
    """A correction can't be replayed; the reason is said in the maker's words."""


class _Replay:
    """The state of a replay: equations and plan as corrected so far."""

    def __init__(self, layers: Layers, plan: p.CuttingPlan) -> None:
        self.layers = layers
        self.plan = plan

    def lay(self, number: int, correction: Correction) -> Laid:
        if correction.only and plainly(correction.only) not in self._called():
            return Laid("for another recipe", (), f"it is for {correction.only} only")
        try:
            return self._laid(number, correction)
        except _Refused as refused:
            return Laid("left out", (), str(refused))

    def _called(self) -> set[str]:
        """What the recipe goes by: its title, and the name of its file."""
        files = {PurePath(piece.span.source.name).stem for piece in self.plan.pieces}
        return {plainly(name) for name in (self.plan.slug, self.plan.title, *files)}

    def _laid(self, number: int, correction: Correction) -> Laid:
        edges, share = self._edges(correction)
        span = self.plan.pieces[0].span
        amount = self.layers.add(Kind.LENGTH, e.Chosen(amount_key(number)), span)
        asked = [a for edge in self._meant(edges, correction) if (a := self._asked(edge, share, correction))]
        if not asked:
            raise _Refused(self._no_place(edges[0], correction))
        return Laid("replayed", self._lay(correction, amount, asked), "")

    def _lay(
        self, correction: Correction, amount: e.Ref, asked: Sequence[Asked]
    ) -> tuple[tuple[str, e.Ref], ...]:
        laying = Laying(self.layers, self.plan, correction, amount)
        placed = laying.lay(asked)
        self.plan = laying.plan
        return placed

    # --- what is meant ----------------------------------------------------------------------

    def _edges(self, correction: Correction) -> tuple[tuple[EdgeOf, ...], float]:
        """The edges to move, and what share of the amount each takes."""
        if correction.piece and not any(is_piece(piece, correction.piece) for piece in self.plan.pieces):
            raise _Refused(f"{correction.piece} is no longer a piece of this recipe")
        found = find_edges(self.plan, correction)
        if found is None:
            raise _Refused(f"{words.seam_words(correction.seam)} is no longer in this recipe")
        square = correction.verb in SQUARE
        folds = [edge for edge in found.edges if square and _on_fold(edge)]
        if folds:
            raise _Refused(f"{words.edge_words(folds[0])} is cut on the fold")
        halved = found.seam is not None and square
        if found.seam is not None and found.seam.to_pair and correction.side != "both":
            halved = False
        return found.edges, 0.5 if halved else 1.0

    def _asked(self, edge: EdgeOf, share: float, correction: Correction) -> Asked | None:
        """The correction on an edge; None where the place it is at is not on this edge."""
        start, end = (self._corner(edge, step) for step in STEPS)
        at, said = None, _ALL_ALONG
        if correction.at.lower() != _ALL_ALONG:
            place = self._place(correction.at, edge, correction, start, end)
            if place is None:
                return None
            at, said = place
        rows = []
        for names in (correction.nothing_at, correction.carried_to):
            places = [self._place(name, edge, correction, start, end) for name in names]
            lost = [name for name, place in zip(names, places, strict=True) if place is None]
            if lost:
                raise _Refused(f"{words.edge_words(edge)} has no {lost[0]}")
            rows.append(tuple(place[0] for place in places if place is not None))
        shown = words.edge_said(edge, share, said)
        return Asked(edge, *self._stretch(edge, start, end), share, at, rows[0], rows[1], shown)

    def _meant(self, edges: tuple[EdgeOf, ...], correction: Correction) -> tuple[EdgeOf, ...]:
        """Of several edges that one line makes, those that have the place as a corner, if any do."""
        cornered = [x for x in edges if self._runs_across(x) and is_beside(x, correction.at)]
        return tuple(x for x in edges if x in cornered or not cornered or not self._runs_across(x))

    def _runs_across(self, edge: EdgeOf) -> bool:
        """Whether a drawn line makes the edge of several pieces on one side of it: a top edge over panels."""
        line = edge.boundary.line
        same = [(b.line, b.name) for piece in self.plan.pieces for b in piece.boundary]
        several = same.count((line, edge.boundary.name)) > 1
        return several and not endless(self.layers.nodes, line) and not on_both_sides(self.plan, line)

    def _stretch(self, edge: EdgeOf, start: e.Ref, end: e.Ref) -> tuple[e.Ref, e.Ref]:
        """The ends between which a correction lies: the edge's corners, or the ends of a line that runs over
        several pieces."""
        if not self._runs_across(edge):
            return start, end
        line = edge.boundary.line
        one, two = (
            self.layers.add(Kind.POINT, e.EndPoint(line, which), edge.boundary.span, edge.piece.draft)
            for which in ENDS
        )
        return one, two

    def _place(
        self, name: str, edge: EdgeOf, correction: Correction, start: e.Ref, end: e.Ref
    ) -> tuple[e.Ref, str] | None:
        found = find_edges(self.plan, correction)
        seam = found.seam if found is not None else None
        place = find_place(name, edge, seam, self.plan, self.layers.nodes)
        return None if place is None else (self._as_node(place[0], edge, start, end), place[1])

    def _as_node(self, place: Place, edge: EdgeOf, start: e.Ref, end: e.Ref) -> e.Ref:
        match place:
            case Corner(step=-1):
                return start
            case Corner():
                return end
            case Crossing(ref=ref):
                return ref
            case Upright(which=which):
                op = e.EndOf(start, end, which)
                return self.layers.add(Kind.POINT, op, edge.boundary.span, edge.piece.draft)

    def _corner(self, edge: EdgeOf, step: int) -> e.Ref:
        """The point where an edge meets its neighbour."""
        piece, count = edge.piece, len(edge.piece.boundary)
        before = edge.number if step > 0 else (edge.number - 1) % count
        after = (before + 1) % count
        neighbour = piece.boundary[after if step > 0 else before]
        named = piece.boundary[before].meets_next_at
        op = e.EdgeEnd(edge.boundary.line, neighbour.line, named)
        return self.layers.add(Kind.POINT, op, edge.boundary.span, piece.draft)

    def _no_place(self, edge: EdgeOf, correction: Correction) -> str:
        return f"{words.seam_words(correction.seam)} has no {correction.at}"


def _on_fold(edge: EdgeOf) -> bool:
    return any(cut.how == "fold" and cut.fold == edge.boundary.name for cut in edge.piece.cuts)
