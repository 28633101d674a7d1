"""What is cut of each piece: every time its paper is laid, and how."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from scye.ir.lay import PieceToLay
from scye.ir.pattern import CutOrder, Point
from scye.lay.flat import Ring, feet_first, flattened, heads_along
from scye.lay.shapes import alike, opened_out

# mm by which a piece may differ from itself turned over and still be cut through both layers
SAME = 0.2


@dataclass(frozen=True, slots=True)
class Cut:
    """A piece to be laid once. `ring` is its cutting line, of a fold piece that is `opened` the whole.

    `copy` counts from 1 to `of`; `pair` numbers the pair it belongs to, -1 for none.
    """

    piece: PieceToLay
    ring: Ring
    copy: int
    of: int
    mirrored: bool = False
    opened: bool = False
    on_fold: bool = False
    double: bool = False
    pair: int = -1


@dataclass(frozen=True, slots=True)
class CutList:
    """What is cut through both layers of folded cloth, and what of cloth opened out."""

    double: tuple[Cut, ...]
    single: tuple[Cut, ...]


def cut_list(pieces: Sequence[PieceToLay], layer: str, folded: bool) -> CutList:
    """All cuts of a layer. On folded cloth pairs are cut once through both layers and fold pieces lie on the
    fold; what is cut single, or as copies that are not alike on both sides, waits for cloth opened out."""
    cuts: list[Cut] = []
    for piece in pieces:
        for order in piece.cuts:
            if layer in order.layers:
                cuts += _folded(piece, order) if folded else _open(piece, order, len(cuts))
    return CutList(tuple(c for c in cuts if c.double), tuple(c for c in cuts if not c.double))


def layers_of(pieces: Sequence[PieceToLay]) -> tuple[str, ...]:
    """The layers that are cut, in the order in which pieces name them."""
    return tuple(dict.fromkeys(layer for p in pieces for order in p.cuts for layer in order.layers))


def _open(piece: PieceToLay, order: CutOrder, before: int) -> Iterator[Cut]:
    ring = flattened(piece.cutting)
    match order.how:
        case "pair":
            for k in range(order.count):
                yield Cut(piece, ring, k + 1, order.count, mirrored=k % 2 == 1, pair=before + k // 2)
        case "fold":
            whole = ring if piece.fold is None else opened_out(ring, piece.fold)
            for k in range(order.count):
                yield Cut(piece, whole, k + 1, order.count, opened=piece.fold is not None)
        case "single" | "turned" | "plain":
            for k in range(order.count):
                yield Cut(piece, ring, k + 1, order.count, mirrored=order.how == "turned")


def _folded(piece: PieceToLay, order: CutOrder) -> Iterator[Cut]:
    ring = flattened(piece.cutting)
    match order.how:
        case "pair":
            for k in range(order.count // 2):
                yield Cut(piece, ring, k + 1, order.count // 2, double=True)
        case "fold":
            for k in range(order.count):
                yield Cut(piece, ring, k + 1, order.count, on_fold=True, double=True)
        case "single" | "turned":
            for k in range(order.count):
                yield Cut(piece, ring, k + 1, order.count, mirrored=order.how == "turned")
        case "plain":
            twice = order.count // 2 if order.count > 1 and _even_sided(piece, ring) else 0
            of = order.count - twice
            for k in range(of):
                yield Cut(piece, ring, k + 1, of, double=k < twice)


def ends_of(piece: PieceToLay) -> tuple[Point, Point]:
    """Foot and head of a piece: the nap runs from head to foot, the way that the recipe says, if any."""
    start, end = piece.grain
    return (end, start) if piece.one_way else feet_first(piece.grain)


def _even_sided(piece: PieceToLay, ring: Ring) -> bool:
    """Whether a piece turned over on its grain is the same again, so that both layers give alike ones."""
    one, two = (heads_along(ends_of(piece), mirrored).ring(ring) for mirrored in (False, True))
    return alike(_centred(one), _centred(two), SAME)


def _centred(ring: Ring) -> Ring:
    low = (min(x for x, _ in ring), min(y for _, y in ring))
    return tuple((x - low[0], y - low[1]) for x, y in ring)
