"""Outlines: where boundary lines meet, which way round, and what is said when they do not."""

from __future__ import annotations

import numpy as np
import pytest
from by_hand import Paper, allow, alone, boundary, drafted, piece, recipe, turns

from scye.geometry.path import Circle
from scye.ir.pattern import Pattern


def _rectangle(paper: Paper, width: object = 100.0, order: str = "ltrb") -> tuple[object, Paper]:
    lines = {
        "l": ("left", paper.plumb(0.0)),
        "t": ("top", paper.level(0.0)),
        "r": ("right", paper.plumb(width)),
        "b": ("bottom", paper.level(60.0)),
    }
    sides = boundary(*(lines[key] for key in order))
    return recipe([piece("panel", sides, allowances=tuple(allow(s.name, None) for s in sides))]), paper


@pytest.mark.parametrize("order", ["ltrb", "lbrt", "brtl"])
def test_guides_are_trimmed_where_they_meet_whichever_way_round(order: str) -> None:
    pattern = drafted(*_rectangle(Paper(), order=order))
    (panel,) = pattern.pieces
    points = turns(panel.net)
    assert sorted(map(tuple, points[1:].tolist())) == [(0, 0), (0, 60), (100, 0), (100, 60)]
    x, y = points[:-1].T
    after_x, after_y = points[1:].T
    assert np.sum(x * after_y - after_x * y) / 2.0 == pytest.approx(6000.0)  # clockwise on the paper
    assert panel.edges[0].name == {"l": "left", "b": "bottom"}[order[0]]
    assert {e.name: e.length for e in panel.edges}["left"] == pytest.approx(60.0)


def test_a_cutting_line_of_net_edges_is_the_stitch_line() -> None:
    (panel,) = drafted(*_rectangle(Paper())).pieces
    assert panel.cutting == panel.net


def test_lines_that_run_past_their_neighbours_are_cut_back() -> None:
    paper = Paper()
    slant = paper.line((-30.0, 30.0), (130.0, 30.0))
    sides = boundary(("left", paper.plumb(0.0)), ("slant", slant), ("right", paper.plumb(100.0)),
                     ("bottom", paper.level(60.0)))  # fmt: skip
    plan = recipe([piece("panel", sides, allowances=tuple(allow(s.name, None) for s in sides))])
    (panel,) = drafted(plan, paper).pieces
    assert {e.name: e.length for e in panel.edges} == pytest.approx(
        {"left": 30.0, "slant": 100.0, "right": 30.0, "bottom": 100.0}
    )


def _bowl(paper: Paper, named: bool) -> object:
    """A level and a curve that crosses it twice, and a plumb beyond each."""
    curve = paper.cubic((0.0, 0.0), (40.0, 120.0), (60.0, 120.0), (100.0, 0.0))
    level = paper.level(50.0)
    place = paper.keep(_crossing(paper.values[curve]))
    sides = boundary(
        ("left", paper.plumb(0.0), paper.point(0.0, 0.0)),
        ("curve", curve, place if named else None),
        ("level", level),
    )
    return recipe([piece("panel", sides, allowances=tuple(allow(s.name, None) for s in sides))])


def _crossing(path: object) -> np.ndarray:
    from scye.geometry.path import locate, nearest

    u, _ = nearest(path, np.array([[20.0], [50.0]]))
    return locate(path, u)


def test_lines_that_meet_twice_need_the_point_between_them() -> None:
    paper = Paper()
    pattern = drafted(_bowl(paper, named=False), paper)
    assert pattern.pieces == ()
    (finding,) = pattern.findings
    assert finding.code == "E703"
    assert finding.text == "curve and level meet twice: name the point between them"
    paper = Paper()
    pattern = drafted(_bowl(paper, named=True), paper)
    assert pattern.findings == ()
    assert len(pattern.pieces) == 1


def test_a_corner_at_the_ends_two_lines_share_is_taken_although_they_cross_elsewhere() -> None:
    paper = Paper()
    curve = paper.cubic((0.0, 0.0), (40.0, 150.0), (60.0, 150.0), (100.0, 0.0))
    base = paper.line((0.0, 0.0), (20.0, -10.0), (60.0, 140.0), (130.0, 0.0))
    sides = boundary(("curve", curve), ("base", base), ("right", paper.line((130.0, 0.0), (100.0, 0.0))))
    plan = recipe([piece("panel", sides, allowances=tuple(allow(s.name, None) for s in sides))])
    pattern = drafted(plan, paper)
    (finding,) = pattern.findings
    assert (finding.code, finding.where) == ("E705", "panel")
    assert finding.text == (
        "curve crosses base, 5 1/16 in along curve from its corner with base, "
        "7 5/16 in along base from its corner with right"
    )


def test_lines_that_do_not_meet_are_said_to_be_how_far_apart() -> None:
    paper = Paper()
    top = paper.line((0.0, 0.0), (90.0, 0.0))
    sides = boundary(("left", paper.plumb(0.0)), ("top", top), ("right", paper.plumb(100.0)),
                     ("bottom", paper.level(60.0)))  # fmt: skip
    plan = recipe([piece("panel", sides, allowances=tuple(allow(s.name, None) for s in sides))])
    pattern = drafted(plan, paper)
    (finding,) = pattern.findings
    assert (finding.code, finding.where) == ("E702", "panel")
    assert finding.text == "top and right do not meet: they come within 3/8 in of each other"


