"""What is marked on a piece: notches, grain, labels and level lines."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from scye.assemble.edges import Spot, closed_along, places, width_at
from scye.assemble.figures import Figures
from scye.assemble.strokes import SAMPLES, Crossed, corner_samples, inside_lattice, samples, with_length
from scye.geometry.intersect import meet
from scye.geometry.path import Guide, Path, length_between, nearest
from scye.geometry.vector import Array, Flags, Ints, angle_of, dot, quarter_turn, quiet, turn, unit, vec
from scye.ir.assembly import DoubleDart, EdgeDrawn, LabelDrawn, LevelDrawn, NotchDrawn
from scye.ir.equations import Ref
from scye.ir.plan import CutPlan, NotchPlan, PiecePlan
from scye.units.names import cut_words

GRID_ACROSS, GRID_DOWN = 11, 15  # candidates for the place of the label
ACROSS, DOWN = (np.arange(1, count + 1)[:, None] / (count + 1) for count in (GRID_ACROSS, GRID_DOWN))
IN_CACHE = 16_000  # gaps between points that are looked at together
LABEL_INSET = 7.0  # mm from the stitch line to words along an edge
LETTER_AT, WIDTH_AT = 0.5, 0.3  # shares of an edge (or run) where its letter and its allowance stand
STEEP = np.radians(80.0)  # words along what is steeper are all read from the right
ROUNDED = 1e-9  # radians that an upright edge may be off by rounding
ON_EDGE = 0.5  # mm between a notch's point and its edge
# Where a grain line may lie beside the label, the best first, as shares of the room about it.
ASIDE = (0.4, -0.4, 0.8, -0.8)
CLEAR_OF_DART = 5.0  # mm between a grain line and a dart
GRAIN_MARGIN = 20.0  # mm, or a tenth of what fits, left free at each end of the grain line


@dataclass(frozen=True, slots=True)
class NotchAsked:
    """A notch before its place is worked out: at a spot of the edge with this number round its piece."""

    number: int
    spot: Spot
    name: str
    strokes: int
    letter: str


def marks_at(
    notches: Sequence[NotchAsked], labels: Sequence[LabelAsked]
) -> tuple[list[NotchDrawn], list[LabelDrawn]]:
    """The notches, drawn through the allowance of their edges, and the words, each inside its edge."""
    found = iter(places([*(asked.spot for asked in notches), *(asked.spot for asked in labels)]))
    drawn = [_notch(asked, *next(found)) for asked in notches]
    return drawn, [_label(asked, *next(found)) for asked in labels]


def _notch(asked: NotchAsked, at: Array, inward: Array) -> NotchDrawn:
    along = asked.spot.along
    cut = at - width_at(asked.spot.edge, along) * inward
    return NotchDrawn(asked.number, asked.name, at, cut, inward, asked.strokes, along, asked.letter)


def asked_notches(
    plan: PiecePlan, edges: Sequence[EdgeDrawn], drawn: Flags, figures: Figures
) -> list[NotchAsked]:
    """The notches of a piece's own `notch` clauses; none for bodies where the place is not on the edge."""
    names = [edge.name for edge in edges]
    rows = []
    for asked in plan.notches:
        number = names.index(asked.edge)
        spot = Spot(edges[number], _where(asked, edges[number], figures), drawn)
        rows.append(NotchAsked(number, spot, _notch_name(asked, figures), asked.strokes, ""))
    return rows


def _where(asked: NotchPlan, edge: EdgeDrawn, figures: Figures) -> Array:
    if asked.point is not None:
        u, away = nearest(edge.trimmed, figures.point(asked.point))
        u = np.where(away <= ON_EDGE, u, np.nan)
    elif asked.line is not None:
        u = meet(edge.trimmed, figures.line(asked.line)).u[0]
    else:
        raise ValueError("a notch is at a point or at a line")
    return closed_along(edge, length_between(edge.trimmed, 0.0, u))


