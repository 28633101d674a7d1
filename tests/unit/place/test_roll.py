"""Pieces on roll paper: apart, on the paper, in the same order every time."""

from dataclasses import replace
from itertools import combinations

import pytest
import saltmarsh

from scye.diagnostics.model import Severity
from scye.ir.sheets import Box
from scye.place.outline import overlaps
from scye.place.picture import lay_picture
from scye.place.roll import GAP, LONGEST, MARGIN, larger_than_roll, lay_roll


def many(count, width=300.0, height=400.0):
    sheet = saltmarsh.rectangle_piece(width, height)
    return saltmarsh.of_pieces(*(replace(sheet, name=f"sheet_{k}", number=k) for k in range(1, count + 1)))


def apart(a, b, gap):
    return not overlaps(Box(a.left - gap, a.top - gap, a.right + gap, a.bottom + gap), b)


@pytest.mark.parametrize("pattern", [saltmarsh.pattern(), many(9)], ids=["bodice", "nine sheets"])
def test_pieces_lie_apart_and_on_the_paper(pattern):
    page = lay_roll(pattern).pages[0]
    assert page.width == 914
    for a, b in combinations([page.title, *(p.box for p in page.placed)], 2):
        assert apart(a, b, GAP - 0.001)
    for placed in page.placed:
        assert placed.box.left >= MARGIN
        assert placed.box.right <= page.width - MARGIN
        assert placed.box.bottom <= page.height - MARGIN + 1e-9


def test_a_piece_keeps_its_grain_upright():
    page = lay_roll(saltmarsh.pattern()).pages[0]
    skirt = next(p for p in page.placed if p.piece.name == "skirt_front")
    assert skirt.box.width == pytest.approx(284.7, abs=1.5)
    assert skirt.box.height > 600


def test_the_roll_may_be_narrower():
    assert lay_roll(saltmarsh.pattern(), width=600).pages[0].width == 600


def test_what_is_longer_than_a_pdf_page_goes_on_another():
    plan = lay_roll(many(30))
    assert len(plan.pages) == 2
    assert all(page.height <= LONGEST for page in plan.pages)
    assert sorted(p.piece.number for page in plan.pages for p in page.placed) == list(range(1, 31))


def test_a_piece_wider_than_the_paper_is_still_whole():
    assert lay_roll(many(1, width=1200), width=914).pages[0].width == pytest.approx(1220)


def test_a_piece_larger_than_the_roll_is_told_by_its_title():
    ((name, caution),) = larger_than_roll(many(1, width=1200, height=600), 914)
    assert (name, caution.severity) == ("sheet_1", Severity.CAUTION)
    size = "47 1/4 in by 23 5/8 in"
    room = "one 36 in wide has room for 35 3/16 in across"
    assert caution.seen() == f"Cloth sheet is larger than the roll: {size}, and {room}"
    assert "`--roll 42in`" in caution.attempt()
    assert list(larger_than_roll(many(1, width=1200, height=600), 1220)) == []


def test_a_piece_longer_than_a_page_of_a_file_is_told():
    assert [name for name, _ in larger_than_roll(many(1, width=300, height=5000), 914)] == ["sheet_1"]


def test_a_pattern_without_pieces_has_a_page_with_its_title():
    plan = lay_roll(saltmarsh.of_pieces())
    assert [page.placed for page in plan.pages] == [()]


def test_the_picture_has_the_pieces_in_reading_order():
    plan = lay_picture(many(8))
    places = [(p.box.top, p.box.left) for p in plan.placed]
    assert places == sorted(places)
    assert 1 < plan.width / plan.height < 2.2
    for a, b in combinations([p.box for p in plan.placed], 2):
        assert not overlaps(a, b)
