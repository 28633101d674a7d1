"""How the bodies of a batch came out: an entry for each, the table of them all, and a few lines in words."""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Sequence

from scye.diagnostics.model import Diagnostic, Severity
from scye.ir.batch import Entry
from scye.ir.pattern import Pattern

COLUMNS = (
    "code", "line", "outcome", "pieces", "of pieces", "seams true", "of seams", "proofs holding", "of proofs",
    "notes", "cautions", "failures", "file", "why",
)  # fmt: skip
TRUE = "walks true"


def entry_of(line: int, pattern: Pattern, pieces: int, file: str) -> Entry:
    """How a body came out that was drafted; the recipe has so many `pieces`."""
    told = Counter(finding.severity for finding in pattern.findings)
    return Entry(
        code=pattern.body,
        line=line,
        file=file,
        pieces=len(pattern.pieces),
        pieces_of=max([pieces, *(piece.of for piece in pattern.pieces)]),
        seams_true=sum(seam.verdict == TRUE for seam in pattern.seams),
        seams=len(pattern.seams),
        proofs_true=sum(proof.verdict == TRUE for proof in pattern.proofs),
        proofs=len(pattern.proofs),
        notes=told[Severity.NOTE],
        cautions=told[Severity.CAUTION],
        failures=told[Severity.FAILURE] + told[Severity.ERROR],
    )


def not_drafted(code: str, line: int, errors: Sequence[Diagnostic]) -> Entry:
    """A body that couldn't be, with the first of the reasons and its place."""
    first = errors[0]
    place = f"{first.span}: " if first.span else ""
    hint = f"; try: {first.attempt()}" if first.attempt() else ""
    return Entry(code, line, why=f"{place}{first.severity.word} {first.code}: {first.seen()}{hint}")


def index_csv(entries: Sequence[Entry]) -> bytes:
    """The table of all bodies, in the order of the table that they came from."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(COLUMNS)
    writer.writerows(_cells(entry) for entry in entries)
    return text.getvalue().encode()


def _cells(entry: Entry) -> list[str | int]:
    if not entry.drafted:
        return [entry.code, entry.line, "not drafted", *[""] * 10, entry.why]
    counts = (entry.pieces, entry.pieces_of, entry.seams_true, entry.seams, entry.proofs_true, entry.proofs)
    told = (entry.notes, entry.cautions, entry.failures)
    return [entry.code, entry.line, "drafted", *counts, *told, entry.file, ""]


def told(table: str, entries: Sequence[Entry]) -> list[str]:
    """What the maker is told of a batch that is done."""
    drafted = [entry for entry in entries if entry.drafted]
    lines = [f"{table}: {_bodies(len(entries))}, {len(drafted):,} drafted"]
    counts = (
        (sum(map(_whole, drafted)), "with every piece drawn, every seam walking true, every proof holding"),
        (sum(entry.failures > 0 for entry in drafted), "with a failure"),
        (sum(entry.cautions > 0 for entry in drafted), "with a caution"),
        (len(entries) - len(drafted), "not drafted: batch.csv says why"),
    )
    return lines + [f"  {count:,} {what}" for count, what in counts if count]


def _whole(entry: Entry) -> bool:
    return (entry.pieces, entry.seams_true, entry.proofs_true) == (
        entry.pieces_of,
        entry.seams,
        entry.proofs,
    )


def _bodies(count: int) -> str:
    return "1 body" if count == 1 else f"{count:,} bodies"
