"""Pieces as blocks: curves to points within a stated distance, plain names, sizes laid as in the nest."""

import math
from dataclasses import replace
from itertools import pairwise

import pytest
import saltmarsh

from scye.ir.grade import NestLine
from scye.ir.pattern import Notch, Stroke
from scye.place.blocks import FLAT, ascii_words, laid_as, parts_of, picture_blocks
from scye.place.picture import lay_picture


def blocks(*pieces):
    return picture_blocks(lay_picture(saltmarsh.of_pieces(*pieces))).blocks


def test_no_straight_leaves_its_curve_by_more_than_is_stated():
    start, cubic = (0.0, 0.0), ((40.0, -90.0), (160.0, 120.0), (200.0, 0.0))
    parts = parts_of(start, cubic)
    most = 0.0
    for k in range(parts):
        a, b = at(start, cubic, k / parts), at(start, cubic, (k + 1) / parts)
        for share in (0.25, 0.5, 0.75):
            p = at(start, cubic, (k + share) / parts)
            away = abs((b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])) / math.dist(a, b)
            most = max(most, away)
    assert most <= FLAT
    assert most > FLAT / 20, "as many points as are needed, not far more"


def at(start, cubic, t):
    """De Casteljau's construction."""
    points = [start, *cubic]
    while len(points) > 1:
        points = [(p[0] + (q[0] - p[0]) * t, p[1] + (q[1] - p[1]) * t) for p, q in pairwise(points)]
    return points[0]


def test_corners_turn_and_curves_that_run_on_do_not():
    # A straight side, and a half circle of two cubics that meet without a corner.
    k = 50 * 4 / 3 * (math.sqrt(2) - 1)
    outline = Stroke(
        (0, 0), (((100, 0),), ((100, k), (50 + k, 50), (50, 50)), ((50 - k, 50), (0, k), (0, 0))), True
    )
    piece = replace(saltmarsh.rectangle_piece(100, 50), cutting=outline, net=outline)
    (block,) = blocks(piece)
    ring = block.cutting
    turns = [point for point, turn in zip(ring.points, ring.turns, strict=True) if turn]
    assert turns == [(0, 0), (100, 0)]
    assert (50, -50) in ring.points


def test_up_is_up():
    (block,) = blocks(saltmarsh.rectangle_piece(100, 50))
    assert min(y for _, y in block.cutting.points) == -50


def test_texts_say_what_the_piece_is():
    block = next(b for b in picture_blocks(lay_picture(saltmarsh.pattern())).blocks if b.name == "SIDE_FRONT")
    assert block.texts == (
        "PIECE NAME: Side front",
        "SIZE: Wren",
        "QUANTITY: 2",
        "MATERIAL: self, lining",
        "ANNOTATION: cut 2 (a pair) of self, lining",
        "QUANTITY: 2",
        "MATERIAL: interlining",
        "ANNOTATION: cut 2 (a pair) of interlining",
        "ANNOTATION: This way up",
    )


def test_notes_name_notches_with_their_slits():
    notch = Notch("top", "waist_line", (50, 0), (50, 0), (0, 1), 2, 50.0, "A")
    (block,) = blocks(replace(saltmarsh.rectangle_piece(100, 50), notches=(notch,)))
    assert block.notes == (((50, 0), "waist line double"),)
    assert block.notches == ((50, 0),)


def test_names_are_plain_capitals_and_no_two_alike():
    titles = ["Übertritt, links", "Ubertritt links", "ubertritt-links", "–", "x" * 40, "x" * 40]
    pieces = [
        replace(saltmarsh.rectangle_piece(50, 50), title=title, number=k) for k, title in enumerate(titles, 1)
    ]
    names = [block.name for block in blocks(*pieces)]
    assert names[:4] == ["UBERTRITT_LINKS", "UBERTRITT_LINKS-2", "UBERTRITT_LINKS-3", "PIECE"]
    assert names[4:] == ["X" * 31, "X" * 29 + "-2"]


def test_words_in_ascii():
    assert ascii_words("Blåmes – “étude” · ½") == "Blames - \"etude\" - 1?2"


def test_a_nest_s_move_and_turn_are_found_again():
    piece = saltmarsh.side_front()
    cosine, sine = math.cos(0.3), math.sin(0.3)

    def lay(p):
        return 40 + p[0] * cosine - p[1] * sine, -7 + p[0] * sine + p[1] * cosine

    net = Stroke(lay(piece.net.start), tuple(tuple(map(lay, s)) for s in piece.net.segments), True)
    found = laid_as(piece, NestLine(0, net, net, ()))
    for point in ((0.0, 0.0), (100.0, 30.0), (-5.0, 444.0)):
        assert found(point) == pytest.approx(lay(point), abs=1e-9)
