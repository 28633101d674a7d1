"""The sides of seams: edges chained head to tail, and where each match lies along them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from scye.assemble import telling
from scye.assemble.edges import closed_along
from scye.assemble.figures import Figures, agree, edge_words, spoken
from scye.geometry.abreast import lengths_to
from scye.geometry.intersect import meet_all
from scye.geometry.path import end, length_between, nearest, start
from scye.geometry.vector import Array, Flags, Ints, norm
from scye.ir.assembly import BodyFinding, EdgeDrawn, SeamWalk
from scye.ir.equations import Ref
from scye.ir.plan import MatchPlan, SewPlan, SidePlan

CONNECTED = 0.5  # mm between the ends of edges that are chained
ON_EDGE = 0.5  # mm between a match's point and the edge it is on


@dataclass(frozen=True, slots=True)
class Sewn:
    """An edge of a piece: `number` is its place round the piece, `words` say both, `drawn` (n,) for whom."""

    number: int
    edge: EdgeDrawn
    drawn: Flags
    words: str


@dataclass(frozen=True, slots=True)
class Step:
    """One edge of a side; `onward` if the side walks it the way it runs round its piece."""

    piece: str
    sewn: Sewn
    onward: bool

    @property
    def edge(self) -> EdgeDrawn:
        return self.sewn.edge

    @property
    def drawn(self) -> Flags:
        return self.sewn.drawn


@dataclass(frozen=True, slots=True)
class Side:
    steps: tuple[Step, ...]
    name: str

    def length(self) -> Array:
        total = self.steps[0].edge.length
        for step in self.steps[1:]:
            total = total + step.edge.length
        return total


Edges = Mapping[tuple[str, str], Sewn]
# by piece, edge and line: where the line first crosses, along the edge with darts closed (n,) mm as it runs
# round its piece, and how often it does (n,)
Crossings = Mapping[tuple[str, str, Ref], tuple[Array, Ints]]


def walk(
    plan: SewPlan, edges: Edges, crossings: Crossings, figures: Figures
) -> tuple[SeamWalk, tuple[Side, Side], list[BodyFinding]]:
    """A seam's two sides and its matches: how far along each side they lie, (M, n), NaN where not found."""
    first, notes = _side(plan.letter, plan.first, edges)
    second, more = (first, []) if plan.to_pair else _side(plan.letter, plan.second, edges)
    findings = [*notes, *more]
    rows_a, rows_b = [], []
    for match in plan.matches:
        other = match.first if match.second is None else match.second
        a = _along(match, match.first, first, crossings, figures)
        b = _along(match, other, second, crossings, figures)
        lost = ~np.isfinite(a + b) & np.isfinite(first.length() + second.length())
        if lost.any():
            findings.append(telling.match_not_found(plan.letter, match, lost))
        rows_a.append(np.where(lost, np.nan, a))
        rows_b.append(np.where(lost, np.nan, b))
    empty = np.empty((0, figures.count))
    names = _names(plan, first, second)
    seam = SeamWalk(
        plan.letter, *names, first.length(), second.length(),
        np.stack(rows_a) if rows_a else empty, np.stack(rows_b) if rows_b else empty,
        _match_names(plan.matches), _lie(first),
    )  # fmt: skip
    return seam, (first, second), findings


def _side(letter: str, plans: Sequence[SidePlan], edges: Edges) -> tuple[Side, list[BodyFinding]]:
    """The edges of a side, each walked as its line was drawn unless reversed.

    Where the next edge of the same piece would not begin where the one before stops, but does the other
    way round, it is walked the other way and a note says so.
    """
    steps = [_step(plan, edges) for plan in plans]
    findings = []
    for i in range(1, len(steps)):
        for at in _to_turn(steps, i):
            turned = steps[at]
            steps[at] = replace(turned, onward=not turned.onward)
            findings.append(
                telling.walked_back(letter, edge_words(turned.edge.name), turned.drawn, plans[at].span)
            )
    return Side(tuple(steps), _called(steps)), findings


def _lie(side: Side) -> Array:
    """1 where a side is walked down the paper, -1 up, 0 across."""
    way = _ends(side.steps[-1])[1] - _ends(side.steps[0])[0]
    return np.where(np.abs(way[1]) > np.abs(way[0]), np.sign(way[1]), 0.0)


def _names(plan: SewPlan, first: Side, second: Side) -> tuple[str, str, str, str]:
    """Both sides in full, and in short for the messages: `side front`, unless both are of one piece."""
    if plan.to_pair:
        return first.name, f"{first.name} of its pair", first.name, "its pair"
    one, two = (" and ".join(dict.fromkeys(spoken(s.piece) for s in side.steps)) for side in (first, second))
    return first.name, second.name, *((one, two) if one != two else (first.name, second.name))


def _called(steps: Sequence[Step]) -> str:
    """The edges of a side as a maker says them: `Side front: seam 1, right edge`."""
    return " and ".join(step.sewn.words for step in steps)


def _match_names(matches: Sequence[MatchPlan]) -> tuple[str, ...]:
    """What the notches of a seam are called: by name, or `notch 2` by their places among all of them."""
    if len(matches) == 1:
        return (spoken(matches[0].name) or "notch",)
    return tuple(spoken(match.name) or f"notch {i}" for i, match in enumerate(matches, 1))


