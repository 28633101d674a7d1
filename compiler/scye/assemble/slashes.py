"""A piece slashed from edge to edge and spread, overlapped or folded; darts closed or let go."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from scye.assemble import telling
from scye.assemble.darts import Item, blended, bridge
from scye.assemble.figures import agree, edge_words, spoken
from scye.assemble.moves import mouth_named, place_on
from scye.assemble.parting import (
    Job,
    Motion,
    Parts,
    State,
    begins,
    carry,
    ends,
    from_first,
    parts_of,
    paths_of,
    region_of,
    round_from,
    split_at,
)
from scye.assemble.strokes import chain, straight
from scye.geometry.intersect import meet
from scye.geometry.path import at_length, length, length_between, locate, polyline
from scye.geometry.vector import (
    Array,
    Flags,
    angle_between,
    arcsin,
    norm,
    quarter_turn,
    row,
    sin,
    turn,
    unit,
)
from scye.ir.assembly import Mouth, MouthKind, Reshaped, Stretch
from scye.ir.plan import ClosePlan, DartPlan, ReleasePlan, SlashPlan

PAST = 0.5  # mm beyond a dart's point that is still the edge it ends on
APART = 0.05  # mm from the middle of an inverted pleat to either of its folds
NEAR = 1.0  # mm from a dart's mouth within which its legs meet no other edge


@dataclass(frozen=True, slots=True)
class Cut:
    """A slash from a place of an edge to a place of another, (n,) mm along each as trimmed."""

    edge: int
    s: Array
    far_edge: int
    far_s: Array


@dataclass(frozen=True, slots=True)
class Opened:
    """How far a slash is spread at its edge; at the far one too, or (None) hinged there; or by an angle."""

    near: Array
    far: Array | None
    angle: Array | None


@dataclass(frozen=True, slots=True)
class Fold:
    """What a spread becomes at its first edge: folded there and pressed one way (2, n)."""

    name: str
    kind: MouthKind
    pressed: Array
    plan: DartPlan | None


def slash(job: Job, plan: SlashPlan, number: int, state: State) -> State:
    """Every slash of one statement, one after another."""
    one, other = (job.names().index(name) for name in (plan.edge, plan.far_edge))
    cuts, state = _cuts(job, plan, state, one, other)
    near = job.figures.amount(plan.near)
    far = None if plan.far is None else job.figures.amount(plan.far)
    for cut in cuts:
        match plan.kind:
            case "spread":
                state = _open(job, state, cut, Opened(near, far, near if plan.angular else None), None)
            case "overlap":
                state = _overlapped(job, state, cut, Opened(near, far, near if plan.angular else None))
            case _:
                for own, fold in _folds(job, plan, cut, near):
                    state = _open(job, state, own, Opened(2.0 * near, 2.0 * near, None), fold)
    return replace(state, reshaped=(*state.reshaped, _slash_words(job, plan, number, len(cuts), near, far)))


def _cuts(job: Job, plan: SlashPlan, state: State, one: int, other: int) -> tuple[list[Cut], State]:
    """Where the slashes run; evenly placed, the first along the one edge is the last along the other, since
    the two run round the piece."""
    if plan.point is not None and plan.far_point is not None:
        (s, off), (far_s, far_off) = place_on(job, one, plan.point), place_on(job, other, plan.far_point)
        for edge, mask in ((plan.edge, off), (plan.far_edge, far_off)):
            if mask.any():
                text = f"the place of the slash is not on {edge_words(edge)}"
                note = telling.cannot_reshape(job.plan, plan.span, text, "name a point of that edge", mask)
                state = state.noting(note)
        return [Cut(one, s, other, far_s)], state
    whole, far_whole = job.outline.edges[one].length, job.outline.edges[other].length
    shares = [i / (plan.count + 1) for i in range(1, plan.count + 1)]
    return [Cut(one, whole * share, other, far_whole * (1.0 - share)) for share in shares], state


def _folds(job: Job, plan: SlashPlan, cut: Cut, depth: Array) -> Iterator[tuple[Cut, Fold]]:
    """A pleat or a tuck; or the two that make a box, pressed toward or away from its middle."""
    along = quarter_turn(unit(_out(job, cut)))
    pressed = along if plan.pressed is None else job.figures.point(plan.pressed)
    kind: MouthKind = "tuck" if plan.kind == "tuck" else "pleat"
    match plan.kind:
        case "box pleat":
            before = Cut(cut.edge, cut.s - depth, cut.far_edge, cut.far_s + depth)
            after = Cut(cut.edge, cut.s + depth, cut.far_edge, cut.far_s - depth)
            yield before, Fold(plan.kind, kind, along, None)
            yield after, Fold(plan.kind, kind, -along, None)
        case "inverted pleat":
            before = Cut(cut.edge, cut.s - APART, cut.far_edge, cut.far_s + APART)
            after = Cut(cut.edge, cut.s + APART, cut.far_edge, cut.far_s - APART)
            yield before, Fold(plan.kind, kind, -along, None)
            yield after, Fold(plan.kind, kind, along, None)
        case _:
            yield cut, Fold(plan.kind, kind, pressed, None)


def _out(job: Job, cut: Cut) -> Array:
    """From the far end of a slash to its near end, on the outline before anything was moved."""
    one, other = (
        locate(job.outline.edges[edge].path, at_length(job.outline.edges[edge].path, s))
        for edge, s in ((cut.edge, cut.s), (cut.far_edge, cut.far_s))
    )
    return np.asarray(one - other)


# --- spreading ---------------------------------------------------------------------------------


def _open(job: Job, state: State, cut: Cut, opened: Opened, fold: Fold | None) -> State:
    """The piece spread along a slash: filled at its edges, or folded at the first."""
    row_, one = split_at(job, state.items, cut.edge, cut.s, always=fold is not None)
    row_, other = split_at(job, row_, cut.far_edge, cut.far_s)
    parts = parts_of(job, row_, one, other)
    near, far = begins(one), begins(other)
    first, second = _motions(near, far, opened)
    moved = parts.moved(first, second)
    filled = _filled(moved, cut, opened)
    joint: Item = filled[0] if fold is None else _folded(fold, cut.edge, moved, opened.near)
    region = region_of(parts.moving())
    motion = second if parts.steady else first
    return replace(
        state,
        items=from_first([*moved.first, *filled[1:], *moved.second, joint]),
        within=carry(state.within, region, straight(near, far), motion),
    )


def _motions(near: Array, far: Array, opened: Opened) -> tuple[Motion, Motion]:
    """How the part that begins at the slash's near end is moved if it moves, and how the other one."""
    out, reach = unit(near - far), norm(near - far)
    shift = np.zeros_like(reach) if opened.far is None else opened.far
    if opened.angle is not None:
        angle = opened.angle
    else:
        angle = 2.0 * arcsin(row((opened.near - shift) / (2.0 * reach)))
    opposite = Motion(far, -angle, -shift * quarter_turn(turn(out, -angle / 2.0)))
    return Motion(far, angle, shift * quarter_turn(turn(out, angle / 2.0))), opposite


