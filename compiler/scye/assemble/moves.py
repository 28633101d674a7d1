"""Darts moved by their angle: closed at one edge, opened at another, the paper between them turned."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from scye.assemble import telling
from scye.assemble.darts import Item, measured
from scye.assemble.figures import agree, edge_words, spoken
from scye.assemble.parting import (
    TINY,
    Job,
    Motion,
    Parts,
    State,
    carry,
    ends,
    from_first,
    parts_of,
    paths_of,
    region_of,
    split_at,
)
from scye.geometry.path import length, length_between, nearest, polyline, start
from scye.geometry.vector import Array, Flags, angle_between, norm
from scye.ir.assembly import DartMove, Mouth, Stretch
from scye.ir.plan import MovePlan

ON_EDGE = 0.5  # mm between the place a dart is moved to and the edge named


def move(job: Job, plan: MovePlan, number: int, state: State) -> State:
    """A dart, or a share of it, closed and opened elsewhere; the part with the fold, or else with the first
    edge, stays."""
    old = mouth_named(state.items, plan.dart)
    if old is None:
        text = f"there is no {spoken(plan.dart)} on this piece to move"
        return state.noting(telling.nothing_to_move(job.plan, plan.span, text, job.outline.drawn))
    edge = job.names().index(plan.edge)
    s, off = place_on(job, edge, plan.point)
    if off.any():
        text = f"the place {spoken(plan.dart)} is moved to is not on {edge_words(plan.edge)}"
        state = state.noting(telling.nothing_to_move(job.plan, plan.span, text, off))
    return _turned(job, plan, number, state, old, edge, s)


def mouth_named(items: Sequence[Item], name: str) -> Mouth | None:
    """The dart of that name that is open on the piece."""
    return next((x for x in items if isinstance(x, Mouth) and x.name == name and x.kind == "dart"), None)


def place_on(job: Job, edge: int, point: int) -> tuple[Array, Flags]:
    """How far along an edge as trimmed a point lies, and for which bodies it lies off it."""
    path = job.outline.edges[edge].path
    u, away = nearest(path, job.figures.point(point))
    off: Flags = ~(away <= ON_EDGE) & np.isfinite(away) & job.outline.drawn
    return length_between(path, 0.0, u), off


def _turned(job: Job, plan: MovePlan, number: int, state: State, mouth: Mouth, edge: int, s: Array) -> State:
    """The dart closed by the move's share and opened at a place of an edge."""
    short = norm(mouth.point - mouth.pivot)
    row, begin = split_at(job, state.items, edge, s, always=True)
    following = row[(next(i for i, x in enumerate(row) if x is mouth) + 1) % len(row)]
    whole = parts_of(job, row, following, begin)
    # The mouth comes last of the second part: it is laid anew between the parts.
    parts = Parts(whole.first, whole.second[:-1], whole.steady)
    share = 1.0 if plan.share is None else job.figures.amount(plan.share)
    # the first part begins at the mouth's end, the second finishes at its start: either closes on the other
    closing = angle_between(mouth.end - mouth.pivot, mouth.start - mouth.pivot) * share
    still = np.zeros_like(mouth.pivot)
    first, second = (Motion(mouth.pivot, angle, still) for angle in (closing, -closing))
    moved = parts.moved(first, second)
    left, opened = _mouths(job, plan, mouth, moved, edge, short)
    remaining: list[Item] = [] if plan.share is None else [left]
    slash = polyline([mouth.start, mouth.pivot, ends(parts.first[-1])])
    region = region_of(parts.moving(), mouth.pivot)
    return replace(
        state,
        items=from_first([*remaining, *_opened_in(job, moved, opened)]),
        within=carry(state.within, region, slash, second if parts.steady else first),
        moves=(*state.moves, _ledger(job, number, mouth, left, opened)),
    )


def _opened_in(job: Job, parts: Parts, opened: Mouth) -> list[Item]:
    """The round with the new mouth: one beside that of a dart with the same point makes that dart wider."""
    first, second = parts.first, parts.second
    beside = second[1] if len(second) > 1 and _nothing(job, second[0]) else None
    if isinstance(beside, Mouth) and _same_point(job, beside, opened):
        wider = measured(replace(beside, start=opened.start), norm(beside.point - beside.pivot))
        return [*first, wider, *second[2:]]
    beside = first[-2] if len(first) > 1 and _nothing(job, first[-1]) else None
    if isinstance(beside, Mouth) and _same_point(job, beside, opened):
        wider = measured(replace(beside, end=opened.end), norm(beside.point - beside.pivot))
        return [*first[:-2], wider, *second]
    return [*first, opened, *second]


def _nothing(job: Job, item: Item) -> bool:
    """Whether an item is a stretch of no length."""
    return isinstance(item, Stretch) and bool(agree(length(item.path) <= TINY, job.outline.drawn))


def _same_point(job: Job, one: Mouth, other: Mouth) -> bool:
    near = norm(one.pivot - other.pivot) <= ON_EDGE
    return one.kind == "dart" and bool(agree(near, job.outline.drawn & np.isfinite(one.intake)))


def _mouths(
    job: Job, plan: MovePlan, mouth: Mouth, parts: Parts, edge: int, short: Array
) -> tuple[Mouth, Mouth]:
    """What is left of the dart where it was, and what is opened where it is moved to."""
    one, two = paths_of(parts.first), paths_of(parts.second)
    pressed = mouth.pressed if plan.pressed is None else job.figures.point(plan.pressed)
    new = replace(mouth, name=plan.new_name, edge=edge, pressed=pressed)
    left = measured(replace(mouth, start=ends(parts.second[-1]), end=start(one[0])), short)
    opened = measured(replace(new, start=ends(parts.first[-1]), end=start(two[0])), short)
    return left, opened


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
