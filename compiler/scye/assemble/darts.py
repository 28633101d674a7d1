"""Darts: opened in the edges they sit on, made equal in the leg, and capped for the way they are pressed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from scye.assemble import telling
from scye.assemble.figures import Figures, agree, known
from scye.assemble.outline import Outline, Trimmed, structure
from scye.assemble.strokes import chain, choose, inside, samples, straight
from scye.geometry.hobby import mirrored_direction
from scye.geometry.intersect import meet
from scye.geometry.path import (
    Guide,
    Path,
    at_length,
    end,
    end_tangent,
    extend,
    length,
    length_between,
    locate,
    mirror_path,
    nearest,
    part,
    polyline,
    reverse,
    segment_lengths,
    start,
    start_tangent,
    tangent,
)
from scye.geometry.vector import (
    Array,
    Flags,
    angle_between,
    cos,
    dot,
    mirror,
    norm,
    quarter_turn,
    quiet,
    sin,
    unit,
    vec,
)
from scye.ir.assembly import BodyFinding, DoubleDart, Mouth, Stretch
from scye.ir.plan import DartPlan, PiecePlan

ON_EDGE = 0.5  # mm between a dart's mouth and an edge that has it
ROUNDS = 12  # of making a mouth as wide as asked; each gains two figures or more
SHARP = 0.35  # cosine of the angle to the chord beyond which an opening is bridged straight
FAR = 1000.0  # mm an edge is run on to find where a folded dart crosses it

Item = Stretch | Mouth


@dataclass(frozen=True, slots=True)
class Placed:
    """A dart on an edge before it is opened: its mouth's middle `along` the edge as trimmed, mm."""

    plan: DartPlan
    along: Array


def unplaced(darts: Sequence[DartPlan], outline: Outline, figures: Figures) -> Flags:
    """The bodies (n,) for which a dart on one of the piece's lines has no place."""
    lines = {edge.line for edge in outline.edges}
    lost = ~outline.drawn & outline.drawn
    for dart in darts:
        if dart.edge_line in lines and dart.mouth is not None:
            lost |= ~known(figures.point(dart.mouth))
    return lost


def open_darts(
    plan: PiecePlan, darts: Sequence[DartPlan], outline: Outline, figures: Figures
) -> tuple[list[Item], list[BodyFinding]]:
    """The stretches and dart mouths round a piece, caps not drawn yet, and darts that do not fit.

    Of a dart whose line bounds several pieces, the piece that has the mouth on its own stretch has the dart;
    of two that both have it, the one that the dart runs into.
    """
    items: list[Item] = []
    findings: list[BodyFinding] = []
    for number, edge in enumerate(outline.edges):
        placed = _placed(edge, darts, outline.drawn, figures)
        opened, troubles = _opened(plan, number, edge, placed, figures)
        items.extend(opened)
        findings.extend(troubles)
    return items, findings


def _placed(edge: Trimmed, darts: Sequence[DartPlan], drawn: Flags, figures: Figures) -> list[Placed]:
    """The darts of an edge, in the order they come along it."""
    found = []
    for dart in darts:
        if dart.edge_line != edge.line or dart.mouth is None:
            continue
        u, away = nearest(edge.path, figures.point(dart.mouth))
        along = length_between(edge.path, 0.0, u)
        whole = edge.length
        here = (away <= ON_EDGE) & (along > ON_EDGE) & (along < whole - ON_EDGE)
        here &= _inward(edge.path, u, _pivot(dart, figures))
        if agree(here, drawn & np.isfinite(away)):
            found.append(Placed(dart, along))
    there = drawn.copy()
    for placed in found:
        there &= np.isfinite(placed.along)
    order = structure([p.along for p in found], there) if found else ()
    return [found[i] for i in order]


def _inward(path: Path, u: Array, pivot: Array) -> Flags:
    """Whether a dart runs from its mouth into the piece: along a line that bounds two pieces it is of one."""
    into: Flags = ~(dot(quarter_turn(tangent(path, u)), pivot - locate(path, u)) < 0.0)
    return into


def _opened(
    plan: PiecePlan, number: int, edge: Trimmed, placed: Sequence[Placed], figures: Figures
) -> tuple[list[Item], list[BodyFinding]]:
    whole = edge.length
    cuts = [0.0 * whole]
    mouths: list[Mouth] = []
    findings: list[BodyFinding] = []
    for dart in placed:
        first, last, fits = _mouth_ends(edge.path, dart, whole, figures)
        off = ~fits & np.isfinite(whole + first)
        off |= first < cuts[-1]
        if off.any():
            findings.append(telling.dart_runs_off(plan, dart.plan.name, edge.name, off, dart.plan.span))
        cuts += [first, last]
        mouths.append(_mouth(number, edge.path, dart.plan, first, last, figures))
    cuts.append(whole)
    if not mouths:
        return [Stretch(number, edge.path, *cuts)], findings
    stretches = [
        _stretch(number, edge.path, begin, finish)
        for begin, finish in zip(cuts[::2], cuts[1::2], strict=True)
    ]
    return _interleave(*_equal_legs(stretches, mouths)), findings


