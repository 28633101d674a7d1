"""Which cuts there are, how they may lie, what is refused, and what is reckoned."""

from __future__ import annotations

import math
import sys
from collections import Counter
from dataclasses import replace

import pytest
from table import CLOTH, Table, garment, piece

from scye.ir.lay import Garment, Lay, Shrinkage
from scye.lay import lay as phase
from scye.lay.cuts import cut_list
from scye.lay.fast import lay_fast
from scye.lay.flat import highest, shifted
from scye.lay.lay import lay_out
from scye.lay.packing import packed
from scye.lay.reckon import bought, longest_chain, reckon
from scye.lay.shapes import clear
from scye.lay.sheet import sheet_of
from scye.lay.shrink import grown_to_lay
from scye.lay.ways import choices_of, margin_of


def test_copies_alike_on_both_sides_are_cut_through_both_layers(table: Table):
    lay = table.lay(piece("belt", 300, 60, "plain", 3), folded=True)
    assert [(s.folded, len(s.placements)) for s in lay.stretches] == [(True, 1), (False, 1)]
    assert lay.area == pytest.approx(3 * 300 * 60)


def test_copies_that_differ_from_side_to_side_are_cut_from_one_layer(table: Table):
    lay = table.lay(piece("flap", 100, 60, "plain", 2, slant=30), folded=True)
    assert [s.folded for s in lay.stretches] == [False]
    assert [p.mirrored for p in lay.stretches[0].placements] == [False, False]


def test_four_of_a_pair_are_two_of_each_hand(table: Table):
    lay = table.lay(piece("sleeve", 200, 100, "pair", 4, slant=20))
    assert Counter(p.mirrored for p in lay.stretches[0].placements) == {False: 2, True: 2}


@pytest.mark.parametrize("folded", [False, True])
def test_what_is_cut_wrong_side_up_lies_face_down_on_one_layer(folded: bool):
    (cut,) = cut_list((piece("front", 300, 200, "turned", slant=50),), "self", folded).single
    assert (cut.mirrored, cut.double) == (True, False)
    (cut,) = cut_list((piece("front", 300, 200, "single", slant=50),), "self", folded).single
    assert (cut.mirrored, cut.double) == (False, False)


def test_without_nap_pieces_are_turned_where_that_saves_cloth(table: Table):
    """Two wedges head to tail fill a rectangle; heads one way they can't."""
    wedge = piece("godet", 600, 300, "plain", 2, slant=300)
    one_way, none = table.lay(wedge, width=320.0), table.lay(wedge, width=320.0, nap="none")
    turned = [math.cos(p.angle - none.stretches[0].placements[0].angle) for p in none.stretches[0].placements]
    assert sorted(round(c) for c in turned) == [-1, 1]
    assert none.length < 615 < one_way.length


def test_a_piece_that_is_one_way_is_never_turned(table: Table):
    """The same two wedges: cloth without nap doesn't turn them if the recipe says one way."""
    wedge = replace(piece("godet", 600, 300, "plain", 2, slant=300), one_way=True)
    lay = table.lay(wedge, width=320.0, nap="none")
    angles = [p.angle for p in lay.stretches[0].placements]
    assert angles[0] == angles[1]
    assert lay.length == table.lay(wedge, width=320.0).length > 615


def test_the_nap_runs_the_way_that_the_recipe_says(table: Table):
    """One piece with its arrow down, one with its arrow up: laid heads apart, arrows alike."""
    down = replace(piece("front", 300, 100, slant=40), one_way=True)
    up = replace(piece("back", 300, 100, slant=40), one_way=True, grain=down.grain[::-1])
    one, two = (p.angle for p in table.lay(down, up).stretches[0].placements)
    assert math.cos(one - two) == pytest.approx(-1.0)


def test_the_gap_is_kept(table: Table):
    square = piece("square", 100, 100, "plain", 2)
    narrow, wide = table.lay(square, width=150.0, gap=1.0), table.lay(square, width=150.0, gap=20.0)
    assert narrow.length == pytest.approx(201, abs=0.01)
    assert wide.length == pytest.approx(220, abs=0.01)


def test_a_piece_as_wide_as_the_cloth_goes_on_it(table: Table):
    assert table.lay(piece("panel", 300, 1000)).length == pytest.approx(300, abs=0.01)
    assert table.lay(piece("half", 300, 500, "fold"), folded=True).length == pytest.approx(300, abs=0.01)


def test_a_piece_too_wide_is_told_once(table: Table):
    assert table.codes(piece("circle", 300, 1001, "pair", 2)) == ["E1401"]
    assert table.codes(piece("circle", 300, 501, "pair", 2), folded=True) == ["E1402"]
    assert table.codes(piece("front", 300, 501, "fold")) == ["E1401"]


def test_a_layer_that_nothing_is_cut_of(table: Table):
    assert table.codes(piece("cuff", 100, 100), layer="felt") == ["E1403"]


def test_a_fold_edge_off_the_grain_is_refused_on_folded_cloth_alone(table: Table):
    skew = replace(piece("front", 300, 200, "fold"), grain=((50.0, 10.0), (90.0, 280.0)))
    assert table.codes(skew, folded=True) == ["E1409"]
    assert len(table.lay(skew).stretches) == 1


