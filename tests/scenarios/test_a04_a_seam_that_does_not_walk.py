"""A4: a princess seam that does not walk (acceptance scenario, figures invented).

In: centre front edge 13 1/8 from top to waist, side front 13 1/2; ease 1/4 declared between two notches 4 in
apart; tolerance 1/16. All edges are curves of stated length.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from scye.diagnostics.model import Severity
from scye.ir.pattern import Pattern, Seam
from scye.ir.requests import ExitCode
from workroom import INCH, Workroom

RECIPE = Path(__file__).with_name("princess-seam.scye")


def seam_of(pattern: Pattern) -> Seam:
    (seam,) = pattern.seams
    return seam


def test_the_message_says_which_edge_is_long_how_much_and_where(room: Workroom) -> None:
    (finding,) = room.pattern(RECIPE, "wren").findings
    assert finding.severity is Severity.FAILURE
    assert finding.text == (
        "seam A: side front is long by 3/8 in; 1/4 in is declared; 1/8 in over, above the apex notch. "
        "Not proved. "
        "Above the apex notch side front 5 1/4 in, centre front panel 5 1/8 in; "
        "between the apex notch and the under bust notch side front 4 1/4 in, centre front panel 4 in; "
        "below the under bust notch side front 4 in, centre front panel 4 in."
    )


def test_three_remedies_in_trade_words(room: Workroom) -> None:
    """The third is told where it must lie: 3/8 in declared between the notches would leave the 1/8 in above
    them as it is, so it is 1/8 in there, beside the 1/4 in that stands."""
    (finding,) = room.pattern(RECIPE, "wren").findings
    assert finding.attempt.split("; ") == [
        "flatten side front's curve by 1/8 in",
        "put 1/8 in into the centre front panel edge",
        "or declare 1/8 in of ease there",
    ]


def test_lengths_from_notch_to_notch_for_both_edges(room: Workroom) -> None:
    seam = seam_of(room.pattern(RECIPE, "wren"))
    assert seam.verdict == "not proved"
    assert [round(part.length_a / INCH, 6) for part in seam.parts] == [5.25, 4.25, 4.0]
    assert [round(part.length_b / INCH, 6) for part in seam.parts] == [5.125, 4.0, 4.0]
    assert [part.ease / INCH for part in seam.parts] == pytest.approx([0.0, 0.25, 0.0])


def test_no_curve_was_stretched_to_fit(room: Workroom) -> None:
    pattern = room.pattern(RECIPE, "wren")
    lengths = {edge.name: edge.length / INCH for piece in pattern.pieces for edge in piece.edges}
    assert lengths["sf_edge"] == pytest.approx(13.5, abs=1e-6)
    assert lengths["cf_edge"] == pytest.approx(13.125, abs=1e-6)


def test_ease_outside_the_notches_is_not_let_pass(room: Workroom) -> None:
    """The whole comes out right, 1/4 in longer, but the ease lies above the notches."""
    pattern = room.pattern(RECIPE, "wren", upper_length="5 3/8 in", middle_length="4 in")
    seam = seam_of(pattern)
    assert seam.difference == pytest.approx(0.0, abs=1e-6)
    assert seam.verdict == "not proved"
    assert "1/4 in over, above the apex notch" in pattern.findings[0].text


def test_the_same_below_the_notches(room: Workroom) -> None:
    pattern = room.pattern(
        RECIPE, "wren", upper_length="5 1/8 in", lower_length="4 1/4 in", middle_length="4 in"
    )
    assert "1/4 in over, below the under bust notch" in pattern.findings[0].text


def test_with_the_eighth_taken_out_it_walks(room: Workroom) -> None:
    pattern = room.pattern(RECIPE, "wren", upper_length="5 1/8 in")
    assert seam_of(pattern).verdict == "walks true"
    assert pattern.findings == ()


def test_within_the_tolerance_is_a_caution_at_most(room: Workroom) -> None:
    """1/16 in fails, more than 1/32 in cautions: the recipe says so."""
    for upper, verdict in (
        ("5 5/32 in", "walks true"),
        ("5 3/16 in", "caution"),
        ("5 13/64 in", "not proved"),
    ):
        assert seam_of(room.pattern(RECIPE, "wren", upper_length=upper)).verdict == verdict


def test_the_proof_sheet_shows_it_and_the_run_says_so(room: Workroom) -> None:
    outcome, out = room.build(RECIPE, "wren")
    assert outcome.exit_code is ExitCode.FINDINGS
    page = (out / "proof.html").read_text(encoding="utf-8")
    assert "1/8 in over, above the apex notch. Not proved." in page
    for figure in ("13 1/2 in", "13 1/8 in", "5 1/4 in", "5 1/8 in", "4 1/4 in"):
        assert figure in page
