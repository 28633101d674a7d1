"""Stage 2, the program: a recipe with the methods it may draw by, and what every name means."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from scye.ir.syntax import File, MeantFor, Method, Statement
from scye.source import Span
from scye.units.quantity import Kind

Role = Literal[
    "measure", "choice", "value", "unknown", "counter", "drawn thing", "piece", "draft", "parameter"
]


@dataclass(frozen=True, slots=True)
class Symbol:
    """What one name stands for.

    `kind` is None while it has to be worked out from the statement's amount. `many` is a list; `family` a
    row of names with an index (`top[i]`). `arms` says in which arms of which `when`s the name is made.
    """

    name: str
    kind: Kind | None
    role: Role
    span: Span
    statement: Statement | None
    many: bool = False
    family: bool = False
    arms: tuple[tuple[int, bool], ...] = ()
    inner: Scope | None = None
    method: str = ""


@dataclass(slots=True)
class Scope:
    """The names of a recipe, a draft or a method. A draft sees its recipe's names; a method only its own."""

    name: str
    parent: Scope | None = None
    symbols: dict[str, list[Symbol]] = field(default_factory=dict)
    drafts: dict[str, Scope] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class MethodEntry:
    """A method, the scope of its names and the file it came from."""

    method: Method
    scope: Scope


@dataclass(frozen=True, slots=True)
class Program:
    recipe: File
    methods: dict[str, MethodEntry]
    root: Scope
    measures: dict[str, Kind]
    # Names in lines that could not be read: nobody complains of them twice.
    forgiven: frozenset[str]

    @property
    def meant_for(self) -> tuple[MeantFor, ...]:
        """The bodies that the recipe says it is meant for; none where it says nothing of them."""
        return self.recipe.head.meant_for if self.recipe.head is not None else ()


# The kinds that a method's parameters and results may have: the word, its kind, and whether it is a list.
PARAMETER_KINDS: dict[str, tuple[Kind, bool]] = {
    "length": (Kind.LENGTH, False),
    "number": (Kind.NUMBER, False),
    "angle": (Kind.ANGLE, False),
    "percentage": (Kind.PERCENT, False),
    "point": (Kind.POINT, False),
    "line": (Kind.LINE, False),
    "direction": (Kind.DIRECTION, False),
    "lengths": (Kind.LENGTH, True),
    "numbers": (Kind.NUMBER, True),
    "percentages": (Kind.PERCENT, True),
    "points": (Kind.POINT, True),
    "lines": (Kind.LINE, True),
}
