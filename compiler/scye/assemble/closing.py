"""Darts closed that run through a piece, and darts let go: taken up in the seam instead of sewn."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from scye.assemble import telling
from scye.assemble.darts import Item, bridge
from scye.assemble.figures import agree, edge_words, spoken
from scye.assemble.moves import mouth_named
from scye.assemble.parting import (
    Job,
    Motion,
    State,
    begins,
    carry,
    ends,
    from_first,
    paths_of,
    region_of,
    round_from,
    split_at,
)
from scye.assemble.slashes import but_for, evened, title_of
from scye.assemble.strokes import chain
from scye.geometry.intersect import meet
from scye.geometry.path import length, length_between, polyline
from scye.geometry.vector import Array, Flags, angle_between, norm, unit
from scye.ir.assembly import Mouth, Reshaped, Stretch
from scye.ir.plan import ClosePlan, ReleasePlan

PAST = 0.5  # mm beyond a dart's point that is still the edge it ends on
NEAR = 1.0  # mm from a dart's mouth within which its legs meet no other edge


def close(job: Job, plan: ClosePlan, number: int, state: State) -> State:
    """A dart that runs through the piece closed: both its sides laid together, what lay between left out."""
    mouth = mouth_named(state.items, plan.dart)
    if mouth is None:
        return _no_dart(job, plan, state)
    found = [_leg_end(job, state.items, mouth, corner) for corner in (mouth.start, mouth.end)]
    inside = np.logical_or.reduce([lost for _, _, lost in found])
    if inside.any():
        text = f"the point of {spoken(plan.dart)} lies inside the piece, so that it cannot be closed flat"
        advice = "move it to another edge, or release it as gathers, ease or a tuck"
        state = state.noting(telling.cannot_reshape(job.plan, plan.span, text, advice, inside))
    (edge, s, _), (far_edge, far_s, _) = found
    row_, far_after = split_at(job, state.items, edge, s)
    row_, far_before = split_at(job, row_, far_edge, far_s)
    following = round_from(row_, mouth)[1]
    parts = but_for(job, row_, (mouth, following), (far_before, far_after))
    closing = angle_between(mouth.end - mouth.pivot, mouth.start - mouth.pivot)
    still = np.zeros_like(mouth.pivot)
    first, second = (Motion(mouth.pivot, angle, still) for angle in (closing, -closing))
    moved = evened(parts.moved(first, second))
    legs = (ends(parts.second[-1]), begins(parts.second[0]), ends(parts.first[-1]), begins(parts.first[0]))
    motion = second if parts.steady else first
    title, words = f"{title_of(plan.dart)} closed on {spoken(job.plan.name)}", "{0} taken out"
    return replace(
        state,
        items=from_first([*moved.first, *moved.second]),
        within=carry(state.within, region_of(parts.moving()), polyline(legs), motion, np.stack(legs)),
        reshaped=(
            *state.reshaped,
            Reshaped(job.plan.name, number, title, words, (np.where(inside, np.nan, mouth.angle),), (True,)),
        ),
    )


def _no_dart(job: Job, plan: ClosePlan | ReleasePlan, state: State) -> State:
    text = f"there is no {spoken(plan.dart)} on this piece"
    return state.noting(telling.nothing_to_move(job.plan, plan.span, text, job.outline.drawn))


def _leg_end(job: Job, items: Sequence[Item], mouth: Mouth, corner: Array) -> tuple[int, Array, Flags]:
    """The edge that a dart's leg comes out at, how far along it as trimmed, and for whom it comes out not."""
    drawn = job.outline.drawn
    own = [item for item in items if isinstance(item, Stretch)]
    leg = polyline([corner, mouth.pivot + PAST * unit(mouth.pivot - corner)])
    met = meet(leg, chain(paths_of(items)))
    away = norm(met.point - corner)
    away = np.where(np.isfinite(away) & (away > NEAR), away, np.inf)
    best = np.argmin(away, axis=0)[None]
    lost = drawn & ~np.isfinite(np.take_along_axis(away, best, axis=0)[0])
    v = np.take_along_axis(met.v, best, axis=0)[0]
    v = np.where(np.isfinite(v) & ~lost, v, 0.0)
    counts = np.cumsum([0, *(len(item.path.straight) for item in own)])
    which = np.searchsorted(counts, v, side="right") - 1
    at = agree(np.minimum(which, len(own) - 1), drawn & ~lost)
    stretch = own[at]
    along = length_between(stretch.path, 0.0, v - counts[at])
    share = along / np.where(length(stretch.path) > 0.0, length(stretch.path), 1.0)
    return stretch.edge, stretch.begin + share * (stretch.finish - stretch.begin), lost


def release(job: Job, plan: ReleasePlan, number: int, state: State) -> State:
    """A dart that is not sewn: what it holds is taken up in the seam of its edge."""
    mouth = mouth_named(state.items, plan.dart)
    if mouth is None:
        return _no_dart(job, plan, state)
    at = next(i for i, item in enumerate(state.items) if item is mouth)
    items = list(state.items)
    path = bridge(items[at - 1], items[(at + 1) % len(items)], mouth.edge)
    held = mouth.intake if plan.kind == "tuck" else length(path)
    items[at] = replace(mouth, kind=plan.kind, intake=held)
    becomes = {"gathers": "gathered into", "ease": "eased into", "tuck": "folded into a tuck at"}[plan.kind]
    words = f"{{0}} {becomes} {edge_words(job.names()[mouth.edge])}"
    title = f"{title_of(plan.dart)} released on {spoken(job.plan.name)}"
    told = Reshaped(job.plan.name, number, title, words, (held,), (False,))
    return replace(state, items=tuple(items), reshaped=(*state.reshaped, told))
