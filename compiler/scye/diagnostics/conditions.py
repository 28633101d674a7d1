"""Conditions that decide too little or too much: E501 to E599."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from scye.diagnostics.model import Diagnostic


@dataclass(frozen=True, kw_only=True)
class NothingDecides(Diagnostic):
    """A `find` has more unknowns than conditions, or an unknown that none of its conditions depends on.

        find drop from 1 in to 4 in, rise from 0 in to 2 in
          so that length of side = 8 in

    Each unknown needs a condition which changes when the unknown changes. Add a `so that`, or give the
    amount outright.
    """

    code: ClassVar[str] = "E501"
    title: ClassVar[str] = "an unknown that nothing decides"
    names: tuple[str, ...]

    def seen(self) -> str:
        names = " and ".join(f"`{n}`" for n in self.names)
        return f"nothing decides {names}"

    def attempt(self) -> str:
        return "add a `so that` which depends on it, or give the amount outright"


@dataclass(frozen=True, kw_only=True)
class TooManyConditions(Diagnostic):
    """There are more conditions than unknowns: they can't all be met, or one repeats another.

        find drop from 1 in to 4 in
          so that length of side = 8 in
          so that drop = 2 in

    The statements named want to settle the same unknowns, or settle nothing that is sought at all. Leave
    one out, or give it an unknown of its own. What should merely come out so is a `prove` and no condition.
    """

    code: ClassVar[str] = "E502"
    title: ClassVar[str] = "more conditions than unknowns"
    conditions: tuple[str, ...]
    unknowns: tuple[str, ...]

    def seen(self) -> str:
        if not self.unknowns:
            return f"`{self.conditions[0]}` depends on nothing that is sought"
        unknowns = " and ".join(f"`{n}`" for n in self.unknowns)
        conditions = " and ".join(f"`{c}`" for c in self.conditions)
        return f"{conditions} decide {unknowns}, which {_needs(len(self.unknowns))}"

    def attempt(self) -> str:
        return "leave out one of the conditions, or seek another unknown"


def _needs(count: int) -> str:
    return "needs only one condition" if count == 1 else f"need only {count} conditions"


@dataclass(frozen=True, kw_only=True)
class RingOfLines(Diagnostic):
    """Things are made from each other in a ring that holds no single amount and no point to begin from.

        line a = b reversed
        line b = a reversed

    A ring of amounts (`a` from `b`, `b` from `a`) is solved like a `find`. A ring of nothing but lines, or
    of lists, gives no place to start: make one of them from something else.
    """

    code: ClassVar[str] = "E503"
    title: ClassVar[str] = "a ring of lines or lists"
    names: tuple[str, ...]

    def seen(self) -> str:
        if len(self.names) == 1:
            return f"`{self.names[0]}` is made from itself"
        return "these are made from each other in a ring: " + ", ".join(f"`{n}`" for n in self.names)

    def attempt(self) -> str:
        return "make one of them from something outside the ring"
