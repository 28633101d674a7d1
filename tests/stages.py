"""A recipe's text taken through the stages of the compiler one by one, without any file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from scye.check.check import check
from scye.diagnostics.model import Diagnostic
from scye.expand.choices import settle
from scye.expand.expand import Expanded, expand
from scye.ir import equations as e
from scye.ir.people import ChoiceText
from scye.ir.program import Program
from scye.ir.solution import Solution
from scye.order.graph import inputs
from scye.order.order import order
from scye.parse.parser import parse_file
from scye.project import standards
from scye.resolve.resolve import resolve
from scye.solve.causes import causes
from scye.solve.solve import Runnable, prepare, solve
from scye.source import Source, Span
from scye.units.quantity import Kind
from scye.units.tape import show_length

HEAD = 'recipe "Stage"\n'
INCH = 25.4
NAN = float("nan")


def measures() -> dict[str, Kind]:
    return {m.name: m.kind for m in standards()[0].measures}


def resolved(text: str, *libraries: str) -> tuple[Program, list[Diagnostic]]:
    """The program of a recipe and of files of methods, with what parse and resolve found."""
    parsed = [parse_file(Source(f"{i}.scye", t)) for i, t in enumerate((HEAD + text, *libraries))]
    program, found = resolve(parsed[0][0], [file for file, _ in parsed[1:]], measures())
    return program, [d for _, mistakes in parsed for d in mistakes] + found


def checked(text: str, *libraries: str) -> tuple[Program, list[Diagnostic]]:
    program, found = resolved(text, *libraries)
    return program, found + check(program)


def codes(found: Sequence[Diagnostic]) -> list[str]:
    return [d.code for d in found]


def unrolled(text: str, *libraries: str, **choices: str) -> tuple[Expanded | None, list[Diagnostic]]:
    """A recipe expanded for its own choices, or for some of them set."""
    program, found = checked(text, *libraries)
    assert found == [], [d.seen() for d in found]
    span = Span(Source("card", "x"), 0, 1)
    settled, mistakes = settle(program, [ChoiceText(n, t, span) for n, t in choices.items()])
    assert mistakes == [], [d.seen() for d in mistakes]
    return expand(program, settled)


def plan(text: str, *libraries: str, **choices: str) -> Expanded:
    expanded, found = unrolled(text, *libraries, **choices)
    assert expanded is not None, [d.seen() for d in found]
    return expanded


def names(equations: e.Equations) -> list[str]:
    return [node.name for node in equations.nodes if node.name]


def node(equations: e.Equations, name: str) -> e.Node:
    return next(n for n in equations.nodes if n.name == name)


def ordered(text: str, **choices: str) -> tuple[e.Ordered | None, list[Diagnostic]]:
    return order(plan(text, **choices).equations)


@dataclass(frozen=True)
class Drafted:
    """The values of a recipe for some bodies."""

    runnable: Runnable
    solution: Solution

    def value(self, name: str) -> Any:
        """Everything a name came to: (n,) amounts, (2, n) points, lines."""
        refs = [i for i, n in enumerate(self.runnable.ordered.equations.nodes) if n.name == name]
        assert len(refs) == 1, f"{len(refs)} things are called {name}"
        return self.solution.values[refs[0]]

    def inches(self, name: str) -> list[float]:
        values = np.broadcast_to(self.value(name), (self.solution.count,))
        return [round(float(v) / INCH, 9) for v in values]

    def place(self, name: str) -> tuple[float, float]:
        """A point of the first body, in inches right and down of the beginning."""
        x, y = (float(row[0]) / INCH for row in self.value(name))
        return round(x, 9), round(y, 9)

    def reasons(self) -> list[tuple[int, str, str]]:
        """Why things could not be drawn: the body, the code and the sentence."""
        ordered = self.runnable.ordered
        sources = {ref: inputs(n.op) for ref, n in enumerate(ordered.equations.nodes)}
        told = causes(ordered, self.solution, lambda mm: show_length(mm, "in"), sources)
        return [(c.body, c.diagnostic.code, c.diagnostic.seen()) for c in told]


def drafted(text: str, body: Mapping[str, Sequence[float] | float] | None = None, **choices: str) -> Drafted:
    """A recipe drafted for bodies whose measures are in inches, one figure or a row for several bodies."""
    runnable = runnable_of(text, **choices)
    given = {name: np.atleast_1d(np.asarray(v, float)) * INCH for name, v in (body or {}).items()}
    count = max((len(v) for v in given.values()), default=1)
    taken = {name: np.broadcast_to(v, (count,)).copy() for name, v in given.items()}
    return Drafted(runnable, solve(runnable, taken, amounts_of(runnable, count), count))


def runnable_of(text: str, **choices: str) -> Runnable:
    sequence, found = ordered(text, **choices)
    assert sequence is not None, [d.seen() for d in found]
    return prepare(sequence)


def amounts_of(runnable: Runnable, count: int) -> dict[str, Any]:
    """The defaults of the choices that are amounts."""
    chosen: dict[str, Any] = {}
    for n in runnable.ordered.equations.nodes:
        if isinstance(n.op, e.Chosen):
            default = getattr(n.statement, "default").quantity  # noqa: B009
            chosen[n.op.choice] = np.full(count, default.inside)
    return chosen