def _notch_name(asked: NotchPlan, figures: Figures) -> str:
    ref = asked.point if asked.point is not None else asked.line
    return "" if ref is None else figures.name(ref)


# --- places inside -----------------------------------------------------------------------------


def middle(
    net: Path, edges: Sequence[EdgeDrawn], doubles: Sequence[DoubleDart], bodies: Ints
) -> tuple[Array, Array]:
    """A point (2, n) well inside the piece, clear of its darts, and how far it is from anything (n,); NaN for
    all but these `bodies`."""
    net = with_length(net)
    whole = samples(net, ruled=SAMPLES)
    place, room = np.full(whole.shape[1:], np.nan), np.full(whole.shape[-1], np.nan)
    if not len(bodies):
        return place, room
    outline = whole.take(bodies, axis=-1)
    border = np.concatenate((outline, *(row.take(bodies, axis=-1) for row in _obstacles(edges, doubles))))
    low, high = outline.min(axis=0), outline.max(axis=0)
    across, down = low[0] + ACROSS * (high - low)[0], low[1] + DOWN * (high - low)[1]
    # A straight needs no samples between its ends to tell inside from outside.
    corners = outline[corner_samples(net.straight, SAMPLES)]
    least = np.where(inside_lattice(corners, across, down), _least_away(across, down, border), -1.0)
    best = np.argmax(least.reshape(-1, len(bodies)), axis=0)
    at = np.arange(len(bodies))
    place[:, bodies] = across[best % GRID_ACROSS, at], down[best // GRID_ACROSS, at]
    room[bodies] = least[best // GRID_ACROSS, best % GRID_ACROSS, at]
    return place, room


def _least_away(across: Array, down: Array, border: Array) -> Array:
    """How far the points of a lattice, (A, n) across and (D, n) down, are from the nearest of others
    (K, 2, n), as (D, A, n)."""
    least = np.full((len(down), *across.shape), np.inf)
    step = max(1, IN_CACHE // least.size)
    room = np.empty((step, *least.shape))  # taken once: asking for it anew costs more than the sums
    for i in range(0, len(border), step):
        some = border[i : i + step, None]
        aside, below = across - some[:, :, 0], down - some[:, :, 1]
        away = np.add((aside * aside)[:, None], (below * below)[:, :, None], out=room[: len(some)])
        np.minimum(least, np.minimum.reduce(away), out=least)
    shortest: Array = np.sqrt(least)
    return shortest


def _obstacles(edges: Sequence[EdgeDrawn], doubles: Sequence[DoubleDart]) -> Iterator[Array]:
    for edge in edges:
        for mouth in edge.mouths:
            if mouth is not None:
                shares = np.arange(9)[:, None, None] / 8.0
                yield mouth.point + shares * (mouth.start - mouth.point)
                yield mouth.point + shares * (mouth.end - mouth.point)
    for dart in doubles:
        for side in dart.sides:
            yield samples(side)


def grain_guide(
    plan: PiecePlan,
    at: Array,
    room: Array,
    edges: Sequence[EdgeDrawn],
    doubles: Sequence[DoubleDart],
    figures: Figures,
) -> Guide:
    """The grain of the piece beside the label, on the side where it keeps off the piece's darts."""
    direction = vec(0.0, 1.0) + 0.0 * at if plan.grain is None else figures.point(plan.grain)
    if plan.bias:
        direction = turn(direction, -np.pi / 4.0)
    aside = quarter_turn(unit(direction))
    with quiet(all="ignore"):
        taken = list(_taken(edges, doubles, aside))
        chosen = at + ASIDE[0] * room * aside
        for share in reversed(ASIDE):
            place = at + share * room * aside
            off = dot(place, aside)
            clear = np.ones(off.shape, dtype=bool)
            for low, high in taken:  # a body without the dart has NaN there, and is clear of it
                clear &= ~((off > low - CLEAR_OF_DART) & (off < high + CLEAR_OF_DART))
            chosen = np.where(clear, place, chosen)
    return Guide(chosen, unit(direction))


def _taken(
    edges: Sequence[EdgeDrawn], doubles: Sequence[DoubleDart], aside: Array
) -> Iterator[tuple[Array, Array]]:
    """From where to where each dart reaches in a direction, (n,) mm."""
    for edge in edges:
        for mouth in edge.mouths:
            if mouth is not None:
                reach = [dot(point, aside) for point in (mouth.start, mouth.end, mouth.point)]
                yield np.minimum.reduce(reach), np.maximum.reduce(reach)
    for dart in doubles:
        middle = dot((dart.start + dart.end) / 2.0, aside)
        yield middle - dart.intake / 2.0, middle + dart.intake / 2.0


def grain_line(across: Crossed) -> tuple[Array, Array]:
    """The grain where it crosses the piece, as long as fits with a margin at each end."""
    aside, direction = across.line.point, across.line.direction
    low, high = (np.full(across.u.shape[-1], np.nan) for _ in range(2))
    for one, two, kept in across.gaps():
        here = kept & (one <= 0.0) & (two >= 0.0)
        low, high = np.where(here, one, low), np.where(here, two, high)
    margin = np.minimum(GRAIN_MARGIN, (high - low) / 10.0)
    return aside + (low + margin) * direction, aside + (high - margin) * direction


def levels(lines: Mapping[Ref, Crossed], figures: Figures) -> tuple[LevelDrawn, ...]:
    """The parts of level lines that lie across the piece."""
    rows = []
    for ref, across in lines.items():
        line = across.line
        low, high = (np.full(across.u.shape[-1], np.nan) for _ in range(2))
        for one, two, kept in across.gaps():
            low = np.where(kept & np.isnan(low), one, low)
            high = np.where(kept, two, high)
        rows.append(
            LevelDrawn(
                figures.name(ref), line.point + low * line.direction, line.point + high * line.direction
            )
        )
    return tuple(rows)


# --- words along edges -------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class LabelAsked:
    """Words along the edge with this number: a seam letter, or the allowance of one of its runs."""

    number: int
    spot: Spot
    letter: str
    run: int | None


def asked_labels(
    edges: Sequence[EdgeDrawn], letters: Sequence[tuple[str, ...]], drawn: Flags
) -> Iterator[LabelAsked]:
    """The seam letter and the allowance along every edge; nothing on a fold."""
    for number, edge in enumerate(edges):
        if edge.on_fold:
            continue
        if letters[number]:
            spot = Spot(edge, edge.length * LETTER_AT, drawn)
            yield LabelAsked(number, spot, ", ".join(letters[number]), None)
        for i, run in enumerate(edge.runs):
            spot = Spot(edge, run.start + (run.end - run.start) * WIDTH_AT, drawn)
            yield LabelAsked(number, spot, "", i)


def _label(asked: LabelAsked, at: Array, inward: Array) -> LabelDrawn:
    # a letter is read with the piece upright, whichever way its edge runs; widths run along the edge
    angle = 0.0 * asked.spot.along if asked.run is None else upright(-quarter_turn(inward))
    return LabelDrawn(asked.number, at + LABEL_INSET * inward, angle, asked.letter, asked.run)


def upright(direction: Array) -> Array:
    """The angle (n,) of a direction or its opposite, whichever reads from the left; steep ones upwards."""
    angle = angle_of(direction)
    with quiet(all="ignore"):
        angle = np.where(angle >= STEEP - ROUNDED, angle - np.pi, angle)
        return np.where(angle < STEEP - np.pi - ROUNDED, angle + np.pi, angle)


def cut_text(cut: CutPlan) -> str:
    """The line of the cut list: `cut 2 (a pair) of self, lining`."""
    return cut_words(cut.count, cut.how, cut.layers)