def _interleave(stretches: Sequence[Stretch], mouths: Sequence[Mouth]) -> list[Item]:
    items: list[Item] = [stretches[0]]
    for mouth, stretch in zip(mouths, stretches[1:], strict=True):
        items += [mouth, stretch]
    return items


def _stretch(number: int, path: Path, begin: Array, finish: Array) -> Stretch:
    return Stretch(number, part(path, at_length(path, begin), at_length(path, finish)), begin, finish)


def _mouth_ends(path: Path, dart: Placed, whole: Array, figures: Figures) -> tuple[Array, Array, Flags]:
    """Where the mouth begins and ends along the edge, and whether it fits.

    Half the mouth lies to each side along the edge; the straight between the ends is the intake, or is
    seen from the pivot at the angle asked for.
    """
    plan = dart.plan
    pivot = _pivot(plan, figures)

    def ends(half: Array) -> tuple[Array, Array]:
        return np.maximum(dart.along - half, 0.0), np.minimum(dart.along + half, whole)

    def width(half: Array) -> Array:
        one, two = (locate(path, at_length(path, s)) for s in ends(half))
        return norm(two - one) if plan.intake is not None else _opening(pivot, one, two)

    if plan.intake is not None:
        wanted = figures.amount(plan.intake)
        half = wanted / 2.0
    else:
        wanted = figures.amount(_angle_ref(plan))
        half = sin(wanted / 2.0) * norm(locate(path, at_length(path, dart.along)) - pivot)
    half = _refined(half, wanted, width)
    first, last = ends(half)
    return first, last, (half <= dart.along) & (half <= whole - dart.along)


def _refined(half: Array, wanted: Array, width: Callable[[Array], Array]) -> Array:
    """`half` scaled until `width(half)` is as wanted; a width all but proportional to it converges fast."""
    for _ in range(ROUNDS):
        now = width(half)
        half = np.where(now > 0.0, half * wanted / now, half)
    return half


def _angle_ref(plan: DartPlan) -> int:
    if plan.angle is None:
        raise ValueError(f"dart {plan.name} has neither intake nor angle")
    return plan.angle


def _pivot(plan: DartPlan, figures: Figures) -> Array:
    if plan.apex is None:
        raise ValueError(f"edge dart {plan.name} has no apex")
    return figures.point(plan.apex)


def _opening(pivot: Array, one: Array, two: Array) -> Array:
    return np.abs(angle_between(one - pivot, two - pivot))


def _mouth(number: int, path: Path, plan: DartPlan, first: Array, last: Array, figures: Figures) -> Mouth:
    one, two = (locate(path, at_length(path, s)) for s in (first, last))
    pivot = _pivot(plan, figures)
    longer = np.maximum(norm(one - pivot), norm(two - pivot))
    one, two = (pivot + longer * unit(at - pivot) for at in (one, two))
    pressed = vec(0.0, 1.0) if plan.pressed is None else figures.point(plan.pressed)
    short = 0.0 if plan.short is None else figures.amount(plan.short)
    flat = straight(one, two)
    bare = Mouth(
        plan.name, number, plan, pivot, one, two, pivot, longer, longer, pressed + 0.0 * pivot, (flat, flat)
    )
    return measured(bare, short)


def measured(mouth: Mouth, short: Array | float) -> Mouth:
    """The dart with its angle, intake and stitching point worked out from its pivot and mouth."""
    middle = (mouth.start + mouth.end) / 2.0
    return replace(
        mouth,
        point=mouth.pivot + short * unit(middle - mouth.pivot),
        angle=_opening(mouth.pivot, mouth.start, mouth.end),
        intake=norm(mouth.end - mouth.start),
    )


def _equal_legs(stretches: list[Stretch], mouths: list[Mouth]) -> tuple[list[Stretch], list[Mouth]]:
    """Every stretch blended to the ends of the darts' equal legs."""
    even = []
    for i, stretch in enumerate(stretches):
        none = 0.0 * start(stretch.path)
        at_start = mouths[i - 1].end - start(stretch.path) if i else none
        at_end = mouths[i].start - end(stretch.path) if i < len(mouths) else none
        even.append(replace(stretch, path=blended(stretch.path, at_start, at_end)))
    return even, mouths


