"""The end of the lesson: the pieces that are cut out of the draft, their allowances and the seams."""

from __future__ import annotations

from collections.abc import Iterator
from typing import assert_never

from scye.ir import plan as p
from scye.ir.lesson import CutOut, Trued, TruedMark
from scye.ir.pattern import Edge, Pattern, Piece, Point, Stroke
from scye.lesson.sketches import box_of, corners_of
from scye.lesson.tape import Tape
from scye.units.names import edge_name, plain_name

_RELEASED = {"gathers": "gathered", "ease": "eased in", "tuck": "folded as a tuck"}


def cut_outs(plan: p.CuttingPlan, pattern: Pattern, tape: Tape) -> Iterator[CutOut]:
    """Every piece, in the recipe's order."""
    plans = {piece.name: piece for piece in plan.pieces}
    for piece in pattern.pieces:
        trued = tuple(_trued(piece, plans[piece.name], tape))
        lines = (*_lines(piece, plans[piece.name], tape), *map(_trued_words, trued))
        box = box_of((*corners_of(piece.cutting), *corners_of(piece.net)))
        boundary = tuple(b.name for b in plans[piece.name].boundary)
        yield CutOut(piece.name, piece.title, lines, boundary, trued, piece.net, piece.cutting, box)


def _trued(piece: Piece, plan: p.PiecePlan, tape: Tape) -> Iterator[Trued]:
    """The edges that darts change: those with a mouth, or all of a piece in which a dart was moved."""
    mouths = {dart.edge for dart in piece.darts}
    for edge in piece.edges:
        if plan.moves or edge.name in mouths:
            yield Trued(edge.name, tuple(_trued_mark(place, tape) for place in _places(edge.path)))


def _places(path: Stroke) -> Iterator[Point]:
    """The corners of an edge, and of what bends a place at each quarter."""
    at = path.start
    yield at
    for segment in path.segments:
        match segment:
            case (one, two, end):
                for t in (0.25, 0.5, 0.75):
                    weights = (1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3
                    corners = (at, one, two, end)
                    x, y = (sum(w * c[i] for w, c in zip(weights, corners, strict=True)) for i in (0, 1))
                    yield x, y
        at = segment[-1]
        yield at


def _trued_mark(place: Point, tape: Tape) -> TruedMark:
    right, down = tape.length(place[0]), tape.length(place[1])
    across = f"{tape.length(abs(place[0])).text} {'right' if place[0] >= 0 else 'left'}"
    along = f"{tape.length(abs(place[1])).text} {'down' if place[1] >= 0 else 'up'}"
    return TruedMark(right, down, f"{across} and {along}")


def _trued_words(trued: Trued) -> str:
    marks = "; ".join(mark.words for mark in trued.marks)
    return (
        f"Fold the dart closed and true {trued.edge}, so that its legs are equal and it runs on over the "
        f"dart. It then passes, from where the draft begins: {marks}."
    )


def seam_lines(pattern: Pattern, tape: Tape) -> Iterator[str]:
    """Each seam with what it joins and how long it is."""
    for seam in sorted(pattern.seams, key=lambda s: (s.order, s.letter)):
        ease = f", easing {tape.length(seam.ease).text}" if seam.ease else ""
        long = tape.length(seam.length_b).text
        yield f"Seam {seam.letter}: join {plain_name(seam.a)} to {plain_name(seam.b)}, {long}{ease}."


def _lines(piece: Piece, plan: p.PiecePlan, tape: Tape) -> Iterator[str]:
    names = [edge.name for edge in piece.edges]
    yield f"Trace off {piece.title}, round it in order: {', '.join(b.name for b in plan.boundary)}."
    for operation in plan.moves:
        yield _done(operation)
    for edge in piece.edges:
        yield f"{edge_name(edge.name, names).capitalize()}: {_allowance(edge, tape)}."
    yield f"{' '.join(order.text[:1].upper() + order.text[1:] for order in piece.cuts)}."


def _done(operation: p.OperationPlan) -> str:
    """One operation on a piece, as it is said at the table; how much is on its sheet."""
    match operation:
        case p.MovePlan(dart=dart, edge=edge, new_name=new):
            return f"Close the dart {dart} and open it at {edge}: {new}."
        case p.ClosePlan(dart=dart):
            return f"Cut out the dart {dart}, lay its sides together and true the edges across it."
        case p.ReleasePlan(dart=dart, kind=kind):
            return f"Do not sew the dart {dart}: it is {_RELEASED[kind]}."
        case p.SlashPlan(kind=kind, edge=edge, far_edge=far, count=count):
            times = f" in {count} places" if count > 1 else ""
            return f"Slash from {edge} to {far}{times}: {kind}."
        case p.BlendPlan(edge=edge):
            return f"Redraw {edge} as one fair line."
        case _:
            assert_never(operation)


def _allowance(edge: Edge, tape: Tape) -> str:
    letters = f", seam {' and '.join(edge.letters)}" if edge.letters else ""
    if edge.on_fold:
        return "on the fold"
    widths = [tape.length(run.width).text for run in edge.allowances if run.width]
    finish = f" ({edge.finish})" if edge.finish else ""
    if not widths:
        return f"net{finish}{letters}"
    turned = ", turned back" if edge.turned_back else ""
    return f"allow {' and '.join(dict.fromkeys(widths))}{turned}{finish}{letters}"
