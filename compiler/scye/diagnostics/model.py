"""What a diagnostic is. One class per mistake lives in the module of its phase; this is their shape.

Each class derives from `Diagnostic`, sets `code`, `severity` and `title`, and has a docstring that is
the long explanation which `scye code` prints. Instances carry the span and say in the maker's words
what was seen, what was expected and what to try.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import IntEnum
from typing import ClassVar

from scye.source import Span


class Severity(IntEnum):
    """How grave: a note informs, a caution asks for a look, a failure stops the piece being cut,
    an error is bad input that stops the draft."""

    NOTE = 0
    CAUTION = 1
    FAILURE = 2
    ERROR = 3

    @property
    def word(self) -> str:
        return self.name.lower()


@dataclass(frozen=True, slots=True)
class Label:
    """A second place that explains the first, possibly in another file."""

    span: Span
    text: str


@dataclass(frozen=True, kw_only=True)
class Diagnostic:
    """Base of every mistake. Subclasses add their own fields and override `seen`, `expected`, `attempt`."""

    code: ClassVar[str]
    title: ClassVar[str]
    severity: ClassVar[Severity] = Severity.ERROR

    span: Span | None
    labels: tuple[Label, ...] = field(default=())

    def seen(self) -> str:
        """What was seen, one sentence (the headline)."""
        raise NotImplementedError

    def expected(self) -> str:
        """What was expected there, or an empty string."""
        return ""

    def attempt(self) -> str:
        """What to try, or an empty string."""
        return ""
