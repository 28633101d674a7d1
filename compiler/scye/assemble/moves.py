"""Darts moved by their angle: closed at one edge, opened at another, the paper between them turned."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from scye.assemble import telling
from scye.assemble.darts import Item, measured, turned_about
from scye.assemble.figures import Figures, agree, edge_words, spoken
from scye.assemble.outline import Outline
from scye.assemble.shown import Shown, carried
from scye.assemble.strokes import chain, inside, samples
from scye.geometry.path import (
    Path,
    at_length,
    end,
    length,
    length_between,
    nearest,
    part,
    polyline,
    start,
    turn_path,
)
from scye.geometry.vector import Array, Flags, angle_between, norm
from scye.ir.assembly import BodyFinding, DartMove, DoubleDart, Mouth, Stretch
from scye.ir.plan import MovePlan, PiecePlan

ON_EDGE = 0.5  # mm between the place a dart is moved to and the edge named


@dataclass(frozen=True, slots=True)
class Job:
    """The piece at hand: what was asked, the outline before its darts, and the figures."""

    plan: PiecePlan
    outline: Outline
    figures: Figures

    def names(self) -> list[str]:
        return [edge.name for edge in self.outline.edges]

    def fixed_edge(self) -> int:
        """The edge that stays where it is: the fold, or else the one named first."""
        folds = [cut.fold for cut in self.plan.cuts if cut.fold is not None]
        return self.names().index(folds[0]) if folds else 0


@dataclass(frozen=True, slots=True)
class Within:
    """What lies inside a piece and is carried along when a part of it is turned."""

    doubles: tuple[DoubleDart, ...]
    drills: tuple[Array, ...]
    shown: tuple[Shown, ...]


@dataclass(frozen=True, slots=True)
class Moved:
    """The outline after the moves, what lies inside it carried along, and the ledger of angles."""

    items: tuple[Item, ...]
    within: Within
    moves: tuple[DartMove, ...]
    findings: tuple[BodyFinding, ...]


def move_darts(job: Job, items: Sequence[Item], within: Within) -> Moved:
    """Every `move` of a piece made in turn. The part with the fold, or else with the first edge, stays."""
    state = Moved(tuple(items), within, (), ())
    for move in job.plan.moves:
        state = _move(job, move, state)
    return state


def _move(job: Job, move: MovePlan, state: Moved) -> Moved:
    old = _mouth_named(state.items, move.dart)
    if old is None:
        text = f"there is no {spoken(move.dart)} on this piece to move"
        finding = telling.nothing_to_move(job.plan, move, text, job.outline.drawn)
        return replace(state, findings=(*state.findings, finding))
    place, along, off = _place(job, move, state.items)
    if off.any():
        text = f"the place {spoken(move.dart)} is moved to is not on {edge_words(move.edge)}"
        finding = telling.nothing_to_move(job.plan, move, text, off)
        state = replace(state, findings=(*state.findings, finding))
    return _turned(job, move, state, old, place, along)


def _mouth_named(items: Sequence[Item], name: str) -> int | None:
    return next((i for i, item in enumerate(items) if isinstance(item, Mouth) and item.name == name), None)


def _place(job: Job, move: MovePlan, items: Sequence[Item]) -> tuple[int, Array, Flags]:
    """Which stretch of the edge named holds the new place, how far along it, and where it is off the edge."""
    number = job.names().index(move.edge)
    path, drawn = job.outline.edges[number].path, job.outline.drawn
    u, away = nearest(path, job.figures.point(move.point))
    s = length_between(path, 0.0, u)
    own = [i for i, item in enumerate(items) if isinstance(item, Stretch) and item.edge == number]
    which = 0 * s.astype(np.int64)
    for k, i in enumerate(own):
        which = np.where(s >= _stretch(items, i).begin, k, which)
    chosen = own[agree(which, drawn & np.isfinite(s))]
    stretch = _stretch(items, chosen)
    span = np.where(stretch.finish > stretch.begin, stretch.finish - stretch.begin, 1.0)
    share = np.clip((s - stretch.begin) / span, 0.0, 1.0)
    return chosen, share * length(stretch.path), ~(away <= ON_EDGE) & np.isfinite(away) & drawn


def _stretch(items: Sequence[Item], i: int) -> Stretch:
    item = items[i]
    if not isinstance(item, Stretch):
        raise ValueError("a dart's mouth stands where a stretch should")
    return item


def _turned(job: Job, move: MovePlan, state: Moved, old: int, place: int, along: Array) -> Moved:
    """The items with the dart closed by the move's share and opened at `along` the stretch at `place`."""
    mouth = _mouth(state.items, old)
    short = norm(mouth.point - mouth.pivot)
    first, new, second, steady = _parted(job, move, state.items, old, place, along)
    share = 1.0 if move.share is None else job.figures.amount(move.share)
    # the first part begins at the mouth's end, the second finishes at its start: either closes on the other
    closing = angle_between(mouth.end - mouth.pivot, mouth.start - mouth.pivot) * share
    turning, angle = (second, -closing) if steady else (first, closing)
    region = np.concatenate((samples(chain(_paths(turning))), mouth.pivot[None]))
    slash = polyline([mouth.start, mouth.pivot, end(_paths(first)[-1])])
    swung = [_swing(item, mouth.pivot, angle) for item in turning]
    first, second = (first, swung) if steady else (swung, second)
    paths = _paths(first), _paths(second)
    left = measured(replace(mouth, start=end(paths[1][-1]), end=start(paths[0][0])), short)
    opened = measured(replace(new, start=end(paths[0][-1]), end=start(paths[1][0])), short)
    remaining: list[Item] = [] if move.share is None else [left]
    return Moved(
        _from_first([*remaining, *first, opened, *second]),
        _swing_within(state.within, region, slash, mouth.pivot, angle),
        (*state.moves, _ledger(job, len(state.moves), mouth, left, opened)),
        state.findings,
    )


