"""Home pages: few, none blank, named by row and column, and joined at marks that both neighbours carry."""

from dataclasses import replace

import pytest
import saltmarsh

from scye.ir.pattern import Piece
from scye.ir.sheets import Box, TilePlan
from scye.place.joints import edge_label_box, turned_box
from scye.place.lettering import label_box
from scye.place.outline import moved, overlaps
from scye.place.paper import A3, A4, LETTER
from scye.place.roll import lay_roll
from scye.place.tiles import OVERLAP, row_letter, tile
from scye.place.widths import text_width


def plan_of(*pieces: Piece, paper=A4, overlap=OVERLAP) -> TilePlan:
    return tile(lay_roll(saltmarsh.of_pieces(*pieces)), paper, overlap=overlap)


@pytest.mark.parametrize("paper", [A4, LETTER], ids=lambda p: p.name)
def test_a_sheet_of_62_by_74_cm_takes_twelve_pages(paper):
    """10 mm margin and overlap: 4 across and 3 down."""
    plan = plan_of(saltmarsh.rectangle_piece(620, 740), paper=paper)
    assert (plan.columns, plan.rows, len(plan.tiles)) == (4, 3, 12)
    assert [t.name for t in plan.tiles] == [f"{row}{column}" for row in "ABC" for column in (1, 2, 3, 4)]


def corner_piece() -> Piece:
    """An L of 500 by 500 mm with arms 100 mm wide."""
    sheet = saltmarsh.rectangle_piece(500, 500)
    corners = [(0, 0), (100, 0), (100, 400), (500, 400), (500, 500), (0, 500)]
    outline = replace(sheet.net, start=corners[0], segments=tuple((c,) for c in corners[1:]))
    return replace(sheet, net=outline, cutting=outline, label_at=(50, 300), grain=((20, 20), (20, 480)))


def test_blank_pages_are_left_out_and_the_names_kept():
    names = [t.name for t in plan_of(corner_piece()).tiles]
    assert names == ["A1", "B1", "B2", "B3"]


def test_a_page_with_only_the_middle_of_a_piece_is_printed():
    assert "B2" in [t.name for t in plan_of(saltmarsh.rectangle_piece(620, 740)).tiles]


@pytest.mark.parametrize("paper", [A4, LETTER], ids=lambda p: p.name)
def test_neighbours_carry_the_same_marks_on_their_joint(paper):
    plan = plan_of(saltmarsh.rectangle_piece(620, 740), paper=paper)
    by_cell = {(t.row, t.column): t for t in plan.tiles}
    joints = 0
    for (row, column), here in by_cell.items():
        for other in (by_cell.get((row, column + 1)), by_cell.get((row + 1, column))):
            if other is not None:
                joints += 1
                assert len(set(here.marks) & set(other.marks)) == 2
    assert joints == 3 * 3 + 4 * 2
    assert sum(len(t.marks) for t in plan.tiles) == joints * 4


def test_marks_and_legend_lie_inside_the_printable_area():
    for t in plan_of(*saltmarsh.pattern().pieces).tiles:
        for mark in t.marks:
            assert t.window.left + 4 <= mark.at[0] <= t.window.right - 4
            assert t.window.top + 4 <= mark.at[1] <= t.window.bottom - 4
        for x, y in (t.legend.squares, t.legend.map):
            assert t.window.left <= x <= t.window.right - 36
            assert t.window.top <= y <= t.window.bottom - 32
        x, y = t.legend.bar
        ends = [(x, y), (x, y - 100) if t.legend.upright else (x + 100, y)]
        assert all(t.window.left < a < t.window.right and t.window.top < b < t.window.bottom for a, b in ends)


def test_windows_are_the_printable_area_and_overlap_by_ten():
    tiles = {t.name: t for t in plan_of(saltmarsh.rectangle_piece(620, 740)).tiles}
    assert (tiles["A1"].window.width, tiles["A1"].window.height) == (190, 277)
    assert tiles["A1"].window.right - tiles["A2"].window.left == pytest.approx(10)
    assert tiles["A1"].window.bottom - tiles["B1"].window.top == pytest.approx(10)


def test_no_label_falls_across_a_joint():
    plan = plan_of(*saltmarsh.pattern().pieces)
    for placed in plan.placed:
        box = moved(label_box(placed.lettering.label), placed.move)
        cores = [t for t in plan.tiles if t.core.left < box.right and box.left < t.core.right]
        cores = [t for t in cores if t.core.top < box.bottom and box.top < t.core.bottom]
        assert len(cores) == 1


@pytest.mark.parametrize("overlap", [OVERLAP, 0.0], ids=["overlap", "butt"])
@pytest.mark.parametrize("paper", [A4, LETTER, A3], ids=lambda p: p.name)
def test_no_words_at_all_fall_across_a_joint(paper, overlap):
    plan = plan_of(*saltmarsh.pattern().pieces, paper=paper, overlap=overlap)
    cores = [t.core for t in plan.tiles]
    for placed in plan.placed:
        for room in word_rooms(placed):
            x, y = placed.move
            room = Box(room.left + x, room.top + y, room.right + x, room.bottom + y)
            assert sum(overlaps(room, core) for core in cores) == 1, (placed.piece.name, room)


def word_rooms(placed):
    """The room of everything that is written on a piece, in its own coordinates."""
    lettering = placed.lettering
    yield label_box(lettering.label)
    yield from map(edge_label_box, placed.piece.edge_labels)
    along = [*lettering.levels, *([lettering.grain] if lettering.grain else [])]
    for words in (*along, *(fold.words for fold in lettering.folds)):
        yield turned_box(words.at, text_width(words.words, words.size), words.size, words.angle)
    for words in lettering.drills:
        x, y = words.at
        yield Box(x, y - words.size, x + text_width(words.words, words.size), y)


def test_butted_pages_meet_without_overlap():
    plan = plan_of(saltmarsh.rectangle_piece(620, 740), overlap=0.0)
    tiles = {t.name: t for t in plan.tiles}
    assert tiles["A1"].window == tiles["A1"].core
    assert tiles["A1"].window.right == tiles["A2"].window.left
    assert (plan.columns, plan.rows) == (4, 3)
    assert len(set(tiles["A1"].marks) & set(tiles["A2"].marks)) == 2


def test_small_pieces_beside_a_long_one_are_kept_off_the_joints():
    """The long piece runs over three rows; the small ones must start anew past a joint."""
    long = replace(saltmarsh.rectangle_piece(150, 700), number=1)
    heights = enumerate((240, 200, 150, 150), 2)
    small = [replace(saltmarsh.rectangle_piece(80, h), number=k) for k, h in heights]
    plan = plan_of(long, *small)
    for placed in plan.placed[1:]:
        touched = [t for t in plan.tiles if overlaps(placed.box, t.core)]
        assert len(touched) == 1


def test_a_piece_that_fits_on_a_page_is_kept_off_the_joints():
    small = saltmarsh.rectangle_piece(110, 150)
    plan = plan_of(*(replace(small, number=k) for k in range(1, 5)))
    assert len(plan.tiles) == 4
    for placed in plan.placed:
        holding = [
            t for t in plan.tiles if t.core.left <= placed.box.left and placed.box.right <= t.core.right
        ]
        assert holding


def test_rows_after_z():
    assert [row_letter(k) for k in (0, 25, 26, 27, 51, 52, 701, 702)] == [
        "A",
        "Z",
        "AA",
        "AB",
        "AZ",
        "BA",
        "ZZ",
        "AAA",
    ]


def test_a_pattern_without_pieces_has_no_pages():
    assert plan_of().tiles == ()
