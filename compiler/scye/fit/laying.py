"""Laying one correction over the equations and the plan of a recipe: moved edges, and what follows them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TypedDict

from scye.fit.layers import Layers
from scye.fit.names import STEPS, EdgeOf
from scye.ir import equations as e
from scye.ir import plan as p
from scye.ir.fitting import Correction
from scye.units.quantity import Kind

# Which way a verb moves an edge: into its piece (1) or out of it (-1), or up or down the paper.
SQUARE = {"take in": 1.0, "let out": -1.0}
UPRIGHT = {"raise": -1.0, "lower": 1.0, "drop": 1.0}


RUN_ON = 25.0  # mm that an edge moved by itself is run on, to meet neighbours it no longer ends at


@dataclass(frozen=True, slots=True)
class Asked:
    """A correction on one edge: its own share of the amount and its places as nodes of the draft."""

    edge: EdgeOf
    start: e.Ref
    end: e.Ref
    share: float
    at: e.Ref | None
    nothing: tuple[e.Ref, ...]
    carried: tuple[e.Ref, ...]
    said: str


def endless(nodes: Sequence[e.Node], ref: e.Ref) -> bool:
    """Whether a line is a guide: a thing to draft from, and no edge drawn for itself."""
    match nodes[ref].op:
        case e.GuideLine() | e.CircleLine():
            return True
        case e.Alias(a=line) | e.MirrorLine(line=line) | e.TurnLine(line=line) | e.MoveLine(line=line):
            return endless(nodes, line)
        case e.ReverseLine(line=line) | e.ExtendLine(line=line) | e.LayLine(line=line):
            return endless(nodes, line)
        case e.ParallelLine(line=line):
            return endless(nodes, line)
        case _:
            return False


def on_both_sides(plan: p.CuttingPlan, ref: e.Ref) -> bool:
    """Whether a line is sewn to itself: two pieces lie along it, one on either side."""
    lines = {(piece.name, b.name): b.line for piece in plan.pieces for b in piece.boundary}
    for seam in plan.seams:
        one, two = ({lines[s.piece, s.edge] for s in side} for side in (seam.first, seam.second))
        if not seam.to_pair and ref in one and ref in two:
            return True
    return False


PointChange = Callable[[e.Ref | None], e.Ref | None]
PieceChange = Callable[[p.PiecePlan], p.PiecePlan]


class Laying:
    """One correction being laid; `plan` is the cutting plan as it comes out."""

    def __init__(self, layers: Layers, plan: p.CuttingPlan, correction: Correction, amount: e.Ref) -> None:
        self.layers = layers
        self.plan = plan
        self.correction = correction
        self.amount = amount
        self.old: dict[e.Ref, e.Ref] = {}

    def lay(self, asked: Sequence[Asked]) -> tuple[tuple[str, e.Ref], ...]:
        """Lay the correction on its edges; answers them in words, with what says whether it was placed."""
        apart = [a for a in asked if self._stands_apart(a)]
        lines: dict[e.Ref, Asked] = {}
        for a in asked:
            if a not in apart:
                lines.setdefault(a.edge.boundary.line, a)
        beside = [(b.line, a) for a in lines.values() for b in self._neighbours(a) if b.line not in lines]
        self.old = self.layers.keep([*lines, *(line for line, _ in beside)])
        moves = {ref: self._move(a) for ref, a in lines.items()}
        for ref, move in moves.items():
            self.layers.exchange(ref, e.FittedLine(**_fields(move), past=0.0))
        for ref, a in beside:
            self._follow(ref, moves[a.edge.boundary.line])
        for a in lines.values():
            self._points_follow(a, moves[a.edge.boundary.line])
        every = [(a, moves[a.edge.boundary.line]) for a in asked if a not in apart]
        every += [(a, self._apart(a)) for a in apart]
        self._note(every)
        return tuple((a.said, self._add(Kind.NUMBER, e.FitPlaced(**_fields(m)), a)) for a, m in every)

    def _stands_apart(self, a: Asked) -> bool:
        """Whether only the piece's own edge may move, not the line that others are drawn from."""
        line = a.edge.boundary.line
        square = self.correction.verb in SQUARE
        return endless(self.layers.nodes, line) or (square and on_both_sides(self.plan, line))

    def _neighbours(self, a: Asked) -> list[p.BoundaryPlan]:
        return [b for step in STEPS if not endless(self.layers.nodes, (b := a.edge.beside(step)).line)]

    def _add(self, kind: Kind, op: e.Operation, a: Asked) -> e.Ref:
        return self.layers.add(kind, op, a.edge.boundary.span, a.edge.piece.draft)

    def _was(self, ref: e.Ref) -> e.Ref:
        return self.old.get(ref, ref)

    def _number(self, value: float, a: Asked) -> e.Ref:
        return self._add(Kind.NUMBER, e.Constant(value), a)

    def _times(self, ref: e.Ref, factor: e.Ref, a: Asked) -> e.Ref:
        return self._add(Kind.LENGTH, e.Combine("*", ref, factor), a)

    def _move(self, a: Asked) -> e.FitMove:
        """How an edge moves: square into its piece or out of it, or up or down the paper."""
        verb = self.correction.verb
        share = self._times(self.amount, self._number(a.share, a), a)
        if verb in SQUARE:
            boundary = a.edge.piece.boundary
            lines = tuple(self._was(b.line) for b in boundary)
            meets = tuple(None if b.meets_next_at is None else self._was(b.meets_next_at) for b in boundary)
            inward = self._add(Kind.NUMBER, e.PieceSide(lines, meets, a.edge.number), a)
            way = self._times(self._times(share, inward, a), self._number(SQUARE[verb], a), a)
            return self._fit_move(a, way, None)
        down = self._add(Kind.DIRECTION, e.Fixed(0.0, UPRIGHT[verb]), a)
        return self._fit_move(a, share, down)

    def _fit_move(self, a: Asked, amount: e.Ref, toward: e.Ref | None) -> e.FitMove:
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

    def _points_follow(self, a: Asked, move: e.FitMove) -> None:
        """Points of the plan that lie on the moved line go with it: corners, notches, ends of allowances."""
        moved: dict[e.Ref, e.Ref] = {}

        def point(ref: e.Ref | None) -> e.Ref | None:
            if ref is None:
                return None
            if ref not in moved:
                moved[ref] = self._add(Kind.POINT, e.FollowedPoint(**_fields(move), point=ref), a)
            return moved[ref]

        line = a.edge.boundary.line
        with_line = {x.name for x in self.plan.pieces for b in x.boundary if b.line == line}
        self._change_pieces(with_line, lambda piece: _with_points(piece, point))
        seams = tuple(_seam_points(s, with_line, point) for s in self.plan.seams)
        self.plan = replace(self.plan, seams=seams)

    def _change_pieces(self, names: set[str], change: PieceChange) -> None:
        pieces = tuple(change(x) if x.name in names else x for x in self.plan.pieces)
        self.plan = replace(self.plan, pieces=pieces)

    def _apart(self, a: Asked) -> e.FitMove:
        """Only the piece's own edge moved, with its neighbours there; the line itself stays for the draft."""
        move = self._move(a)
        line = self._add(Kind.LINE, e.FittedLine(**_fields(move), past=RUN_ON), a)
        new = {a.edge.number: line}
        count = len(a.edge.piece.boundary)
        for step in STEPS:
            beside = a.edge.beside(step)
            if not endless(self.layers.nodes, beside.line):
                op = e.FollowedLine(**_fields(move), line=beside.line)
                new[(a.edge.number + step) % count] = self._add(Kind.LINE, op, a)

        def change(piece: p.PiecePlan) -> p.PiecePlan:
            lines = [new.get(i, b.line) for i, b in enumerate(piece.boundary)]
            meets = [b.meets_next_at for b in piece.boundary]
            for i in {a.edge.number, (a.edge.number - 1) % count}:
                meets[i] = self._met(a, move, lines[i], lines[(i + 1) % count], meets[i])
            rows = zip(piece.boundary, lines, meets, strict=True)
            return replace(piece, boundary=tuple(replace(b, line=x, meets_next_at=m) for b, x, m in rows))

        self._change_pieces({a.edge.piece.name}, change)
        darts = tuple(
            replace(d, edge_line=line) if d.edge_line == a.edge.boundary.line else d for d in self.plan.darts
        )
        self.plan = replace(self.plan, darts=darts)
        self._points_follow(replace(a, edge=EdgeOf(self._piece(a.edge.piece.name), a.edge.number)), move)
        return move

    def _met(
        self, a: Asked, move: e.FitMove, line: e.Ref, following: e.Ref, named: e.Ref | None
    ) -> e.Ref | None:
        """Where the moved edge meets a neighbour, if the recipe named the place before."""
        if named is None:
            return None
        near = self._add(Kind.POINT, e.FollowedPoint(**_fields(move), point=named), a)
        return self._add(Kind.POINT, e.EdgeEnd(line, following, near), a)

    def _piece(self, name: str) -> p.PiecePlan:
        return next(piece for piece in self.plan.pieces if piece.name == name)

    # --- what proofs must know --------------------------------------------------------------

    def _note(self, every: Sequence[tuple[Asked, e.FitMove]]) -> None:
        """What each moved edge takes off its piece at every line that a proof measures it at."""
        verb = self.correction.verb
        if verb not in SQUARE:
            return
        notes = []
        for a, move in every:
            amount = self._times(self.amount, self._number(a.share * SQUARE[verb], a), a)
            for line in _measured_at(self.plan, a.edge.piece):
                op = e.FittedAt(**_fields(replace(move, amount=amount)), level=line)
                notes.append(
                    p.FittedPlan(a.edge.piece.name, a.edge.piece.draft, line, self._add(Kind.LENGTH, op, a))
                )
        self.plan = replace(self.plan, fitted=(*self.plan.fitted, *notes))


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
