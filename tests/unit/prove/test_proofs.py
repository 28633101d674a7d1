"""Proofs, limits, reports and cautions."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from scye.diagnostics.model import Severity
from scye.ir.assembly import NOT_DRAWN, NOT_PROVED, WALKS_TRUE, DartMove, Section
from scye.ir.plan import CautionPlan, KeepPlan, MeasuredOnPieces, ProvePlan, ProveTerm, ReportPlan
from scye.ir.solution import Solution
from scye.ir.syntax import Amount
from scye.prove.figures import Amounts
from scye.prove.girths import judge_proof
from scye.prove.limits import judge_caution, judge_limit, moved_dart, shown_report
from scye.source import Source, Span
from scye.units.quantity import MM, Kind, Quantity

INCH = 25.4
SPAN = Span(Source("by hand", "prove"), 0, 5)
EXPR = Amount(SPAN, Quantity(Fraction(0), MM))


def _amounts(*values: object, kinds: tuple[Kind, ...] = ()) -> Amounts:
    rows = [np.atleast_1d(np.asarray(v, dtype=float)) for v in values]
    count = max(len(row) for row in rows)
    return Amounts(Solution(count, rows, [""] * len(rows)), kinds or (Kind.LENGTH,) * len(rows))


def _proof(
    left: tuple[object, ...], right: tuple[object, ...], relation: str = "=", within: int | None = None
):
    sides = [tuple(ProveTerm(1.0, value) for value in side) for side in (left, right)]
    return ProvePlan("waist", sides[0], relation, sides[1], within, EXPR, EXPR, SPAN)


def test_a1_girth_is_every_piece_as_often_as_it_is_cut() -> None:
    widths = [2.625, 2.625, 2.5, 2.25, 2.0]
    sections = [Section(f"p{i}", "body", 7, np.array([w * INCH]), 2) for i, w in enumerate(widths)]
    other = [Section("p0", "body", 8, np.array([99.0]), 2), Section("x", "sleeve", 7, np.array([99.0]), 2)]
    girth = MeasuredOnPieces("girth", 7, "waist_line", "body", None)
    judged, findings = judge_proof(_proof((girth,), (0,)), [*sections, *other], _amounts(24 * INCH))
    assert judged.found / INCH == pytest.approx(24.0)
    assert judged.unit == "mm"
    assert judged.standing.tolist() == [WALKS_TRUE]
    assert findings == []
    width = MeasuredOnPieces("width", 7, "waist_line", "body", "p2")
    judged, _ = judge_proof(_proof((width,), (0,)), sections, _amounts(2.5 * INCH))
    assert judged.standing.tolist() == [WALKS_TRUE]


def test_a_proof_that_does_not_hold_says_how_far_out_it_is() -> None:
    judged, (finding,) = judge_proof(
        _proof((0,), (1,)), [], _amounts([24.0 * INCH, 100.0], [24.25 * INCH, 101.0])
    )
    assert judged.standing.tolist() == [NOT_PROVED, WALKS_TRUE]
    assert (finding.code, finding.severity, finding.mask.tolist()) == (
        "E712",
        Severity.FAILURE,
        [True, False],
    )
    assert finding.text(0, "in") == "waist: 24 in found, 24 1/4 in expected; 1/4 in short. Not proved."


def test_a_girth_across_nothing_is_said_to_be_that() -> None:
    """Of the first body the line passes the pieces by; of the second the sum is wrong."""
    sections = [Section("front", "body", 7, np.array([0.0, 9.0 * INCH]), 2)]
    girth = MeasuredOnPieces("girth", 7, "body.low_line", "body", None)
    _, (finding,) = judge_proof(_proof((girth,), (0,)), sections, _amounts([24.0 * INCH, 24.0 * INCH]))
    assert finding.mask.tolist() == [True, True]
    assert [finding.attempt(body, "in") for body in range(2)] == [
        "`body.low_line` crosses no finished piece: measure at a level that crosses them",
        "check the shares and intakes that make it up, or allow more with `within`",
    ]


def test_a_girth_of_a_draft_without_pieces_is_said_to_be_that() -> None:
    girth = MeasuredOnPieces("girth", 7, "body.low_line", "body", None)
    sections = [Section("cap", "sleeve", 7, np.array([9.0 * INCH]), 2)]
    judged, (finding,) = judge_proof(_proof((girth,), (0,)), sections, _amounts(24.0 * INCH))
    assert judged.standing.tolist() == [NOT_DRAWN]
    assert finding.mask.tolist() == [True]
    said = "waist: no piece is cut from the draft of `body.low_line`. Not proved."
    assert (finding.severity, finding.text(0, "in")) == (Severity.FAILURE, said)


@pytest.mark.parametrize(
    ("relation", "expected"),
    [("=", [NOT_PROVED, WALKS_TRUE, WALKS_TRUE, NOT_PROVED, NOT_DRAWN]),
     ("<=", [WALKS_TRUE, WALKS_TRUE, WALKS_TRUE, NOT_PROVED, NOT_DRAWN]),
     (">=", [NOT_PROVED, WALKS_TRUE, WALKS_TRUE, WALKS_TRUE, NOT_DRAWN])],
)  # fmt: skip
def test_relations_hold_within_the_tolerance(relation: str, expected: list[int]) -> None:
    amounts = _amounts([90.0, 98.0, 102.0, 110.0, np.nan], 100.0, 2.0)
    judged, _ = judge_proof(_proof((0,), (1,), relation, within=2), [], amounts)
    assert judged.standing.tolist() == expected


def test_plain_numbers_have_no_unit() -> None:
    kinds = (Kind.NUMBER, Kind.NUMBER)
    judged, (finding,) = judge_proof(_proof((0,), (1,)), [], _amounts(4.0, 5.0, kinds=kinds))
    assert judged.unit == ""
    assert finding.text(0, "in") == "waist: 4 found, 5 expected; 1 short. Not proved."


# --- limits ------------------------------------------------------------------------------------


def _keep(title: str, relation: str = "at most", advice: str = "", require: bool = False) -> KeepPlan:
    return KeepPlan(title, 0, relation, 1, "seam_limit", advice, require, SPAN)


def test_a2_a_limit_is_kept_with_a_caution_but_does_not_nag() -> None:
    keep = _keep("seam A takes", advice="consider a sixth panel or move share to B")
    (finding,) = judge_limit(keep, _amounts([40.25, 38.2, 38.0, np.nan], 38.0))
    assert (finding.code, finding.severity) == ("E713", Severity.CAUTION)
    assert finding.mask.tolist() == [True, False, False, False]
    assert finding.text(0, "cm") == "seam A takes 4.0 cm; your limit is 3.8 cm"
    assert finding.attempt(0, "cm") == "consider a sixth panel or move share to B"
    assert judge_limit(keep, _amounts([38.2], 38.0)) == []


def test_a5_a_requirement_that_fails() -> None:
    require = _keep("cap height", advice="lower the cap, add ease, or raise the biceps ease", require=True)
    (finding,) = judge_limit(require, _amounts(6.375 * INCH, 5.5 * INCH))
    assert (finding.code, finding.severity) == ("E714", Severity.FAILURE)
    assert finding.text(0, "in") == "cap height cannot exceed 5 1/2 in; you asked 6 3/8 in"
    assert finding.attempt(0, "in") == "lower the cap, add ease, or raise the biceps ease"
    (least,) = judge_limit(_keep("ease", "at least", require=True), _amounts(INCH, 2 * INCH))
    assert least.text(0, "in") == "ease cannot be less than 2 in; you asked 1 in"


def test_shares_are_shown_in_per_cent_and_judged_exactly() -> None:
    kinds = (Kind.PERCENT, Kind.PERCENT)
    (finding,) = judge_limit(_keep("reduction"), _amounts([0.27, 0.10], 0.10, kinds=kinds))
    assert finding.mask.tolist() == [True, False]
    assert finding.text(0, "in") == "reduction 27.0 %; your limit is 10.0 %"


def test_figures_that_would_read_alike_are_shown_finer() -> None:
    (finding,) = judge_limit(_keep("seam A takes"), _amounts(38.4, 38.0))
    assert finding.text(0, "cm") == "seam A takes 38.4 mm; your limit is 38.0 mm"


def test_a1_a_report_states_its_share() -> None:
    report = shown_report(ReportPlan("Reduction", 0, 1, "waist", SPAN), _amounts(2 * INCH, 28 * INCH))
    assert (report.title, report.text(0, "in")) == ("Reduction", "2 in, 7.1 % of waist")
    plain = shown_report(ReportPlan("Gap", 0, None, "", SPAN), _amounts(50.0))
    assert plain.text(0, "cm") == "5.0 cm"


def test_cautions_hold_where_their_condition_does() -> None:
    always = judge_caution(CautionPlan("wax", None, SPAN), _amounts([0.0, 0.0]))
    assert (always[0], always[1].tolist()) == ("wax", [True, True])
    _, flags = judge_caution(CautionPlan("tight_lacing", 0, SPAN), _amounts([1.0, 0.0, np.nan]))
    assert flags.tolist() == [True, False, False]


def test_a6_the_ledger_of_a_moved_dart_balances_in_words() -> None:
    angle = np.array([2.0 * np.arcsin(0.1), np.nan])
    report = moved_dart(
        DartMove("front", 0, "front.side_dart", "side", "shoulder", angle, 0.0 * angle, angle)
    )
    assert report.title == "Side dart moved on front"
    assert report.text(0, "in") == "taken 11.48 deg: side 0, shoulder 11.48"
    assert report.text(1, "in") == "not drawn"
