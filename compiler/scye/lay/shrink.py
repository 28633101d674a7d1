"""Shrinkage built into pieces: each made larger by what the cloth will lose, along its grain and across."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

from scye.ir.lay import PieceToLay, Shrinkage
from scye.ir.pattern import DartMark, Edge, EdgeLabel, FindingMark, Notch, Piece, Point, Stroke

Move = Callable[[Point], Point]


def shrinkage_words(shrinkage: Shrinkage) -> str:
    along, across = per_cent(shrinkage.along), per_cent(shrinkage.across)
    return f"shrinkage built in: {along} along the grain, {across} across"


def per_cent(share: float) -> str:
    return f"{share * 100:.1f}".rstrip("0").rstrip(".") + " %"


def grown_to_lay(piece: PieceToLay, shrinkage: Shrinkage) -> PieceToLay:
    """What a lay takes of a piece, larger by its shrinkage."""
    move = _move(piece.grain, shrinkage)
    fold = None if piece.fold is None else (move(piece.fold[0]), move(piece.fold[1]))
    grain = (move(piece.grain[0]), move(piece.grain[1]))
    return replace(piece, cutting=_stroke(piece.cutting, move), grain=grain, fold=fold)


def grown(piece: Piece, shrinkage: Shrinkage) -> Piece:
    """A piece to be printed larger by its shrinkage, which its label says.

    The lengths told of its edges stay those after washing, at which its seams were walked.
    """
    move = _move(piece.grain, shrinkage)
    return replace(
        piece,
        net=_stroke(piece.net, move),
        cutting=_stroke(piece.cutting, move),
        edges=tuple(_edge(edge, move) for edge in piece.edges),
        notches=tuple(_notch(notch, move) for notch in piece.notches),
        darts=tuple(_dart(dart, move) for dart in piece.darts),
        drills=tuple(replace(drill, at=move(drill.at)) for drill in piece.drills),
        grain=(move(piece.grain[0]), move(piece.grain[1])),
        labels=(*piece.labels, shrinkage_words(shrinkage)),
        label_at=move(piece.label_at),
        edge_labels=tuple(_label(label, move) for label in piece.edge_labels),
        levels=tuple((name, move(a), move(b)) for name, a, b in piece.levels),
        shown=tuple(replace(line, stroke=_stroke(line.stroke, move)) for line in piece.shown),
        marked=tuple(_marked(mark, move) for mark in piece.marked),
    )


def _move(grain: tuple[Point, Point], shrinkage: Shrinkage) -> Move:
    """New size = size / (1 - shrinkage), along the grain and across it."""
    (ax, ay), (bx, by) = grain
    length = math.hypot(bx - ax, by - ay)
    gx, gy = (bx - ax) / length, (by - ay) / length
    more, wider = 1 / (1 - shrinkage.along), 1 / (1 - shrinkage.across)

    def move(point: Point) -> Point:
        along = (point[0] * gx + point[1] * gy) * more
        across = (point[1] * gx - point[0] * gy) * wider
        return along * gx - across * gy, along * gy + across * gx

    return move


def _stroke(stroke: Stroke, move: Move) -> Stroke:
    segments = tuple(tuple(move(point) for point in segment) for segment in stroke.segments)
    return Stroke(move(stroke.start), segments, stroke.closed)


def _edge(edge: Edge, move: Move) -> Edge:
    return replace(edge, path=_stroke(edge.path, move))


def _marked(mark: FindingMark, move: Move) -> FindingMark:
    return replace(
        mark,
        places=tuple(map(move, mark.places)),
        lines=tuple(_stroke(line, move) for line in mark.lines),
        along=tuple(map(move, mark.along)),
    )


def _notch(notch: Notch, move: Move) -> Notch:
    x, y = move(notch.inward)
    size = math.hypot(x, y)
    return replace(notch, at=move(notch.at), cut=move(notch.cut), inward=(x / size, y / size))


def _dart(dart: DartMark, move: Move) -> DartMark:
    return replace(
        dart,
        pivot=move(dart.pivot),
        point=move(dart.point),
        legs=tuple(_stroke(leg, move) for leg in dart.legs),
        fold=_stroke(dart.fold, move),
    )


def _label(label: EdgeLabel, move: Move) -> EdgeLabel:
    x, y = move((math.cos(label.angle), math.sin(label.angle)))
    return replace(label, at=move(label.at), angle=math.atan2(y, x))
