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
from scye.ir.pattern import Edge, FindingMark, Point, Stroke
from scye.ir.plan import CuttingPlan
from scye.lists.half import Half

Places = NDArray[np.float64]
Numbers = NDArray[np.int64]

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
    of all of them are followed together, and all that lies along them is placed together."""
    placing, said_of = _Placing(), _said_of(plan)
    runs = _runs_of(halves, plan, placing)
    sketched = [_sketched(half, plan, said_of, its) for half, its in zip(halves, runs, strict=True)]
    places = placing.places()
    return [_marked(half, rows, places) for half, rows in zip(halves, sketched, strict=True)]


def _said_of(plan: CuttingPlan) -> dict[n.EdgeAt, list[int]]:
    """By their numbers, the findings that are marked along each edge."""
    said_of: dict[n.EdgeAt, list[int]] = {}
    for number, said in enumerate(plan.notions):
        for at in dict.fromkeys(_on_edges(said)):
            said_of.setdefault(at, []).append(number)
    return said_of


def _sketched(
    half: Half, plan: CuttingPlan, said_of: Mapping[n.EdgeAt, Sequence[int]], runs: Mapping[n.EdgeAt, _Run]
) -> dict[str, list[_Sketch]]:
    """The marks of a half by the name of the piece that they are on."""
    its: list[list[tuple[str, _Run]]] = [[] for _ in plan.notions]
    for at, run in runs.items():
        for number in said_of[at]:
            its[number].append((at.piece, run))
    sketches: dict[str, list[_Sketch]] = {}
    for said, along in zip(plan.notions, its, strict=True):
        for name, sketch in _sketches(said, half, along):
            sketches.setdefault(name, []).append(sketch)
    return sketches


def _marked(half: Half, sketches: Mapping[str, Sequence[_Sketch]], places: Sequence[Point]) -> Half:
    if not sketches:
        return half
    pieces = [
        replace(piece, marked=tuple([_mark(sketch, places) for sketch in sketches[piece.name]]))
        if piece.name in sketches
        else piece
        for piece in half.pattern.pieces
    ]
    return replace(half, pattern=replace(half.pattern, pieces=tuple(pieces)))


def row_of(length: float, inset: float, every: float) -> tuple[int, float]:
    """How many fasteners go along an edge, and how far apart (mm); none if there is no room."""
    run = length - 2 * inset
    if not (run > 0.0 and every > 0.0):
        return 0, math.nan
    gaps = max(1, math.ceil(run / every - 0.01))
    return gaps + 1, run / gaps


def _sketches(
    said: n.NotionPlan, half: Half, its: Sequence[tuple[str, _Run]]
) -> Iterator[tuple[str, _Sketch]]:
    """The marks of one finding along its edges, each with the piece that it is on."""
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


def _bone(kind: str, text: str, run: _Run, first: float, last: float) -> Iterator[_Sketch]:
    """A line on the stitch line from end to end of the bone, with a bar across each end."""
    start, end = first, run.length - last
    if end > start:
        k, along = run.ask([start, start, end, end, start, end], [END, -END, END, -END, 0.0, 0.0], END + 1)
        lines = (k + 4, run.between(start, end), k + 5), (k, (), k + 1), (k + 2, (), k + 3)
        yield _Sketch(kind, text, slice(0), lines, along)


def _fasteners(said: n.FasteningPlan, run: _Run, half: Half) -> Iterator[_Sketch]:
    inset = half.figure(said.inset)
    count, apart = row_of(run.length, inset, half.figure(said.every))
    if not count:
        return
    along = [inset + k * apart for k in range(count)]
    text = f"{count} {said.kind}"
    if said.set_in is None:
        k, words = run.ask(along * 2, [0.0] * count + [TICK] * count, TICK + 1)
        ticks = [(k + j, (), k + count + j) for j in range(count)]
        yield _Sketch(said.kind, text, slice(0), ticks, words)
    else:
        set_in = half.figure(said.set_in)
        k, words = run.ask(along, [set_in] * count, set_in + RING)
        yield _Sketch(said.kind, text, slice(k, k + count), (), words)


# A line from one place asked for through places known to another one asked for.
_Line = tuple[int, Sequence[Point], int]


@dataclass(frozen=True, slots=True, eq=False)
class _Sketch:
    """A mark whose places are only asked for: they are given by their numbers."""

    kind: str
    text: str
    places: slice
    lines: Sequence[_Line]
    along: slice


def _mark(sketch: _Sketch, places: Sequence[Point]) -> FindingMark:
    return FindingMark(
        sketch.kind,
        sketch.text,
        tuple(places[sketch.places]),
        tuple([Stroke(places[a], tuple(zip((*known, places[b]))), False) for a, known, b in sketch.lines]),
        tuple(places[sketch.along]),
    )


# --- edges as places along them ----------------------------------------------------------------


class _Placing:
    """Edges as places along them, all one after another, and what places beside them are asked for."""

    def __init__(self) -> None:
        self._places: list[Places] = []
        self._along: list[Places] = []
        self._count = 0
        self._asked: list[tuple[int, int, int, float]] = []
        self._s: list[float] = []
        self._inward: list[float] = []

    def follow(self, places: Places, along: Places) -> int:
        """Takes in many edges' places (B, K, 2) and how far along they are (B, K); the first one's number."""
        first = self._count
        self._places.append(places.reshape(-1, 2))
        self._along.append(along.reshape(-1))
        self._count += along.size
        return first

    def ask(self, first: int, last: int, s: Sequence[float], inward: Sequence[float], inside: float) -> int:
        """Asks for places so far along an edge, whose own have these numbers, and so far inward (mm); where
        the first of them comes in the answer."""
        self._asked.append((first, last, len(s), inside))
        self._s += s
        self._inward += inward
        return len(self._s) - len(s)

    def places(self) -> list[Point]:
        """All places asked for."""
        if not self._asked:
            return []
        firsts, lasts, sizes, insides = zip(*self._asked, strict=True)
        (x, y), along = np.concatenate(self._places).T, np.concatenate(self._along)
        s, inward = np.array(self._s), np.array(self._inward)
        k = _first_from(along, np.repeat(firsts, sizes) + 1, np.repeat(lasts, sizes), s)
        before, left, top = along[k - 1], x[k - 1], y[k - 1]
        across, down = x[k] - left, y[k] - top
        # One by one: the root of two squares is not the same to the last bit in every routine for arrays.
        aside = np.repeat(insides, sizes) / np.array([*map(math.hypot, across.tolist(), down.tolist())])
        share = np.minimum(np.maximum((s - before) / (along[k] - before), 0.0), 1.0)
        at_x = left + share * across + -down * aside * inward
        at_y = top + share * down + across * aside * inward
        return list(zip(at_x.tolist(), at_y.tolist(), strict=True))


def _first_from(along: Places, low: Numbers, high: Numbers, s: Places) -> Numbers:
    """The first of the numbers from `low` to `high` whose place is at least so far along, else `high`."""
    for _ in range(int((high - low).max()).bit_length()):
        middle = (low + high) // 2
        short = along[middle] < s
        low, high = np.minimum(np.where(short, middle + 1, low), high), np.where(short, high, middle)
    return high


@dataclass(frozen=True, slots=True, eq=False)
class _Run:
    """An edge as places along it, numbered from `first` on: their x and y in mm, how far along each is, and
    which side is inside."""

    placing: _Placing
    first: int
    x: list[float]
    y: list[float]
    along: list[float]
    inside: float

    @property
    def length(self) -> float:
        return self.along[-1]

    def ask(self, s: Sequence[float], inward: Sequence[float], words: float) -> tuple[int, slice]:
        """Asks for places so far along and so far inward (mm), and for places along the whole edge so far
        inside that `words` may go there: where the first comes in the answer, and where those are."""
        length, last = self.length, self.first + len(self.along) - 1
        s = [*s, *[length * k / CHORDS for k in range(CHORDS + 1)]]
        inward = [*inward, *[words] * (CHORDS + 1)]
        k = self.placing.ask(self.first, last, s, inward, self.inside)
        return k, slice(k + len(s) - CHORDS - 1, k + len(s))

    def between(self, start: float, end: float) -> list[Point]:
        """The places along the edge from one length to another."""
        first, last = bisect_right(self.along, start), bisect_left(self.along, end)
        return list(zip(self.x[first:last], self.y[first:last], strict=True))


def _runs_of(halves: Sequence[Half], plan: CuttingPlan, placing: _Placing) -> list[dict[n.EdgeAt, _Run]]:
    """The edges of each half that findings are marked along. Edges with segments of the same sorts are
    followed together."""
    wanted: dict[str, dict[str, n.EdgeAt]] = {}
    for said in plan.notions:
        for at in _on_edges(said):
            wanted.setdefault(at.piece, {})[at.edge] = at
    order: list[tuple[int, n.EdgeAt]] = []
    alike: dict[tuple[int, ...], list[tuple[int, Stroke, float]]] = {}
    for number, half in enumerate(halves):
        for piece in half.pattern.pieces:
            its = wanted.get(piece.name, {})
            followed = [edge for edge in piece.edges if edge.name in its and _is_followed(edge)]
            inside = _inside(piece.net) if followed else 0.0
            for edge in followed:
                sorts = tuple(map(len, edge.path.segments))
                alike.setdefault(sorts, []).append((len(order), edge.path, inside))
                order.append((number, its[edge.name]))
    runs: dict[int, _Run] = {}
    for sorts, rows in alike.items():
        places = _places([stroke for _, stroke, _ in rows], sorts)
        its_runs = _followed(places, [inside for *_, inside in rows], placing)
        runs.update((k, run) for (k, _, _), run in zip(rows, its_runs, strict=True))
    by_half: list[dict[n.EdgeAt, _Run]] = [{} for _ in halves]
    for k, (number, at) in enumerate(order):
        by_half[number][at] = runs[k]
    return by_half


def _is_followed(edge: Edge) -> bool:
    return math.isfinite(edge.length) and abs(edge.drawn - edge.length) <= NO_DART


def _inside(net: Stroke) -> float:
    """On which side of its stitch line a piece lies: 1 if it runs clockwise on the paper."""
    corners = [net.start, *[segment[-1] for segment in net.segments], net.start]
    area = sum([ax * by - bx * ay for (ax, ay), (bx, by) in pairwise(corners)])
    return 1.0 if area > 0.0 else -1.0


def _followed(places: Places, inside: Sequence[float], placing: _Placing) -> Iterator[_Run]:
    """Places (B, K, 2) along edges as runs, no two places of one alike."""
    step = np.hypot(*np.moveaxis(np.diff(places, axis=1), 2, 0))
    along = np.concatenate((np.zeros((len(places), 1)), np.cumsum(step, axis=1)), axis=1)
    first = placing.follow(places, along)
    x, y, far = places[:, :, 0].tolist(), places[:, :, 1].tolist(), along.tolist()
    for k, apart in enumerate((step > ALIKE).all(axis=1).tolist()):
        if apart:
            yield _Run(placing, first + k * len(far[k]), x[k], y[k], far[k], inside[k])
        else:
            kept = places[k][np.concatenate([[True], step[k] > ALIKE])]
            yield from _followed(kept[None], inside[k : k + 1], placing)


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