def _parted(
    job: Job, move: MovePlan, items: Sequence[Item], old: int, place: int, along: Array
) -> tuple[list[Item], Mouth, list[Item], bool]:
    """The outline from the old mouth to the new one, the new mouth, the outline back to the old mouth, and
    whether the first of these stays where it is."""
    mouth = _mouth(items, old)
    one, two = _split(_stretch(items, place), along)
    pressed = mouth.pressed if move.pressed is None else job.figures.point(move.pressed)
    new = replace(mouth, name=move.new_name, edge=one.edge, pressed=pressed)
    row: list[Item] = [*items[:place], one, new, two, *items[place + 1 :]]
    held = job.fixed_edge()
    fixed = next(item for item in row if isinstance(item, Stretch) and item.edge == held)
    begin = next(i for i, item in enumerate(row) if item is mouth)
    row = row[begin + 1 :] + row[:begin]
    gap = next(i for i, item in enumerate(row) if item is new)
    steady = any(item is fixed for item in row[:gap])
    return row[:gap], new, row[gap + 1 :], steady


def _mouth(items: Sequence[Item], i: int) -> Mouth:
    item = items[i]
    if not isinstance(item, Mouth):
        raise ValueError("a stretch stands where a dart's mouth should")
    return item


def _paths(items: Sequence[Item]) -> list[Path]:
    return [item.path for item in items if isinstance(item, Stretch)]


def _split(stretch: Stretch, along: Array) -> tuple[Stretch, Stretch]:
    u = at_length(stretch.path, along)
    whole = length(stretch.path)
    share = np.where(whole > 0.0, along / np.where(whole > 0.0, whole, 1.0), 0.0)
    middle = stretch.begin + share * (stretch.finish - stretch.begin)
    far = float(len(stretch.path.straight)) + 0.0 * u
    return (
        replace(stretch, path=part(stretch.path, 0.0 * u, u), finish=middle),
        replace(stretch, path=part(stretch.path, u, far), begin=middle),
    )


def _from_first(row: list[Item]) -> tuple[Item, ...]:
    """The same round, beginning with the first stretch of the first edge."""
    at = next(i for i, item in enumerate(row) if item.edge == 0 and row[i - 1].edge != 0)
    return (*row[at:], *row[:at])


def _swing(item: Item, about: Array, angle: Array) -> Item:
    match item:
        case Stretch():
            return replace(item, path=turn_path(item.path, about, angle))
        case Mouth():
            places = (item.pivot, item.start, item.end, item.point)
            pivot, one, two, point = (turned_about(p, about, angle) for p in places)
            return replace(item, pivot=pivot, start=one, end=two, point=point)


def _swing_within(within: Within, region: Array, slash: Path, about: Array, angle: Array) -> Within:
    def belongs(place: Array) -> Flags:
        within: Flags = inside(region, place[None])[0]
        return within

    return Within(
        tuple(_swing_double(d, region, about, angle) for d in within.doubles),
        tuple(_swing_point(p, region, about, angle) for p in within.drills),
        carried(within.shown, slash, belongs, lambda path: turn_path(path, about, angle)),
    )


def _swing_point(point: Array, region: Array, about: Array, angle: Array) -> Array:
    return np.where(inside(region, point[None])[0], turned_about(point, about, angle), point)


def _swing_double(dart: DoubleDart, region: Array, about: Array, angle: Array) -> DoubleDart:
    within = inside(region, ((dart.start + dart.end) / 2.0)[None])[0]
    held = np.where(within, angle, 0.0)
    sides = tuple(turn_path(side, about, held) for side in dart.sides)
    return replace(
        dart,
        start=turned_about(dart.start, about, held),
        end=turned_about(dart.end, about, held),
        sides=(sides[0], sides[1]),
    )


def _ledger(job: Job, number: int, old: Mouth, left: Mouth, opened: Mouth) -> DartMove:
    """What the dart held and where it is now: `left` and `opened` come to `taken`."""
    names = job.names()
    return DartMove(
        job.plan.name,
        number,
        old.name,
        names[old.edge],
        names[opened.edge],
        old.angle,
        left.angle,
        opened.angle,
    )
