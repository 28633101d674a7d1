"""A piece slashed from edge to edge and spread, overlapped or folded."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from scye.assemble import telling
from scye.assemble.darts import Item, blended, bridge
from scye.assemble.figures import edge_words, spoken
from scye.assemble.moves import place_on
from scye.assemble.parting import (
    TINY,
    Job,
    Motion,
    Parts,
    State,
    begins,
    carry,
    ends,
    from_first,
    parts_of,
    region_of,
    round_from,
    split_at,
)
from scye.assemble.strokes import straight
from scye.geometry.path import at_length, locate, polyline
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
from scye.ir.plan import DartPlan, SlashPlan

UNEVEN = 3.0  # mm between the ends of a joint, beyond which its evening is told: what no seam is let off
APART = 0.05  # mm from the middle of an inverted pleat to either of its folds


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
        state = _told(job, plan, state, cut, near, far)
        match plan.kind:
            case "spread":
                state = _beside(job, plan, state, cut)
                state = _open(job, state, cut, Opened(near, far, near if plan.angular else None), None)
            case "overlap":
                state = _overlapped(job, plan, state, cut, Opened(near, far, near if plan.angular else None))
            case _:
                for own, fold in _folds(job, plan, cut, near):
                    state = _beside(job, plan, state, own)
                    state = _open(job, state, own, Opened(2.0 * near, 2.0 * near, None), fold)
    return replace(state, reshaped=(*state.reshaped, _slash_words(job, plan, number, len(cuts), near, far)))


def _told(job: Job, plan: SlashPlan, state: State, cut: Cut, near: Array, far: Array | None) -> State:
    """A word to bodies for whom the amount cannot be had: more than the slash or the edge can give."""
    drawn = job.outline.drawn
    if plan.kind == "spread" and not plan.angular:
        reach = 2.0 * norm(_out(job, cut))
        over = drawn & (np.abs(near - (0.0 if far is None else far)) >= reach)
        text, advice = "a slash cannot be spread by more than twice its length", "spread it by less"
    elif plan.kind == "overlap":
        held = 2.0 * norm(_out(job, cut)) * sin(near / 2.0) if plan.angular else near
        state = _over_darts(job, plan, state, cut, held, far)
        over = drawn & (_past(job, cut.edge, cut.s, held) | _past(job, cut.far_edge, cut.far_s, far))
        text = f"{edge_words(plan.edge)} or {edge_words(plan.far_edge)} does not hold what is overlapped"
        advice = "overlap it by less, or further from the ends"
    else:
        return state
    note = telling.cannot_reshape(job.plan, plan.span, text, advice, over)
    return state.noting(note) if over.any() else state


def _past(job: Job, edge: int, s: Array, amount: Array | None) -> Flags:
    """Whether half an amount on either side of a place passes an end of its edge."""
    half = 0.0 * s if amount is None else amount / 2.0
    past: Flags = (s - half < 0.0) | (s + half > job.outline.edges[edge].length)
    return past


def _in_mouths(
    job: Job, state: State, edge: int, s: Array, amount: Array | None = None
) -> Iterator[tuple[Mouth, Flags]]:
    """The mouths on an edge that a place of it, with half an amount on either side, lies in or reaches into;
    and for which bodies."""
    half = 0.0 * s if amount is None else amount / 2.0
    own = [item for item in state.items if item.edge == edge]
    for before, item, after in zip(own, own[1:], own[2:], strict=False):
        if isinstance(before, Stretch) and isinstance(item, Mouth) and isinstance(after, Stretch):
            inside = (s + half > before.finish + TINY) & (s - half < after.begin - TINY)
            yield item, job.outline.drawn & inside


def _beside(job: Job, plan: SlashPlan, state: State, cut: Cut) -> State:
    """A word to bodies for whom a slash would end in a dart's mouth: it is cut at the mouth's beginning."""
    near = _ends_beside(job, plan, state, plan.edge, cut.edge, cut.s)
    return _ends_beside(job, plan, near, plan.far_edge, cut.far_edge, cut.far_s)


def _ends_beside(job: Job, plan: SlashPlan, state: State, name: str, edge: int, s: Array) -> State:
    """As `_beside`, of one end of a slash. Where a dart was let go as gathers or ease there is cloth, whose
    fulness does not mind."""
    for mouth, mask in _in_mouths(job, state, edge, s):
        if mouth.kind not in ("gathers", "ease") and mask.any():
            state = state.noting(telling.beside_dart(job.plan, plan.span, name, mouth.name, mask))
    return state


def _over_darts(job: Job, plan: SlashPlan, state: State, cut: Cut, near: Array, far: Array | None) -> State:
    """A word to bodies for whom what is overlapped reaches into a dart's mouth, or is hinged in one."""
    sides = [(plan.edge, cut.edge, cut.s, near)]
    if far is None:
        state = _ends_beside(job, plan, state, plan.far_edge, cut.far_edge, cut.far_s)
    else:
        sides.append((plan.far_edge, cut.far_edge, cut.far_s, far))
    for name, edge, s, amount in sides:
        for mouth, mask in _in_mouths(job, state, edge, s, amount):
            if mask.any():
                dart = spoken(mouth.name)
                text = f"what is overlapped at {edge_words(name)} reaches into the mouth of {dart}"
                advice = "overlap it further from the dart, or by less"
                state = state.noting(telling.cannot_reshape(job.plan, plan.span, text, advice, mask))
    return state


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


