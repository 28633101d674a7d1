"""A text read again and again, mostly for little changes: what is said on lines still there is kept."""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Iterator, Sequence
from itertools import takewhile

from scye.diagnostics.model import Diagnostic
from scye.ir.syntax import File
from scye.parse.layout import Row, lay_out
from scye.parse.parser import read_rows
from scye.parse.reader import Known
from scye.source import Source


class Rereader:
    """One text as it is worked on. Statements whose lines are all still there are the very nodes of before,
    and their places are moved to the new text, wherever those lines stand in it now."""

    def __init__(self) -> None:
        self._rows: list[Row] = []
        self._known: Known = {}

    def parse(self, source: Source) -> tuple[File, list[Diagnostic]]:
        """As `parse_file`. What was answered before counts no more: its places are now in this source."""
        layout = lay_out(source)
        rows = [row for row in layout.rows if row.code and row.fault is None]
        for now, before in _still_there(rows, self._rows):
            before.line.source, before.line.start = source, now.line.start
            now.line = before.line
        reading = read_rows(source, layout, self._known)
        lines = {row.line for row in rows}
        self._rows = rows
        self._known = {key: known for key, known in self._known.items() if key[0] in lines}
        return reading.file, reading.diagnostics


def _still_there(now: Sequence[Row], before: Sequence[Row]) -> Iterator[tuple[Row, Row]]:
    """The rows of a text that were in the one before: those before and after all changes, then those between
    that read alike. Each answers to one."""
    head = sum(1 for _ in takewhile(_alike, zip(now, before, strict=False)))
    yield from zip(now[:head], before, strict=False)
    now, before = now[head:], before[head:]
    foot = sum(1 for _ in takewhile(_alike, zip(reversed(now), reversed(before), strict=False)))
    yield from zip(reversed(now), reversed(before[len(before) - foot :]), strict=False)
    left: dict[tuple[int, str], deque[Row]] = defaultdict(deque)
    for row in before[: len(before) - foot]:
        left[row.depth, row.code].append(row)
    for row in now[: len(now) - foot]:
        if same := left.get((row.depth, row.code)):
            yield row, same.popleft()


def _alike(pair: tuple[Row, Row]) -> bool:
    now, before = pair
    return now.depth == before.depth and now.code == before.code
