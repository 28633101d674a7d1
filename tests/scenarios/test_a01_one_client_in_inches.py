"""A1: one client, five panels a side, strapless, laced back, in inches (acceptance scenario, figures
invented).

In: bust 36, underbust 31, waist 28, high hip 35; gap 2, reduction 2. Panels 3 1/2, 4, 3 1/2, 3 1/4,
2 3/4 at the bust; the seams take 35, 20, 20, 20 and 5 per cent.
"""

from __future__ import annotations

import re

import pytest

from scye.ir.pattern import Pattern
from scye.ir.requests import ExitCode
from workroom import INCH, ROOT, Workroom

RECIPE = ROOT / "recipes" / "saltmarsh-bodice" / "saltmarsh-bodice.scye"


@pytest.fixture
def wren(room: Workroom) -> Pattern:
    return room.pattern(RECIPE, "wren")


def inches(pattern: Pattern) -> dict[str, float]:
    return {value.name: value.value / INCH for value in pattern.values if value.unit == "mm"}


def listed(pattern: Pattern) -> dict[str, list[float]]:
    return {found.name: [v / INCH for v in found.values] for found in pattern.lists}


def waist_widths(pattern: Pattern) -> list[float]:
    amounts = inches(pattern)
    return [amounts[f"waist_width[{i}]"] for i in range(1, 6)]


def width_at(pattern: Pattern, level: str) -> list[float]:
    """How wide each piece lies at a level, in inches."""
    widths = []
    for piece in pattern.pieces:
        ((a, b),) = ((a, b) for name, a, b in piece.levels if name == level)
        widths.append(abs(b[0] - a[0]) / INCH)
    return widths


def test_half_sums(wren: Pattern) -> None:
    amounts = inches(wren)
    expected = {
        "half_bust": 17.0, "half_underbust": 14.5, "half_waist": 12.0, "half_high_hip": 16.5,
        "suppression": 5.0, "hip_spring": 4.5,
    }  # fmt: skip
    assert {name: amounts[name] for name in expected} == pytest.approx(expected, abs=1e-9)


def test_shares_and_springs(wren: Pattern) -> None:
    lists = listed(wren)
    assert lists["intake"] == pytest.approx([1.75, 1.0, 1.0, 1.0, 0.25], abs=1e-9)
    assert lists["spring"] == pytest.approx([0.5] * 9, abs=1e-9)
    assert lists["panel_width"] == pytest.approx([3.5, 4.0, 3.5, 3.25, 2.75], abs=1e-9)


def test_panel_waists_come_to_12_exactly(wren: Pattern) -> None:
    widths = waist_widths(wren)
    assert widths == pytest.approx([2.625, 2.625, 2.5, 2.25, 2.0], abs=1e-9)
    assert sum(widths) == pytest.approx(12.0, abs=1e-9)
    assert sum(listed(wren)["panel_width"]) == pytest.approx(17.0, abs=1e-9)


def test_the_pieces_themselves_have_these_widths(wren: Pattern) -> None:
    """Measured on the stitch lines of the finished pieces, not read from the sums."""
    assert width_at(wren, "waist line") == pytest.approx([2.625, 2.625, 2.5, 2.25, 2.0], abs=1e-4)
    assert width_at(wren, "bust line") == pytest.approx([3.5, 4.0, 3.5, 3.25, 2.75], abs=1e-4)


def test_the_gap_is_taken_once_and_reduction_touches_the_waist_only(wren: Pattern) -> None:
    """Laced to the gap: bust 34, underbust 29, waist 24, high hip 33 of cloth; 2 in of gap close the body."""
    girths = {proof.name: proof for proof in wren.proofs}
    expected = {"bust": 34.0, "underbust": 29.0, "laced waist": 24.0, "high hip": 33.0}
    for name, girth in expected.items():
        assert girths[name].found / INCH == pytest.approx(girth, abs=1 / 16), name
        assert girths[name].verdict == "walks true"


def test_five_pieces_each_cut_2(wren: Pattern) -> None:
    titles = ["Centre front", "Side front", "Side", "Side back", "Centre back"]
    assert [piece.title for piece in wren.pieces] == titles
    assert all(piece.cuts[0].count == 2 and piece.cuts[0].how == "pair" for piece in wren.pieces)


def test_seam_letters_stand_on_both_edges(wren: Pattern) -> None:
    on: dict[str, list[str]] = {}
    for piece in wren.pieces:
        for edge in piece.edges:
            for letter in edge.letters:
                on.setdefault(letter, []).append(piece.title)
    assert on["A"] == ["Centre front", "Side front"]
    assert on["B"] == ["Side front", "Side"]
    assert on["C"] == ["Side", "Side back"]
    assert on["D"] == ["Side back", "Centre back"]
    printed = {label.text for piece in wren.pieces for label in piece.edge_labels if label.role == "letter"}
    assert set("ABCD") <= {text[:1] for text in printed}


def test_every_panel_has_a_waist_notch_on_each_sewn_edge(wren: Pattern) -> None:
    for piece in wren.pieces:
        sewn = {edge.name for edge in piece.edges if edge.letters}
        assert {notch.edge for notch in piece.notches if notch.name == "waist line"} == sewn


def test_edges_of_one_seam_are_within_a_millimetre(wren: Pattern) -> None:
    assert [seam.letter for seam in wren.seams] == ["A", "B", "C", "D", "E"]
    for seam in wren.seams:
        assert abs(seam.length_a - seam.length_b) <= 1.0
        assert all(abs(part.length_a - part.length_b) <= 1.0 for part in seam.parts)
        assert seam.verdict == "walks true"


def test_the_reduction_is_stated(wren: Pattern) -> None:
    assert ("Reduction", "2 in, 7.1 % of waist") in wren.reports


def test_the_proof_sheet_shows_join_list_and_working(room: Workroom) -> None:
    outcome, out = room.build(RECIPE, "wren")
    assert outcome.exit_code is ExitCode.GOOD
    page = (out / "proof.html").read_text(encoding="utf-8")
    assert "Join list" in page
    assert "(bust - gap) / 2 = (36 in - 2 in) / 2 = 17 in" in page
    assert "(waist - reduction - gap) / 2 = (28 in - 2 in - 2 in) / 2 = 12 in" in page
    assert "half_bust - half_waist = 17 in - 12 in = 5 in" in page
    assert "1 3/4 in, 1 in, 1 in, 1 in, 1/4 in" in page
    assert "2 in, 7.1 % of waist" in page
    for figure in ("2 5/8 in", "2 1/2 in", "2 1/4 in"):
        assert re.search(rf"= {figure}\b", page)