def _overlapped(job: Job, plan: SlashPlan, state: State, cut: Cut, opened: Opened) -> State:
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
    parts = but_for(job, row_, (before, after), (far_before, far_after))
    return _joined(job, plan, state, parts, opened.far is None)


def but_for(job: Job, items: Sequence[Item], near: tuple[Item, Item], far: tuple[Item, Item]) -> Parts:
    """The two parts of a piece without what lies from the first to the second of each pair."""
    held = job.fixed_edge()
    fixed = next(item for item in items if isinstance(item, Stretch) and item.edge == held)
    row_ = round_from(items, near[1])
    at = {id(item): i for i, item in enumerate(row_)}
    first, second = row_[: at[id(far[0])]], row_[at[id(far[1])] : at[id(near[0])] or None]
    return Parts(first, second, any(item is fixed for item in first))


def _joined(job: Job, plan: SlashPlan, state: State, parts: Parts, hinged: bool) -> State:
    """Two parts laid together along the cut between them, both joints made even."""
    a, b = (begins(parts.first[0]), ends(parts.first[-1])), (ends(parts.second[-1]), begins(parts.second[0]))
    angle = angle_between(a[0] - a[1], b[0] - b[1])
    if hinged:
        still = np.zeros_like(a[1])
        first, second = Motion(a[1], angle, still), Motion(b[1], -angle, still)
    else:
        one, other = (a[0] + a[1]) / 2.0, (b[0] + b[1]) / 2.0
        first, second = Motion(one, angle, other - one), Motion(other, -angle, one - other)
    laid = parts.moved(first, second)
    state = _uneven(job, plan, state, laid)
    moved = evened(laid)
    region = region_of(parts.moving())
    knife = polyline([a[0], a[1], b[1], b[0]])
    wedge = np.stack([a[0], a[1], b[1], b[0]])
    motion = second if parts.steady else first
    return replace(
        state,
        items=from_first([*moved.first, *moved.second]),
        within=carry(state.within, region, knife, motion, wedge),
    )


def evened(parts: Parts) -> Parts:
    """Both joints between two parts: their ends brought to meet half way, fading along the stretches."""
    first, second = list(parts.first), list(parts.second)
    second[-1], first[0] = _met(second[-1], first[0])
    first[-1], second[0] = _met(first[-1], second[0])
    return Parts(first, second, parts.steady)


def _uneven(job: Job, plan: SlashPlan, state: State, parts: Parts) -> State:
    """A word to bodies for whom a joint between two parts is to be evened by more than a seam may be out."""
    joints = ((parts.second[-1], parts.first[0]), (parts.first[-1], parts.second[0]))
    for edge, (before, after) in zip((plan.edge, plan.far_edge), joints, strict=True):
        if isinstance(before, Stretch) and isinstance(after, Stretch):
            apart = norm(begins(after) - ends(before))
            mask = job.outline.drawn & (apart > UNEVEN)
            if mask.any():
                state = state.noting(telling.joint_evened(job.plan, plan.span, edge, mask, apart))
    return state


def _met(before: Item, after: Item) -> tuple[Item, Item]:
    if not (isinstance(before, Stretch) and isinstance(after, Stretch)):
        return before, after
    half = (begins(after) - ends(before)) / 2.0
    none = np.zeros_like(half)
    return (
        replace(before, path=blended(before.path, none, half)),
        replace(after, path=blended(after.path, -half, none)),
    )


# --- words -------------------------------------------------------------------------------------


def title_of(name: str) -> str:
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
    title = f"{title_of(plan.kind)} on {spoken(job.plan.name)}"
    return Reshaped(job.plan.name, number, title, words, amounts, (plan.angular,) * len(amounts))
