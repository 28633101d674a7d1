"""Source text and places in it: the one conversion from an offset to a line and column."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True, eq=False)
class Source:
    """One text that was read: a recipe, a method file, a card or a chart.

    `name` is what the maker is shown (a path relative to where she stands, or the
    name of a stdlib file); two sources are the same only if they are one object.
    """

    name: str
    text: str
    _starts: list[int] = field(default_factory=list, repr=False)

    @property
    def source(self) -> Source:
        """Itself: a span may be counted from the beginning of a text or from a line of it."""
        return self

    @property
    def start(self) -> int:
        return 0

    def line_starts(self) -> list[int]:
        if not self._starts:
            self._starts.append(0)
            self._starts.extend(i + 1 for i, c in enumerate(self.text) if c == "\n")
        return self._starts

    def position(self, offset: int) -> tuple[int, int]:
        """Line and column of an offset, both counted from 1."""
        starts = self.line_starts()
        line = bisect_right(starts, offset) - 1
        return line + 1, offset - starts[line] + 1

    def line_text(self, line: int) -> str:
        """The text of a line (counted from 1), without its line break."""
        starts = self.line_starts()
        begin = starts[line - 1]
        end = starts[line] - 1 if line < len(starts) else len(self.text)
        return self.text[begin:end].rstrip("\r")


@dataclass(slots=True, eq=False)
class Line:
    """Where a line of a text begins, as an offset in `source`.

    Who keeps what was read of a text from one edit to the next moves the lines that are still there, and what
    was read of them goes along.
    """

    source: Source
    start: int


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of a source, `start` to `end` (offsets in characters, end excluded).

    `first` and `last` are counted from where it stands: from a line, or from the beginning of its source.
    """

    stands: Source | Line
    first: int
    last: int

    @property
    def source(self) -> Source:
        return self.stands.source

    @property
    def start(self) -> int:
        return self.stands.start + self.first

    @property
    def end(self) -> int:
        return self.stands.start + self.last

    @property
    def text(self) -> str:
        return self.source.text[self.start : self.end]

    @property
    def line(self) -> int:
        return self.source.position(self.start)[0]

    @property
    def column(self) -> int:
        return self.source.position(self.start)[1]

    def to(self, other: Span) -> Span:
        """The stretch from this one's start to the other's end."""
        return Span(self.source, self.start, max(self.end, other.end))

    def __str__(self) -> str:
        line, column = self.source.position(self.start)
        return f"{self.source.name}:{line}:{column}"
