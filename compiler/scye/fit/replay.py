"""Replay: fitting corrections, in the order of their dates, laid over a recipe's equations and plan.

Reads the equations and the cutting plan of an expanded recipe. Adds, for each correction, the moved edges,
their neighbours trued and what checks them; exchanges lines in their own places, so that sleeves, lengths and
whatever else is drawn from an edge follow by themselves. Never looks at a body: how much each body has of a
correction comes in as a choice (`amount_key`), nothing for a side that it is not meant for. A correction that
cannot be placed changes nothing and says why.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TypedDict

from scye.fit import words
from scye.fit.layers import Inputs, Layers, Renamed
from scye.fit.names import (
    STEPS,
    Corner,
    Crossing,
    EdgeOf,
    Place,
    Upright,
    find_edges,
    find_place,
    is_piece,
    plainly,
)
from scye.ir import equations as e
from scye.ir import plan as p
from scye.ir.fitting import Correction, Fitting, Outcome
from scye.units.quantity import Kind

_ALL_ALONG = "all along"
# Which way a verb moves an edge: into its piece (1) or out of it (-1), or up or down the paper.
_SQUARE = {"take in": 1.0, "let out": -1.0}
_UPRIGHT = {"raise": -1.0, "lower": 1.0, "drop": 1.0}


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


class _Refused(Exception):
    """A correction can't be replayed; the reason is said in the maker's words."""


@dataclass(frozen=True, slots=True)
class _Asked:
    """A correction on one edge: its own share of the amount and its places as nodes of the draft."""

    edge: EdgeOf
    start: e.Ref
    end: e.Ref
    share: float
    at: e.Ref | None
    nothing: tuple[e.Ref, ...]
    carried: tuple[e.Ref, ...]
    said: str


class _Replay:
    """The state of a replay: equations and plan as corrected so far."""

    def __init__(self, layers: Layers, plan: p.CuttingPlan) -> None:
        self.layers = layers
        self.plan = plan

    def lay(self, number: int, correction: Correction) -> Laid:
        if correction.only and plainly(correction.only) not in (
            plainly(self.plan.slug),
            plainly(self.plan.title),
        ):
            return Laid("for another recipe", (), f"it is for {correction.only} only")
        try:
            return self._laid(number, correction)
        except _Refused as refused:
            return Laid("left out", (), str(refused))

    def _laid(self, number: int, correction: Correction) -> Laid:
        edges, share = self._edges(correction)
        span = self.plan.pieces[0].span
        amount = self.layers.add(Kind.LENGTH, e.Chosen(amount_key(number)), span)
        asked = [a for edge in edges if (a := self._asked(edge, share, correction)) is not None]
        if not asked:
            raise _Refused(self._no_place(edges[0], correction))
        return Laid("replayed", _Laying(self, correction, amount).lay(asked), "")

    # --- what is meant ----------------------------------------------------------------------

    def _edges(self, correction: Correction) -> tuple[tuple[EdgeOf, ...], float]:
        """The edges to move, and what share of the amount each takes."""
        if correction.piece and not any(is_piece(piece, correction.piece) for piece in self.plan.pieces):
            raise _Refused(f"{correction.piece} is no longer a piece of this recipe")
        found = find_edges(self.plan, correction)
        if found is None:
            raise _Refused(f"{words.seam_words(correction.seam)} is no longer in this recipe")
        square = correction.verb in _SQUARE
        folds = [edge for edge in found.edges if square and _on_fold(edge)]
        if folds:
            raise _Refused(f"{words.edge_words(folds[0])} is cut on the fold")
        halved = found.seam is not None and square
        if found.seam is not None and found.seam.to_pair and correction.side != "both":
            halved = False
        return found.edges, 0.5 if halved else 1.0

    def _asked(self, edge: EdgeOf, share: float, correction: Correction) -> _Asked | None:
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
        return _Asked(edge, start, end, share, at, rows[0], rows[1], shown)

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

    # --- what the plan knows ----------------------------------------------------------------

    def endless(self, ref: e.Ref) -> bool:
        """Whether a line is a guide: a thing to draft from, and no edge drawn for itself."""
        op = self.layers.nodes[ref].op
        match op:
            case e.GuideLine() | e.CircleLine():
                return True
            case e.Alias(a=line) | e.MirrorLine(line=line) | e.TurnLine(line=line) | e.MoveLine(line=line):
                return self.endless(line)
            case e.ReverseLine(line=line) | e.ExtendLine(line=line):
                return self.endless(line)
            case _:
                return False

    def on_both_sides(self, ref: e.Ref) -> bool:
        """Whether a line is sewn to itself: two pieces lie along it, one on either side."""
        lines = {(piece.name, b.name): b.line for piece in self.plan.pieces for b in piece.boundary}
        for seam in self.plan.seams:
            one, two = ({lines[s.piece, s.edge] for s in side} for side in (seam.first, seam.second))
            if not seam.to_pair and ref in one and ref in two:
                return True
        return False


def _on_fold(edge: EdgeOf) -> bool:
    return any(cut.how == "fold" and cut.fold == edge.boundary.name for cut in edge.piece.cuts)


PointChange = Callable[[e.Ref | None], e.Ref | None]
PieceChange = Callable[[p.PiecePlan], p.PiecePlan]


class _Laying:
    """One correction being laid."""

    def __init__(self, replay: _Replay, correction: Correction, amount: e.Ref) -> None:
        self.replay, self.layers = replay, replay.layers
        self.correction = correction
        self.amount = amount
        self.old: dict[e.Ref, e.Ref] = {}

    def lay(self, asked: Sequence[_Asked]) -> tuple[tuple[str, e.Ref], ...]:
        """Lay the correction on its edges; answers them in words, with what says whether it was placed."""
        apart = [a for a in asked if self._stands_apart(a)]
        lines: dict[e.Ref, _Asked] = {}
        for a in asked:
            if a not in apart:
                lines.setdefault(a.edge.boundary.line, a)
        beside = [(b.line, a) for a in lines.values() for b in self._neighbours(a) if b.line not in lines]
        self.old = self.layers.keep([*lines, *(line for line, _ in beside)])
        moves = {ref: self._move(a) for ref, a in lines.items()}
        for ref, move in moves.items():
            self.layers.exchange(ref, e.FittedLine(**_fields(move)))
        for ref, a in beside:
            self._follow(ref, moves[a.edge.boundary.line])
        for a in lines.values():
            self._points_follow(a, moves[a.edge.boundary.line])
        every = [(a, moves[a.edge.boundary.line]) for a in asked if a not in apart]
        every += [(a, self._apart(a)) for a in apart]
        self._note(every)
        return tuple((a.said, self._add(Kind.NUMBER, e.FitPlaced(**_fields(m)), a)) for a, m in every)

    def _stands_apart(self, a: _Asked) -> bool:
        """Whether only the piece's own edge may move, not the line that others are drawn from."""
        line = a.edge.boundary.line
        square = self.correction.verb in _SQUARE
        return self.replay.endless(line) or (square and self.replay.on_both_sides(line))

    def _neighbours(self, a: _Asked) -> list[p.BoundaryPlan]:
        return [b for step in STEPS if not self.replay.endless((b := a.edge.beside(step)).line)]

    def _add(self, kind: Kind, op: e.Operation, a: _Asked) -> e.Ref:
        return self.layers.add(kind, op, a.edge.boundary.span, a.edge.piece.draft)

    def _was(self, ref: e.Ref) -> e.Ref:
        return self.old.get(ref, ref)

    def _number(self, value: float, a: _Asked) -> e.Ref:
        return self._add(Kind.NUMBER, e.Constant(value), a)

    def _times(self, ref: e.Ref, factor: e.Ref, a: _Asked) -> e.Ref:
        return self._add(Kind.LENGTH, e.Combine("*", ref, factor), a)

    def _move(self, a: _Asked) -> e.FitMove:
        """How an edge moves: square into its piece or out of it, or up or down the paper."""
        verb = self.correction.verb
        share = self._times(self.amount, self._number(a.share, a), a)
        if verb in _SQUARE:
            boundary = a.edge.piece.boundary
            lines = tuple(self._was(b.line) for b in boundary)
            meets = tuple(None if b.meets_next_at is None else self._was(b.meets_next_at) for b in boundary)
            inward = self._add(Kind.NUMBER, e.PieceSide(lines, meets, a.edge.number), a)
            way = self._times(self._times(share, inward, a), self._number(_SQUARE[verb], a), a)
            return self._fit_move(a, way, None)
        down = self._add(Kind.DIRECTION, e.Fixed(0.0, _UPRIGHT[verb]), a)
        return self._fit_move(a, share, down)

    def _fit_move(self, a: _Asked, amount: e.Ref, toward: e.Ref | None) -> e.FitMove:
        was = self._was
        return e.FitMove(
            was=was(a.edge.boundary.line),
            start=was(a.start),
            end=was(a.end),
            amount=amount,
            toward=toward,
            at=None if a.at is None else was(a.at),
            nothing=tuple(was(ref) for ref in a.nothing),
            carried=tuple(was(ref) for ref in a.carried),
        )

    # --- what follows -----------------------------------------------------------------------

    def _follow(self, ref: e.Ref, move: e.FitMove) -> None:
        """A neighbour, as it is drawn now, trued to the moved edge in its own place."""
        node = self.layers.nodes[ref]
        now = self.layers.add(node.kind, node.op, node.span, node.draft)
        self.layers.exchange(ref, e.FollowedLine(**_fields(move), line=now))

    def _points_follow(self, a: _Asked, move: e.FitMove) -> None:
        """Points of the plan that lie on the moved line go with it: corners, notches, ends of allowances."""
        moved: dict[e.Ref, e.Ref] = {}

        def point(ref: e.Ref | None) -> e.Ref | None:
            if ref is None:
                return None
            if ref not in moved:
                moved[ref] = self._add(Kind.POINT, e.FollowedPoint(**_fields(move), point=ref), a)
            return moved[ref]

        line = a.edge.boundary.line
        with_line = {x.name for x in self.replay.plan.pieces for b in x.boundary if b.line == line}
        self._change_pieces(with_line, lambda piece: _with_points(piece, point))
        seams = tuple(_seam_points(s, with_line, point) for s in self.replay.plan.seams)
        self.replay.plan = replace(self.replay.plan, seams=seams)

    def _change_pieces(self, names: set[str], change: PieceChange) -> None:
        pieces = tuple(change(x) if x.name in names else x for x in self.replay.plan.pieces)
        self.replay.plan = replace(self.replay.plan, pieces=pieces)

    def _apart(self, a: _Asked) -> e.FitMove:
        """Only the piece's own edge moved, with its neighbours there; the line itself stays for the draft."""
        move = self._move(a)
        line = self._add(Kind.LINE, e.FittedLine(**_fields(move)), a)
        new = {a.edge.number: line}
        count = len(a.edge.piece.boundary)
        for step in STEPS:
            beside = a.edge.beside(step)
            if not self.replay.endless(beside.line):
                op = e.FollowedLine(**_fields(move), line=beside.line)
                new[(a.edge.number + step) % count] = self._add(Kind.LINE, op, a)

        def change(piece: p.PiecePlan) -> p.PiecePlan:
            boundary = tuple(replace(b, line=new.get(i, b.line)) for i, b in enumerate(piece.boundary))
            return replace(piece, boundary=boundary)

        self._change_pieces({a.edge.piece.name}, change)
        darts = tuple(
            replace(d, edge_line=line) if d.edge_line == a.edge.boundary.line else d
            for d in self.replay.plan.darts
        )
        self.replay.plan = replace(self.replay.plan, darts=darts)
        self._points_follow(replace(a, edge=EdgeOf(self._piece(a.edge.piece.name), a.edge.number)), move)
        return move

    def _piece(self, name: str) -> p.PiecePlan:
        return next(piece for piece in self.replay.plan.pieces if piece.name == name)

    # --- what proofs must know --------------------------------------------------------------

    def _note(self, every: Sequence[tuple[_Asked, e.FitMove]]) -> None:
        """What each moved edge takes off its piece at every line that a proof measures it at."""
        verb = self.correction.verb
        if verb not in _SQUARE:
            return
        notes = []
        for a, move in every:
            amount = self._times(self.amount, self._number(a.share * _SQUARE[verb], a), a)
            for line in _measured_at(self.replay.plan, a.edge.piece):
                op = e.FittedAt(**_fields(replace(move, amount=amount)), level=line)
                notes.append(
                    p.FittedPlan(a.edge.piece.name, a.edge.piece.draft, line, self._add(Kind.LENGTH, op, a))
                )
        self.replay.plan = replace(self.replay.plan, fitted=(*self.replay.plan.fitted, *notes))


