"""The pattern of one body, as plain figures, out of the arrays over all of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from scye.ir.assembly import (
    Assembly,
    BodyFinding,
    PartJudged,
    Proofs,
    SeamJudged,
)
from scye.ir.pattern import (
    Finding,
    LedgerLine,
    Pattern,
    Piece,
    Proof,
    Seam,
    SeamPart,
    Value,
    ValueList,
    Verdict,
)
from scye.ir.people import DisplayUnit
from scye.ir.plan import CuttingPlan
from scye.units.tape import show_difference

NO_LENGTH = 1e-6  # mm; less than this was not changed

VERDICTS: tuple[Verdict, ...] = ("walks true", "caution", "not proved", "not drawn")


def materialise(
    plan: CuttingPlan,
    assembly: Assembly,
    proofs: Proofs,
    index: int,
    *,
    body: str,
    date: str,
    unit: DisplayUnit,
    pieces: tuple[Piece, ...],
    workings: Mapping[str, str],
    values: tuple[Value, ...] = (),
    lists: tuple[ValueList, ...] = (),
    ledger: tuple[LedgerLine, ...] = (),
    caution_texts: Mapping[str, str],
) -> Pattern:
    """The pattern of body `index` of the batch. `pieces` are its pieces as `pieces_on_paper` makes them,
    `workings` has the working of each proof by its title, `caution_texts` the text of each caution by its
    name."""
    return Pattern(
        recipe=plan.title,
        slug=plan.slug,
        edition=plan.edition,
        headings=plan.headings,
        body=body,
        date=date,
        unit=unit,
        pieces=pieces,
        seams=tuple(_seam(seam, order, index) for order, seam in enumerate(proofs.seams, 1)),
        proofs=tuple(
            Proof(
                p.name, float(p.expected[index]), float(p.found[index]), float(p.within[index]), p.unit,
                VERDICTS[int(p.standing[index])],
                workings.get(p.name, "") + _fitted_words(float(p.fitted[index]), unit),
            )
            for p in proofs.proofs
        ),
        ledger=ledger,
        values=values,
        lists=lists,
        reports=tuple((report.title, report.text(index, unit)) for report in proofs.reports),
        cautions=tuple((name, caution_texts[name]) for name, flags in proofs.cautions if flags[index]),
        findings=tuple(_findings((*assembly.findings, *proofs.findings), index, unit)),
    )  # fmt: skip


def _fitted_words(taken: float, unit: DisplayUnit) -> str:
    """What fittings changed in the expected figure: `, less 3/4 in taken in at fittings`."""
    if not np.isfinite(taken) or abs(taken) <= NO_LENGTH:
        return ""
    shown = show_difference(abs(taken), unit)
    return f", less {shown} taken in at fittings" if taken > 0.0 else f", and {shown} let out at fittings"


def _findings(rows: Sequence[BodyFinding], index: int, unit: DisplayUnit) -> Iterator[Finding]:
    for row in rows:
        if row.mask[index]:
            text, attempt = row.text(index, unit), row.attempt(index, unit)
            yield Finding(row.code, row.severity, row.where, text, attempt, row.span)


def _seam(seam: SeamJudged, order: int, index: int) -> Seam:
    return Seam(
        letter=seam.letter,
        a=seam.a,
        b=seam.b,
        length_a=float(seam.length_a[index]),
        length_b=float(seam.length_b[index]),
        ease=float(seam.ease[index]),
        difference=float(seam.difference[index]),
        verdict=VERDICTS[int(seam.standing[index])],
        parts=tuple(
            SeamPart(_part_name(seam, p, index), *(float(x[index]) for x in (p.length_a, p.length_b, p.ease)))
            for p in seam.parts
            if np.isfinite(p.length_a[index])
        ),
        order=order,
    )


def _part_name(seam: SeamJudged, part: PartJudged, index: int) -> str:
    first, last = int(part.first[index]), int(part.last[index])
    begin = "start" if first < 0 else seam.names[first]
    finish = "end" if last >= len(seam.names) else seam.names[last]
    return f"{begin} to {finish}"
