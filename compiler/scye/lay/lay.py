"""The lay phase: reads the pieces of a garment and the cloth, and lays every cut of one layer.

It changes no piece. What it answers keeps to these: no two outlines overlap; all are inside the usable width;
every grain runs along the selvedge, its head one way unless the nap allows a turn; a pair is one as drawn and
one mirrored; what is cut single is never mirrored; fold pieces lie on the fold of folded cloth, and nothing
else claims it.
"""

from __future__ import annotations

from collections.abc import Sequence

from scye.diagnostics.lay import (
    FoldOffGrain,
    LayerNotCut,
    PackingMissing,
    TooWideForCloth,
    TooWideForHalf,
)
from scye.diagnostics.model import Diagnostic
from scye.ir.lay import Cloth, Garment, Lay, Stretch, Way
from scye.lay.cuts import Cut, cut_list, layers_of
from scye.lay.fast import Laid, lay_fast, lay_longer
from scye.lay.packing import is_here, packed
from scye.lay.ways import Choice, choices_of, fold_is_true, margin_of, placement, width_of
from scye.units.tape import show_length

Findings = tuple[Diagnostic, ...]


def lay_out(garment: Garment, cloth: Cloth, search: int) -> Lay | Findings:
    """The lay of a garment, or all that stands in its way. `search` is in seconds, 0 for the fast way."""
    cuts = cut_list(garment.pieces, cloth.layer, cloth.folded)
    found = [*_amiss(garment, cloth, (*cuts.double, *cuts.single))]
    if search and not is_here():
        found.append(PackingMissing(span=None))
    if found:
        return tuple(found)
    stretches: list[Stretch] = []
    ways: list[Way] = []
    for group, folded in ((cuts.double, True), (cuts.single, False)):
        if group:
            start = sum(stretch.length for stretch in stretches)
            stretch, way = _stretch(choices_of(group, cloth), cloth, folded, start, search)
            stretches.append(stretch)
            ways.append(way)
    return Lay(garment, cloth, tuple(stretches), next((way for way in ways if way != "fast"), "fast"))


def _amiss(garment: Garment, cloth: Cloth, cuts: Sequence[Cut]) -> list[Diagnostic]:
    if not cuts:
        return [LayerNotCut(span=None, layer=cloth.layer, layers=layers_of(garment.pieces))]
    first = {(cut.piece.name, cut.double): cut for cut in cuts}
    return [d for cut in first.values() if (d := _does_not_go(cut, cloth, garment)) is not None]


def _does_not_go(cut: Cut, cloth: Cloth, garment: Garment) -> Diagnostic | None:
    """Why a cut can't lie on the cloth, if so."""
    if cut.on_fold and not fold_is_true(cut):
        return FoldOffGrain(span=None, name=cut.piece.title)
    room = cloth.width / 2 if cut.double else cloth.width
    width = width_of(cut)
    if width <= room + 1e-6:
        return None
    wide, there = show_length(width, garment.unit), show_length(room, garment.unit)
    if cut.double:
        return TooWideForHalf(span=None, name=cut.piece.title, wide=wide, room=there, on_fold=cut.on_fold)
    return TooWideForCloth(span=None, name=cut.piece.title, wide=wide, room=there, opened=cut.opened)


def _stretch(
    choices: Sequence[Choice], cloth: Cloth, folded: bool, start: float, search: int
) -> tuple[Stretch, Way]:
    margin = margin_of(cloth)
    width = cloth.width / 2 if folded else cloth.width
    laid, way = _best(choices, width + 2 * margin, search)
    placements = tuple(
        placement(choice, chosen, (start + x - margin, y - margin))
        for choice, chosen, (x, y) in zip(choices, laid.ways, laid.at, strict=True)
    )
    return Stretch(folded, start, laid.length - 2 * margin, width, placements), way


def _best(choices: Sequence[Choice], width: float, search: int) -> tuple[Laid, Way]:
    """The fast lay, or a shorter one if there was time to search and one was found."""
    fast = lay_fast(choices, width)
    if not search:
        return fast, "fast"
    if any(choice.cut.on_fold for choice in choices):
        longer: Laid | None = lay_longer(choices, width, search)
        way: Way = "own search"
    else:
        longer, way = packed(choices, width, search), "packing library"
    return (longer, way) if longer is not None and longer.length < fast.length else (fast, "fast")