class _MoveFields(TypedDict):
    """The fields that every operation of a move has."""

    was: e.Ref
    start: e.Ref
    end: e.Ref
    amount: e.Ref
    toward: e.Ref | None
    at: e.Ref | None
    nothing: tuple[e.Ref, ...]
    carried: tuple[e.Ref, ...]


def _fields(move: e.FitMove) -> _MoveFields:
    return {
        "was": move.was,
        "start": move.start,
        "end": move.end,
        "amount": move.amount,
        "toward": move.toward,
        "at": move.at,
        "nothing": move.nothing,
        "carried": move.carried,
    }


def _with_points(piece: p.PiecePlan, point: PointChange) -> p.PiecePlan:
    return replace(
        piece,
        boundary=tuple(replace(b, meets_next_at=point(b.meets_next_at)) for b in piece.boundary),
        allowances=tuple(replace(x, start=point(x.start), end=point(x.end)) for x in piece.allowances),
        notches=tuple(replace(x, point=point(x.point)) for x in piece.notches),
    )


def _seam_points(seam: p.SewPlan, pieces: set[str], point: PointChange) -> p.SewPlan:
    one, two = (any(s.piece in pieces for s in side) for side in (seam.first, seam.second))
    matches = tuple(
        replace(m, first=point(m.first) if one else m.first, second=point(m.second) if two else m.second)
        for m in seam.matches
    )
    return replace(seam, matches=matches)


def _measured_at(plan: p.CuttingPlan, piece: p.PiecePlan) -> Iterator[e.Ref]:
    """The lines at which some proof measures a piece, each once."""
    lines: dict[e.Ref, None] = {}
    for proof in plan.proofs:
        for term in (*proof.left, *proof.right):
            value = term.value
            if isinstance(value, p.MeasuredOnPieces) and _measures(value, piece):
                lines[value.line] = None
    yield from lines


def _measures(value: p.MeasuredOnPieces, piece: p.PiecePlan) -> bool:
    return value.piece == piece.name or (value.what == "girth" and value.draft == piece.draft)
