"""Words along edges, fold words and drill words keep off joints."""

import math
from dataclasses import replace

import pytest
import saltmarsh

from scye.ir.pattern import AllowanceRun, DrillHole, Edge, EdgeLabel, Stroke
from scye.ir.sheets import Box
from scye.place.joints import clear_edge_labels, crosses, edge_label_box, turned_box
from scye.place.lettering import letter

JOINT = Box(-10, 190, 310, 200)


def labelled(*labels, allowances=()):
    piece = saltmarsh.rectangle_piece(300, 400)
    edges = tuple(replace(edge, allowances=allowances or edge.allowances) for edge in piece.edges)
    return replace(piece, edges=edges, edge_labels=labels)


def test_a_letter_slides_along_its_edge_as_little_as_will_do():
    piece = clear_edge_labels(labelled(EdgeLabel((293, 193), 0.0, "A", "letter")), [JOINT])
    (x, y), angle = piece.edge_labels[0].at, piece.edge_labels[0].angle
    assert (x, angle) == (pytest.approx(293), 0.0)
    assert not crosses(edge_label_box(piece.edge_labels[0]), [JOINT])
    assert 183 < y < 193


def test_an_allowance_stays_upright_reading_and_on_its_own_stretch():
    runs = (AllowanceRun(19.0, 0.0, 192.0), AllowanceRun(12.7, 192.0, 400.0))
    label = EdgeLabel((293, 195), -math.pi / 2, "1/2 in", "allowance")
    piece = clear_edge_labels(labelled(label, allowances=runs), [JOINT])
    moved = piece.edge_labels[0]
    assert moved.at[1] > 200
    assert moved.angle == pytest.approx(-math.pi / 2)
    assert not crosses(edge_label_box(moved), [JOINT])


def test_no_label_slides_on_to_another():
    labels = EdgeLabel((293, 195), 0.0, "A", "letter"), EdgeLabel((293, 181), 0.0, "B", "letter")
    piece = clear_edge_labels(labelled(*labels), [JOINT])
    assert piece.edge_labels[1] == labels[1]
    assert piece.edge_labels[0].at[1] > 200


def test_a_label_beside_a_joint_stays_where_it_is():
    piece = labelled(EdgeLabel((293, 100), 0.0, "A", "letter"))
    assert clear_edge_labels(piece, [JOINT]) is piece


def test_a_ring_covers_no_dart():
    # A dart's leg runs beside the edge just above the joint, so the letter goes below it.
    dart = saltmarsh.skirt_front().darts[0]
    leg = Stroke((293, 100), (((293, 188),),), False)
    piece = labelled(EdgeLabel((293, 193), 0.0, "A", "letter"))
    piece = clear_edge_labels(replace(piece, darts=(replace(dart, legs=(leg,), fold=leg),)), [JOINT])
    assert piece.edge_labels[0].at[1] > 200


def test_the_bounds_of_a_turned_rectangle():
    box = turned_box((10, 20), 8, 2, -math.pi / 2)
    assert (box.width, box.height) == (pytest.approx(2), pytest.approx(8))


def on_fold():
    piece = saltmarsh.rectangle_piece(300, 400)
    left = piece.edges[3]
    assert left.path.start == (0, 400)
    return replace(piece, edges=(*piece.edges[:3], as_fold(left)))


def as_fold(edge: Edge) -> Edge:
    return replace(edge, on_fold=True)


def test_the_words_on_a_fold_keep_off_a_joint():
    plain = letter(saltmarsh.pattern(), on_fold()).folds[0]
    clear = letter(saltmarsh.pattern(), on_fold(), (JOINT,)).folds[0]
    assert plain.words.words == clear.words.words == "place on fold"
    assert 190 < plain.words.at[1] < 210
    assert not 180 < clear.words.at[1] < 210
    assert clear.rail == plain.rail


def test_the_words_of_a_drill_hole_go_to_the_side_that_is_clear():
    piece = replace(saltmarsh.rectangle_piece(300, 400), drills=(DrillHole((150, 180), "bust point"),))
    right = letter(saltmarsh.pattern(), piece).drills[0]
    upright = Box(155, -10, 165, 410)
    left = letter(saltmarsh.pattern(), piece, (upright,)).drills[0]
    assert right.at[0] > 150 > left.at[0]


def test_a_label_that_lies_on_the_grain_is_slid_off_it():
    """Joints or none: no ring covers the line that a piece is laid by."""
    labels = labelled(EdgeLabel((293, 193), 0.0, "A", "letter"))
    piece = replace(labels, grain=((293.0, 150.0), (293.0, 250.0)))
    (moved,) = clear_edge_labels(piece).edge_labels
    assert moved.at != (293, 193)
    assert not crosses(edge_label_box(moved), [Box(292.0, 150.0, 294.0, 250.0)])
