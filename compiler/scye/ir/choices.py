"""Style choices settled for one body: those that shape the draft, and those that are amounts."""

from __future__ import annotations

from dataclasses import dataclass

# What an order says besides the choices of its recipe, for limits: 1 for yes and 0 for no, or the amount
# decided. No name of a recipe has a space in it.
MINOR = "wearer under age"
HEALTH = "condition noted"
# Where nothing was decided: an amount that lets nothing pass, whichever way a limit runs (mm).
UNDECIDED = 1e9


def asked_for(choice: str) -> str:
    """Whether a choice was set by hand."""
    return f"asked for {choice}"


def decided_on(limit: str) -> str:
    """The amount up to which a decision lets a limit be passed."""
    return f"decided on {limit}"


@dataclass(frozen=True, slots=True)
class Settled:
    """`structure` decides words, yes or no and counts: bodies with the same structure share one expansion.

    `amounts` are lengths, angles and percentages (mm, radians, 0-1), which each body may have its own of.
    """

    structure: tuple[tuple[str, str | bool | float], ...]
    amounts: tuple[tuple[str, float], ...]
