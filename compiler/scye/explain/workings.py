"""Explain: how each named amount comes about for one body, in words and figures.

Reads the equations and a solution. Adds nothing to them. A working is the recipe's own sum with each name
exchanged for its figure: `(waist - gap) / 2 = (28 in - 2 in) / 2 = 13 in`.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from scye.ir import equations as e
from scye.ir import syntax as s
from scye.ir.pattern import LedgerLine, Value, ValueList
from scye.ir.people import DisplayUnit
from scye.ir.solution import Solution
from scye.units.quantity import Kind
from scye.units.tape import show_value

UNIT_TAGS = {
    Kind.LENGTH: "mm",
    Kind.AREA: "mm2",
    Kind.ANGLE: "rad",
    Kind.NUMBER: "",
    Kind.PERCENT: "",
}
_NAME = re.compile(r"[A-Za-z_]\w*(?:\[[^\]]*\])?(?:\.[A-Za-z_]\w*(?:\[[^\]]*\])?)*")

# Which measures a body's card really has (the others come from the recipe's rules).
HasTape = Callable[[str], bool]


def figure(node: e.Node, value: float, display: DisplayUnit) -> str:
    """An amount as it is printed."""
    kind = node.kind
    if kind is Kind.LENGTH:  # as most are
        return show_value(value, "mm", display)
    if kind is Kind.PERCENT:
        return f"{value * 100:g}%"
    return show_value(value, UNIT_TAGS.get(kind, ""), display)


def number_at(solution: Solution, ref: e.Ref, body: int) -> float:
    values = solution.values[ref]
    number: float = values.item(body if len(values) > 1 else 0)
    return number


class Workings:
    """The workings of a recipe's amounts. How a sum is written is the same for every body, and is kept."""

    def __init__(self, equations: e.Equations) -> None:
        self._equations = equations
        self._named = [
            (ref, node)
            for ref, node in enumerate(equations.nodes)
            if node.name and node.kind in UNIT_TAGS and not _in_list(node)
        ]
        self._sums: dict[e.Ref, _Sum] = {}

    def values(
        self, solution: Solution, body: int, display: DisplayUnit, has_tape: HasTape
    ) -> Iterator[Value]:
        """Every named amount of one body, in the order it was written."""
        for ref, node in self._named:
            value = number_at(solution, ref, body)
            working = self._of(ref, value, solution, body, display, has_tape)
            owner = owner_of(node, has_tape)
            yield Value(node.name, value, UNIT_TAGS[node.kind], owner, working, node.sentence)

    def of(self, ref: e.Ref, solution: Solution, body: int, display: DisplayUnit, has_tape: HasTape) -> str:
        """The working of one amount, ending in its figure."""
        return self._of(ref, number_at(solution, ref, body), solution, body, display, has_tape)

    def _of(
        self,
        ref: e.Ref,
        value: float,
        solution: Solution,
        body: int,
        display: DisplayUnit,
        has_tape: HasTape,
    ) -> str:
        node = self._equations.nodes[ref]
        result = figure(node, value, display)
        match node.op:
            case e.Taken(measure=measure) if has_tape(measure):
                return f"measured: {result}"
            case e.Chosen() | e.Constant() if node.expr is None:
                return f"chosen: {result}"
            case e.Limited(a=a) if node.expr is None:
                asked = figure(node, number_at(solution, a, body), display)
                return f"chosen: {asked}" + ("" if asked == result else f", held at {result}")
            case e.Sought():
                return f"found: {result}"
        if node.expr is None:
            return result
        if isinstance(node.expr, s.Share):
            return _shared(self._equations, node, solution, body, display, result)
        prefix = "by rule: " if isinstance(node.op, e.Taken) else ""
        return prefix + " = ".join(self._steps(ref, solution, body, display, result))

    def _steps(
        self, ref: e.Ref, solution: Solution, body: int, display: DisplayUnit, result: str
    ) -> Iterator[str]:
        """The sum in names, then in figures, then what it comes to; nothing said twice."""
        if ref not in self._sums:
            self._sums[ref] = _sum_of(self._equations, self._equations.nodes[ref])
        written = self._sums[ref]
        nodes = self._equations.nodes
        filled = "".join(
            [
                part
                if isinstance(part, str)
                else figure(nodes[part], number_at(solution, part, body), display)
                for part in written.parts
            ]
        )
        yield written.text
        if filled != written.text:
            yield filled
        if result not in (written.text, filled):
            yield result


