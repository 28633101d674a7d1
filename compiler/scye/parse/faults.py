"""A mistake in one line, before it is known where in the file that line stands."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from scye.diagnostics.model import Diagnostic
from scye.source import Line, Span


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong from `start` to `end` (offsets in the line's code): a diagnostic without its place."""

    kind: Callable[..., Diagnostic]
    start: int
    end: int
    fields: Mapping[str, object] = field(default_factory=dict)

    def at(self, line: Line, base: int) -> Diagnostic:
        return self.kind(span=Span(line, base + self.start, base + self.end), **self.fields)


class Unreadable(Exception):
    """Raised while the nodes of one line are made, caught where that line was begun."""

    def __init__(self, diagnostic: Diagnostic) -> None:
        super().__init__(diagnostic)
        self.diagnostic = diagnostic
