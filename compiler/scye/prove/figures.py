"""The solution's amounts as the prove room reads them, and findings made of words and masks."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from scye.diagnostics.model import Diagnostic
from scye.geometry.vector import Array, Flags
from scye.ir.assembly import BodyFinding, Words
from scye.ir.equations import Ref
from scye.ir.people import DisplayUnit
from scye.ir.solution import Solution
from scye.source import Span
from scye.units.quantity import Kind
from scye.units.tape import show_value

# What the figures of a kind are shown as (`units.tape.show_value`).
UNIT_TAGS = {Kind.LENGTH: "mm", Kind.ANGLE: "rad", Kind.AREA: "mm2"}


@dataclass(frozen=True, slots=True)
class Amounts:
    """Amounts of a solution as (n,), and the kind of every node by its `Ref`."""

    solution: Solution
    kinds: tuple[Kind, ...]

    def amount(self, ref: Ref) -> Array:
        value = np.asarray(self.solution.values[ref], dtype=np.float64)
        return np.ascontiguousarray(np.broadcast_to(value, (self.solution.count,)))

    def tag(self, ref: Ref) -> str:
        return UNIT_TAGS.get(self.kinds[ref], "")

    def is_share(self, ref: Ref) -> bool:
        return self.kinds[ref] is Kind.PERCENT

    def show(self, ref: Ref, value: float, unit: DisplayUnit) -> str:
        return f"{value * 100.0:.1f} %" if self.is_share(ref) else show_value(value, self.tag(ref), unit)


def finding(
    kind: type[Diagnostic], where: str, mask: Flags, text: Words, attempt: Words, span: Span | None
) -> BodyFinding:
    return BodyFinding(kind.code, kind.severity, where, mask, text, attempt, span)


def said(text: str) -> Words:
    """The same words for every body."""

    def words(_body: int, _unit: DisplayUnit) -> str:
        return text

    return words
