"""The right and the left half of one body, each drafted as a pattern of its own, as one pattern.

Reads two patterns of one recipe and which of their pieces are alike. Pieces that differ become a right and a
left one, or one whole piece where they were on the fold; seams, figures and findings are told once where both
halves have the same. Nothing is measured anew: seams to the other side and girths already hold both halves.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import chain, zip_longest
from typing import TypeVar

from scye.diagnostics.fitting import CutOnceForTwoSides, FrontNotKnown
from scye.diagnostics.model import Diagnostic
from scye.fit.mirror import UPRIGHT, mirrored
from scye.fit.sides import Shown, shown_side
from scye.fit.whole import opened_out
from scye.ir.fitting import Side
from scye.ir.pattern import (
    CutOrder,
    Finding,
    LedgerLine,
    Pattern,
    Piece,
    Proof,
    Seam,
    Value,
    ValueList,
)
from scye.ir.plan import CuttingPlan
from scye.units.names import How, cut_words

LINING = "lining"  # the layer that is worn with its right side to the body
SAME = 1e-6  # mm, or the unit of a figure
T = TypeVar("T")


def joined(right: Pattern, left: Pattern, alike: Container[str], plan: CuttingPlan) -> Pattern:
    """One pattern of two halves. `alike` names the pieces that are the same on both sides."""
    # A draft of which the right half could not be drawn shows the left one.
    drafts = {**_by_draft(left, plan), **_by_draft(right, plan)}
    shown = {draft: shown_side(draft, pieces) for draft, pieces in drafts.items()}
    making = _Making({piece.name: shown[piece.draft] for piece in plan.pieces if piece.draft in shown}, alike)
    pieces = _numbered(list(chain.from_iterable(making.pieces(right, left))))
    unknown = [draft for draft, side in shown.items() if not side.known and _differs(draft, plan, alike)]
    notes = [FrontNotKnown(span=None, draft=_spoken(draft)) for draft in unknown]
    return replace(
        right,
        pieces=pieces,
        seams=tuple(_ordered(_seams(right.seams, left.seams, plan))),
        proofs=tuple(_proofs(right.proofs, left.proofs)),
        ledger=tuple(_ledger(right.ledger, left.ledger)),
        values=tuple(_values(right.values, left.values)),
        lists=tuple(_lists(right.lists, left.lists)),
        reports=tuple(_reports(right.reports, left.reports)),
        cautions=tuple(dict.fromkeys((*right.cautions, *left.cautions))),
        findings=(*_findings(right.findings, left.findings, plan), *map(_finding, (*making.notes, *notes))),
    )


def _by_draft(pattern: Pattern, plan: CuttingPlan) -> Mapping[str, list[Piece]]:
    drafts: dict[str, list[Piece]] = {}
    draft_of = {piece.name: piece.draft for piece in plan.pieces}
    for piece in pattern.pieces:
        drafts.setdefault(draft_of[piece.name], []).append(piece)
    return drafts


def _differs(draft: str, plan: CuttingPlan, alike: Container[str]) -> bool:
    return any(piece.draft == draft and piece.name not in alike for piece in plan.pieces)


def _spoken(name: str) -> str:
    return name.replace("_", " ")


def _finding(d: Diagnostic) -> Finding:
    return Finding(d.code, d.severity, "left and right", d.seen(), d.attempt(), d.span)


# --- pieces -----------------------------------------------------------------------------------


class _Making:
    """Makes the pieces of both halves; `notes` gathers what is to be said of them."""

    def __init__(self, shown: Mapping[str, Shown], alike: Container[str]) -> None:
        self._shown = shown
        self._alike = alike
        self.notes: list[Diagnostic] = []

    def pieces(self, right: Pattern, left: Pattern) -> Iterator[list[Piece]]:
        others = {piece.name: piece for piece in left.pieces}
        for piece in right.pieces:
            other = others.pop(piece.name, None)
            if piece.name in self._alike:
                yield [piece]
            elif other is None:
                yield [self._for_side(piece, "right", _halved(piece.cuts))]
            else:
                yield list(self._apart(piece, other))
        for piece in others.values():
            yield [self._for_side(piece, "left", _halved(piece.cuts))]

    def _apart(self, right: Piece, left: Piece) -> Iterator[Piece]:
        """What becomes of a piece that differs: a whole one for cuts on the fold, two for pairs."""
        folded = tuple(chain.from_iterable(_whole(cut) for cut in right.cuts if cut.how == "fold"))
        paired = tuple(cut for cut in right.cuts if cut.how != "fold" and cut.count % 2 == 0)
        once = tuple(cut for cut in right.cuts if cut.how != "fold" and cut.count % 2)
        if folded:
            drawn = self._shown[right.name].side
            half, other = (right, left) if drawn == "right" else (left, right)
            yield replace(opened_out(half, other, drawn), cuts=folded)
        if once:
            self.notes.append(CutOnceForTwoSides(span=None, piece=right.title))
            yield replace(right, cuts=once)
        if paired:
            yield self._for_side(right, "right", _halved(paired))
            yield self._for_side(left, "left", _halved(paired))

    def _for_side(self, piece: Piece, side: Side, cuts: tuple[CutOrder, ...]) -> Piece:
        """A piece for one side, as it lies on the right side of the cloth."""
        named = replace(
            piece,
            name=f"{side}_{piece.name}",
            title=f"{side.capitalize()} {_lowered(piece.title)}",
            cuts=cuts,
        )
        return named if self._shown[piece.name].side == side else mirrored(named, UPRIGHT)


def _lowered(title: str) -> str:
    """A title within a sentence: its first letter small, unless it is one of several capitals."""
    return title if title[:2].isupper() else title[:1].lower() + title[1:]


def _halved(cuts: Sequence[CutOrder]) -> tuple[CutOrder, ...]:
    return tuple(chain.from_iterable(_once(cut, max(1, cut.count // 2)) for cut in cuts))


def _whole(cut: CutOrder) -> tuple[CutOrder, ...]:
    """A fold piece that was opened out. Two of it are the outside and the inside of one thing, as of a collar
    or a yoke, and are joined with their right sides together."""
    return (_order(cut.count, "pair", cut.layers),) if cut.count % 2 == 0 else tuple(_once(cut, cut.count))


def _once(cut: CutOrder, count: int) -> Iterator[CutOrder]:
    """A piece that is for one side: right side up, but for the lining, whose right side is to the body."""
    inside = tuple(layer for layer in cut.layers if layer == LINING)
    outside = tuple(layer for layer in cut.layers if layer != LINING)
    if outside:
        yield _order(count, "single", outside)
    if inside:
        yield _order(count, "turned", inside)


def _order(count: int, how: How, layers: tuple[str, ...]) -> CutOrder:
    return CutOrder(count, how, layers, cut_words(count, how, layers))


def _numbered(pieces: Sequence[Piece]) -> tuple[Piece, ...]:
    return tuple(replace(piece, number=i, of=len(pieces)) for i, piece in enumerate(pieces, 1))


# --- what was measured ------------------------------------------------------------------------


def _seams(right: Sequence[Seam], left: Sequence[Seam], plan: CuttingPlan) -> Iterator[Seam]:
    """Each seam once where both halves are sewn alike, else for each side; a seam to the other side once."""
    for seam, other, sewn in zip(right, left, plan.seams, strict=True):
        if sewn.to_pair:
            yield seam if _even(seam) else replace(seam, a=f"{seam.a}, right half", b=f"{seam.a}, left half")
        elif _seam_figures(seam) == _seam_figures(other):
            yield seam
        else:
            for side, one in (("right", seam), ("left", other)):
                yield replace(one, a=f"{one.a}, {side} half", b=f"{one.b}, {side} half")


def _even(seam: Seam) -> bool:
    return abs(seam.length_a - seam.length_b) <= SAME


def _seam_figures(seam: Seam) -> tuple[object, ...]:
    parts = [(part.name, _near(part.length_a), _near(part.length_b)) for part in seam.parts]
    return (_near(seam.length_a), _near(seam.length_b), _near(seam.ease), seam.verdict, *parts)


def _near(value: float) -> str:
    return f"{value:.5f}"


def _ordered(seams: Iterator[Seam]) -> Iterator[Seam]:
    for order, seam in enumerate(seams, 1):
        yield replace(seam, order=order)


def _proofs(right: Sequence[Proof], left: Sequence[Proof]) -> Iterator[Proof]:
    """Each proof once where both halves prove the same, as every girth does."""
    for proof, other in zip(right, left, strict=True):
        same = _near(proof.found) == _near(other.found) and _near(proof.expected) == _near(other.expected)
        if same and proof.verdict == other.verdict:
            yield proof
        else:
            yield replace(proof, name=f"{proof.name}, right")
            yield replace(other, name=f"{other.name}, left")


def _ledger(right: Sequence[LedgerLine], left: Sequence[LedgerLine]) -> Iterator[LedgerLine]:
    """The lines of a level once where both halves take in the same there, else for each side."""
    for one, two in zip(_levels(right), _levels(left), strict=True):
        if [_near(line.amount) for line in one] == [_near(line.amount) for line in two]:
            yield from one
        else:
            yield from (replace(line, at=f"{line.at}, right") for line in one)
            yield from (replace(line, at=f"{line.at}, left") for line in two)


def _levels(lines: Sequence[LedgerLine]) -> Iterator[list[LedgerLine]]:
    level: list[LedgerLine] = []
    for line in lines:
        level.append(line)
        if line.owner == "total":
            yield level
            level = []


def _values(right: Sequence[Value], left: Sequence[Value]) -> Iterator[Value]:
    def same(a: Value, b: Value) -> bool:
        return _near(a.value) == _near(b.value)

    yield from _each_side(right, left, same, lambda v, side: replace(v, name=f"{v.name}, {side}"))


def _lists(right: Sequence[ValueList], left: Sequence[ValueList]) -> Iterator[ValueList]:
    def same(a: ValueList, b: ValueList) -> bool:
        return list(map(_near, a.values)) == list(map(_near, b.values))

    yield from _each_side(right, left, same, lambda v, side: replace(v, name=f"{v.name}, {side}"))


def _reports(right: Sequence[tuple[str, str]], left: Sequence[tuple[str, str]]) -> Iterator[tuple[str, str]]:
    def sided(report: tuple[str, str], side: Side) -> tuple[str, str]:
        return f"{report[0]}, {side}", report[1]

    yield from _each_side(right, left, lambda a, b: a == b, sided)


def _each_side(
    right: Sequence[T], left: Sequence[T], same: Callable[[T, T], bool], sided: Callable[[T, Side], T]
) -> Iterator[T]:
    """Things that come in the same order on both sides: once where they are the same, else for each side."""
    for one, two in zip_longest(right, left):
        if one is not None and two is not None and same(one, two):
            yield one
            continue
        if one is not None:
            yield sided(one, "right")
        if two is not None:
            yield sided(two, "left")


def _findings(right: Sequence[Finding], left: Sequence[Finding], plan: CuttingPlan) -> Iterator[Finding]:
    """What is found on both sides once; what is found on one with its side, those of the right first. A seam
    from one side to the other is walked from the right."""
    across = {f"seam {seam.letter}" for seam in plan.seams if seam.to_pair}
    for finding in right:
        yield finding if finding in left or finding.where in across else _sided(finding, "right")
    for finding in left:
        if finding not in right and finding.where not in across:
            yield _sided(finding, "left")


def _sided(finding: Finding, side: Side) -> Finding:
    return replace(finding, where=f"{side} {finding.where}".strip(), text=f"{side} side: {finding.text}")
