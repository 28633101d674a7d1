"""Explain: how each named amount comes about for one body, in words and figures.

Reads the equations and a solution. Adds nothing to them. A working is the recipe's own sum with each name
exchanged for its figure: `(waist - gap) / 2 = (28 in - 2 in) / 2 = 13 in`.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator

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
    if node.kind is Kind.PERCENT:
        return f"{value * 100:g}%"
    return show_value(value, UNIT_TAGS.get(node.kind, ""), display)


def number_at(solution: Solution, ref: e.Ref, body: int) -> float:
    values = solution.values[ref]
    return float(values[body if values.shape[-1] > 1 else 0])


def values_of(
    equations: e.Equations, solution: Solution, body: int, display: DisplayUnit, has_tape: HasTape
) -> Iterator[Value]:
    """Every named amount of one body, in the order it was written."""
    for ref, node in enumerate(equations.nodes):
        if node.name and node.kind in UNIT_TAGS and not _in_list(node):
            value = number_at(solution, ref, body)
            owner = owner_of(node, has_tape)
            working = working_of(equations, ref, solution, body, display, has_tape)
            yield Value(node.name, value, UNIT_TAGS[node.kind], owner, working, node.sentence)


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


def working_of(
    equations: e.Equations,
    ref: e.Ref,
    solution: Solution,
    body: int,
    display: DisplayUnit,
    has_tape: HasTape,
) -> str:
    """The working of one amount, ending in its figure."""
    node = equations.nodes[ref]
    result = figure(node, number_at(solution, ref, body), display)
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
        return _shared(equations, node, solution, body, display, result)
    text = " ".join(node.expr.span.text.split())
    text = _counted(text, node, equations)
    filled = _filled(text, node, equations, solution, body, display)
    prefix = "by rule: " if isinstance(node.op, e.Taken) else ""
    steps = [text, *([filled] if filled != text else []), *([result] if result not in (text, filled) else [])]
    return prefix + " = ".join(steps)


def _counted(text: str, node: e.Node, equations: e.Equations) -> str:
    """The sum with the counters of a `repeat` worked out: `width[i]` reads `width[2]`."""
    return _NAME.sub(lambda m: _counted_name(m.group(), node, equations), text)


def _counted_name(name: str, node: e.Node, equations: e.Equations) -> str:
    ref = next((r for n, r in node.names if n == name), None) if "[" in name else None
    if ref is None or not equations.nodes[ref].name:
        return name
    depth = name.count(".")
    return ".".join(equations.nodes[ref].name.split(".")[-depth - 1 :])


def _filled(
    text: str,
    node: e.Node,
    equations: e.Equations,
    solution: Solution,
    body: int,
    display: DisplayUnit,
) -> str:
    """The sum with figures in place of names; names of lines and points stay as they are."""
    figures: dict[str, str] = {}
    for name, ref in node.names:
        other = equations.nodes[ref]
        if other.kind in (*UNIT_TAGS, Kind.PERCENT):
            shown = figure(other, number_at(solution, ref, body), display)
            figures.setdefault(name, shown)
            figures.setdefault(_counted_name(name, node, equations), shown)
    return _NAME.sub(lambda m: figures.get(m.group(), m.group()), text)


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
