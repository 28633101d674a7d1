"""Keeping words off the joints of pages: joints as boxes, and labels along edges slid clear of them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from scye.ir.pattern import Edge, EdgeLabel, Piece, Point, Stroke
from scye.ir.sheets import Box
from scye.place.ground import Places, places_along
from scye.place.outline import overlaps
from scye.place.turning import readable_angle
from scye.place.widths import text_width

SMALL = 2.8
# Labels are slid along their edge in steps of this, mm.
STEP = 2.0
# Between a label and a dart or another label, mm.
CLEAR = 1.0


def turned_box(centre: Point, width: float, height: float, angle: float) -> Box:
    """The upright bounds of a turned rectangle."""
    cosine, sine = abs(math.cos(angle)), abs(math.sin(angle))
    across, down = (width * cosine + height * sine) / 2, (width * sine + height * cosine) / 2
    return Box(centre[0] - across, centre[1] - down, centre[0] + across, centre[1] + down)


def edge_label_box(label: EdgeLabel) -> Box:
    """The room of a letter with its ring, or of an allowance."""
    if label.role == "letter":
        ring = 2 * letter_radius(label.text)
        return turned_box(label.at, ring, ring, 0.0)
    return turned_box(label.at, text_width(label.text, SMALL) + 1, 4, label.angle)


def letter_radius(text: str) -> float:
    return max(3.8, 1.5 * len(text) + 1.8)


def crosses(box: Box, joints: Sequence[Box]) -> bool:
    return any(overlaps(box, joint) for joint in joints)


def clear_edge_labels(piece: Piece, joints: Sequence[Box] = ()) -> Piece:
    """The piece with the labels that lie on a joint, a dart or the grain slid along their edges, no more than
    need be."""
    off = (*joints, *_lines(piece))
    if not any(crosses(edge_label_box(label), off) for label in piece.edge_labels):
        return piece
    labels = list(piece.edge_labels)
    walks = [_walk(edge) for edge in piece.edges if not edge.on_fold]
    for i, label in enumerate(labels):
        if walks and crosses(edge_label_box(label), off):
            others = [edge_label_box(other) for k, other in enumerate(labels) if k != i]
            slid = _slid(label, walks, [*off, *others])
            # Where no place is clear of everything, a joint is the worst.
            labels[i] = slid if slid is not label else _slid(label, walks, [*joints, *others])
    return replace(piece, edge_labels=tuple(labels))


def _lines(piece: Piece) -> Iterator[Box]:
    """Small boxes along the grain and the lines of darts, so that no ring covers them."""
    grain = Stroke(piece.grain[0], ((piece.grain[1],),), False)
    for stroke in (grain, *(line for dart in piece.darts for line in (*dart.legs, dart.fold))):
        for x, y in places_along(stroke, 2 * CLEAR).tolist():
            yield Box(x - CLEAR, y - CLEAR, x + CLEAR, y + CLEAR)


@dataclass(frozen=True, slots=True, eq=False)
class _Walk:
    """Places along an edge a step apart, and the direction of the edge at each."""

    edge: Edge
    places: Places
    ways: Places


def _walk(edge: Edge) -> _Walk:
    places = places_along(edge.path, STEP, STEP)
    after, before = np.roll(places, -1, axis=0), np.roll(places, 1, axis=0)
    after[-1], before[0] = places[-1], places[0]
    ways = after - before
    return _Walk(edge, places, ways / np.maximum(np.hypot(*ways.T), 1e-9)[:, None])


def _slid(label: EdgeLabel, walks: Sequence[_Walk], taken: Sequence[Box]) -> EdgeLabel:
    """The label at the nearest place of its edge that is free; where it was if none is."""
    walk, k = _own(label, walks)
    aside = _aside(walk, k, label.at)
    low, high = _reach(walk, k) if label.role == "allowance" else (0, len(walk.places))
    for i in sorted(range(low, high), key=lambda i: abs(i - k)):
        moved = _moved(label, walk, i, aside)
        if not crosses(edge_label_box(moved), taken):
            return moved
    return label


def _own(label: EdgeLabel, walks: Sequence[_Walk]) -> tuple[_Walk, int]:
    """The edge that a label lies along, and the place of it nearest to the label."""
    away = [np.hypot(*(walk.places - np.array(label.at)).T) for walk in walks]
    nearest = min(range(len(walks)), key=lambda i: float(away[i].min()))
    return walks[nearest], int(away[nearest].argmin())


def _aside(walk: _Walk, k: int, at: Point) -> float:
    """How far the label stands off its edge, to the left of the way it runs."""
    (x, y), (right, down) = walk.places[k], walk.ways[k]
    return float((at[0] - x) * -down + (at[1] - y) * right)


def _reach(walk: _Walk, k: int) -> tuple[int, int]:
    """The places of the stretch with one allowance that place `k` is on."""
    steps = np.hypot(*np.diff(walk.places, axis=0).T)
    along = np.concatenate([[0.0], np.cumsum(steps)])
    here = float(along[k])
    runs = walk.edge.allowances
    if not runs:
        return 0, len(walk.places)
    own = min(runs, key=lambda run: max(run.start - here, here - run.end))
    low, high = np.searchsorted(along, [own.start, own.end])
    return int(low), int(max(low + 1, high))


def _moved(label: EdgeLabel, walk: _Walk, i: int, aside: float) -> EdgeLabel:
    (x, y), (right, down) = walk.places[i].tolist(), walk.ways[i].tolist()
    angle = label.angle if label.role == "letter" else readable_angle(math.atan2(down, right))
    return replace(label, at=(x - down * aside, y + right * aside), angle=angle)
