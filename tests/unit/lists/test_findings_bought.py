"""Findings as they are bought: how often a channel is there, what is spare, and what has no room."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from scye.ir.notions import Notion
from scye.ir.pattern import Pattern
from scye.lists.notions import lace_length
from scye.lists.rounding import by_the_reel, spare_for, to_tape
from workroom import INCH, Workroom

HEAD = """recipe "Tabard"
draft body
  begin at cf
  mark top from cf up 13 in
  mark back_top from top right 10 in
  mark low from back_top down 13 in
  line centre from top to cf
  line upper from top to back_top
  line side from back_top to low
  line hem from cf to low
  level middle from cf up 5 in
  level lower_upper from cf up 11 in
"""
FRONT = """piece front "Front"
  bounded by centre, upper, side, hem
  cut {cut}
  grain down
  allow 1/2 in on side
  allow 1/2 in on hem, upper
"""
PAIR = FRONT.format(cut="pair of self, lining") + "  allow 1/2 in on centre\n"
FOLD = FRONT.format(cut="1 of self on fold at centre")
BODY = {"bust": "36 in"}


@pytest.fixture
def workroom(tmp_path: Path) -> Workroom:
    return Workroom(tmp_path)


def drafted(workroom: Workroom, piece: str, said: str) -> Pattern:
    return workroom.pattern(HEAD + piece + said + "\n", BODY)


def only(pattern: Pattern) -> Notion:
    (line,) = pattern.notions
    return line


@pytest.mark.parametrize(
    ("piece", "said", "count"),
    [
        (PAIR, "bone side short 1/4 in at each end", 2),
        (PAIR, "bone side twice short 1/4 in at each end", 4),
        (FOLD, "bone side short 1/4 in at each end", 2),
        (FOLD, "bone centre short 1/4 in at each end", 1),
        (PAIR, "sew front.centre to its pair\nbone front.centre short 1/4 in at each end", 1),
        (
            FRONT.format(cut="single of self") + "  allow 1/2 in on centre\n",
            "bone side short 0 in at each end",
            1,
        ),
    ],
    ids=["a pair", "twice", "on the fold", "along the fold", "a seam to its pair", "single"],
)
def test_how_often_a_channel_is_there(workroom: Workroom, piece: str, said: str, count: int) -> None:
    assert only(drafted(workroom, piece, said)).count == count


def test_bones_without_a_sort_get_no_tips(workroom: Workroom) -> None:
    pattern = drafted(workroom, PAIR, "bone side short 1/4 in at each end")
    assert [line.kind for line in pattern.notions] == ["bone"]
    assert only(pattern).spare == 1


def test_a_busk_is_one_for_both_sides(workroom: Workroom) -> None:
    line = only(drafted(workroom, PAIR, "busk along centre short 3/4 in"))
    assert (line.count, line.text) == (1, "1 of 12 1/4 in at most")


@pytest.mark.parametrize(
    ("every", "side"), [("1 in", 13), ("5 in", 4), ("7 in", 3), ("0.9995 in", 13), ("0.9 in", 15)]
)
def test_no_further_apart_than_every_says(workroom: Workroom, every: str, side: int) -> None:
    pattern = drafted(workroom, PAIR, f"eyelets along side every {every} from 1/2 in of each end")
    assert pattern.notions[0].text == f"{2 * side} ({side} a side)"


def test_eyelets_over_three_centimetres_apart_are_a_caution(workroom: Workroom) -> None:
    near = drafted(workroom, PAIR, "eyelets along side every 3 cm from 1/2 in of each end")
    far = drafted(workroom, PAIR, "eyelets along side every 2 in from 1/2 in of each end")
    assert "E1805" not in {f.code for f in near.findings}
    assert "E1805" in {f.code for f in far.findings}


def test_hooks_and_buttons_are_counted_once(workroom: Workroom) -> None:
    hooks = only(drafted(workroom, PAIR, "hooks along side every 3/4 in from 1/2 in of each end"))
    buttons = only(drafted(workroom, PAIR, "buttons along side every 3 in from 1/2 in of each end"))
    assert (hooks.kind, hooks.count) == ("hooks and eyes", 17)
    assert (buttons.kind, buttons.count, buttons.spare) == ("buttons", 5, 1)


def test_a_tape_goes_round_the_body(workroom: Workroom) -> None:
    line = only(drafted(workroom, PAIR, "tape at middle adding 2 in"))
    assert line.text == "22 in"
    assert line.finished == pytest.approx(20 * INCH)


def test_a_zip_may_close_a_part_of_an_edge(workroom: Workroom) -> None:
    said = "zip along side from back_top to (back_top down 8 in) loses 1 1/2 in"
    line = only(drafted(workroom, PAIR, said))
    assert line.text == "1 of 9 1/2 in at least, for an opening of 8 in"


@pytest.mark.parametrize("ends", ["back_top to (back_top down 8 in)", "(low up 5 in) to back_top"])
def test_a_zip_begins_where_its_edge_does(workroom: Workroom, ends: str) -> None:
    """As where a variant lowers the neck, and the zip is still said from the nape."""
    lower = PAIR.replace("upper", "lower_upper")
    line = only(drafted(workroom, lower, f"zip along side from {ends} loses 1 1/2 in"))
    assert line.text == "1 of 7 1/2 in at least, for an opening of 6 in"


def test_binding_without_more_said_has_a_tenth_and_four_inches(workroom: Workroom) -> None:
    line = only(drafted(workroom, PAIR, "bind hem cut 2 in"))
    assert line.text == "26 in, cut 2 in wide, from a square of 8 in"
    bare = only(drafted(workroom, PAIR, "bind hem cut 2 in adding 0% and 0 in"))
    assert bare.length == pytest.approx(20 * INCH)


@pytest.mark.parametrize(
    "said",
    [
        "bone side short 7 in at each end",
        "busk along side short 13 in",
        "eyelets along side every 1 in from 7 in of each end",
        "zip along side from back_top to back_top loses 1 in",
    ],
)
def test_no_room_is_a_caution_and_no_line(workroom: Workroom, said: str) -> None:
    pattern = drafted(workroom, PAIR, said)
    assert pattern.notions == ()
    assert [f.code for f in pattern.findings] == ["E1804"]


def test_what_cannot_be_reckoned_is_said(workroom: Workroom) -> None:
    """The piece isn't drawn: a required limit stops it."""
    text = HEAD.replace("up 13 in", "up tall").replace(
        "draft body", "tall = 13 in\nrequire tall at most 1 in\ndraft body"
    )
    pattern = workroom.pattern(text + PAIR + "bone side short 1/4 in at each end\n", BODY)
    assert pattern.pieces == ()
    assert "E1806" in {f.code for f in pattern.findings}


