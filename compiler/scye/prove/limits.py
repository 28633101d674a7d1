"""Limits a recipe keeps or requires, reports and cautions."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from scye.diagnostics.pieces import LimitPassed, RequirementFails
from scye.geometry.vector import Array, Flags
from scye.ir.assembly import BodyFinding, DartMove, ReportShown, Reshaped, SeamJudged, Words
from scye.ir.people import DisplayUnit
from scye.ir.plan import CautionPlan, EasingPlan, KeepPlan, ReportPlan, SewPlan
from scye.prove.figures import Amounts, finding, said
from scye.units.quantity import Kind
from scye.units.tape import show_difference, show_length

NAG = 0.25  # mm past a limit that is kept without a word: a figure rounded to half a millimetre is the same
SLACK = 1e-6


def judge_limit(plan: KeepPlan, amounts: Amounts) -> list[BodyFinding]:
    """A caution (`keep`) or failure (`require`) for the bodies whose value is past the limit."""
    value, limit = amounts.amount(plan.value), amounts.amount(plan.limit)
    with np.errstate(all="ignore"):
        past = value - limit if plan.relation == "at most" else limit - value
        nag = NAG if amounts.kinds[plan.value] is Kind.LENGTH and not plan.require else SLACK
        mask: Flags = past > nag
    if not mask.any():
        return []
    kind = RequirementFails if plan.require else LimitPassed

    def text(body: int, unit: DisplayUnit) -> str:
        shown = _apart(amounts, plan, float(value[body]), float(limit[body]), unit)
        if not plan.require:
            return f"{plan.title} {shown[0]}; your limit is {shown[1]}"
        cannot = "cannot exceed" if plan.relation == "at most" else "cannot be less than"
        return f"{plan.title} {cannot} {shown[1]}; you asked {shown[0]}"

    return [finding(kind, plan.title, mask, text, said(plan.advice), plan.span)]


def _apart(
    amounts: Amounts, plan: KeepPlan, value: float, limit: float, unit: DisplayUnit
) -> tuple[str, str]:
    """Value and limit as shown; finer where they would read the same."""
    one, two = (amounts.show(plan.value, x, unit) for x in (value, limit))
    if one == two and amounts.kinds[plan.value] is Kind.LENGTH:
        return show_difference(value, unit), show_difference(limit, unit)
    return one, two


def shown_report(plan: ReportPlan, amounts: Amounts) -> ReportShown:
    """`2 in, 7.1 % of waist`."""
    value = amounts.amount(plan.value)
    whole = None if plan.share_of is None else amounts.amount(plan.share_of)

    def text(body: int, unit: DisplayUnit) -> str:
        shown = amounts.show(plan.value, float(value[body]), unit)
        if whole is None or not np.isfinite(value[body] / whole[body]):
            return shown
        share = float(value[body] / whole[body]) * 100.0
        return f"{shown}, {share:.1f} % of {plan.share_name.replace('_', ' ')}"

    return ReportShown(plan.title, text)


def moved_dart(move: DartMove) -> ReportShown:
    """The ledger of one move: `taken 11.48 deg: side 0, shoulder 11.48`."""

    def text(body: int, _unit: DisplayUnit) -> str:
        if not np.isfinite(move.taken[body]):
            return "not drawn"
        left = f"{_edge(move.left_at)} {_degrees(move.left, body)}"
        opened = f"{_edge(move.opened_at)} {_degrees(move.opened, body)}"
        return f"taken {_degrees(move.taken, body)} deg: {left}, {opened}"

    name = move.dart.rsplit(".", 1)[-1].replace("_", " ")
    piece = move.piece.rsplit(".", 1)[-1].replace("_", " ")
    return ReportShown(f"{name[:1].upper()}{name[1:]} moved on {piece}", text)


def reshaped(line: Reshaped) -> ReportShown:
    """What an operation did: `5 times 1 in at hem, hinged at waist line`."""

    def text(body: int, unit: DisplayUnit) -> str:
        values = [float(amount[body]) for amount in line.amounts]
        if not all(map(np.isfinite, values)):
            return "not drawn"
        shown = (
            f"{np.degrees(value):.2f} deg" if angular else show_length(value, unit)
            for value, angular in zip(values, line.angular, strict=True)
        )
        return line.words.format(*shown)

    return ReportShown(line.title, text)


def gathered(plan: SewPlan, judged: SeamJudged, amounts: Amounts) -> Iterator[ReportShown]:
    """What a seam gathers and how full that is: `28 in into 14 in, 2.0 to 1`."""
    for easing in plan.easings:
        if easing.gathered:
            yield ReportShown(f"Seam {judged.letter} gathered", _gathers(easing, judged, amounts))


def _gathers(easing: EasingPlan, judged: SeamJudged, amounts: Amounts) -> Words:
    held = amounts.amount(easing.amount)

    def text(body: int, unit: DisplayUnit) -> str:
        amount, long = float(held[body]), float(judged.length_a[body])
        if not np.isfinite(amount + long):
            return "not drawn"
        if easing.between is not None:
            return f"{show_length(amount, unit)} between {' and '.join(map(_edge, easing.between))}"
        short = long - amount
        full = f", {long / short:.1f} to 1" if short > SLACK else ""
        return f"{show_length(long, unit)} into {show_length(short, unit)}{full}"

    return text


def _edge(name: str) -> str:
    return name.replace("_", " ").replace(".", " ")


def _degrees(angle: Array, body: int) -> str:
    shown = f"{float(np.degrees(angle[body])):.2f}"
    return "0" if shown in ("0.00", "-0.00") else shown


def judge_caution(plan: CautionPlan, amounts: Amounts) -> tuple[str, Flags]:
    if plan.condition is None:
        return plan.name, np.ones(amounts.solution.count, dtype=bool)
    return plan.name, amounts.amount(plan.condition) > 0.5
