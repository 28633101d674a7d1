"""Order: equations -> blocks.

Reads the equations. Opens rings of definitions by a guess that must agree with what is computed from it,
matches unknowns with conditions, and puts everything into an order in which it can be computed. Never
looks at a figure. Guarantees: each block depends on earlier ones only; each has as many conditions as
unknowns. Structure is diagnosed after Dulmage and Mendelsohn (1958).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from scye.diagnostics.conditions import NothingDecides, RingOfLines, TooManyConditions
from scye.diagnostics.expansion import TooMany
from scye.diagnostics.model import Diagnostic, Label
from scye.ir import equations as e
from scye.order.graph import components, inputs, matching, reached, renamed
from scye.units.quantity import Kind

MOST_UNKNOWNS = 200
AMOUNTS = (Kind.LENGTH, Kind.NUMBER, Kind.ANGLE, Kind.PERCENT, Kind.AREA)


def order(equations: e.Equations) -> tuple[e.Ordered | None, list[Diagnostic]]:
    """The blocks in order, or None with the reasons."""
    found: list[Diagnostic] = []
    _few_enough(list(equations.nodes), found)
    opened = _open_rings(equations, found)
    if found:
        return None, found
    blocks = _blocks(opened, found)
    return (None if found else e.Ordered(opened, tuple(blocks))), found


# --- rings ------------------------------------------------------------------------------------


def _open_rings(equations: e.Equations, found: list[Diagnostic]) -> e.Equations:
    """Equations without rings: one amount or point of each is guessed, and must come out as guessed."""
    nodes = list(equations.nodes)
    conditions = list(equations.conditions)
    while not found:
        # Opening a ring may leave smaller ones within it, so they are looked for again.
        sources = [inputs(node.op) for node in nodes]
        groups = components(len(nodes), sources.__getitem__)
        rings = [group for group in groups if len(group) > 1 or group[0] in sources[group[0]]]
        if not rings:
            break
        for ring in rings:
            _open(sorted(ring), nodes, conditions, found)
        _few_enough(nodes, found)
    return replace(equations, nodes=tuple(nodes), conditions=tuple(conditions))


def _open(
    ring: list[e.Ref], nodes: list[e.Node], conditions: list[e.Equality], found: list[Diagnostic]
) -> None:
    """Open a ring at its first named amount, else at its first point."""
    amounts = (i for i in ring if nodes[i].kind in AMOUNTS and nodes[i].name)
    points = (i for i in ring if nodes[i].kind is Kind.POINT)
    tear = next(amounts, next(points, None))
    if tear is None:
        named = sorted((nodes[i] for i in ring if nodes[i].name), key=lambda n: n.span.start)
        found.append(RingOfLines(span=named[0].span, names=tuple(n.name for n in named)))
    else:
        _tear(tear, ring, nodes, conditions)


def _few_enough(nodes: list[e.Node], found: list[Diagnostic]) -> None:
    sought = [node for node in nodes if isinstance(node.op, e.Sought)]
    if len(sought) > MOST_UNKNOWNS:
        said = f"this recipe has {len(sought):,} unknowns, with those of rings"
        limit = f"at most {MOST_UNKNOWNS} unknowns"
        found.append(TooMany(span=sought[MOST_UNKNOWNS].span, said=said, limit=limit))


def _tear(tear: int, ring: list[int], nodes: list[e.Node], conditions: list[e.Equality]) -> None:
    node = nodes[tear]

    def add(kind: Kind, op: e.Operation) -> e.Ref:
        nodes.append(e.Node(kind, op, "", node.span, node.statement, node.draft))
        return len(nodes) - 1

    if node.kind is Kind.POINT:
        across, down = (add(Kind.LENGTH, e.Sought(None, None)) for _ in range(2))
        right, below = add(Kind.DIRECTION, e.Fixed(1.0, 0.0)), add(Kind.DIRECTION, e.Fixed(0.0, 1.0))
        aside = add(Kind.POINT, e.MovePoint(add(Kind.POINT, e.Origin()), right, across))
        guess = add(Kind.POINT, e.MovePoint(aside, below, down))
        residuals = [add(Kind.LENGTH, e.RiseOf(axis, guess, tear)) for axis in ("width", "height")]
    else:
        guess = add(node.kind, e.Sought(None, None))
        residuals = [add(node.kind, e.Combine("-", tear, guess))]
    for i in ring:
        nodes[i] = replace(nodes[i], op=renamed(nodes[i].op, {tear: guess}))
    conditions.extend(e.Equality(residual, node.span, -1) for residual in residuals)


# --- blocks -----------------------------------------------------------------------------------


def _blocks(equations: e.Equations, found: list[Diagnostic]) -> list[e.Block]:
    nodes = equations.nodes
    sources = [inputs(node.op) for node in nodes]
    sequence = [group[0] for group in components(len(nodes), sources.__getitem__)]
    unknowns = [i for i, node in enumerate(nodes) if isinstance(node.op, e.Sought)]
    depends = _unknowns_behind(sequence, sources, unknowns)
    rows = [_bits(depends[c.residual]) for c in equations.conditions]
    column_of = matching(rows, len(unknowns))
    _diagnose(equations, unknowns, rows, column_of, found)
    if found:
        return []
    done: set[int] = set()
    blocks: list[e.Block] = []
    row_of = {column: row for row, column in enumerate(column_of)}
    for group in components(len(rows), lambda r: [row_of[c] for c in rows[r]]):
        mine = [unknowns[column_of[r]] for r in group]
        mask = sum(1 << column_of[r] for r in group)
        conditions = tuple(equations.conditions[r] for r in group)
        _before(mine, mask, conditions, sources, depends, sequence, done, blocks)
        needed = reached((c.residual for c in conditions), sources.__getitem__)
        inside = tuple(i for i in sequence if i in needed and i not in done and i not in mine)
        blocks.append(e.Simultaneous(tuple(mine), conditions, inside))
        done.update(mine, inside)
    rest = tuple(i for i in sequence if i not in done)
    if rest:
        blocks.append(e.Straight(rest))
    return blocks


def _before(
    mine: list[int],
    mask: int,
    conditions: tuple[e.Equality, ...],
    sources: Sequence[tuple[e.Ref, ...]],
    depends: list[int],
    sequence: list[int],
    done: set[int],
    blocks: list[e.Block],
) -> None:
    """What a block needs and which does not depend on its own unknowns is computed before it."""
    roots = [c.residual for c in conditions]
    roots += [r for u in mine for r in sources[u]]
    needed = reached(roots, sources.__getitem__)
    first = tuple(i for i in sequence if i in needed and i not in done and not depends[i] & mask)
    if first:
        blocks.append(e.Straight(first))
        done.update(first)


def _unknowns_behind(
    sequence: list[int], sources: Sequence[tuple[e.Ref, ...]], unknowns: list[int]
) -> list[int]:
    """For each node, the unknowns it depends on as bits."""
    bit = {u: 1 << i for i, u in enumerate(unknowns)}
    depends = [0] * len(sources)
    for i in sequence:
        mask = bit.get(i, 0)
        if i not in bit:
            for ref in sources[i]:
                mask |= depends[ref]
        depends[i] = mask
    return depends


def _bits(mask: int) -> list[int]:
    return [i for i in range(mask.bit_length()) if mask >> i & 1]


# --- diagnosis --------------------------------------------------------------------------------


def _diagnose(
    equations: e.Equations,
    unknowns: list[int],
    rows: list[list[int]],
    column_of: list[int],
    found: list[Diagnostic],
) -> None:
    """Unmatched conditions say too much, unmatched unknowns are decided by nothing."""
    row_of = {c: r for r, c in enumerate(column_of) if c >= 0}
    loose = [unknowns[c] for c in range(len(unknowns)) if c not in row_of]
    idle = {r for r, row in enumerate(rows) if not row and _find_of(equations, r) & set(loose)}
    for row, column in enumerate(column_of):
        if column < 0 and row not in idle:
            _too_much(equations, unknowns, rows, row_of, row, found)
    for ref in loose:
        node = equations.nodes[ref]
        mine = [equations.conditions[r] for r in sorted(idle) if ref in _find_of(equations, r)]
        labels = tuple(Label(c.span, f"this does not depend on `{node.name}`") for c in mine)
        found.append(NothingDecides(span=node.span, names=(node.name,), labels=labels))


def _find_of(equations: e.Equations, row: int) -> set[e.Ref]:
    """The unknowns of the `find` that a condition belongs to."""
    find = equations.conditions[row].find
    return set(equations.finds[find][1]) if find >= 0 else set()


def _too_much(
    equations: e.Equations,
    unknowns: list[int],
    rows: list[list[int]],
    row_of: dict[int, int],
    row: int,
    found: list[Diagnostic],
) -> None:
    """The over-determined part round an unmatched condition, by alternating paths."""
    group = reached([row], lambda r: [row_of[c] for c in rows[r] if c in row_of])
    columns = sorted({c for r in group for c in rows[r]})
    conditions = [equations.conditions[r] for r in sorted(group)]
    names = tuple(equations.nodes[unknowns[c]].name for c in columns)
    labels = tuple(Label(c.span, "this too") for c in conditions if c is not equations.conditions[row])
    texts = tuple(c.span.text for c in conditions)
    span = equations.conditions[row].span
    found.append(TooManyConditions(span=span, conditions=texts, unknowns=names, labels=labels))
