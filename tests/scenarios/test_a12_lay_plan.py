"""A12: lay plan and cloth (acceptance scenario, figures invented).

In: self cloth 44 in usable, one-way nap; pieces of 1,150 sq in in all; one on the fold; one for the right
shoulder alone, single layer. Then 58 in.
"""

from __future__ import annotations

import json
import math
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from scye.ir.lay import NO_SHRINKAGE, Cloth, LayRequest
from scye.ir.requests import ExitCode, Outcome
from scye.lay import fast
from scye.laying import run_lay
from workroom import INCH, ROOT

RECIPE = Path(__file__).with_name("one-shouldered.scye")
PIECES = ("front_piece", "back_piece", "sleeve_piece", "right_yoke")


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(fast, "WORK", 60_000_000)


@pytest.fixture
def laid(tmp_path_factory: pytest.TempPathFactory):
    @cache
    def lay(width: float, folded: bool = False, repeat: float = 0.0) -> tuple[Outcome, Path]:
        out = tmp_path_factory.mktemp("lay")
        cloth = Cloth("self", width * INCH, "one-way", folded, repeat * INCH, NO_SHRINKAGE, 1.0, 20.0)
        card = ROOT / "examples" / "cards" / "wren.yaml"
        request = LayRequest(RECIPE, card, None, None, (), None, cloth, 0, out)
        return run_lay(request, lambda _line: None), out

    return lay


def read(run: tuple[Outcome, Path]) -> Any:
    assert run[0].exit_code is ExitCode.GOOD, run[0].diagnostics
    return json.loads((run[1] / "lay.json").read_text())


def figures(lay: Any) -> dict[str, str]:
    return {figure["name"]: figure["amount"] for figure in lay["figures"]}


def placements(lay: Any) -> dict[str, list[Any]]:
    found = [p for stretch in lay["stretches"] for p in stretch["placements"]]
    return {name: [p for p in found if p["piece"] == name] for name in PIECES}


def test_the_check_at_44_in(laid):
    lay = read(laid(44))
    assert lay["area"] / INCH**2 == pytest.approx(1150, abs=0.01)
    assert figures(lay)["perfect use"] == "26 in"
    assert figures(lay)["at 75 % use"] == "35 in (1 yd)"


def test_the_check_at_58_in(laid):
    assert figures(read(laid(58)))["at 75 % use"] == "26 1/2 in (3/4 yd)"


def test_the_length_is_the_lays_own_rounded_up_to_an_eighth_of_a_yard(laid):
    lay = read(laid(44))
    bought = 36 * (1 + 1 / 8)
    assert lay["buy"] == "1 1/8 yd"
    needed = lay["length"] / INCH + 4 / 2.54
    assert bought - 4.5 < needed <= bought
    # the back and a sleeve, one after the other, are 35 in
    assert lay["length"] / INCH == pytest.approx(35, abs=0.1)


def test_ends_and_repeat_are_lines_of_their_own_that_add_to_the_total(laid):
    lay = read(laid(44, repeat=3.0))
    lines = figures(lay)
    assert (lines["lay"], lines["ends"], lines["repeat"]) == ("35 1/8 in", "1 5/8 in", "6 in")
    (source,) = (f["from"] for f in lay["figures"] if f["name"] == "buy")
    assert source == "42 3/4 in, rounded up to 1/8 yd"
    assert lines["buy"] == "1 1/4 yd"


def test_every_figure_says_where_it_comes_from(laid):
    assert all(len(figure["from"]) > 20 for figure in read(laid(44))["figures"])


def test_all_heads_lie_one_way_with_the_grain_along_the_selvedge(laid):
    """The grain of every piece runs down the paper: a quarter turn lays its upper end to the left, be the
    paper mirrored or not."""
    for p in (p for placed in placements(read(laid(44))).values() for p in placed):
        assert p["angle"] == pytest.approx(-math.pi / 2)


def test_pairs_are_one_of_each_hand_and_the_right_yoke_is_not_flipped(laid):
    placed = placements(read(laid(44)))
    for name in ("back_piece", "sleeve_piece"):
        assert sorted(p["mirrored"] for p in placed[name]) == [False, True]
    assert [p["mirrored"] for p in placed["right_yoke"]] == [False]


def test_on_cloth_opened_out_the_fold_piece_is_laid_whole(laid):
    (front,) = placements(read(laid(44)))["front_piece"]
    assert (front["opened"], front["on_fold"]) == (True, False)


def test_on_folded_cloth_the_fold_piece_alone_is_on_the_fold(laid):
    lay = read(laid(44, folded=True))
    placed = placements(lay)
    (front,) = placed["front_piece"]
    assert front["on_fold"]
    assert front["y"] == 0
    assert not any(p["on_fold"] for name in PIECES[1:] for p in placed[name])
    assert [len(placed[name]) for name in PIECES] == [1, 1, 1, 1]
    assert [p["both_layers"] for name in PIECES for p in placed[name]] == [True, True, True, False]
    assert [stretch["folded"] for stretch in lay["stretches"]] == [True, False]


def test_a_fold_piece_wider_than_half_the_cloth_is_refused(laid):
    outcome, out = laid(19, folded=True)
    assert outcome.exit_code is ExitCode.BAD_INPUT
    assert [(d.code, d.seen()) for d in outcome.diagnostics] == [
        ("E1402", "Front is 10 in wide from the fold; half of the cloth is 9 1/2 in"),
        ("E1402", "Back is 11 in wide across the grain; half of the cloth is 9 1/2 in"),
    ]
    assert not list(out.iterdir())


def test_a_piece_wider_than_the_cloth_is_refused(laid):
    outcome, _ = laid(19)
    assert [(d.code, d.seen()) for d in outcome.diagnostics] == [
        ("E1401", "Front, opened out whole, is 20 in wide across the grain; the cloth has 19 in")
    ]


def test_there_is_a_drawn_lay(laid):
    _, out = laid(44)
    assert sorted(path.name for path in out.iterdir()) == ["lay.html", "lay.json", "lay.pdf", "lay.svg"]
    drawing = (out / "lay.svg").read_text()
    for words in ("1 : 8", "44 in usable", "35 1/8 in", "Right yoke", "2 of 2, face down"):
        assert words in drawing
