"""The cutting ticket, the sewing order and the cost sheet of a pattern."""

from __future__ import annotations

from scye.ir.notions import ClothLaid, Lists, Rates, TicketLayer, TicketLine
from scye.ir.pattern import CutOrder, Pattern
from scye.lists.cost import cost_of

HOW = {
    "pair": "in pairs, mirrored",
    "fold": "on the fold",
    "single": "single, right side up",
    "turned": "single, wrong side up",
    "plain": "alike",
}


def lists_of(pattern: Pattern, rates: Rates, laid: ClothLaid | None = None) -> Lists:
    """The lists at the maker's rates. What was laid goes before what her rates say of that cloth."""
    return Lists(tuple(_layers(pattern)), sewing_steps(pattern), cost_of(pattern, rates, laid))


def _layers(pattern: Pattern) -> list[TicketLayer]:
    orders = [(piece, cut, layer) for piece in pattern.pieces for cut in piece.cuts for layer in cut.layers]
    layers = []
    for layer in dict.fromkeys(layer for _, _, layer in orders):
        lines = tuple(
            TicketLine(piece.number, piece.title, cut.count, _how(cut))
            for piece, cut, of in orders
            if of == layer
        )
        layers.append(TicketLayer(layer.replace("_", " "), lines, sum(line.count for line in lines)))
    return layers


def _how(cut: CutOrder) -> str:
    return "once" if cut.how == "plain" and cut.count == 1 else HOW[cut.how]


def sewing_steps(pattern: Pattern) -> tuple[str, ...]:
    """As the recipe says; otherwise seam by seam as they are written in it."""
    if pattern.sewing:
        return pattern.sewing
    seams = sorted(pattern.seams, key=lambda seam: seam.order)
    return tuple(f"Sew seam {seam.letter}: {seam.a} to {seam.b}" for seam in seams)
