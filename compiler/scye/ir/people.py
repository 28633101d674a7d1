"""Measures, measure cards and size charts, as they were read; every value keeps its place."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from scye.ir.fitting import Fitting
from scye.source import Span
from scye.units.quantity import Kind, Quantity

DisplayUnit = Literal["in", "cm", "mm"]


@dataclass(frozen=True, slots=True)
class Measure:
    """One entry of the catalogue of measures.

    `low` and `high` are the plausible range for grown people (mm, or radians for a slope); `tolerance`
    is what two careful readings may differ by; `clause` the ISO 8559-1 clause where known, with
    `clause_note` where secondary sources disagree; `also` other names it goes by.
    """

    name: str
    title: str
    kind: Kind
    where: str
    low: float
    high: float
    tolerance: float
    clause: str
    clause_note: str
    also: tuple[str, ...]

    def error_bar(self, times: int | None) -> float:
        """What a reading may be out by (mm or radians): the tolerance is for careful measurers who take a
        measure again, so it is doubled where one was taken once or it isn't said how often."""
        return self.tolerance * (2.0 if times is None or times < 2 else 1.0)


@dataclass(frozen=True, slots=True)
class CrossCheck:
    """Two sums of measures that should agree (or one not exceed the other) within their tolerances."""

    left: tuple[str, ...]
    relation: Literal["=", "<="]
    right: tuple[str, ...]
    text: str  # what to ask or re-measure, in the maker's words
    attempt: str


@dataclass(frozen=True, slots=True)
class Catalogue:
    measures: tuple[Measure, ...]
    checks: tuple[CrossCheck, ...]


@dataclass(frozen=True, slots=True)
class Reading:
    """One measure of a body. `value` in mm (or radians); `times` how often it was taken (None: not said)."""

    name: str
    value: float
    written: Quantity
    span: Span
    times: int | None = None
    side: Literal["left", "right"] | None = None


@dataclass(frozen=True, slots=True)
class ChoiceText:
    """A style choice on a card, still as text; the recipe says what it must be."""

    name: str
    text: str
    span: Span


@dataclass(frozen=True, slots=True)
class Decision:
    """Who lets a limit be passed, up to which value, when and why."""

    limit: str
    value: Quantity
    by: str
    date: str
    why: str
    span: Span


@dataclass(frozen=True, slots=True)
class Body:
    """One body to draft for: a client's card or one size of a chart."""

    code: str
    date: str
    unit: DisplayUnit
    readings: tuple[Reading, ...]
    choices: tuple[ChoiceText, ...]
    span: Span
    notes: tuple[str, ...] = ()
    fittings: tuple[Fitting, ...] = ()
    full: bool = False  # a draft for each side where left and right measures differ
    age: int | None = None  # whole years on the date of the card
    health_noted: bool = False  # whether, not what: that is the client's own
    decisions: tuple[Decision, ...] = ()


@dataclass(frozen=True, slots=True)
class Chart:
    title: str
    source: str
    unit: DisplayUnit
    base: str
    sizes: tuple[Body, ...]
    span: Span
