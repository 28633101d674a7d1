"""A11: what to buy for the laced bodice, each figure from the finished pieces and with its working."""

from __future__ import annotations

import json
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from scye.diagnostics.model import Severity
from scye.ir.notions import Notion, Rates
from scye.ir.pattern import Pattern
from scye.lists.sheet import lists_of
from scye.render.lists import lists_html
from workroom import INCH, ROOT, Workroom

BODICE = Path(__file__).with_name("a11-findings.scye")
SALTMARSH = ROOT / "recipes" / "saltmarsh-bodice" / "saltmarsh-bodice.scye"


@pytest.fixture
def workroom(tmp_path: Path) -> Workroom:
    return Workroom(tmp_path)


@pytest.fixture
def laced(workroom: Workroom) -> Pattern:
    return workroom.pattern(BODICE, "wren")


def lines(pattern: Pattern, kind: str) -> list[Notion]:
    return [line for line in pattern.notions if line.kind == kind]


def only(pattern: Pattern, kind: str) -> Notion:
    (line,) = lines(pattern, kind)
    return line


def inches(mm: float | None) -> float:
    assert mm is not None
    return round(mm / INCH, 6)


def test_two_bones_to_each_seam_shorter_than_its_channel(laced: Pattern) -> None:
    bones = lines(laced, "spiral bone")
    assert [(line.where, line.text) for line in bones] == [
        ("seam A", "2 of 12 5/8 in"),
        ("seam B", "2 of 12 in"),
        ("seam C", "2 of 11 1/4 in"),
        ("seam D", "2 of 11 3/4 in"),
    ]
    assert [inches(line.length) for line in bones] == [12.625, 12.0, 11.25, 11.75]
    assert [inches(line.finished) for line in bones] == [13.125, 12.5, 11.75, 12.25]


def test_two_bones_each_side_of_the_eyelets(laced: Pattern) -> None:
    flat = only(laced, "flat bone")
    assert (flat.count, flat.text) == (4, "4 of 12 1/2 in")


def test_channels_are_counted_and_not_panels(laced: Pattern) -> None:
    cloth = sum(cut.count for piece in laced.pieces for cut in piece.cuts)
    assert cloth == 10
    assert sum(line.count for line in lines(laced, "spiral bone")) == 8


def test_tips_are_two_to_a_spiral_bone_with_those_of_the_spare(laced: Pattern) -> None:
    tips = only(laced, "tips")
    assert (tips.count, tips.spare) == (16, 2)


def test_eyelets_and_washers(laced: Pattern) -> None:
    eyelets, washers = only(laced, "eyelets"), only(laced, "washers")
    assert eyelets.text == "26 (13 a side)"
    assert (eyelets.count, washers.count) == (26, 26)
    assert eyelets.working == "edge 13 in, less 1/2 in at each end, every 1 in: 13 a side"


def test_the_lace_opens_wide_enough_to_dress(laced: Pattern) -> None:
    lace = only(laced, "lace")
    assert lace.text == "242 in (6.7 yd), to open to 8 in"
    assert inches(lace.length) == 242.0
    assert "24 crossings of the root of (1 in squared + 8 in squared) = 193 1/2 in" in lace.working
    assert "one straight run 8 in; two tails of 20 in = 40 in" in lace.working
    assert lace.working.endswith("closed to 2 in it would take only 96 in (2.7 yd)")


def test_a_short_lace_is_flagged(workroom: Workroom) -> None:
    pattern = workroom.pattern(BODICE, "wren", bought="3 yd")
    (found,) = [f for f in pattern.findings if f.code == "E1803"]
    assert found.severity is Severity.CAUTION
    assert found.text == ("a lace of 108 in (3.0 yd) is too short: opened to 8 in it takes 242 in (6.7 yd)")


def test_a_lace_long_enough_is_not(laced: Pattern) -> None:
    assert [f.code for f in laced.findings if f.code.startswith("E18")] == []


def test_binding_on_the_real_edges_with_its_square(laced: Pattern) -> None:
    binding = only(laced, "binding")
    assert binding.text == "78 in, cut 1 1/2 in wide, from a square of 11 1/2 in"
    assert inches(binding.finished) == 67.0
    assert "= 67 in net, both sides of the body; with 10% (6 11/16 in) and 4 in for joins" in binding.working


def test_the_printed_edges_of_the_binding_add_up(laced: Pattern) -> None:
    sum_said = only(laced, "binding").working.partition(" = ")[0]
    words = [term.split(" ")[2:-1] for term in sum_said.split(" + ")]
    assert len(words) == 10
    assert sum(sum(Fraction(x) for x in term) for term in words) == 67


def test_every_line_says_where_it_comes_from_and_something_is_spare(laced: Pattern) -> None:
    assert all(line.working for line in laced.notions)
    counted = {line.kind for line in laced.notions if line.spare}
    assert counted == {"spiral bone", "flat bone", "tips", "eyelets", "washers"}


def test_no_bone_is_as_long_as_its_seam_is_cut(laced: Pattern) -> None:
    cut = {seam.letter: seam.length_a for seam in laced.seams}
    for line in lines(laced, "spiral bone"):
        assert line.length is not None
        assert line.length < cut[line.where[-1]] - 0.4 * INCH


@pytest.mark.parametrize("recipe", [BODICE, SALTMARSH], ids=["scenario", "saltmarsh"])
def test_zipped_it_lists_a_zip_and_nothing_of_a_lace(workroom: Workroom, recipe: Path) -> None:
    """A15 rejects variants with a zip that still list eyelets."""
    pattern = workroom.pattern(recipe, "wren", closing="zipped")
    kinds = {line.kind for line in pattern.notions}
    assert "zip" in kinds
    assert kinds.isdisjoint({"eyelets", "washers", "lace"})
    assert "quick_release" not in {notice.name for notice in pattern.notices}


def test_the_zip_is_longer_than_its_opening(workroom: Workroom) -> None:
    line = only(workroom.pattern(BODICE, "wren", closing="zipped"), "zip")
    assert line.text == "1 of 14 1/2 in at least, for an opening of 13 in"
    assert (inches(line.length), inches(line.finished)) == (14.5, 13.0)


def test_cautions_stand_once_on_the_lists(laced: Pattern) -> None:
    names = [notice.name for notice in laced.notices if notice.sheet == "findings"]
    assert sorted(names) == ["metal_allergy", "quick_release", "sharp_bones"]
    page = lists_html(laced, lists_of(laced, Rates())).decode()
    for notice in laced.notices:
        assert page.count(notice.text[:30]) == (notice.sheet == "findings")


def test_the_run_writes_both(workroom: Workroom) -> None:
    _, out = workroom.build(SALTMARSH, "wren")
    data = json.loads((out / "pattern.json").read_text(encoding="utf-8"))["bodies"][0]
    page = (out / "lists.html").read_text(encoding="utf-8")
    assert [line["kind"] for line in data["findings_list"]].count("spiral bone") == 4
    for line in data["findings_list"]:
        assert line["working"] in page
    assert "src=" not in page
    assert "http" not in page


def test_money_is_summed_as_it_is_printed(laced: Pattern) -> None:
    rates = Rates(hour=Decimal("25"), hours=(("make", Decimal("2.5")),))
    cost = lists_of(laced, rates).cost
    assert cost.hours[0].sum == "62.50"
    assert cost.total == "62.50"
    assert cost.blanks == len(cost.cloth) + len(cost.findings)
