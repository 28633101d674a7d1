"""The proof sheet: one HTML page that shows what was found, walked and worked out for one body."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from scye.diagnostics.model import Severity
from scye.ir.pattern import LedgerLine, Pattern, Proof, Seam, Value, ValueList
from scye.render.page import page_template
from scye.render.proof_sure import decision_rows, notice_sheets, sure_rows
from scye.units.names import plain_name
from scye.units.tape import show_difference, show_length, show_list, show_value

_HEADINGS = {
    Severity.ERROR: "Errors",
    Severity.FAILURE: "Failures: do not cut these",
    Severity.CAUTION: "Cautions: look at these",
    Severity.NOTE: "Notes",
}


def proof_html(pattern: Pattern) -> bytes:
    """One page in itself: nothing is fetched, it follows the reader's light or dark, and prints in black."""
    page = page_template("proof.html").render(
        pattern=pattern,
        headings=[(name, text) for name, text in pattern.headings if name != "edition"],
        units={"in": "inches", "cm": "centimetres", "mm": "millimetres"}[pattern.unit],
        findings=[(_HEADINGS[s], s.word, found) for s, found in _by_severity(pattern)],
        seams=[seam_row(seam, pattern) for seam in pattern.seams],
        joins=[join_row(seam, pattern) for seam in sorted(pattern.seams, key=lambda s: (s.order, s.letter))],
        ledgers=list(ledger_tables(pattern)),
        notice_sheets=notice_sheets(pattern),
        decisions=decision_rows(pattern),
        sure=sure_rows(pattern.sure, pattern.unit),
        proofs=[proof_row(proof, pattern) for proof in pattern.proofs],
        values=[value_row(value, pattern) for value in pattern.values],
        lists=[list_row(values, pattern) for values in pattern.lists],
    )
    return page.encode()


def _by_severity(pattern: Pattern) -> Iterator[tuple[Severity, list[object]]]:
    for severity in sorted(Severity, reverse=True):
        found: list[object] = [f for f in pattern.findings if f.severity is severity]
        if found:
            yield severity, found


@dataclass(frozen=True, slots=True)
class PartRow:
    name: str
    length_a: str
    length_b: str
    ease: str


@dataclass(frozen=True, slots=True)
class SeamRow:
    letter: str
    a: str
    b: str
    length_a: str
    length_b: str
    ease: str
    difference: str
    verdict: str
    parts: tuple[PartRow, ...]


def seam_row(seam: Seam, pattern: Pattern) -> SeamRow:
    unit = pattern.unit
    parts = tuple(
        PartRow(p.name, show_length(p.length_a, unit), show_length(p.length_b, unit), _ease(p.ease, pattern))
        for p in seam.parts
    )
    return SeamRow(
        seam.letter,
        seam.a,
        seam.b,
        show_length(seam.length_a, unit),
        show_length(seam.length_b, unit),
        _ease(seam.ease, pattern),
        difference_words(seam.difference, pattern),
        seam.verdict,
        parts,
    )


def _ease(ease: float, pattern: Pattern) -> str:
    return "none" if ease == 0 else show_length(ease, pattern.unit)


def difference_words(difference: float, pattern: Pattern) -> str:
    """How far the first side is over or short; what is too small to be written is none."""
    shown = show_difference(abs(difference), pattern.unit)
    if not math.isfinite(difference):
        return shown
    if shown == show_difference(0.0, pattern.unit):
        return "none"
    return f"{shown} {'over' if difference > 0 else 'short'}"


@dataclass(frozen=True, slots=True)
class JoinRow:
    order: int
    letter: str
    words: str
    length: str
    ease: str
    notches: str


def join_row(seam: Seam, pattern: Pattern) -> JoinRow:
    length = show_length(seam.length_b, pattern.unit)
    words = f"{seam.a} to {seam.b}"
    return JoinRow(seam.order, seam.letter, words, length, _ease(seam.ease, pattern), _notches(seam, pattern))


