"""A piece on the fold whose halves differ, opened out to one whole piece."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from scye.fit.mirror import Axis, mirrored
from scye.ir.fitting import Side
from scye.ir.pattern import Edge, Notch, Piece, Point, Stroke

ON_FOLD = 0.05  # mm from the fold within which a line lies on it
GAP = 1e-6  # mm between two lines that are joined by no straight


def opened_out(half: Piece, other: Piece, side: Side) -> Piece:
    """The half as it was drawn, which is for `side`, joined along the fold with the other half turned over.

    Most folds are a line of the draft that lies alike in both halves. Where they lie apart, as at the end of
    a neck that is as long as its own half's, the other half is carried until its fold lies on this one's.
    """
    axis = axis_of(_fold_of(half))
    theirs = axis_of(_fold_of(other))
    apart = max(axis.off(end) for end in _ends(_fold_of(other))) > ON_FOLD
    beyond = _carried(other, theirs, axis) if apart else mirrored(other, axis)
    far: Side = "left" if side == "right" else "right"
    edges = (*_handed(_from_fold(half), side), *_handed(_from_fold(beyond), far))
    return replace(
        half,
        net=_closed([edge.path for edge in edges]),
        cutting=_closed([_open(half.cutting, axis), _open(beyond.cutting, axis)]),
        edges=edges,
        notches=(*_named(half.notches, side), *_named(beyond.notches, far)),
        darts=(*half.darts, *beyond.darts),
        drills=(*half.drills, *beyond.drills),
        edge_labels=(*half.edge_labels, *beyond.edge_labels),
        levels=(*half.levels, *beyond.levels) if apart else tuple(_levels(half, beyond, axis)),
        shown=(*half.shown, *beyond.shown),
        marked=(*half.marked, *beyond.marked),
    )


def _carried(other: Piece, theirs: Axis, axis: Axis) -> Piece:
    """A half turned over and laid so that its fold begins where `axis` begins and runs the same way.

    Turned over in the line halfway between both directions, and then moved, which is to be turned over twice.
    """
    angle = (math.atan2(theirs.way[1], theirs.way[0]) + math.atan2(axis.way[1], axis.way[0])) / 2
    lying = mirrored(other, Axis(theirs.point, (math.cos(angle), math.sin(angle))))
    (px, py), (qx, qy) = theirs.point, axis.point
    far = math.hypot(qx - px, qy - py)
    if far <= GAP:
        return lying
    across = (-(qy - py) / far, (qx - px) / far)
    once = mirrored(lying, Axis(theirs.point, across))
    return mirrored(once, Axis(((px + qx) / 2, (py + qy) / 2), across))


def _fold_of(piece: Piece) -> Edge:
    return next(edge for edge in piece.edges if edge.on_fold)


def _ends(edge: Edge) -> tuple[Point, Point]:
    return edge.path.start, edge.path.segments[-1][-1]


def axis_of(fold: Edge) -> Axis:
    (ax, ay), (bx, by) = _ends(fold)
    far = math.dist((ax, ay), (bx, by))
    return Axis((ax, ay), ((bx - ax) / far, (by - ay) / far))


def _from_fold(piece: Piece) -> tuple[Edge, ...]:
    """The edges round a piece from the one after the fold to the one before it."""
    at = next(i for i, edge in enumerate(piece.edges) if edge.on_fold)
    return (*piece.edges[at + 1 :], *piece.edges[:at])


def _handed(edges: tuple[Edge, ...], side: Side) -> Iterator[Edge]:
    for edge in edges:
        yield replace(edge, name=f"{side}_{edge.name}")


def _named(notches: tuple[Notch, ...], side: Side) -> Iterator[Notch]:
    for notch in notches:
        yield replace(notch, edge=f"{side}_{notch.edge}")


def _closed(parts: list[Stroke]) -> Stroke:
    """Strokes one after another as one closed line; what is apart is joined by a straight."""
    here = parts[0].start
    segments: list[tuple[Point, ...]] = []
    for part in (*parts, Stroke(parts[0].start, (), False)):
        if math.dist(here, part.start) > GAP:
            segments.append((part.start,))
        segments.extend(part.segments)
        here = part.segments[-1][-1] if part.segments else part.start
    return Stroke(parts[0].start, tuple(segments), True)


def _open(line: Stroke, axis: Axis) -> Stroke:
    """A closed line without what lies along the fold: from where it leaves the fold to where it is back."""
    begins = [line.start, *(segment[-1] for segment in line.segments[:-1])]
    rows = list(zip(begins, line.segments, strict=True))
    lying = [axis.off(begin) <= ON_FOLD and axis.off(segment[-1]) <= ON_FOLD for begin, segment in rows]
    first = next(i for i in range(len(rows)) if lying[i - 1] and not lying[i])
    ordered = [*rows[first:], *rows[:first]]
    kept = [row for row, on in zip(ordered, [*lying[first:], *lying[:first]], strict=True) if not on]
    return Stroke(kept[0][0], tuple(segment for _, segment in kept), False)


def _levels(half: Piece, beyond: Piece, axis: Axis) -> Iterator[tuple[str, Point, Point]]:
    """Each level right across, from the farthest point on one half to the farthest on the other."""
    others = {name: (a, b) for name, a, b in beyond.levels}
    for name, a, b in half.levels:
        if name in others:
            near = max((a, b), key=axis.off)
            yield name, near, max(others[name], key=axis.off)
        else:
            yield name, a, b
    names = {name for name, _, _ in half.levels}
    for name, a, b in beyond.levels:
        if name not in names:
            yield name, a, b
