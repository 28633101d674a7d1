"""Proofs: what the recipe says must hold, measured on the finished pieces or worked out."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from scye.diagnostics.pieces import ProofFails
from scye.geometry.vector import Array, Flags, Ints
from scye.ir.assembly import NOT_DRAWN, NOT_PROVED, WALKS_TRUE, BodyFinding, ProofJudged, Section
from scye.ir.people import DisplayUnit
from scye.ir.plan import FittedPlan, MeasuredOnPieces, ProvePlan, ProveTerm
from scye.prove.figures import Amounts, finding, said
from scye.units.tape import show_difference, show_value

SLACK = 1e-6
# What two sides of a proof may differ by where the recipe does not say: 1 mm for lengths (seams to be
# joined are drawn to that), a tenth of a degree, and nothing to speak of for plain numbers.
DEFAULT_WITHIN = {"mm": 1.0, "rad": np.pi / 1800.0, "mm2": 100.0, "": 1e-6}


def judge_proof(
    plan: ProvePlan,
    sections: Sequence[Section],
    amounts: Amounts,
    fitted: Sequence[FittedPlan] = (),
    other_side: Ints | None = None,
) -> tuple[ProofJudged, list[BodyFinding]]:
    """A proof's verdict for every body: found is its left side, expected its right.

    What a fitting took off the pieces is taken off what the recipe expects. Of a body drafted as two halves,
    each as if the whole body were like it, a girth is the mean of what both have (`other_side` as for
    `prove`).
    """
    found, expected = (_sum(side, sections, amounts) for side in (plan.left, plan.right))
    taken = _fitted(plan.left, sections, amounts, fitted) - _fitted(plan.right, sections, amounts, fitted)
    expected = expected - taken
    if other_side is not None and _has_girth(plan):
        found, expected, taken = ((x + x[other_side]) / 2.0 for x in (found, expected, taken))
    unit = _unit(plan, amounts)
    within = np.full(found.shape, DEFAULT_WITHIN[unit])
    if plan.within is not None:
        within = amounts.amount(plan.within)
    with np.errstate(all="ignore"):
        holds = _holds(plan, found - expected, within)
        standing = np.where(holds, WALKS_TRUE, NOT_PROVED)
        standing = np.where(np.isfinite(found + expected), standing, NOT_DRAWN)
    judged = ProofJudged(plan.title, expected, found, within, unit, standing, taken)
    return judged, _findings(plan, judged, sections)


def _holds(plan: ProvePlan, difference: Array, within: Array) -> Flags:
    match plan.relation:
        case "=":
            return np.abs(difference) <= within + SLACK
        case "<=":
            return difference <= within + SLACK
        case ">=":
            return difference >= -within - SLACK


def _unit(plan: ProvePlan, amounts: Amounts) -> str:
    """The tag of what the proof compares; a plain factor does not make it a number."""
    tags = [
        "mm" if isinstance(term.value, MeasuredOnPieces) else amounts.tag(term.value)
        for term in (*plan.left, *plan.right)
    ]
    return next((tag for tag in tags if tag), "")


def _has_girth(plan: ProvePlan) -> bool:
    return any(value.what == "girth" for value in _measured_in(plan))


def _measured_in(plan: ProvePlan) -> list[MeasuredOnPieces]:
    values = [term.value for term in (*plan.left, *plan.right)]
    return [value for value in values if isinstance(value, MeasuredOnPieces)]


def _sum(terms: Sequence[ProveTerm], sections: Sequence[Section], amounts: Amounts) -> Array:
    total = np.zeros(amounts.solution.count)
    for term in terms:
        match term.value:
            case MeasuredOnPieces() as measured:
                value = _measured(measured, sections, total)
            case ref:
                value = amounts.amount(ref)
        total = total + term.sign * value
    return total


def _fitted(
    terms: Sequence[ProveTerm], sections: Sequence[Section], amounts: Amounts, fitted: Sequence[FittedPlan]
) -> Array:
    """What corrections took off the pieces that the terms of one side measure, (n,)."""
    total = np.zeros(amounts.solution.count)
    measured = [(term.sign, term.value) for term in terms if isinstance(term.value, MeasuredOnPieces)]
    for sign, value in measured if fitted else ():
        for section in _measured_by(value, sections):
            times = section.times if value.what == "girth" else 1
            for taken in fitted:
                if (taken.piece, taken.line) == (section.piece, section.line):
                    total = total + sign * times * amounts.amount(taken.amount)
    return total


def _measured_by(asked: MeasuredOnPieces, sections: Sequence[Section]) -> list[Section]:
    """The pieces that a term measures: one by its name, or all of a draft."""
    rows = [s for s in sections if s.line == asked.line]
    if asked.what == "width":
        return [s for s in rows if s.piece == asked.piece]
    return [s for s in rows if s.draft == asked.draft]


def _measured(measured: MeasuredOnPieces, sections: Sequence[Section], like: Array) -> Array:
    """A girth: each piece as often as it is cut; a width: one piece as it is drawn. NaN without a piece."""
    total = np.zeros(like.shape)
    rows = _measured_by(measured, sections)
    for section in rows:
        total = total + section.width * (section.times if measured.what == "girth" else 1)
    return total if rows else np.full(like.shape, np.nan)


def _findings(plan: ProvePlan, judged: ProofJudged, sections: Sequence[Section]) -> list[BodyFinding]:
    measured = _measured_in(plan)
    lacking = [value for value in measured if not _measured_by(value, sections)]
    if lacking:
        return [_nothing_cut(plan, lacking[0], judged)]
    mask = judged.standing == NOT_PROVED
    if not mask.any():
        return []
    widths = [(value.line_name, _measured(value, sections, judged.found)) for value in measured]

    def text(body: int, unit: DisplayUnit) -> str:
        found, expected = float(judged.found[body]), float(judged.expected[body])
        shown = [show_value(value, judged.unit, unit) for value in (found, expected)]
        apart = abs(found - expected)
        gap = show_difference(apart, unit) if judged.unit == "mm" else show_value(apart, judged.unit, unit)
        side = "over" if found > expected else "short"
        return f"{plan.title}: {shown[0]} found, {shown[1]} expected; {gap} {side}. Not proved."

    def attempt(body: int, _unit: DisplayUnit) -> str:
        missed = next((words for words, width in widths if abs(width[body]) <= SLACK), None)
        if missed is not None:
            return f"`{missed}` crosses no finished piece: measure at a level that crosses them"
        return "check the shares and intakes that make it up, or allow more with `within`"

    return [finding(ProofFails, plan.title, mask, text, attempt, plan.span)]


def _nothing_cut(plan: ProvePlan, measured: MeasuredOnPieces, judged: ProofJudged) -> BodyFinding:
    """A girth of a draft that no piece is cut from."""
    text = said(f"{plan.title}: no piece is cut from the draft of `{measured.line_name}`. Not proved.")
    attempt = said("measure at a line of a draft that pieces are cut from, or prove it only `when` they are")
    everyone = np.ones(judged.found.shape, dtype=bool)
    return finding(ProofFails, plan.title, everyone, text, attempt, plan.span)