def test_a_line_met_at_one_place_by_both_neighbours_is_an_error() -> None:
    paper = Paper()
    sides = boundary(
        ("left", paper.line((0.0, 0.0), (0.0, 60.0))),
        ("nothing", paper.level(0.0)),
        ("slant", paper.line((0.0, 0.0), (100.0, 60.0))),
        ("bottom", paper.level(60.0)),
    )
    plan = recipe([piece("panel", sides, allowances=tuple(allow(s.name, None) for s in sides))])
    pattern = drafted(plan, paper)
    assert pattern.pieces == ()
    assert [f.text for f in pattern.findings] == ["nothing is met at the same place by both left and slant"]


def test_an_outline_that_crosses_itself_names_the_edges() -> None:
    paper = Paper()
    sides = boundary(
        ("left", paper.line((0.0, 0.0), (0.0, 100.0))),
        ("bottom", paper.line((0.0, 100.0), (100.0, 100.0))),
        ("right", paper.cubic((100.0, 100.0), (-80.0, 70.0), (-80.0, 40.0), (100.0, 0.0))),
        ("top", paper.line((100.0, 0.0), (0.0, 0.0))),
    )
    plan = recipe([piece("panel", sides, allowances=tuple(allow(s.name, None) for s in sides))])
    pattern = drafted(plan, paper)
    assert pattern.pieces == ()
    assert {f.code for f in pattern.findings} <= {"E705", "E703"}
    assert any("left" in f.text and "right" in f.text for f in pattern.findings)


def _under_a_cap(reach: float) -> Pattern:
    """A piece 200 mm wide under a cap of one cubic, whose handles reach so far to the other side."""
    paper = Paper()
    sides = boundary(
        ("cap", paper.cubic((0.0, 100.0), (reach, 0.0), (200.0 - reach, 0.0), (200.0, 100.0))),
        ("right", paper.line((200.0, 100.0), (200.0, 150.0))),
        ("bottom", paper.line((200.0, 150.0), (0.0, 150.0))),
        ("left", paper.line((0.0, 150.0), (0.0, 100.0))),
    )
    return drafted(
        recipe([piece("panel", sides, allowances=tuple(allow(s.name, None) for s in sides))]), paper
    )


def test_a_loop_that_hides_between_two_chords_is_told_where_it_lies() -> None:
    pattern = _under_a_cap(206.0)
    assert pattern.pieces == ()
    (finding,) = pattern.findings
    assert (finding.code, finding.where) == ("E705", "panel")
    assert finding.text == "cap crosses itself 4 15/16 in along it from its corner with left"


def test_a_bend_however_sharp_is_no_crossing() -> None:
    pattern = _under_a_cap(199.0)
    assert pattern.findings == ()
    assert len(pattern.pieces) == 1


def test_neighbours_that_end_a_hair_apart_do_not_cross() -> None:
    """The end of the last edge lies a thousandth of a millimetre beside the start of the first."""
    paper = Paper()
    sides = boundary(
        ("left", paper.line((0.001, 0.0), (0.0, 100.0))),
        ("bottom", paper.line((0.0, 100.0), (100.0, 100.0))),
        ("right", paper.line((100.0, 100.0), (100.0, 0.0))),
        ("top", paper.line((100.0, 0.0), (0.0, 0.0))),
    )
    plan = recipe([piece("panel", sides, allowances=tuple(allow(s.name, None) for s in sides))])
    pattern = drafted(plan, paper)
    assert pattern.findings == ()
    assert len(pattern.pieces) == 1


def test_two_arcs_and_two_straights_make_a_quarter_circle_skirt() -> None:
    paper = Paper()
    centre = np.zeros((2, 1))
    waist, hem = (paper.keep(Circle(centre, np.array([r]))) for r in (100.0, 700.0))
    sides = boundary(
        ("waist", waist, paper.point(0.0, 100.0)),
        ("fold", paper.line((0.0, 90.0), (0.0, 710.0)), paper.point(0.0, 700.0)),
        ("hem", hem, paper.point(700.0, 0.0)),
        ("side", paper.line((710.0, 0.0), (90.0, 0.0)), paper.point(100.0, 0.0)),
    )
    plan = recipe([piece("skirt", sides, allowances=tuple(allow(s.name, None) for s in sides))])
    (skirt,) = drafted(plan, paper).pieces
    lengths = {e.name: e.length for e in skirt.edges}
    assert lengths == pytest.approx(
        {"waist": 50.0 * np.pi, "fold": 600.0, "hem": 350.0 * np.pi, "side": 600.0}, abs=2e-4
    )


def test_a_body_that_could_not_be_drawn_has_no_piece_no_finding_and_no_effect() -> None:
    paper = Paper(3)
    plan, _ = _rectangle(paper, np.array([100.0, np.nan, 120.0]))
    patterns = [drafted(plan, paper, i) for i in range(3)]
    assert [len(p.pieces) for p in patterns] == [1, 0, 1]
    assert all(p.findings == () for p in patterns)
    assert patterns[2] == drafted(plan, alone(paper, 2))