def blended(path: Path, at_start: Array, at_end: Array) -> Path:
    """The path with its ends moved; each move fades evenly along it to nothing at the far end."""
    lengths = segment_lengths(path)
    before = [0.0 * lengths[0]]
    for each in lengths:
        before.append(before[-1] + each)
    whole = np.where(before[-1] > 0.0, before[-1], 1.0)
    cubics = []
    for i, cubic in enumerate(path.ctrl):
        low, high = before[i] / whole, before[i + 1] / whole
        share = np.stack([low, (2.0 * low + high) / 3.0, (low + 2.0 * high) / 3.0, high])[:, None, :]
        cubics.append(cubic + (1.0 - share) * at_start + share * at_end)
    return Path(np.stack(cubics), path.straight)


# --- caps --------------------------------------------------------------------------------------


def with_caps(items: Sequence[Item], drawn: Flags) -> list[Item]:
    """Every mouth given the seam edge that a pressed dart needs to be caught in its seam."""
    done: list[Item] = []
    for i, item in enumerate(items):
        if isinstance(item, Mouth):
            before, after = items[i - 1], items[(i + 1) % len(items)]
            if not (isinstance(before, Stretch) and isinstance(after, Stretch)):
                raise ValueError("a dart's mouth lies between two stretches")
            item = _capped(item, before, after, drawn)
        done.append(item)
    return done


def _capped(mouth: Mouth, before: Stretch, after: Stretch, drawn: Flags) -> Mouth:
    match mouth.kind:
        case "gathers" | "ease":
            path = bridge(before, after, mouth.edge)
            half = at_length(path, length(path) / 2.0)
            cap = part(path, 0.0 * half, half), part(path, half, 0.0 * half + 1.0)
            return replace(mouth, cap=cap, intake=length(path))
        case "tuck" | "pleat" if folded_flat(mouth):
            return replace(mouth, cap=_pleat_cap(mouth, before.path, after.path, drawn))
        case _:
            return replace(mouth, cap=_cap(mouth, before.path, after.path, drawn))


def folded_flat(mouth: Mouth) -> bool:
    """Whether a mouth is that of a pleat or a tuck from edge to edge, not of a dart."""
    return mouth.kind in ("pleat", "tuck") and not (mouth.angle > 0.0).any()


def bridge(before: Item, after: Item, edge: int) -> Path:
    """The edge across an opening (one cubic): it leaves and arrives as the stretches of the edge beside it
    run; where one of them is of another edge, as the other one mirrored; straight where the turn is sharp.

    Its handles are those of a cubic that follows an arc of the same turn (Goldapp 1991), so that a part
    turned about a far hinge is joined by an arc about it.
    """
    a = end(before.path) if isinstance(before, Stretch) else before.end
    b = start(after.path) if isinstance(after, Stretch) else after.start
    chord = unit(b - a)
    leaving = end_tangent(before.path) if isinstance(before, Stretch) and before.edge == edge else None
    arriving = start_tangent(after.path) if isinstance(after, Stretch) and after.edge == edge else None
    if leaving is None:
        leaving = chord if arriving is None else mirrored_direction(a, b, arriving)
    if arriving is None:
        arriving = mirrored_direction(a, b, leaving)
    tame = (dot(leaving, chord) > SHARP) & (dot(arriving, chord) > SHARP)
    leaving, arriving = (np.where(tame, way, chord) for way in (leaving, arriving))
    quarter = np.abs(angle_between(leaving, arriving)) / 4.0
    handle = norm(b - a) / (3.0 * cos(quarter) * cos(quarter))
    return Path(np.stack((a, a + handle * leaving, b - handle * arriving, b))[None], (False,))


def _pleat_cap(mouth: Mouth, before: Path, after: Path, drawn: Flags) -> tuple[Path, Path]:
    """The edge through the inner fold of a pleat, so that all its layers are caught in the seam.

    The layer next to the edge that it is pressed toward is that edge mirrored in its fold line; the other one
    is that mirrored in the inner fold.
    """
    with quiet(all="ignore"):
        toward_start = agree(dot(mouth.pressed, mouth.start - mouth.end) > 0.0, drawn)
        middle = (mouth.start + mouth.end) / 2.0
        if toward_start:
            way = unit(mouth.start - mouth.pivot)
            near = _pleat_half(mouth.start, middle, way, reverse(before))
            return near, reverse(mirror_path(near, middle, way))
        way = unit(mouth.end - mouth.point)
        near = _pleat_half(mouth.end, middle, way, after)
        return mirror_path(near, middle, way), reverse(near)