def test_lace_by_the_sum_of_the_trade() -> None:
    """13 pairs 1 in apart: 6.7 yd opened to 8 in, 2.7 yd closed to 2 in, with two 20 in tails."""
    opened = lace_length(13, INCH, 8 * INCH, 20 * INCH) / INCH
    assert opened == pytest.approx(24 * math.sqrt(65) + 8 + 40)
    assert by_the_reel(opened * INCH, "in") == "242 in (6.7 yd)"
    assert by_the_reel(lace_length(13, INCH, 2 * INCH, 20 * INCH), "in") == "96 in (2.7 yd)"
    assert by_the_reel(opened * INCH, "cm") == "614 cm (6.1 m)"


def test_rounding() -> None:
    assert [spare_for(n) for n in (1, 10, 11, 26)] == [1, 1, 2, 3]
    assert to_tape(12.6 * INCH, "in") == pytest.approx(12.625 * INCH)
    assert to_tape(324.96, "cm") == pytest.approx(325.0)


def test_two_sides_that_differ_are_told_apart(workroom: Workroom) -> None:
    """Where a body's sides differ each gets its own length, and the counts still come to both sides."""
    text = HEAD.replace("draft body", "needs shoulder_length\ndraft body").replace(
        "up 13 in", "up 8 in + shoulder_length"
    )
    text = text.replace("down 13 in", "down 8 in + shoulder_length")
    card = {"shoulder_length": "{left: 5 in, right: 5 1/2 in}"}
    pattern = workroom.pattern(text + PAIR + "bone side short 1/4 in at each end\n", card)
    assert [(line.where, line.text) for line in pattern.notions] == [
        ("Front: side, right side", "1 of 13 in"),
        ("Front: side, left side", "1 of 12 1/2 in"),
    ]
