"""A2: the same recipe for the next client, in centimetres (acceptance scenario, figures invented).

In: bust 102, underbust 88, waist 84, high hip 104; gap 5, reduction 5. The studio lets one seam take 3.8 cm.
"""

from __future__ import annotations

import hashlib
import re
from pathlib import Path

import pypdfium2  # type: ignore[import-untyped]
import pytest

from scye.diagnostics.model import Severity
from scye.ir.pattern import Pattern
from scye.ir.requests import ExitCode
from scye.render.proof import list_row
from scye.units.tape import show_list
from workroom import ROOT, Workroom

RECIPE = ROOT / "recipes" / "saltmarsh-bodice" / "saltmarsh-bodice.scye"
INCH_FRACTION = re.compile(r"\d\s*/\s*\d+\s*in\b|[½¼¾⅛⅜⅝⅞]|\d\.\d+\s*in\b")


@pytest.fixture
def plover(room: Workroom) -> Pattern:
    return room.pattern(RECIPE, "plover")


def words_of(html: str) -> str:
    body = html[html.index("<body>") :]
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", body))


def test_half_sums_need_no_edit_of_the_recipe(plover: Pattern) -> None:
    amounts = {value.name: value.value for value in plover.values}
    expected = {
        "half_bust": 485.0, "half_underbust": 415.0, "half_waist": 370.0, "half_high_hip": 495.0,
        "suppression": 115.0,
    }  # fmt: skip
    assert {name: amounts[name] for name in expected} == pytest.approx(expected, abs=1e-9)
    assert all(proof.verdict == "walks true" for proof in plover.proofs)
    assert all(seam.verdict == "walks true" for seam in plover.seams)


def test_the_recipe_is_the_same_bytes_for_both(room: Workroom) -> None:
    before = hashlib.sha256(RECIPE.read_bytes()).hexdigest()
    outcome, _ = room.build(RECIPE, "wren", "plover")
    assert outcome.exit_code is ExitCode.GOOD
    assert hashlib.sha256(RECIPE.read_bytes()).hexdigest() == before


def test_printed_figures_are_rounded_together(plover: Pattern) -> None:
    lists = {found.name: found.values for found in plover.lists}
    assert show_list(lists["intake"], "mm") == ["40 mm", "23 mm", "23 mm", "23 mm", "6 mm"]
    assert show_list(lists["panel_width"], "mm") == ["100 mm", "114 mm", "100 mm", "93 mm", "78 mm"]
    amounts = {value.name: value.value for value in plover.values}
    waists = [amounts[f"waist_width[{i}]"] for i in range(1, 6)]
    assert show_list(waists, "mm") == ["80 mm", "82 mm", "77 mm", "70 mm", "61 mm"]


def test_the_proof_sheet_prints_these_figures(room: Workroom) -> None:
    outcome, out = room.build(RECIPE, "plover")
    assert outcome.exit_code is ExitCode.GOOD
    page = words_of((out / "proof.html").read_text(encoding="utf-8"))
    assert "10.0 cm, 11.4 cm, 10.0 cm, 9.3 cm, 7.8 cm 48.5 cm" in page
    assert "4.0 cm, 2.3 cm, 2.3 cm, 2.3 cm, 0.6 cm 11.5 cm" in page
    for i, figure in enumerate(("8.0", "8.2", "7.7", "7.0", "6.1"), 1):
        assert re.search(rf"waist width\W*{i}\W+{figure} cm", page)
    for false in ("9.99", "11.41", "9.27", "7.85"):
        assert false not in page


def test_panel_waists_are_a_list_and_rounded_together(room: Workroom) -> None:
    pattern = room.pattern(RECIPE, "plover", show="mm")
    (waists,) = (found for found in pattern.lists if found.name == "waist_width")
    assert list_row(waists, pattern).figures == ("80 mm", "82 mm", "77 mm", "70 mm", "61 mm")


def test_a_caution_where_seam_a_takes_more_than_the_limit(plover: Pattern) -> None:
    """A caution, not a refusal; and no word about the other seams or the 0.2 mm by which 4.025 cm is not
    4.0."""
    (finding,) = plover.findings
    assert finding.severity is Severity.CAUTION
    assert finding.text == "seam A takes 4.0 cm; your limit is 3.8 cm"
    assert finding.attempt == "consider a sixth panel or move share to B"
    assert len(plover.pieces) == 5


def test_a_limit_passed_by_a_hair_is_not_nagged_about(room: Workroom) -> None:
    pattern = room.pattern(RECIPE, "plover", seam_limit="40.1 mm")
    assert pattern.findings == ()


def test_the_reduction_is_stated(plover: Pattern) -> None:
    assert ("Reduction", "5.0 cm, 6.0 % of waist") in plover.reports


def pdf_words(path: Path) -> str:
    document = pypdfium2.PdfDocument(path)
    try:
        return "\n".join(page.get_textpage().get_text_range() for page in document)
    finally:
        document.close()


def test_no_inch_fraction_stands_on_the_pages(room: Workroom) -> None:
    """The recipe is written in inches; its figures are shown in the client's own unit. (Whole inches stand on
    the ruler and square that prove the printer's scale, beside millimetres.)"""
    _, out = room.build(RECIPE, "plover")
    svg = re.findall(r"<text[^>]*>([^<]*)</text>", (out / "pieces.svg").read_text(encoding="utf-8"))
    page = words_of((out / "proof.html").read_text(encoding="utf-8"))
    for sheet in ("\n".join(svg), pdf_words(out / "sheet.pdf"), pdf_words(out / "tiles-a4.pdf"), page):
        assert "cm" in sheet
        assert INCH_FRACTION.findall(sheet) == []
