"""Mistakes with a lesson: E1701 to E1799."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from scye.diagnostics.model import Diagnostic


@dataclass(frozen=True, kw_only=True)
class SampleNotWhole(Diagnostic):
    """The draft of the sample body could not be drawn to its end, so there are no steps to teach.

    A lesson is drawn for one body from beginning to end. `scye build` with the same card says which line
    could not be drawn and why: two lines that don't meet, a measure in doubt, a limit that is passed. Put
    that right, or teach on another sample.
    """

    code: ClassVar[str] = "E1701"
    title: ClassVar[str] = "the sample's draft is not whole"

    body: str
    first: str

    def seen(self) -> str:
        return f"the draft for {self.body} can't be drawn to its end: `{self.first}` is missing"

    def attempt(self) -> str:
        return "`scye build` with this card says why; put it right, or teach on another sample"


@dataclass(frozen=True, kw_only=True)
class StudentDraftsOtherwise(Diagnostic):
    """The student's card asks for another draft than the sample's, so the same steps don't serve both.

    A choice of words, of yes or no or of a count changes which steps there are: `closing: laced` for the
    sample and `closing: zipped` for the student are two lessons. Set the choice for both with
    `--set closing=laced`, or make a sheet of the student's own.
    """

    code: ClassVar[str] = "E1702"
    title: ClassVar[str] = "sample and student need different steps"

    sample: str
    student: str

    def seen(self) -> str:
        return (
            f"the cards of {self.sample} and {self.student} choose differently: their drafts have other steps"
        )

    def attempt(self) -> str:
        return "set the choice for both with `--set`, or make two sheets"
