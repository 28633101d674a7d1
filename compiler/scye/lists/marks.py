"""Where findings come on the pieces: places of fasteners along an edge, and where bones lie on it.

Lengths are measured along the stitch line as it is drawn. On an edge that a dart opens, the line as drawn is
longer than as sewn; nothing is marked there.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from scye.ir import notions as n
from scye.ir.pattern import Edge, FindingMark, Piece, Point, Stroke
from scye.ir.plan import CuttingPlan
from scye.lists.half import Half

Places = NDArray[np.float64]

# A curve is followed in so many straight steps: within a twentieth of a mm on the edges of a garment.
STEPS = 24
# The mark of a fastener that isn't said to be set in, from the edge inward; and half of a bone's end (mm).
TICK, END = 6.0, 2.5
# How far words keep from the middle of a ring (mm), and how many chords of an edge they may go along.
RING = 4.0
CHORDS = 4
# How much longer an edge may be drawn than sewn without a dart on it (mm).
NO_DART = 0.1
# Places along an edge that are nearer to each other than this are one (mm).
ALIKE = 1e-9


def with_marks(halves: Sequence[Half], plan: CuttingPlan) -> list[Half]:
    """The halves with their findings marked on the pieces, in the order that the recipe names them. The edges
    of all of them are followed together."""
    runs = _runs_of(halves, plan)
    return [
        replace(half, pattern=replace(half.pattern, pieces=tuple(_marked(half, plan, its))))
        for half, its in zip(halves, runs, strict=True)
    ]


def _marked(half: Half, plan: CuttingPlan, runs: Mapping[n.EdgeAt, _Run]) -> Iterator[Piece]:
    marks = [(said, list(_marks(said, half, runs))) for said in plan.notions]
    for piece in half.pattern.pieces:
        its = tuple(mark for _, rows in marks for name, mark in rows if name == piece.name)
        yield replace(piece, marked=its)


def row_of(length: float, inset: float, every: float) -> tuple[int, float]:
    """How many fasteners go along an edge, and how far apart (mm); none if there is no room."""
    run = length - 2 * inset
    if not (run > 0.0 and every > 0.0):
        return 0, math.nan
    gaps = max(1, math.ceil(run / every - 0.01))
    return gaps + 1, run / gaps


def _marks(
    said: n.NotionPlan, half: Half, runs: Mapping[n.EdgeAt, _Run]
) -> Iterator[tuple[str, FindingMark]]:
    """The marks of one finding, each with the piece that it is on."""
    edges = _on_edges(said)
    its = [(at.piece, run) for at, run in runs.items() if at in edges]
    match said:
        case n.BonePlan(short=short):
            words = f"{said.steel} bone".strip()
            text = words if said.each == 1 else f"{said.each} {words}s"
            for piece, run in its:
                for mark in _bone(words, text, run, half.figure(short), half.figure(short)):
                    yield piece, mark
        case n.BuskPlan(short=short):
            for piece, run in its:
                for mark in _bone("busk", "busk", run, half.figure(short) / 2, half.figure(short) / 2):
                    yield piece, mark
        case n.FasteningPlan():
            for piece, run in its:
                for mark in _fasteners(said, run, half):
                    yield piece, mark
        case _:
            return


def _on_edges(said: n.NotionPlan) -> tuple[n.EdgeAt, ...]:
    """The edges that a finding is marked along."""
    match said:
        case n.BonePlan(channel=channel):
            return channel
        case n.BuskPlan(edge=edge) | n.FasteningPlan(edge=edge):
            return (edge,)
        case _:
            return ()


def _bone(kind: str, text: str, run: _Run, first: float, last: float) -> Iterator[FindingMark]:
    """A line on the stitch line from end to end of the bone, with a bar across each end."""
    start, end = first, run.length - last
    if end > start:
        bars = [run.bar(s, END) for s in (start, end)]
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


# --- edges as places along them ----------------------------------------------------------------


@dataclass(frozen=True, slots=True, eq=False)
class _Run:
    """An edge as places along it: their x and y in mm, how far along each is, and which side is inside."""

    x: list[float]
    y: list[float]
    along: list[float]
    inside: float

    @property
    def length(self) -> float:
        return self.along[-1]

    def at(self, s: float, inward: float) -> Point:
        """The place so far along, and so far inward from there (mm)."""
        x, y, right, down = self._place(s)
        return x + right * inward, y + down * inward

    def bar(self, s: float, half: float) -> Stroke:
        """A straight across the edge there, reaching so far to either side of it (mm)."""
        x, y, right, down = self._place(s)
        return Stroke((x + right * half, y + down * half), (((x - right * half, y - down * half),),), False)

    def _place(self, s: float) -> tuple[float, float, float, float]:
        """The place so far along, x and y, and the unit direction inward from it."""
        k = min(max(bisect_left(self.along, s), 1), len(self.along) - 1)
        x, y, before = self.x[k - 1], self.y[k - 1], self.along[k - 1]
        across, down = self.x[k] - x, self.y[k] - y
        aside = self.inside / math.hypot(across, down)
        share = min(max((s - before) / (self.along[k] - before), 0.0), 1.0)
        return x + share * across, y + share * down, -down * aside, across * aside

    def beside(self, inward: float) -> tuple[Point, ...]:
        """Places along the whole edge, so far inside."""
        return tuple(self.at(self.length * k / CHORDS, inward) for k in range(CHORDS + 1))

    def part(self, start: float, end: float) -> Stroke:
        """The line along the edge from one place to another, in straights."""
        first, last = bisect_right(self.along, start), bisect_left(self.along, end)
        between = zip(self.x[first:last], self.y[first:last], strict=True)
        return Stroke(self.at(start, 0.0), tuple(zip((*between, self.at(end, 0.0)))), False)


def _runs_of(halves: Sequence[Half], plan: CuttingPlan) -> list[dict[n.EdgeAt, _Run]]:
    """The edges of each half that findings are marked along. Edges with segments of the same sorts are
    followed together."""
    wanted = {edge for said in plan.notions for edge in _on_edges(said)}
    runs: dict[tuple[int, n.EdgeAt], _Run] = {}
    order: list[tuple[int, n.EdgeAt]] = []
    alike: dict[tuple[int, ...], list[tuple[int, n.EdgeAt, Stroke, float]]] = {}
    for number, half in enumerate(halves):
        for piece in half.pattern.pieces:
            its = [(n.EdgeAt(piece.name, edge.name), edge) for edge in piece.edges]
            followed = [(at, edge) for at, edge in its if at in wanted and _is_followed(edge)]
            inside = _inside(piece.net) if followed else 0.0
            for at, edge in followed:
                order.append((number, at))
                sorts = tuple(map(len, edge.path.segments))
                alike.setdefault(sorts, []).append((number, at, edge.path, inside))
    for sorts, rows in alike.items():
        places = _places([stroke for _, _, stroke, _ in rows], sorts)
        its_runs = _followed(places, [inside for *_, inside in rows])
        runs.update(((number, at), run) for (number, at, _, _), run in zip(rows, its_runs, strict=True))
    by_half: list[dict[n.EdgeAt, _Run]] = [{} for _ in halves]
    for number, at in order:
        by_half[number][at] = runs[number, at]
    return by_half


def _is_followed(edge: Edge) -> bool:
    return math.isfinite(edge.length) and abs(edge.drawn - edge.length) <= NO_DART


def _inside(net: Stroke) -> float:
    """On which side of its stitch line a piece lies: 1 if it runs clockwise on the paper."""
    corners = [net.start, *[segment[-1] for segment in net.segments], net.start]
    area = sum([a[0] * b[1] - b[0] * a[1] for a, b in pairwise(corners)])
    return 1.0 if area > 0.0 else -1.0


def _followed(places: Places, inside: Sequence[float]) -> Iterator[_Run]:
    """Places (B, K, 2) along edges as runs, no two places of one alike."""
    step = np.hypot(*np.moveaxis(np.diff(places, axis=1), 2, 0))
    along = np.cumsum(step, axis=1).tolist()
    x, y = (places[:, :, axis].tolist() for axis in range(2))
    for k, apart in enumerate((step > ALIKE).all(axis=1).tolist()):
        if apart:
            yield _Run(x[k], y[k], [0.0, *along[k]], inside[k])
        else:
            kept = places[k][np.concatenate([[True], step[k] > ALIKE])]
            yield from _followed(kept[None], inside[k : k + 1])


def _places(strokes: Sequence[Stroke], sorts: Sequence[int]) -> Places:
    """Places along strokes whose segments have so many points each, their ends among them, (B, K, 2)."""
    points = np.array([[s.start, *(p for segment in s.segments for p in segment)] for s in strokes])
    t = np.linspace(0.0, 1.0, STEPS + 1)[1:, None]
    u = 1.0 - t
    weights = u**3, 3 * u * u * t, 3 * u * t * t, t**3
    rows, at = [points[:, :1]], 0
    for size in sorts:
        if size == 1:
            rows.append(points[:, at + 1 : at + 2])
        else:
            cubic = points[:, at : at + 4, None]
            rows.append(sum(w * cubic[:, k] for k, w in enumerate(weights)))
        at += size
    return np.concatenate(rows, axis=1)