def _filled(parts: Parts, cut: Cut, opened: Opened) -> list[Item]:
    """The cloth that comes in at the slash's edge, and at the far edge unless it is hinged there."""
    near = Stretch(cut.edge, bridge(parts.second[-1], parts.first[0], cut.edge), cut.s, cut.s)
    if opened.far is None:
        return [near]
    path = bridge(parts.first[-1], parts.second[0], cut.far_edge)
    return [near, Stretch(cut.far_edge, path, cut.far_s, cut.far_s)]


def _folded(fold: Fold, edge: int, parts: Parts, intake: Array) -> Mouth:
    start, end = ends(parts.second[-1]), begins(parts.first[0])
    flat = straight(start, end)
    return Mouth(
        fold.name, edge, fold.plan, begins(parts.second[0]), start, end, ends(parts.first[-1]),
        0.0 * intake, intake, fold.pressed + 0.0 * start, (flat, flat), fold.kind,
    )  # fmt: skip


# --- taking out --------------------------------------------------------------------------------


def _overlapped(job: Job, state: State, cut: Cut, opened: Opened) -> State:
    """The piece overlapped along a slash: half the amount cut off on either side, and the parts joined."""
    row_, one = split_at(job, state.items, cut.edge, cut.s)
    row_, other = split_at(job, row_, cut.far_edge, cut.far_s)
    reach = norm(begins(one) - begins(other))
    near = opened.near if opened.angle is None else 2.0 * reach * sin(opened.angle / 2.0)
    far = 0.0 * near if opened.far is None else opened.far
    marks: list[Item] = []
    for edge, s in (
        (cut.edge, cut.s - near / 2.0),
        (cut.edge, cut.s + near / 2.0),
        (cut.far_edge, cut.far_s - far / 2.0),
        (cut.far_edge, cut.far_s + far / 2.0),
    ):
        row_, begun = split_at(job, row_, edge, s)
        marks.append(begun)
    before, after, far_before, far_after = marks
    parts = _but_for(job, row_, (before, after), (far_before, far_after))
    return _joined(job, state, parts, opened.far is None)


