"""Words find room on their piece, clear of its lines."""

import math
from dataclasses import replace
from itertools import pairwise

import pytest
import saltmarsh

from scye.ir.pattern import Stroke
from scye.place.ground import places_along
from scye.place.lettering import label_box, letter
from scye.place.outline import flatten, overlaps, stroke_box
from scye.place.turning import readable_angle
from scye.place.words import allowance_words, piece_words, sheet_words

PIECES = [saltmarsh.centre_front(), saltmarsh.side_front(), saltmarsh.skirt_front()]


@pytest.mark.parametrize("piece", PIECES, ids=lambda p: p.name)
def test_the_label_lies_inside_the_stitch_line_and_on_no_line(piece):
    box = label_box(letter(saltmarsh.pattern(), piece).label)
    outline = flatten(piece.net, 1.0)
    corners = [(x, y) for x in (box.left, box.right) for y in (box.top, box.bottom)]
    assert all(holds(outline, corner) for corner in corners)
    lines = [piece.net, Stroke(piece.grain[0], ((piece.grain[1],),), False)]
    lines += [Stroke(a, ((b,),), False) for _, a, b in piece.levels]
    lines += [leg for dart in piece.darts for leg in dart.legs]
    crossing = [p for line in lines for p in places_along(line, 0.5) if inside(p, box)]
    assert crossing == []


def holds(outline, at):
    """Whether a point lies inside a closed run of points: odd crossings to its right."""
    x, y = at
    crossings = [
        (ax, ay)
        for (ax, ay), (bx, by) in pairwise(outline)
        if (ay > y) != (by > y) and x < ax + (y - ay) * (bx - ax) / (by - ay)
    ]
    return len(crossings) % 2 == 1


def inside(at, box):
    return box.left < at[0] < box.right and box.top < at[1] < box.bottom


def test_a_large_piece_has_larger_words_than_a_small_one():
    large = letter(saltmarsh.pattern(), saltmarsh.skirt_front()).label
    small = letter(saltmarsh.pattern(), saltmarsh.side_front()).label
    assert large.lines[0].size > small.lines[0].size >= 3


def test_a_narrow_piece_has_its_words_turned():
    strip = saltmarsh.rectangle_piece(36, 600)
    strip = replace(strip, grain=((5, 20), (5, 580)))
    label = letter(saltmarsh.pattern(), strip).label
    assert label.angle == pytest.approx(-math.pi / 2)
    assert label.leader is None


def test_a_tiny_piece_has_its_words_beside_it_and_a_leader():
    piece = saltmarsh.loop()
    label = letter(saltmarsh.pattern(), piece).label
    assert label.leader is not None
    assert label.leader.start == piece.label_at
    assert not overlaps(label_box(label), stroke_box(piece.cutting))


def test_a_line_is_never_broken_within_an_amount():
    piece = replace(
        saltmarsh.rectangle_piece(58, 90), labels=("ease the upper edge by 1 1/2 in as you pin it",)
    )
    lines = [line.words for line in letter(saltmarsh.pattern(), piece).label.lines]
    assert any("1 1/2 in" in line for line in lines)
    assert len(lines) > 8


def test_levels_and_grain_are_named():
    words = letter(saltmarsh.pattern(), saltmarsh.side_front())
    assert [w.words for w in words.levels] == ["bust line", "waist line"]
    assert words.grain is not None
    assert words.grain.words == "straight grain"
    bias = letter(saltmarsh.pattern(), replace(saltmarsh.side_front(), bias=True)).grain
    assert bias is not None
    assert bias.words == "true bias"


def test_everything_that_must_be_on_a_piece_is_said():
    assert piece_words(saltmarsh.pattern(), saltmarsh.side_front()) == (
        "Side front",
        "2 of 4 · Wren",
        "cut 2 (a pair) of self, lining",
        "cut 2 (a pair) of interlining",
        "This way up",
        "allowances included: 1/2 in",
        "net: top edge, hem",
        "Saltmarsh bodice & skirt, edition 2",
        "2026-03-03",
    )


def test_a_body_of_a_chart_has_no_date():
    undated = replace(saltmarsh.pattern(), date="")
    assert piece_words(undated, saltmarsh.loop())[-1] == "Saltmarsh bodice & skirt, edition 2"
    assert "for Wren" in sheet_words(undated)


def test_allowances_in_the_body_s_own_unit_the_commonest_first():
    assert allowance_words(saltmarsh.metric(), saltmarsh.skirt_front()) == (
        "allowances included: 1.3 cm, 5.1 cm, 1.0 cm",
    )
    bound = allowance_words(saltmarsh.pattern(), saltmarsh.centre_front())
    assert bound == ("allowances included: 1/2 in", "net: top edge (bound), hem (bound)")
    assert allowance_words(saltmarsh.pattern(), saltmarsh.rectangle_piece(90, 90)) == ("net: no allowances",)


@pytest.mark.parametrize(
    ("degrees", "read"),
    [(0, 0), (180, 0), (90, -90), (-90, -90), (100, -80), (-95, -95), (85, -95), (70, 70), (-70, -70)],
)
def test_words_are_read_from_below_or_from_the_right(degrees, read):
    assert math.degrees(readable_angle(math.radians(degrees))) == pytest.approx(read, abs=1e-9)
