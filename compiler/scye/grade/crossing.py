"""Where the stitch lines of one edge in two neighbouring sizes cross, once both are laid in the nest."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from scye.grade.align import Member, Sizes, laid
from scye.ir.grade import Crossing
from scye.ir.pattern import Edge, Point, Stroke

# Lines nearer than this are one line to the eye (mm); they cross where they part by more on both sides.
TOGETHER = 0.5
# Chords of a cubic; a cubic of an edge is seldom longer than 20 cm.
CHORDS = 24
# How far a line is run on past its ends, so that a longer one has something to lie to one side of (mm).
RUN_ON = 1000.0

Places = NDArray[np.float64]


def crossings(sizes: Sizes, codes: Sequence[str], points: Sequence[dict[str, Point]]) -> Iterator[Crossing]:
    """The crossings of a piece's edges between neighbouring sizes. `points` are each size's draft points."""
    for small, large in pairwise(sizes.members):
        others = {edge.name: edge for edge in large.piece.edges}
        near = _laid_points(small, sizes.draft, points[small.size])
        for edge in small.piece.edges:
            if edge.name in others:
                found = _crossing(_flat(small, edge), _flat(large, others[edge.name]))
                if found is not None:
                    times, at = found
                    yield Crossing(
                        piece=sizes.name,
                        edge=edge.name,
                        smaller=codes[small.size],
                        larger=codes[large.size],
                        times=times,
                        near=_nearest(near, at),
                        expected=times == 1,
                    )


def _laid_points(member: Member, draft: str, points: dict[str, Point]) -> dict[str, Point]:
    start = f"{draft}."
    return {n.removeprefix(start): member.lay(p) for n, p in points.items() if n.startswith(start)}


def _nearest(points: dict[str, Point], at: Places) -> str:
    if not points:
        return ""
    return min(points, key=lambda name: float(np.hypot(points[name][0] - at[0], points[name][1] - at[1])))


def _flat(member: Member, edge: Edge) -> Places:
    return flat(laid(edge.path, member.lay))


def flat(stroke: Stroke) -> Places:
    """Points (n, 2) along a stroke, its cubics cut in chords."""
    t = (np.arange(1, CHORDS + 1) / CHORDS)[:, None]
    s = 1 - t
    rows = [np.array([stroke.start])]
    for segment in stroke.segments:
        ends = np.array(segment)
        if len(segment) == 1:
            rows.append(rows[-1][-1:] * s + ends * t)
        else:
            a, (b, c, d) = rows[-1][-1], ends
            rows.append(s**3 * a + 3 * s * s * t * b + 3 * s * t * t * c + t**3 * d)
    return np.concatenate(rows)


def _crossing(one: Places, other: Places) -> tuple[int, Places] | None:
    """How many times the second line passes from one side of the first to the other, and where first."""
    aside = offsets(one, other)
    clear = np.flatnonzero(np.abs(aside) > TOGETHER)
    changes = np.flatnonzero(np.diff(np.sign(aside[clear])))
    if not len(changes):
        return None
    between = (clear[changes[0]] + clear[changes[0] + 1]) // 2
    return len(changes), other[between]


def offsets(line: Places, places: Places) -> Places:
    """How far places (m, 2) lie to the right of a line (n, 2), which is run on straight past its ends."""
    points = _run_on(line)
    start, chord = points[:-1], np.diff(points, axis=0)
    long = np.maximum((chord**2).sum(axis=1), 1e-12)
    from_start = places[:, None, :] - start[None]
    share = np.clip((from_start * chord).sum(axis=2) / long, 0.0, 1.0)
    away = from_start - share[..., None] * chord
    nearest = np.argmin((away**2).sum(axis=2), axis=1)
    rows = np.arange(len(places))
    found, way = away[rows, nearest], chord[nearest]
    side = way[:, 0] * found[:, 1] - way[:, 1] * found[:, 0]
    signed: Places = np.sign(side) * np.hypot(found[:, 0], found[:, 1])
    return signed


def _run_on(line: Places) -> Places:
    kept = line[np.concatenate([[True], (np.abs(np.diff(line, axis=0)) > 1e-9).any(axis=1)])]
    if len(kept) < 2:
        return np.array([kept[0], kept[0] + [RUN_ON, 0.0]])
    first, last = kept[0] - kept[1], kept[-1] - kept[-2]
    before = kept[0] + first / np.hypot(*first) * RUN_ON
    after = kept[-1] + last / np.hypot(*last) * RUN_ON
    return np.concatenate([[before], kept, [after]])
