"""Edges as they are sewn: their stretches one after another, darts closed, and places along them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from scye.assemble.allow import EdgeWidths
from scye.assemble.darts import Item
from scye.assemble.figures import agree
from scye.assemble.outline import Trimmed
from scye.geometry.abreast import at_lengths
from scye.geometry.memory import each
from scye.geometry.path import Path, length
from scye.geometry.vector import Array, Flags, clamp, quarter_turn
from scye.ir.assembly import EdgeDrawn, Mouth, Run, Stretch


def edge_drawn(number: int, edge: Trimmed, items: Sequence[Item], widths: EdgeWidths) -> EdgeDrawn:
    """One edge from its own stretches and dart mouths."""
    own = [item for item in items if item.edge == number]
    stretches = tuple(item for item in own if isinstance(item, Stretch))
    mouths = _mouths_between(own)
    lengths = [edge.length if s.path is edge.path else length(s.path) for s in stretches]
    closed = _total(lengths)
    caps = [length(leg) for mouth in mouths if mouth is not None for leg in mouth.cap]
    return EdgeDrawn(
        name=edge.name,
        forward=edge.forward,
        trimmed=edge.path,
        stretches=stretches,
        mouths=mouths,
        length=closed,
        drawn=_total([closed, *caps]),
        runs=_runs(widths, stretches, lengths),
        turned_back=widths.turned_back,
        finish=widths.finish,
        on_fold=widths.on_fold,
    )


def _runs(widths: EdgeWidths, stretches: Sequence[Stretch], lengths: Sequence[Array]) -> tuple[Run, ...]:
    ends = [end for w in widths.widths for end in (w.begin, w.finish)]
    at = _closed(stretches, lengths, np.array(ends))
    return tuple(Run(w.width, at[2 * k], at[2 * k + 1]) for k, w in enumerate(widths.widths))


def _mouths_between(own: Sequence[Item]) -> tuple[Mouth | None, ...]:
    between: list[Mouth | None] = []
    for before, item in pairwise(own):
        if isinstance(item, Mouth):
            between.append(item)
        elif isinstance(before, Stretch):
            between.append(None)
    return tuple(between)


def _total(rows: Sequence[Array]) -> Array:
    total = rows[0]
    for row in rows[1:]:
        total = total + row
    return total


def _stretch_lengths(edge: EdgeDrawn) -> list[Array]:
    """The length of each stretch, (n,)."""
    if len(edge.stretches) == 1:
        return [edge.length]
    return [length(stretch.path) for stretch in edge.stretches]


def closed_along(edge: EdgeDrawn, s: Array) -> Array:
    """How far along the edge with darts closed a place lies that was at s (n,) before darts were opened.

    A place in a dart's mouth is where the mouth closes.
    """
    return _closed(edge.stretches, _stretch_lengths(edge), s)


def _closed(stretches: Sequence[Stretch], lengths: Sequence[Array], s: Array) -> Array:
    total: Array = 0.0 * s
    for stretch, size in zip(stretches, lengths, strict=True):
        span = stretch.finish - stretch.begin
        share = clamp((s - stretch.begin) / np.where(span > 0.0, span, 1.0), 0.0, 1.0)
        share = np.where(span > 0.0, share, s > stretch.begin)
        total = total + share * size
    return total


@dataclass(frozen=True, slots=True)
class Spot:
    """A place `along` (n,) mm of an edge's stitch line, darts closed, for the bodies `known` (n,)."""

    edge: EdgeDrawn
    along: Array
    known: Flags


def places(spots: Sequence[Spot]) -> list[tuple[Array, Array]]:
    """The point (2, n) of each spot, and the way into the piece there."""
    if not spots:
        return []
    return list(
        each(
            "places", spots, lambda spot: (id(spot.edge), spot.along.tobytes(), spot.known.tobytes()), _places
        )
    )


def _places(spots: Sequence[Spot]) -> list[tuple[Array, Array]]:
    on = [_on_stretch(spot) for spot in spots]
    found = at_lengths([path for path, _ in on], [along for _, along in on])
    return [(point, quarter_turn(direction)) for point, direction in found]


def _on_stretch(spot: Spot) -> tuple[Path, Array]:
    """The stretch that a spot lies on, and how far along it."""
    edge, along = spot.edge, spot.along
    if len(edge.stretches) == 1:
        return edge.stretches[0].path, clamp(along, 0.0, edge.length)
    lengths = _stretch_lengths(edge)
    begins = [0.0 * along]
    for size in lengths:
        begins.append(begins[-1] + size)
    which = np.zeros(along.shape, dtype=np.int64)
    for begin in begins[1:-1]:
        which = which + (along > begin)
    number = agree(which, spot.known & np.isfinite(along))
    return edge.stretches[number].path, clamp(along - begins[number], 0.0, lengths[number])


def width_at(edge: EdgeDrawn, along: Array) -> Array:
    """The allowance (n,) at a place along the edge."""
    width = edge.runs[-1].width
    for run in reversed(edge.runs[:-1]):
        width = np.where(along <= run.end, run.width, width)
    return width