def _pleat_half(fold: Array, middle: Array, way: Array, edge: Path) -> Path:
    """From a pleat's fold line (through `fold`, going `way`) to its inner fold; `edge` runs away from it."""
    longer = extend(edge, FAR)
    found = meet(Guide(mirror(middle, fold, way), way), longer)
    flat = _evenly(longer, fold, middle)
    away = np.where(np.isnan(found.u), np.inf, np.abs(found.u)) if len(found.u) else np.full((1, 1), np.inf)
    best = np.argmin(away, axis=0)[None]
    reached = np.isfinite(np.take_along_axis(away, best, axis=0)[0])
    v = np.where(reached, np.take_along_axis(found.v, best, axis=0)[0], 1.0) if len(found.u) else np.ones(1)
    folded = mirror_path(part(longer, 1.0 + 0.0 * v, v), fold, way)
    return choose(reached, folded, flat)


def _cap(mouth: Mouth, before: Path, after: Path, drawn: Flags) -> tuple[Path, Path]:
    """The edge through the fold, from the mouth's start to its end.

    The dart is folded along its axis and laid over the stretch it is pressed toward; that stretch's line is
    pricked through the half that lies on it (mirrored in the leg), and that half's through the other
    (mirrored in the axis).
    """
    with quiet(all="ignore"):
        toward_start = agree(dot(mouth.pressed, mouth.start - mouth.end) > 0.0, drawn)
        axis = unit((mouth.start + mouth.end) / 2.0 - mouth.point)
        if toward_start:
            near = _half_cap(mouth.point, mouth.start, axis, reverse(before))
            return near, reverse(mirror_path(near, mouth.point, axis))
        near = _half_cap(mouth.point, mouth.end, axis, after)
        return mirror_path(near, mouth.point, axis), reverse(near)


def _half_cap(point: Array, leg_end: Array, axis: Array, edge: Path) -> Path:
    """The cap over one half of the dart, from the leg's end to the fold; `edge` runs away from there."""
    leg = leg_end - point
    fold = Guide(point, unit(mirror(axis, 0.0 * point, leg)))
    longer = extend(edge, FAR)
    found = meet(fold, longer)
    away = np.where(found.u > 0.0, norm(found.point - leg_end), np.inf)
    best = np.argmin(np.where(np.isnan(away), np.inf, away), axis=0)[None] if len(found.u) else None
    flat = _evenly(longer, leg_end, point + dot(leg, axis) * axis)
    if best is None:
        return flat
    reached = np.isfinite(np.take_along_axis(away, best, axis=0)[0])
    v = np.where(reached, np.take_along_axis(found.v, best, axis=0)[0], 1.0)
    folded = mirror_path(part(longer, 1.0 + 0.0 * v, v), point, leg)
    return choose(reached, folded, flat)


def _evenly(like: Path, a: Array, b: Array) -> Path:
    """A straight from a to b in as many segments as another path has."""
    count = len(like.straight)
    points = [a + (b - a) * (i / count) for i in range(count + 1)]
    return polyline(points)


# --- darts inside the piece --------------------------------------------------------------------


def double_darts(
    plan: PiecePlan, darts: Sequence[DartPlan], outline: Outline, figures: Figures
) -> tuple[DoubleDart, ...]:
    """The darts from point to point whose middle lies inside the piece's outline."""
    border = samples(chain([edge.path for edge in outline.edges]))
    kept = []
    for dart in darts:
        if dart.start is None or dart.end is None or dart.draft != plan.draft:
            continue
        one, two = figures.point(dart.start), figures.point(dart.end)
        within = inside(border, ((one + two) / 2.0)[None])[0]
        if agree(within, outline.drawn & np.isfinite(one + two).all(axis=0)):
            kept.append(_double(dart, one, two, figures))
    return tuple(kept)


def _double(dart: DartPlan, one: Array, two: Array, figures: Figures) -> DoubleDart:
    square = quarter_turn(unit(two - one))
    centres = [figures.point(point) for point, _, _ in dart.stations]
    amounts = [figures.amount(amount) for _, amount, _ in dart.stations]
    sides = [
        polyline([one, *(c + sign * a / 2.0 * square for c, a in zip(centres, amounts, strict=True)), two])
        for sign in (-1.0, 1.0)
    ]
    widest = 0.0 * one[0]
    for amount in amounts:
        widest = np.maximum(widest, amount)
    at_start = [side.ctrl[0, 3] - one for side in sides]
    pressed = vec(0.0, 1.0) if dart.pressed is None else figures.point(dart.pressed)
    angle = np.abs(angle_between(at_start[0], at_start[1]))
    return DoubleDart(dart.name, dart, one, two, (sides[0], sides[1]), angle, widest, pressed + 0.0 * one)