def _step(plan: SidePlan, edges: Edges) -> Step:
    sewn = edges[plan.piece, plan.edge]
    return Step(plan.piece, sewn, sewn.edge.forward != plan.reversed)


def _to_turn(steps: Sequence[Step], i: int) -> list[int]:
    """Which of steps i - 1 and i must be turned so that the one leads into the other."""
    before, after = steps[i - 1], steps[i]
    if before.piece != after.piece:
        return []
    known = before.drawn & after.drawn
    (begin, finish), (head, tail) = _ends(before), _ends(after)

    def joins(a: Array, b: Array) -> bool:
        return bool(agree(norm(a - b) <= CONNECTED, known))

    if joins(finish, head):
        return []
    if joins(finish, tail):
        return [i]
    if i == 1 and joins(begin, head):
        return [0]
    return [0, 1] if i == 1 and joins(begin, tail) else []


def _ends(step: Step) -> tuple[Array, Array]:
    first, last = start(step.edge.stretches[0].path), end(step.edge.stretches[-1].path)
    return (first, last) if step.onward else (last, first)


# --- where matches lie -------------------------------------------------------------------------


def crossings_of(seams: Sequence[SewPlan], edges: Edges, figures: Figures) -> Crossings:
    """Where the lines that seams are matched at cross their edges, all worked together and each once."""
    wanted: dict[tuple[str, str, Ref], None] = {}
    for seam in seams:
        sides = [(side.piece, side.edge) for side in (*seam.first, *seam.second)]
        for match in seam.matches:
            if match.line is not None and match.distance is None:
                wanted.update(dict.fromkeys((*side, match.line) for side in sides))
    own = [edges[piece, edge].edge for piece, edge, _ in wanted]
    lines = {line: figures.line(line) for _, _, line in wanted}
    found = meet_all([(edge.trimmed, lines[key[2]]) for key, edge in zip(wanted, own, strict=True)])
    along = lengths_to([edge.trimmed for edge in own], [meets.u[0] for meets in found])
    return {
        key: (closed_along(edge, s), np.isfinite(meets.u).sum(axis=0))
        for key, edge, meets, s in zip(wanted, own, found, along, strict=True)
    }


def _along(match: MatchPlan, point: Ref | None, side: Side, crossings: Crossings, figures: Figures) -> Array:
    """How far along a side a match lies, (n,); NaN where it is not on it."""
    if match.distance is not None:
        distance, length = figures.amount(match.distance), side.length()
        there = (distance >= -CONNECTED) & (distance <= length + CONNECTED)
        return np.where(there, distance if match.origin == "start" else length - distance, np.nan)
    if match.line is not None:
        return _once([crossings[s.piece, s.edge.name, match.line] for s in side.steps], side)
    if point is None:
        return np.full(figures.count, np.nan)
    return _closest([_pricked(step, point, figures) for step in side.steps], side)


def _pricked(step: Step, point: Ref, figures: Figures) -> tuple[Array, Array]:
    """The place of an edge nearest to a point, and how far off the point is."""
    u, away = nearest(step.edge.trimmed, figures.point(point))
    return closed_along(step.edge, length_between(step.edge.trimmed, 0.0, u)), away


def _once(rows: Sequence[tuple[Array, Ints]], side: Side) -> Array:
    """The one crossing of all a side's edges; NaN for none or several (a shared corner is one)."""
    total = 0.0 * side.length()
    found = np.full(total.shape, np.nan)
    count = np.zeros(total.shape, dtype=np.int64)
    for i, (along, times) in enumerate(rows):
        here = _walked(side, i, along)
        again = np.abs(here - found) <= CONNECTED
        count = count + np.where(again & (times == 1), 0, times)
        found = np.where(np.isfinite(here), here, found)
    return np.where(count == 1, found, np.nan)


def _closest(rows: Sequence[tuple[Array, Array]], side: Side) -> Array:
    found = np.full(side.length().shape, np.nan)
    least = np.full(found.shape, ON_EDGE)
    for i, (along, away) in enumerate(rows):
        better = away <= least
        found, least = np.where(better, _walked(side, i, along), found), np.where(better, away, least)
    return found


def _walked(side: Side, step: int, along: Array) -> Array:
    """From a place along one edge to how far that is along its side."""
    before = 0.0 * along
    for earlier in side.steps[:step]:
        before = before + earlier.edge.length
    edge, onward = side.steps[step].edge, side.steps[step].onward
    return before + (along if onward else edge.length - along)


def on_edge(side: Side, along: Array) -> tuple[Step, Array]:
    """The edge of a side that a place lies on, and how far along that edge as it runs round its piece."""
    before = 0.0 * along
    befores, which = [before], np.zeros(along.shape, dtype=np.int64)
    for step in side.steps[:-1]:
        before = before + step.edge.length
        befores.append(before)
        which = which + (along > before)
    number = agree(which, np.isfinite(along))
    step = side.steps[number]
    walked = along - befores[number]
    return step, walked if step.onward else step.edge.length - walked
