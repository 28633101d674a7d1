"""The ways in which a cut may lie: the grain along the selvedge, turned and mirrored only as it may be."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from scye.ir.lay import Cloth, Nap, PieceToLay, Placement
from scye.ir.pattern import Point
from scye.lay.cuts import Cut, ends_of
from scye.lay.flat import Ring, Turn, area, heads_along, highest, lowest, shifted
from scye.lay.shapes import widened

# Least half of the room between two cutting lines (mm): curves are followed to half of that.
LEAST_MARGIN = 0.1
# mm by which a fold edge may run out of the grain, or a piece over its fold
STRAIGHT = 0.5


@dataclass(frozen=True, slots=True)
class Way:
    """A cut turned as it may lie. `wide` is its cutting line with its margin, from (0, 0); `shift` takes
    the turned piece there."""

    turn: Turn
    wide: Ring
    shift: Point


@dataclass(frozen=True, slots=True)
class Choice:
    """A cut with all its ways; `partner` is the place of the other of its pair where both must lie alike."""

    cut: Cut
    ways: tuple[Way, ...]
    partner: int | None


def margin_of(cloth: Cloth) -> float:
    """What is added round each cutting line (mm): half of the gap."""
    return max(cloth.gap / 2, LEAST_MARGIN)


def choices_of(cuts: Sequence[Cut], cloth: Cloth) -> tuple[Choice, ...]:
    margin = margin_of(cloth)
    pairs: dict[int, list[int]] = {}
    for i, cut in enumerate(cuts):
        if cut.pair >= 0:
            pairs.setdefault(cut.pair, []).append(i)
    bound = {a: b for pair in pairs.values() if len(pair) == 2 for a, b in (pair, pair[::-1])}
    return tuple(
        Choice(cut, _ways(cut, cloth.nap, margin), bound.get(i) if cloth.nap == "two-way" else None)
        for i, cut in enumerate(cuts)
    )


def _ways(cut: Cut, nap: Nap, margin: float) -> tuple[Way, ...]:
    turns = (0.0,) if nap == "one-way" or cut.piece.one_way else (0.0, math.pi)
    return tuple(_way(_turn(cut, by), cut.ring, margin) for by in turns)


def _turn(cut: Cut, by: float) -> Turn:
    """The turn of a cut; a piece on the fold is mirrored as it must be to lie within the cloth."""
    if cut.on_fold:
        turn = _turned(ends_of(cut.piece), False, by)
        return turn if _is_inside(cut.piece, cut.ring, turn) else _turned(ends_of(cut.piece), True, by)
    return _turned(ends_of(cut.piece), cut.mirrored, by)


def _turned(ends: tuple[Point, Point], mirrored: bool, by: float) -> Turn:
    turn = heads_along(ends, mirrored)
    return Turn(mirrored, math.remainder(turn.angle + by, 2 * math.pi)) if by else turn


def _is_inside(piece: PieceToLay, ring: Ring, turn: Turn) -> bool:
    """Whether the piece lies on the cloth's side of its fold edge."""
    assert piece.fold is not None
    edge = turn.point(piece.fold[0])[1]
    low, high = (f(turn.ring(ring))[1] for f in (lowest, highest))
    return high - edge > edge - low


@lru_cache(maxsize=512)
def _way(turn: Turn, ring: Ring, margin: float) -> Way:
    turned = turn.ring(ring)
    wide = widened(turned, margin)
    x, y = lowest(wide)
    return Way(turn, shifted(wide, (-x, -y)), (-x, -y))


def width_of(cut: Cut) -> float:
    """How much of the cloth's width a cut takes (mm)."""
    turned = _turn(cut, 0.0).ring(cut.ring)
    return highest(turned)[1] - lowest(turned)[1]


def fold_is_true(cut: Cut) -> bool:
    """Whether the fold edge runs along the grain, with nothing of the piece beyond it."""
    assert cut.piece.fold is not None
    turn = _turn(cut, 0.0)
    a, b = (turn.point(end)[1] for end in cut.piece.fold)
    return abs(a - b) <= STRAIGHT and lowest(turn.ring(cut.ring))[1] >= min(a, b) - STRAIGHT


def placement(choice: Choice, way: int, at: Point) -> Placement:
    """A cut laid with the corner of its widened outline's box at a place on the cloth."""
    cut, chosen = choice.cut, choice.ways[way]
    turn = chosen.turn
    move = (at[0] + chosen.shift[0], at[1] + chosen.shift[1])
    piece = cut.piece
    outline = shifted(turn.ring(cut.ring), move)
    if cut.on_fold:
        assert piece.fold is not None
        # the fold edge itself, not the margin beyond it, decides where the piece lies
        down = -turn.point(piece.fold[0])[1] - move[1]
        move, outline = (move[0], move[1] + down), shifted(outline, (0.0, down))
    foot, head = shifted(turn.ring(ends_of(piece)), move)
    crease = shifted(turn.ring(piece.fold), move) if piece.fold and cut.opened else None
    return Placement(
        piece=piece.name,
        title=piece.title,
        copy=cut.copy,
        of=cut.of,
        mirrored=turn.mirrored,
        opened=cut.opened,
        on_fold=cut.on_fold,
        double=cut.double,
        angle=turn.angle,
        move=move,
        outline=outline,
        grain=(foot, head),
        crease=(crease[0], crease[1]) if crease else None,
        area=area(cut.ring),
    )
