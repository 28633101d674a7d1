"""What is drawn on a piece, seen through the recording canvas."""

import math
from dataclasses import replace

import pytest
import saltmarsh

from scye.ir.pattern import EdgeLabel
from scye.ir.sheets import Begin, End, Fill, Trace, Write
from scye.place.picture import lay_picture
from scye.render.canvas import Recorder, circle
from scye.render.draw_piece import draw_placed


def drawn(piece):
    recorder = Recorder()
    draw_placed(recorder, lay_picture(saltmarsh.of_pieces(piece)).placed[0])
    return recorder.operations


def traces(piece, pen):
    return [op.path for op in drawn(piece) if isinstance(op, Trace) and op.pen == pen]


def words(piece):
    return [op for op in drawn(piece) if isinstance(op, Write)]


def test_a_piece_is_one_group():
    operations = drawn(saltmarsh.side_front())
    assert isinstance(operations[0], Begin)
    assert operations[0].name == "side_front"
    assert [i for i, op in enumerate(operations) if isinstance(op, End)] == [len(operations) - 1]


def test_cutting_and_stitch_lines_are_the_pattern_s():
    piece = saltmarsh.skirt_front()
    assert traces(piece, "cut") == [piece.cutting]
    assert traces(piece, "stitch") == [piece.net, *piece.darts[0].legs]
    assert traces(piece, "press") == [piece.darts[0].fold]


@pytest.mark.parametrize("strokes", [1, 2, 3])
def test_a_notch_has_its_slits_from_the_cutting_line_clear_of_the_stitch_line(strokes):
    piece = saltmarsh.side_front()
    notch = replace(piece.notches[0], strokes=strokes)
    slits = traces(replace(piece, notches=(notch,)), "notch")
    assert len(slits) == strokes
    for slit in slits:
        assert slit.start[0] == pytest.approx(notch.cut[0])
        depth = math.dist(slit.start, slit.segments[0][0])
        assert 3 < depth <= 12.7 - 3.1
    middle = sum(slit.start[1] for slit in slits) / strokes
    assert middle == pytest.approx(notch.cut[1])


def test_slits_of_a_slanting_notch_stand_apart_along_the_edge():
    piece = saltmarsh.side_front()
    first, second = traces(replace(piece, notches=(piece.notches[1],)), "notch")
    assert math.dist(first.start, second.start) == pytest.approx(3.0, abs=0.01)


def test_the_grain_has_an_arrow_at_each_end():
    piece = saltmarsh.side_front()
    heads = [op.path for op in drawn(piece) if isinstance(op, Fill) and op.tone == 0]
    assert {head.start for head in heads} == set(piece.grain)


def test_a_fold_edge_has_a_bracket_inside_the_piece_and_says_so():
    piece = saltmarsh.centre_front()
    bracket = traces(piece, "grain")[1]
    points = [bracket.start, *(s[0] for s in bracket.segments)]
    assert all(x > 0 for x, _ in points)
    assert max(x for x, _ in points) == pytest.approx(8)
    assert "place on fold" in [w.words for w in words(piece)]
    assert "place on fold" not in [w.words for w in words(saltmarsh.side_front())]


def test_a_seam_letter_stands_upright_in_its_ring():
    piece = replace(saltmarsh.side_front(), edge_labels=(EdgeLabel((30, 180), 0, "A", "letter"),))
    (letter,) = [w for w in words(piece) if w.words == "A"]
    assert letter.at[0] == pytest.approx(30)
    assert letter.anchor == "middle"
    rings = [op.path for op in drawn(piece) if isinstance(op, Fill) and op.tone == 1]
    assert rings == [circle((30, 180), 3.8)]


def test_drill_holes_darts_and_levels():
    assert "bust point" in [w.words for w in words(saltmarsh.side_front())]
    assert len(traces(saltmarsh.side_front(), "level")) == 2


def test_a_circle_is_round():
    ring = circle((10, 20), 5)
    assert ring.start == (15, 20)
    a, (b, c, d) = ring.start, ring.segments[0]
    middle = tuple((p + 3 * q + 3 * r + s) / 8 for p, q, r, s in zip(a, b, c, d, strict=True))
    assert math.dist(middle, (10, 20)) == pytest.approx(5, abs=0.002)
