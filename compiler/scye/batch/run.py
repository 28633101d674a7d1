"""A run over a table of people: read, draft and write a chunk at a time, and go on where one was broken off.

Bodies are read, drafted and written by the chunk, so memory doesn't grow with the table. Chunks begin at the
same lines whatever happened before, and a file is moved into place whole, so a folder comes out the same to
the byte however often the work was broken off.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import islice

from scye import __version__
from scye.batch.index import entry_of, index_csv, not_drafted, told
from scye.batch.journal import BODIES, INDEX, JOURNAL, Journal
from scye.batch.ready import Batch, head_of, ready
from scye.diagnostics.model import Diagnostic, Severity
from scye.diagnostics.people import OthersInIndex
from scye.diagnostics.text import MOST_TOLD
from scye.drafting import Order
from scye.ir.batch import BatchRequest, Chunk, Entry, Written
from scye.ir.pattern import Finding, Pattern
from scye.ir.requests import ExitCode, Outcome, Say
from scye.outputs import OutputFolder
from scye.papers import files_of
from scye.read.people import Line

BAR = 30


class Errors:
    """Gathers what is amiss with lines, the first of it to be shown and all of it counted."""

    def __init__(self) -> None:
        self.first: list[Diagnostic] = []
        self.count = 0

    def add(self, found: Sequence[Diagnostic]) -> None:
        errors = [d for d in found if d.severity is Severity.ERROR]
        self.count += len(errors)
        self.first += errors[: MOST_TOLD - len(self.first)]

    def shown(self) -> list[Diagnostic]:
        if self.count <= len(self.first):
            return self.first
        return [*self.first, OthersInIndex(span=None, told=len(self.first), count=self.count)]


def run_batch(request: BatchRequest, say: Say) -> Outcome:
    """Draft and write every body that can be; nothing is written if the recipe or the headings are bad."""
    say("reading")
    batch = ready(request)
    if isinstance(batch, Outcome):
        return batch
    journal = Journal(request.out, head_of(batch))
    mistake = journal.begin()
    if mistake is not None:
        return Outcome((*batch.remarks, mistake), ExitCode.BAD_INPUT)
    with journal.held() as mistake:
        if mistake is not None:
            return Outcome((*batch.remarks, mistake), ExitCode.BAD_INPUT)
        return _go_on(batch, journal, say)


# --- drafting ---------------------------------------------------------------------------------


def _go_on(batch: Batch, journal: Journal, say: Say) -> Outcome:
    """Draft what isn't done yet, then write the table of how all came out."""
    done = journal.resume()
    if isinstance(done, Diagnostic):
        return Outcome((*batch.remarks, done), ExitCode.BAD_INPUT)
    entries = [entry for chunk in done for entry in chunk.entries]
    before = len(entries)
    errors = Errors()
    for place, entry in enumerate(entries):
        if not entry.drafted:
            errors.add(_read(batch, place)[1])
    remarks: list[str] = []
    for number in batch.chunks[len(done) :]:
        chunk = _chunk(batch, journal, number, errors, remarks, say)
        mistake = chunk if isinstance(chunk, Diagnostic) else journal.add(chunk)
        if mistake is not None or isinstance(chunk, Diagnostic):
            return _broken_off(batch, mistake, len(entries))
        entries += chunk.entries
    written = OutputFolder(batch.request.out).write([(INDEX, index_csv(entries))])
    if isinstance(written, Diagnostic):
        return _broken_off(batch, written, len(entries))
    lines = told(batch.people.source.name, entries)
    if before:
        lines.append(f"  {before:,} were done by an earlier run, which this one went on from")
    return _outcome(batch, errors, entries, (*lines, *remarks))


def _broken_off(batch: Batch, mistake: Diagnostic | None, done: int) -> Outcome:
    line = f"{done:,} of {batch.count:,} are done; the same command goes on from there"
    found = () if mistake is None else (mistake,)
    return Outcome((*batch.remarks, *found), ExitCode.BAD_INPUT, (line,))


def _outcome(batch: Batch, errors: Errors, entries: Sequence[Entry], lines: tuple[str, ...]) -> Outcome:
    failed = any(entry.failures for entry in entries)
    code = ExitCode.BAD_INPUT if errors.count else ExitCode.FINDINGS if failed else ExitCode.GOOD
    files = [INDEX, JOURNAL, *([BODIES] if any(entry.drafted for entry in entries) else [])]
    return Outcome((*batch.remarks, *errors.shown()), code, lines, tuple(files))


def _chunk(
    batch: Batch, journal: Journal, number: int, errors: Errors, remarks: list[str], say: Say
) -> Chunk | Diagnostic:
    """The bodies of a chunk drafted and their files in place."""
    entries: dict[int, Entry] = {}
    asked: list[tuple[Line, Order]] = []
    for place in batch.places(number):
        line, found, order = _read(batch, place)
        errors.add(found)
        if order is None:
            entries[line.number] = not_drafted(line.code, line.number, _errors(found))
        else:
            asked.append((line, order))
    files: list[Written] = []

    def drawn() -> Iterator[tuple[str, bytes]]:
        """Every file of the chunk, put down as it is drawn up."""
        orders = [order for _, order in asked]
        patterns = batch.compiler.patterns(orders, batch.request.units, lambda _line: None)
        for i, ((line, _), pattern) in enumerate(zip(asked, patterns, strict=True)):
            say(_progress(batch, batch.places(number).start + i, pattern.body))
            pattern = _with_remarks(pattern, line.found)
            for name, data in _files(pattern, batch.request.sheets, remarks):
                files.append(Written(name, hashlib.sha256(data).hexdigest()))
                yield name, data
            file = f"{BODIES}/{pattern.body}.json"
            entries[line.number] = entry_of(line.number, pattern, len(batch.compiled.plan.pieces), file)

    written = OutputFolder(journal.bodies).write(drawn())
    if isinstance(written, Diagnostic):
        return written
    return Chunk(number, tuple(entries[line] for line in sorted(entries)), tuple(files))


def _read(batch: Batch, place: int) -> tuple[Line, Sequence[Diagnostic], Order | None]:
    """A line of the table, all that is amiss with it, and its body's order if nothing stands in the way."""
    line = batch.people.read(place, batch.needed)
    if line.body is None:
        return line, line.found, None
    order, amiss = batch.compiler.order(line.body, batch.request.settings)
    errors = _errors(amiss)
    return line, (*line.found, *errors), None if errors else order


def _errors(found: Sequence[Diagnostic]) -> list[Diagnostic]:
    return [d for d in found if d.severity is Severity.ERROR]


def _with_remarks(pattern: Pattern, found: Sequence[Diagnostic]) -> Pattern:
    """The pattern with what is to be said of its line, which no page would show otherwise."""
    said = (Finding(d.code, d.severity, "table", d.seen(), d.attempt(), d.span) for d in found)
    return replace(pattern, findings=(*said, *pattern.findings))


def _files(pattern: Pattern, sheets: bool, remarks: list[str]) -> Iterator[tuple[str, bytes]]:
    """The data of a body, and its sheets if they are wanted, all named by its code."""
    every = files_of([pattern], __version__, lambda _line: None, remarks)
    for name, data in every if sheets else islice(every, 1):
        yield f"{pattern.body}.json" if name == "pattern.json" else f"{pattern.body}-{name}", data


def _progress(batch: Batch, done: int, code: str) -> str:
    filled = BAR * done // batch.count
    return f"[{'#' * filled}{'-' * (BAR - filled)}] {done:,} of {batch.count:,}: {code}"
