"""A3: measures that disagree (acceptance scenario, figures invented).

In: bust 38, front arc 20 1/2, back arc 15 1/2 (misread); waist 30, high hip 29; waist by halves 14
3/4 + 15 1/4.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from scye.diagnostics.model import Severity
from scye.ir.pattern import Finding, Pattern
from scye.ir.requests import ExitCode
from workroom import INCH, ROOT, Workroom

HALVES = Path(__file__).with_name("two-halves.scye")
BODICE = ROOT / "recipes" / "saltmarsh-bodice" / "saltmarsh-bodice.scye"
FINE = {"bust": "38", "bust_front_arc": "20 1/2", "bust_back_arc": "17 1/2", "waist": "30", "high_hip": "37"}


@pytest.fixture
def linnet(room: Workroom) -> Pattern:
    return room.pattern(HALVES, "linnet")


def told(pattern: Pattern, code: str) -> Finding:
    (finding,) = (f for f in pattern.findings if f.code == code)
    return finding


def test_the_girth_and_its_arcs(linnet: Pattern) -> None:
    finding = told(linnet, "E831")
    assert finding.severity is Severity.FAILURE
    assert finding.text == (
        "Bust 38 in but arcs come to 36 in: 2 in apart, more than the 3/8 in the two readings allow"
    )
    assert finding.attempt == "re-measure the back arc"


def test_the_high_hip_under_the_waist(linnet: Pattern) -> None:
    finding = told(linnet, "E832")
    assert finding.severity is Severity.CAUTION
    assert finding.text.startswith("High hip is under the waist: taken at the right level?")
    assert "waist 30 in, high hip 29 in" in finding.text


def test_halves_that_come_to_the_whole_are_no_mistake(linnet: Pattern) -> None:
    finding = told(linnet, "E833")
    assert finding.severity is Severity.NOTE
    assert finding.text == "Waist: left and right differ 1/2 in: full draft or half?"
    assert {f.code for f in linnet.findings} == {"E831", "E832", "E833", "E613"}


def test_every_finding_is_in_plain_words(linnet: Pattern) -> None:
    for finding in linnet.findings:
        assert "line " not in finding.text
        assert finding.where == ("back_piece" if finding.code == "E613" else "measure card")


def test_pieces_that_use_the_bad_figure_are_held_and_the_others_go_on(linnet: Pattern) -> None:
    assert [piece.title for piece in linnet.pieces] == ["Front", "Belt"]
    (seam,) = linnet.seams
    assert seam.verdict == "not drawn"
    verdicts = {proof.name: proof.verdict for proof in linnet.proofs}
    assert verdicts == {"bust round": "not drawn", "belt": "walks true"}


def test_the_sheet_says_which_piece_is_held(linnet: Pattern) -> None:
    assert any("Back" in f.text or "back piece" in f.where for f in linnet.findings if f.code != "E831")


def test_nothing_is_averaged(linnet: Pattern) -> None:
    (front,) = (piece for piece in linnet.pieces if piece.title == "Front")
    assert front.edges[0].length / INCH == pytest.approx(20.5 / 2)
    (held,) = (value for value in linnet.values if value.name == "bust_back_arc")
    assert held.value != held.value  # not a number


def test_a_recipe_without_the_bad_figure_drafts_whole(room: Workroom) -> None:
    outcome, _ = room.build(BODICE, "linnet")
    assert outcome.exit_code is ExitCode.FINDINGS
    assert any("5 pieces; 5 of 5 seams walk true" in line for line in outcome.lines)
    assert any("re-measure the back arc" in line for line in outcome.lines)


@pytest.mark.parametrize("back_arc", ["17 1/2", "17 3/4", "17 1/4"])
def test_differences_within_the_tape_are_passed_over(room: Workroom, back_arc: str) -> None:
    pattern = room.pattern(HALVES, FINE | {"bust_back_arc": back_arc})
    assert pattern.findings == ()
    assert len(pattern.pieces) == 3


def test_what_reads_as_the_tolerance_is_not_told_as_more_than_it(room: Workroom) -> None:
    pattern = room.pattern(HALVES, FINE | {"bust_back_arc": "17 7/8"})
    assert not any("3/8 in apart, more than the 3/8 in" in finding.text for finding in pattern.findings)


def test_a_difference_just_beyond_the_tape_is_told(room: Workroom) -> None:
    pattern = room.pattern(HALVES, FINE | {"bust_back_arc": "17"})
    assert {f.code for f in pattern.findings} == {"E831", "E613"}