@dataclass(frozen=True, slots=True)
class _Sum:
    """A sum as it is written, with its counters worked out, and in parts: words, and places of amounts."""

    text: str
    parts: tuple[str | e.Ref, ...]


def _sum_of(equations: e.Equations, node: e.Node) -> _Sum:
    assert node.expr is not None
    text = " ".join(node.expr.span.text.split())
    text = _NAME.sub(lambda m: _counted_name(m.group(), node, equations), text)
    amounts = _amounts_in(equations, node)
    parts: list[str | e.Ref] = []
    end = 0
    for name in _NAME.finditer(text):
        if name.group() in amounts:
            parts += [text[end : name.start()], amounts[name.group()]]
            end = name.end()
    return _Sum(text, (*parts, text[end:]))


def _amounts_in(equations: e.Equations, node: e.Node) -> dict[str, e.Ref]:
    """The amounts that a sum names; names of lines and points stay as they are."""
    amounts: dict[str, e.Ref] = {}
    for name, ref in node.names:
        if equations.nodes[ref].kind in (*UNIT_TAGS, Kind.PERCENT):
            amounts.setdefault(name, ref)
            amounts.setdefault(_counted_name(name, node, equations), ref)
    return amounts


def _counted_name(name: str, node: e.Node, equations: e.Equations) -> str:
    ref = next((r for n, r in node.names if n == name), None) if "[" in name else None
    if ref is None or not equations.nodes[ref].name:
        return name
    depth = name.count(".")
    return ".".join(equations.nodes[ref].name.split(".")[-depth - 1 :])


def _in_list(node: e.Node) -> bool:
    """Whether an amount is one of a list that was written or shared as a whole."""
    return isinstance(node.statement, s.Let) and isinstance(node.statement.value, s.ListOf | s.Share)


def lists_of(equations: e.Equations, solution: Solution, body: int) -> Iterator[ValueList]:
    for name, refs in equations.lists:
        if refs:
            first = equations.nodes[refs[0]]
            values = tuple(number_at(solution, ref, body) for ref in refs)
            yield ValueList(name, values, UNIT_TAGS.get(first.kind, ""), first.sentence)


def ledger_of(equations: e.Equations, solution: Solution, body: int) -> Iterator[LedgerLine]:
    """What each dart and panel line takes in, level by level, each level closed by its total."""
    levels: dict[e.Ref, list[e.LedgerEntry]] = {}
    for entry in equations.ledger:
        levels.setdefault(entry.line, []).append(entry)
    for entries in levels.values():
        amounts = [number_at(solution, entry.amount, body) for entry in entries]
        for entry, amount in zip(entries, amounts, strict=True):
            yield LedgerLine(entry.at, entry.owner, amount)
        yield LedgerLine(entries[0].at, "total", math.fsum(amounts))


def owner_of(node: e.Node, has_tape: HasTape) -> str:
    """Who answers for an amount: a measure that was not taken is the recipe's rule."""
    if isinstance(node.op, e.Taken) and not has_tape(node.op.measure):
        return "rule"
    return node.owner or ""


def _shared(
    equations: e.Equations,
    node: e.Node,
    solution: Solution,
    body: int,
    display: DisplayUnit,
    result: str,
) -> str:
    assert isinstance(node.expr, s.Share)
    assert isinstance(node.op, e.Combine)
    whole = figure(equations.nodes[node.op.a], number_at(solution, node.op.a, body), display)
    part = number_at(solution, node.op.b, body) * 100
    total = " ".join(node.expr.total.span.text.split())
    shown = f"{part:.4g}" if math.isfinite(part) else "?"
    return f"{shown}% of {total} ({whole}) = {result}"
