"""Pieces and cloth for lays, and a quick way to lay."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from scye.ir.lay import NO_SHRINKAGE, Cloth, Garment, Lay, PieceToLay
from scye.ir.pattern import CutOrder, Stroke
from scye.lay.lay import lay_out

CLOTH = Cloth("self", 1000.0, "one-way", False, 0.0, NO_SHRINKAGE, 1.0, 20.0)


def piece(
    name: str, long: float, wide: float, how: Any = "plain", count: int = 1, slant: float = 0.0
) -> PieceToLay:
    """A piece `long` down its grain and `wide` across; `slant` takes so much off its upper right corner."""
    points = ((wide - slant, 0.0), (wide, long), (0.0, long), (0.0, 0.0))
    cutting = Stroke((0.0, 0.0), tuple((p,) for p in points), True)
    order = CutOrder(count, how, ("self",), f"cut {count} of self")
    fold = ((0.0, 0.0), (0.0, long)) if how == "fold" else None
    return PieceToLay(
        name, name.capitalize(), (order,), cutting, ((wide / 4, 5.0), (wide / 4, long - 5)), fold
    )


def garment(*pieces: PieceToLay) -> Garment:
    return Garment("Tunic", "2", "heron", "", "cm", pieces, True)


@dataclass(frozen=True)
class Table:
    """Lays pieces on the usual cloth, with changes."""

    def lay(self, *pieces: PieceToLay, search: int = 0, **changes: Any) -> Lay:
        found = lay_out(garment(*pieces), replace(CLOTH, **changes), search)
        assert isinstance(found, Lay), found
        return found

    def codes(self, *pieces: PieceToLay, search: int = 0, **changes: Any) -> list[str]:
        found = lay_out(garment(*pieces), replace(CLOTH, **changes), search)
        assert isinstance(found, tuple)
        return [d.code for d in found]
