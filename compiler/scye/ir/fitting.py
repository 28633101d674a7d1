"""Fitting corrections, as they stand on a measure card and as they came to rest on a draft."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from scye.source import Span
from scye.units.quantity import Quantity

Verb = Literal["take in", "let out", "raise", "lower", "drop"]
Side = Literal["left", "right"]


@dataclass(frozen=True, slots=True)
class Correction:
    """One line of a fitting sheet: `take in 3/8 at waist on seam C, nothing at underarm, both sides`.

    `amount` is in mm. `seam` is a seam's letter, or the name of an edge (of one piece, if `piece` is said);
    `at`, `nothing_at` and `carried_to` are the names of levels, notches, points or ends, as they were
    written. `only` is the one recipe that it is meant for.
    """

    verb: Verb
    amount: float
    written: Quantity
    seam: str
    at: str
    nothing_at: tuple[str, ...]
    carried_to: tuple[str, ...]
    piece: str
    side: Literal["left", "right", "both"]
    why: str
    only: str
    span: Span


@dataclass(frozen=True, slots=True)
class Fitting:
    """One fitting of one client: what was found, when, by whom and over what."""

    date: str
    by: str
    over: str
    corrections: tuple[Correction, ...]
    span: Span


Outcome = Literal["replayed", "left out", "for another recipe"]


@dataclass(frozen=True, slots=True)
class Rested:
    """Where a correction came to rest on a draft, in the maker's words.

    `day` is the date as it is said; `what` is the correction as it was written, `where` the edges it moved
    (empty if it was left out) and
    `reason` why it was left out.
    """

    date: str
    day: str
    by: str
    what: str
    why: str
    outcome: Outcome
    where: str
    reason: str
    span: Span
