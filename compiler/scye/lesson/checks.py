"""What is checked at the end of a stage: the recipe's own proofs, or lengths that the draft must have."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from scye.geometry import path
from scye.ir import equations as e
from scye.ir import plan as p
from scye.ir.lesson import Check, Step
from scye.ir.pattern import Pattern, Proof
from scye.lesson.drawn import Drawn
from scye.lesson.sequence import Order, Unit
from scye.units.quantity import Kind


def drafts_of(proof: p.ProvePlan, sequence: Order) -> set[str]:
    """The drafts that must be drawn before a proof can be looked at; none for a sum by itself."""
    drafts: set[str] = set()
    for term in (*proof.left, *proof.right):
        match term.value:
            case p.MeasuredOnPieces(draft=draft):
                drafts.add(draft)
            case ref:
                drafts |= {unit.draft for unit in units_behind(ref, sequence) if unit.draft}
    return drafts


def units_behind(ref: e.Ref, sequence: Order) -> Iterator[Unit]:
    seen, waiting = {ref}, [ref]
    while waiting:
        at = waiting.pop()
        if at in sequence.unit_of:
            yield sequence.unit_of[at]
        for other in sequence.inputs(sequence.equations.nodes[at].op):
            if other not in seen:
                seen.add(other)
                waiting.append(other)


def proof_check(proof: p.ProvePlan, found: Mapping[str, Proof], drawn: Drawn) -> Check:
    """A proof as a check: what it should come to, and what the sample came to."""
    proved = found[proof.title]
    kind = Kind.LENGTH if proved.unit == "mm" else Kind.NUMBER
    left, right = (" ".join(x.span.text.split()) for x in (proof.left_expr, proof.right_expr))
    sign = {"=": "=", "<=": "is at most", ">=": "is at least"}[proof.relation]
    expected = drawn.tape.figure(proved.expected, kind).text
    return Check(
        f"{proof.title}: {left} {sign} {right}",
        expected,
        drawn.tape.figure(proved.found, kind).text,
        proved.verdict,
    )


def edge_checks(plan: p.CuttingPlan, pattern: Pattern, draft: str, drawn: Drawn) -> Iterator[Check]:
    """For a draft with nothing else to measure: the edges of the pieces cut from it."""
    of_draft = {piece.name for piece in plan.pieces if piece.draft == draft}
    for piece in pattern.pieces:
        for edge in piece.edges if piece.name in of_draft else ():
            far = drawn.tape.length(edge.length).text
            yield Check(f"{piece.title}, {edge.name}", far, far, "")


def measured_checks(steps: list[Step], drawn: Drawn, draft: str) -> Iterator[Check]:
    """For a stage without a proof of its own: the length of its last line, and how far apart its ends lie."""
    home = f"{draft}."
    acts = [act for step in steps for act in step.acts if act.name]
    points = [act for act in acts if act.kind == "point"]
    lines = [a for a in acts if a.kind == "line" and isinstance(drawn.line(a.id), path.Path)]
    if lines and lines[-1].do != "panel edge":
        line = drawn.line(lines[-1].id)
        far = drawn.tape.length(float(path.length(line)[0])).text
        yield Check(f"{lines[-1].name.removeprefix(home)}, measured along it", far, far, "")
    if len(points) > 1:
        a, b = points[0], points[-1]
        far = drawn.tape.length(math.dist(drawn.place(a.id), drawn.place(b.id))).text
        ends = f"{a.name.removeprefix(home)} to {b.name.removeprefix(home)}"
        yield Check(f"straight from {ends}", far, far, "")