def test_a_search_without_the_library_says_how_to_get_it(table: Table, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(phase, "is_here", lambda: False)
    assert table.codes(piece("cuff", 100, 100), search=1) == ["E1406"]


def test_the_library_is_not_brought_in_for_the_fast_way(table: Table, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setitem(sys.modules, "spyrrow", None)
    assert table.lay(piece("cuff", 100, 100)).way == "fast"


def many() -> Garment:
    kinds = [
        piece(f"p{k}", 150 + 37 * k, 90 + 23 * (k * 5 % 7), "pair", 2, slant=40 + 5 * k) for k in range(6)
    ]
    return garment(*kinds)


def test_the_longer_search_is_never_longer_and_keeps_the_rules(table: Table):
    cloth = replace(CLOTH, nap="none")
    fast, longer = lay_out(many(), cloth, 0), lay_out(many(), cloth, 2)
    assert isinstance(fast, Lay)
    assert isinstance(longer, Lay)
    assert longer.length <= fast.length
    assert Counter((p.piece, p.mirrored) for p in longer.stretches[0].placements) == Counter(
        (p.piece, p.mirrored) for p in fast.stretches[0].placements
    )


def test_what_the_library_packs_is_clear_and_inside():
    cloth = replace(CLOTH, nap="none")
    choices = choices_of(cut_list(many().pieces, "self", False).single, cloth)
    laid = packed(choices, cloth.width + 2 * margin_of(cloth), 2)
    assert laid is not None
    assert set(laid.ways) <= {0, 1}
    rings = [shifted(c.ways[w].wide, at) for c, w, at in zip(choices, laid.ways, laid.at, strict=True)]
    assert clear(rings, 0.01)
    assert max(highest(ring)[1] for ring in rings) <= cloth.width + 2 * margin_of(cloth) + 1e-6


def test_the_library_is_not_asked_about_a_fold():
    choices = choices_of(cut_list((piece("front", 300, 200, "fold"),), "self", True).double, CLOTH)
    assert packed(choices, 501.0, 2) is None


def test_a_fold_is_searched_by_our_own_way(table: Table):
    lay = table.lay(
        piece("front", 300, 200, "fold"), piece("back", 300, 220, "pair", 2), folded=True, search=1
    )
    assert lay.way in ("fast", "own search")


def test_the_fast_way_is_the_same_each_time(table: Table):
    choices = choices_of(cut_list(many().pieces, "self", False).single, CLOTH)
    assert lay_fast(choices, 400.0) == lay_fast(choices, 400.0)


@pytest.mark.parametrize(
    ("mm", "unit", "said"),
    [
        (0.1, "in", "1/8 yd"),
        (914.4, "in", "1 yd"),
        (914.5, "in", "1 1/8 yd"),
        (1371.6, "in", "1 1/2 yd"),
        (1.0, "cm", "10 cm"),
        (900.0, "cm", "90 cm"),
        (900.1, "mm", "100 cm"),
    ],
)
def test_cloth_is_bought_by_steps(mm, unit, said):
    assert bought(mm, unit) == said


def test_the_lines_add_to_what_is_bought(table: Table):
    lay = table.lay(piece("panel", 333.3, 900), piece("skirt", 444.4, 900), repeat=64.0)
    reckoning = reckon(lay)
    assert [(f.name, f.amount) for f in reckoning.lines] == [
        ("lay", "77.9 cm"),
        ("ends", "4.0 cm"),
        ("repeat", "12.8 cm"),
    ]
    assert reckoning.buy.amount == "100 cm"
    assert reckoning.buy.source.startswith("94.7 cm")


def test_a_chain_is_what_one_line_along_the_cloth_crosses(table: Table):
    assert longest_chain(table.lay(*(piece(f"p{k}", 100, 400) for k in range(5)))) == 3


def test_shrinkage_is_size_over_one_less_shrinkage_along_the_grain_and_across():
    shrunk = grown_to_lay(piece("front", 300, 200, "fold"), Shrinkage(0.04, 0.02))
    corners = [shrunk.cutting.start, *(s[-1] for s in shrunk.cutting.segments)]
    assert max(y for _, y in corners) == pytest.approx(300 / 0.96)
    assert max(x for x, _ in corners) == pytest.approx(200 / 0.98)
    assert shrunk.fold is not None
    assert math.dist(*shrunk.fold) == pytest.approx(300 / 0.96)


def test_shrinkage_follows_a_slanting_grain():
    """Along the diagonal of a square it grows by the one, across by the other."""
    square = replace(piece("square", 100, 100), grain=((0.0, 0.0), (100.0, 100.0)))
    corners = [p for (p,) in grown_to_lay(square, Shrinkage(0.1, 0.0)).cutting.segments]
    long = max(math.dist(a, b) for a in corners for b in corners)
    assert long == pytest.approx(100 * math.sqrt(2) / 0.9)


def test_shrinkage_is_a_note_and_on_every_piece(table: Table):
    lay = table.lay(piece("panel", 400, 300, "pair", 2), shrinkage=Shrinkage(0.03, 0.02))
    reckoning = reckon(lay)
    assert reckoning.notes[0].name == "shrinkage"
    labels = sheet_of(lay, reckoning).stretches[0].labels
    assert all("shrinkage built in" in label.how for label in labels)


def test_words_lie_on_their_piece_off_its_grain(table: Table):
    lay = table.lay(piece("panel", 400, 300, "pair", 2, slant=200))
    sheet = sheet_of(lay, reckon(lay))
    for placed, label in zip(lay.stretches[0].placements, sheet.stretches[0].labels, strict=True):
        xs, ys = zip(*placed.outline, strict=True)
        assert min(xs) < label.at[0] < max(xs)
        assert min(ys) < label.at[1] < max(ys)
        assert abs(label.at[1] - placed.grain[0][1]) > label.size * sheet.scale


def test_a_piece_too_small_for_words_has_its_number(table: Table):
    lay = table.lay(piece("panel", 900, 900), piece("tab", 12, 12))
    labels = sheet_of(lay, reckon(lay)).stretches[0].labels
    assert labels[1].lines == ("2",)
    assert labels[1].title == "Tab"