def _but_for(job: Job, items: Sequence[Item], near: tuple[Item, Item], far: tuple[Item, Item]) -> Parts:
    """The two parts of a piece without what lies from the first to the second of each pair."""
    held = job.fixed_edge()
    fixed = next(item for item in items if isinstance(item, Stretch) and item.edge == held)
    row_ = round_from(items, near[1])
    at = {id(item): i for i, item in enumerate(row_)}
    first, second = row_[: at[id(far[0])]], row_[at[id(far[1])] : at[id(near[0])] or None]
    return Parts(first, second, any(item is fixed for item in first))


def _joined(job: Job, state: State, parts: Parts, hinged: bool) -> State:
    """Two parts laid together along the cut between them, both joints made even."""
    a, b = (begins(parts.first[0]), ends(parts.first[-1])), (ends(parts.second[-1]), begins(parts.second[0]))
    angle = angle_between(a[0] - a[1], b[0] - b[1])
    if hinged:
        still = np.zeros_like(a[1])
        first, second = Motion(a[1], angle, still), Motion(b[1], -angle, still)
    else:
        one, other = (a[0] + a[1]) / 2.0, (b[0] + b[1]) / 2.0
        first, second = Motion(one, angle, other - one), Motion(other, -angle, one - other)
    moved = _evened(parts.moved(first, second))
    region = region_of(parts.moving())
    knife = polyline([a[0], a[1], b[1], b[0]])
    wedge = np.stack([a[0], a[1], b[1], b[0]])
    motion = second if parts.steady else first
    return replace(
        state,
        items=from_first([*moved.first, *moved.second]),
        within=carry(state.within, region, knife, motion, wedge),
    )


def _evened(parts: Parts) -> Parts:
    """Both joints between two parts: their ends brought to meet half way, fading along the stretches."""
    first, second = list(parts.first), list(parts.second)
    second[-1], first[0] = _met(second[-1], first[0])
    first[-1], second[0] = _met(first[-1], second[0])
    return Parts(first, second, parts.steady)


def _met(before: Item, after: Item) -> tuple[Item, Item]:
    if not (isinstance(before, Stretch) and isinstance(after, Stretch)):
        return before, after
    half = (begins(after) - ends(before)) / 2.0
    none = np.zeros_like(half)
    return (
        replace(before, path=blended(before.path, none, half)),
        replace(after, path=blended(after.path, -half, none)),
    )


# --- darts -------------------------------------------------------------------------------------


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
    parts = _but_for(job, row_, (mouth, following), (far_before, far_after))
    closing = angle_between(mouth.end - mouth.pivot, mouth.start - mouth.pivot)
    still = np.zeros_like(mouth.pivot)
    first, second = (Motion(mouth.pivot, angle, still) for angle in (closing, -closing))
    moved = _evened(parts.moved(first, second))
    legs = (ends(parts.second[-1]), begins(parts.second[0]), ends(parts.first[-1]), begins(parts.first[0]))
    motion = second if parts.steady else first
    title, words = f"{_title(plan.dart)} closed on {spoken(job.plan.name)}", "{0} taken out"
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
    title = f"{_title(plan.dart)} released on {spoken(job.plan.name)}"
    told = Reshaped(job.plan.name, number, title, words, (held,), (False,))
    return replace(state, items=tuple(items), reshaped=(*state.reshaped, told))


# --- words -------------------------------------------------------------------------------------


def _title(name: str) -> str:
    words = spoken(name)
    return words[:1].upper() + words[1:]


def _slash_words(
    job: Job, plan: SlashPlan, number: int, count: int, near: Array, far: Array | None
) -> Reshaped:
    """`Spread on skirt front`: `5 times 1 in at hem, hinged at waist line`."""
    edge, far_edge = edge_words(plan.edge), edge_words(plan.far_edge)
    times = f"{count} times " if count > 1 else ""
    amounts: tuple[Array, ...] = (near,)
    match plan.kind:
        case "spread" | "overlap" if far is not None:
            words, amounts = f"{times}{{0}} at {edge}, {{1}} at {far_edge}", (near, far)
        case "spread" | "overlap":
            words = f"{times}{{0}} at {edge}, hinged at {far_edge}"
        case _:
            words = f"{times}{{0}} deep, from {edge} to {far_edge}"
    title = f"{_title(plan.kind)} on {spoken(job.plan.name)}"
    return Reshaped(job.plan.name, number, title, words, amounts, (plan.angular,) * len(amounts))