def _notches(seam: Seam, pattern: Pattern) -> str:
    """The notches that the seam's edges share, each once: `waist line, double`."""
    strokes = {1: "", 2: " double", 3: " triple"}
    names = [
        plain_name(notch.name) + strokes.get(notch.strokes, "")
        for piece in pattern.pieces
        for notch in piece.notches
        if notch.letter == seam.letter
    ]
    return ", ".join(dict.fromkeys(names)) or "none"


@dataclass(frozen=True, slots=True)
class LedgerTable:
    """What one draft takes in: a column for each level, a row for each owner, and the totals below.

    `rows` gives each owner's figures in the order of `levels`; an owner that does nothing at a level has "".
    """

    draft: str
    levels: tuple[str, ...]
    rows: tuple[tuple[str, tuple[str, ...]], ...]
    totals: tuple[str, ...]


def ledger_tables(pattern: Pattern) -> Iterator[LedgerTable]:
    """The ledger, a table for each draft; owners are written `draft.owner`."""
    columns = [_column(lines, pattern) for lines in _by_level(pattern.ledger)]
    for draft, found in groupby(columns, key=lambda column: column.draft):
        group = list(found)
        owners = dict.fromkeys(owner for column in group for owner in column.figures)
        rows = tuple(
            (plain_name(owner.removeprefix(f"{draft}.")), tuple(c.figures.get(owner, "") for c in group))
            for owner in owners
        )
        levels = tuple(plain_name(column.at) for column in group)
        yield LedgerTable(plain_name(draft), levels, rows, tuple(column.total for column in group))


@dataclass(frozen=True, slots=True)
class _Column:
    draft: str
    at: str
    figures: dict[str, str]
    total: str


def _by_level(ledger: Sequence[LedgerLine]) -> Iterator[list[LedgerLine]]:
    """The lines of each level; two drafts may each have a level of one name, and a total closes each."""
    lines: list[LedgerLine] = []
    for line in ledger:
        if lines and (line.at != lines[-1].at or lines[-1].owner == "total"):
            yield lines
            lines = []
        lines.append(line)
    if lines:
        yield lines


def _column(lines: list[LedgerLine], pattern: Pattern) -> _Column:
    """One level, its figures rounded together so that they add up to the total."""
    owners = [line for line in lines if line.owner != "total"]
    shown = show_list([line.amount for line in owners], pattern.unit)
    figures = dict(zip((line.owner for line in owners), shown, strict=True))
    draft = owners[0].owner.rpartition(".")[0] if owners else ""
    return _Column(draft, lines[0].at, figures, _total(lines, pattern))


def _total(lines: list[LedgerLine], pattern: Pattern) -> str:
    stated = [line.amount for line in lines if line.owner == "total"]
    return show_length(stated[0] if stated else sum(line.amount for line in lines), pattern.unit)


@dataclass(frozen=True, slots=True)
class ProofRow:
    name: str
    expected: str
    found: str
    within: str
    verdict: str
    working: str


def proof_row(proof: Proof, pattern: Pattern) -> ProofRow:
    within = (
        show_difference(proof.within, pattern.unit)
        if proof.unit == "mm"
        else show_value(proof.within, "", "mm")
    )
    return ProofRow(
        proof.name,
        show_value(proof.expected, proof.unit, pattern.unit),
        show_value(proof.found, proof.unit, pattern.unit),
        within,
        proof.verdict,
        proof.working,
    )


@dataclass(frozen=True, slots=True)
class ValueRow:
    name: str
    value: str
    owner: str
    working: str
    sentence: str


def value_row(value: Value, pattern: Pattern) -> ValueRow:
    shown = show_value(value.value, value.unit, pattern.unit)
    return ValueRow(plain_name(value.name), shown, value.owner, value.working, value.sentence)


@dataclass(frozen=True, slots=True)
class ListRow:
    name: str
    figures: tuple[str, ...]
    total: str
    sentence: str


def list_row(values: ValueList, pattern: Pattern) -> ListRow:
    """Lengths are rounded together so that they add up to the total that is shown."""
    total = show_value(sum(values.values), values.unit, pattern.unit)
    if values.unit == "mm":
        shown = show_list(values.values, pattern.unit)
    else:
        shown = [show_value(value, values.unit, pattern.unit) for value in values.values]
    return ListRow(plain_name(values.name), tuple(shown), total, values.sentence)
