"""The rows of the proof sheet that say who decided what, and how sure the figures are."""

from __future__ import annotations

from dataclasses import dataclass

from scye.ir.pattern import DecisionMade, Pattern
from scye.ir.people import DisplayUnit
from scye.ir.sureness import Doubt, ErrorBar, HowSure, PieceDoubt
from scye.units.tape import show_length, show_value

# Where a caution belongs that is not for the wearer's sheet, and how that place is headed.
NOTICE_SHEETS = (("card", "For the measure card"), ("findings", "For the list of findings"))


@dataclass(frozen=True, slots=True)
class DecisionRow:
    limit: str
    value: str
    by: str
    date: str
    why: str


@dataclass(frozen=True, slots=True)
class BarRow:
    title: str
    width: str
    taken: str


@dataclass(frozen=True, slots=True)
class DoubtRow:
    name: str
    out: str
    text: str


@dataclass(frozen=True, slots=True)
class SureRows:
    """What stands under `How sure`; figures that no tape could show to be out are left away."""

    bars: tuple[BarRow, ...]
    finished: tuple[DoubtRow, ...]
    pieces: tuple[PieceDoubt, ...]
    amounts: tuple[DoubtRow, ...]


def notice_sheets(pattern: Pattern) -> list[tuple[str, str]]:
    there = {notice.sheet for notice in pattern.notices}
    return [(sheet, heading) for sheet, heading in NOTICE_SHEETS if sheet in there]


def decision_rows(pattern: Pattern) -> list[DecisionRow]:
    return [_decision(made, pattern.unit) for made in pattern.decisions]


def _decision(made: DecisionMade, unit: DisplayUnit) -> DecisionRow:
    return DecisionRow(made.limit, show_value(made.value, made.unit, unit), made.by, made.date, made.why)


def sure_rows(sure: HowSure | None, unit: DisplayUnit) -> SureRows | None:
    if sure is None or not sure.bars:
        return None
    rows = [(doubt.what == "amount", _doubt(doubt, unit)) for doubt in sure.doubts if doubt.text]
    return SureRows(
        bars=tuple(_bar(bar, unit) for bar in sure.bars),
        finished=tuple(row for amount, row in rows if not amount),
        pieces=sure.pieces,
        amounts=tuple(row for amount, row in rows if amount),
    )


def _doubt(doubt: Doubt, unit: DisplayUnit) -> DoubtRow:
    name = doubt.name.replace("_", " ").replace("[", " ").replace("]", "").replace(".", " ")
    lead = "Seam " if doubt.what == "seam" else ""
    return DoubtRow(lead + name, _amount(doubt.out, doubt.unit, unit), _because(doubt.text))


def _because(text: str) -> str:
    """The reason alone: what is out, and how far, stands in the same line already."""
    said, because, reason = text.partition(" because ")
    if not because:
        return text[:1].upper() + text[1:]
    return f"mostly {reason}" if said.endswith(", mostly") else reason


def _bar(bar: ErrorBar, unit: DisplayUnit) -> BarRow:
    return BarRow(bar.title, _amount(bar.bar, bar.unit, unit), _taken(bar.times))


def _taken(times: int | None) -> str:
    words = {None: "not said how often", 1: "once", 2: "twice"}
    return words.get(times, f"{times} times")


def _amount(value: float, tag: str, unit: DisplayUnit) -> str:
    return show_length(value, unit) if tag == "mm" else show_value(value, tag, unit)
