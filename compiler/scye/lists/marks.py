"""Where findings come on the pieces: places of fasteners along an edge, and where bones lie on it.

Lengths are measured along the stitch line as it is drawn. On an edge that a dart opens, the line as drawn is
longer than as sewn; nothing is marked there.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from scye.ir import notions as n
from scye.ir.pattern import Edge, FindingMark, Piece, Point, Stroke
from scye.ir.plan import CuttingPlan
from scye.lists.half import Half

Places = NDArray[np.float64]

# A curve is followed in so many straight steps: within a hundredth of a mm on the edges of a garment.
STEPS = 64
# The mark of a fastener that isn't said to be set in, from the edge inward; and half of a bone's end (mm).
TICK, END = 6.0, 2.5
# How far words keep from the middle of a ring (mm), and how many chords of an edge they may go along.
RING = 4.0
CHORDS = 4
# How much longer an edge may be drawn than sewn without a dart on it (mm).
NO_DART = 0.1


def with_marks(half: Half, plan: CuttingPlan) -> Half:
    """The half with its findings marked on the pieces, in the order that the recipe names them."""
    pieces = tuple(
        replace(piece, marked=tuple(mark for said in plan.notions for mark in _marks(said, piece, half)))
        for piece in half.pattern.pieces
    )
    return replace(half, pattern=replace(half.pattern, pieces=pieces))


def row_of(length: float, inset: float, every: float) -> tuple[int, float]:
    """How many fasteners go along an edge, and how far apart (mm); none if there is no room."""
    run = length - 2 * inset
    if not (run > 0.0 and every > 0.0):
        return 0, math.nan
    gaps = max(1, math.ceil(run / every - 0.01))
    return gaps + 1, run / gaps


def _marks(said: n.NotionPlan, piece: Piece, half: Half) -> Iterator[FindingMark]:
    match said:
        case n.BonePlan(channel=channel, short=short):
            words = f"{said.steel} bone".strip()
            text = words if said.each == 1 else f"{said.each} {words}s"
            for run in _runs(channel, piece):
                yield from _bone(words, text, run, half.figure(short), half.figure(short))
        case n.BuskPlan(edge=edge, short=short):
            for run in _runs((edge,), piece):
                yield from _bone("busk", "busk", run, half.figure(short) / 2, half.figure(short) / 2)
        case n.FasteningPlan(edge=edge):
            for run in _runs((edge,), piece):
                yield from _fasteners(said, run, half)
        case _:
            return


def _bone(kind: str, text: str, run: _Run, first: float, last: float) -> Iterator[FindingMark]:
    """A line on the stitch line from end to end of the bone, with a bar across each end."""
    start, end = first, run.length - last
    if end > start:
        bars = [Stroke(run.at(s, END), ((run.at(s, -END),),), False) for s in (start, end)]
        yield FindingMark(kind, text, (), (run.part(start, end), *bars), run.beside(END + 1))


def _fasteners(said: n.FasteningPlan, run: _Run, half: Half) -> Iterator[FindingMark]:
    inset = half.figure(said.inset)
    count, apart = row_of(run.length, inset, half.figure(said.every))
    if not count:
        return
    along = [inset + k * apart for k in range(count)]
    text = f"{count} {said.kind}"
    if said.set_in is None:
        ticks = tuple(Stroke(run.at(s, 0.0), ((run.at(s, TICK),),), False) for s in along)
        yield FindingMark(said.kind, text, (), ticks, run.beside(TICK + 1))
    else:
        set_in = half.figure(said.set_in)
        yield FindingMark(
            said.kind, text, tuple(run.at(s, set_in) for s in along), (), run.beside(set_in + RING)
        )


def _runs(edges: Sequence[n.EdgeAt], piece: Piece) -> Iterator[_Run]:
    for edge in piece.edges:
        wanted = n.EdgeAt(piece.name, edge.name) in edges
        if wanted and math.isfinite(edge.length) and abs(edge.drawn - edge.length) <= NO_DART:
            yield _run(edge, piece)


@dataclass(frozen=True, slots=True, eq=False)
class _Run:
    """An edge as places along it: `places` (2, n) in mm, how far along each is, and which side is inside."""

    places: Places
    along: Places
    inside: float

    @property
    def length(self) -> float:
        return float(self.along[-1])

    def at(self, s: float, inward: float) -> Point:
        """The place so far along, and so far inward from there (mm)."""
        x, y = (np.interp(s, self.along, row) for row in self.places)
        k = min(max(int(np.searchsorted(self.along, s)), 1), len(self.along) - 1)
        step = self.places[:, k] - self.places[:, k - 1]
        ux, uy = step / np.hypot(*step)
        return float(x - uy * inward * self.inside), float(y + ux * inward * self.inside)

    def beside(self, inward: float) -> tuple[Point, ...]:
        """Places along the whole edge, so far inside."""
        return tuple(self.at(self.length * k / CHORDS, inward) for k in range(CHORDS + 1))

    def part(self, start: float, end: float) -> Stroke:
        """The line along the edge from one place to another, in straights."""
        between = self.places[:, (self.along > start) & (self.along < end)].T
        others = [*((float(x), float(y)) for x, y in between), self.at(end, 0.0)]
        return Stroke(self.at(start, 0.0), tuple((p,) for p in others), False)


def _run(edge: Edge, piece: Piece) -> _Run:
    places = _places(edge.path)
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(places, axis=1)))])
    x, y = _places(piece.net)
    area = float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum())
    return _Run(places, along, 1.0 if area > 0.0 else -1.0)


def _places(stroke: Stroke) -> Places:
    """Places along a stroke, its ends among them, no two alike."""
    here, rows = np.array(stroke.start), [np.array([stroke.start])]
    t = np.linspace(0.0, 1.0, STEPS + 1)[1:, None]
    for segment in stroke.segments:
        points = np.array(segment)
        if len(segment) == 1:
            rows.append(points)
        else:
            one, two, end = points
            u = 1.0 - t
            rows.append(u**3 * here + 3 * u * u * t * one + 3 * u * t * t * two + t**3 * end)
        here = points[-1]
    places = np.concatenate(rows)
    moved = np.hypot(*np.diff(places, axis=0).T) > 1e-9
    kept: Places = places[np.concatenate([[True], moved])].T
    return kept
