"""The working of each proof: both sides in words, then in figures."""

from __future__ import annotations

from scye.explain.workings import figure, number_at
from scye.ir import equations as e
from scye.ir import plan as p
from scye.ir import syntax as s
from scye.ir.people import DisplayUnit
from scye.ir.solution import Solution


def proof_workings(
    plan: p.CuttingPlan, equations: e.Equations, solution: Solution, body: int, display: DisplayUnit
) -> dict[str, str]:
    """For each proof's title: what it says, with the figure of every term that was drawn or measured."""
    return {
        proof.title: f"{_words(proof.left_expr)} {_sign(proof.relation)} {_words(proof.right_expr)}"
        + _figures(proof, equations, solution, body, display)
        for proof in plan.proofs
    }


def _words(expr: s.Expr) -> str:
    return " ".join(expr.span.text.split())


def _sign(relation: str) -> str:
    return {"=": "=", "<=": "≤", ">=": "≥"}[relation]


def _figures(
    proof: p.ProvePlan, equations: e.Equations, solution: Solution, body: int, display: DisplayUnit
) -> str:
    """The terms of the right side that are amounts of the draft, added up in the open."""
    terms: list[str] = []
    for term in proof.right:
        if isinstance(term.value, p.MeasuredOnPieces):
            return ""
        value = term.sign * number_at(solution, term.value, body)
        shown = figure(equations.nodes[term.value], abs(value), display)
        joint = (" - " if value < 0 else " + ") if terms else ("-" if value < 0 else "")
        terms.append(joint + shown)
    return f" = {''.join(terms)}" if len(terms) > 1 else ""
