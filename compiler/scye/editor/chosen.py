"""The body that an editor's figures and findings are for."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from scye.diagnostics.model import Diagnostic
from scye.drafting import Compiled, solved
from scye.driver import Compiler
from scye.explain.workings import UNIT_TAGS, owner_of
from scye.geometry.path import Path as Drawn
from scye.geometry.path import length
from scye.ir import equations as e
from scye.ir.pattern import Finding
from scye.ir.people import Body, DisplayUnit
from scye.ir.requests import Setting
from scye.ir.solution import Solution
from scye.live.draft import LiveDraft
from scye.read.cards import read_card
from scye.texts import ReadText
from scye.units.quantity import Kind
from scye.units.tape import show_length

# Of a row of things, so many are told.
MOST_TOLD = 12
_INDEX = re.compile(r"\[[^\]]*\]")


@dataclass(frozen=True, slots=True)
class Chosen:
    """A card, with choices set for it and the unit that its figures are shown in (None: the card's)."""

    card: Path
    settings: tuple[Setting, ...] = ()
    units: DisplayUnit | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Figures:
    """A recipe drafted for one body: `findings` are what is told of the pattern, `remarks` of card and
    choices."""

    body: Body
    unit: DisplayUnit
    compiled: Compiled
    solution: Solution
    findings: tuple[Finding, ...]
    remarks: tuple[Diagnostic, ...]

    @property
    def equations(self) -> e.Equations:
        return self.compiled.runnable.ordered.equations

    def told(self, name: str) -> list[str]:
        """The figures of a thing by its full name, one line each; of a row those of each."""
        nodes = enumerate(self.equations.nodes)
        refs = [ref for ref, node in nodes if node.name and _named(node.name, name)]
        lines = [line for ref in refs[:MOST_TOLD] if (line := self._line(ref))]
        return lines if len(refs) <= MOST_TOLD else [*lines, f"and {len(refs) - MOST_TOLD} more"]

    def _line(self, ref: e.Ref) -> str:
        node, value = self.equations.nodes[ref], self.solution.values[ref]
        name = node.name.split(".", 1)[-1] if node.draft else node.name
        if node.kind in UNIT_TAGS:
            has = frozenset(r.name for r in self.body.readings).__contains__
            working = self.compiled.workings.of(ref, self.solution, 0, self.unit, has)
            owner = owner_of(node, has)
            return f"{name}: {working}" + (f" (by {owner})" if owner else "")
        if node.kind is Kind.POINT:
            x, y = (float(v[0]) for v in value)
            return f"{name}: {self._across(x)}, {self._down(y)} of where the draft begins"
        if isinstance(value, Drawn):
            return f"{name}: {show_length(float(length(value)[0]), self.unit)} along"
        return ""

    def _across(self, x: float) -> str:
        return f"{show_length(abs(x), self.unit)} {'right' if x >= 0 else 'left'}"

    def _down(self, y: float) -> str:
        return f"{show_length(abs(y), self.unit)} {'down' if y >= 0 else 'up'}"


def _named(full: str, name: str) -> bool:
    """Whether a node is the thing of that name, or one part of it (an edge of a panel line, one of a row)."""
    plain = _INDEX.sub("", full)
    return plain == name or plain.startswith(f"{name}.")


def figures_for(live: LiveDraft, chosen: Chosen, read: ReadText) -> Figures | list[Diagnostic]:
    """A sound recipe drafted for the chosen body; or why it can't be."""
    source = read(chosen.card)
    if isinstance(source, Diagnostic):
        return [source]
    body, found = read_card(source, live.project.catalogue)
    if body is None:
        return found
    drawn = live.draw(body, dict(chosen.settings), chosen.units)
    found += drawn.diagnostics
    if drawn.pattern is None or drawn.compiled is None or drawn.order is None:
        return found
    solution = solved(drawn.compiled, Compiler(drawn.project).halves(drawn.compiled, drawn.order)[:1])
    unit = chosen.units or body.unit
    return Figures(body, unit, drawn.compiled, solution, drawn.pattern.findings, tuple(found))
