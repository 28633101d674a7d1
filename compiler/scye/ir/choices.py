"""Style choices settled for one body: those that shape the draft, and those that are amounts."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Settled:
    """`structure` decides words, yes or no and counts: bodies with the same structure share one expansion.

    `amounts` are lengths, angles and percentages (mm, radians, 0-1), which each body may have its own of.
    """

    structure: tuple[tuple[str, str | bool | float], ...]
    amounts: tuple[tuple[str, float], ...]
