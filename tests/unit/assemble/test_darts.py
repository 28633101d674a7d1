"""Darts in edges: mouths, equal legs, caps; darts inside the piece; moves by the angle (scenario A6)."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from by_hand import (
    INCH,
    Paper,
    allow,
    alone,
    bodice_front,
    boundary,
    cut,
    dart,
    drafted,
    piece,
    recipe,
    skirt_front,
    turns,
)

from scye.ir.pattern import DartMark


def _legs(mark: DartMark, about: tuple[float, float]) -> tuple[float, float]:
    one, _, two = turns(mark.legs[0])
    return float(np.hypot(*(one - about))), float(np.hypot(*(two - about)))


def test_the_mouth_is_as_wide_as_asked_and_the_legs_are_equal() -> None:
    (front,) = drafted(*skirt_front()).pieces
    (mark,) = front.darts
    assert mark.edge == "waist_seam"
    # the shorter leg is drawn on, which opens a slanting mouth a little more than the 1 in asked on the edge
    assert 25.4 <= mark.intake < 25.6
    one, two = _legs(mark, mark.pivot)
    assert one == pytest.approx(two, abs=1e-9)
    assert mark.angle == pytest.approx(2.0 * np.arcsin(mark.intake / 2.0 / one))
    assert np.hypot(mark.point[0] - mark.pivot[0], mark.point[1] - mark.pivot[1]) == pytest.approx(12.0)
    assert mark.point[1] < mark.pivot[1]  # stopped short, toward the mouth


def test_the_edge_is_shorter_by_the_mouth_with_the_dart_closed() -> None:
    (front,) = drafted(*skirt_front()).pieces
    waist = next(e for e in front.edges if e.name == "waist_seam")
    # What is left out when the dart is closed is its cap, which is a little longer than the mouth is wide.
    intake = front.darts[0].intake
    assert intake < waist.drawn - waist.length < 1.05 * intake


@pytest.mark.parametrize(
    ("way", "word"), [((-1.0, 0.0), "toward centre front"), ((1.0, 0.0), "toward side seam")]
)
def test_a_folded_cap_lies_on_the_edge_it_is_pressed_over(way: tuple[float, float], word: str) -> None:
    """Fold the dart on the paper: the cap's first half, mirrored in its leg, must lie along the edge, and
    the other half, mirrored in the fold, on the first."""
    (front,) = drafted(*skirt_front(pressed=way)).pieces
    (mark,) = front.darts
    assert mark.pressed == word
    tip = np.array(mark.fold.segments[0][0])
    one, point, two = turns(mark.legs[0])
    leg = one if way[0] < 0 else two
    folded = _mirrored(tip, point, leg - point)
    waist = next(e for e in front.edges if e.name == "waist_seam")
    assert _off(folded, waist) < 1e-3
    axis = (one + two) / 2.0 - point
    out = tip - point
    assert abs(axis[0] * out[1] - axis[1] * out[0]) / np.hypot(*axis) < 1e-9  # the tip is on the fold line
    assert np.hypot(*(tip - point)) > np.hypot(*axis)


def _mirrored(p: np.ndarray, through: np.ndarray, way: np.ndarray) -> np.ndarray:
    unit = way / np.hypot(*way)
    along = np.dot(p - through, unit) * unit
    return through + 2.0 * along - (p - through)


def _off(point: np.ndarray, edge: object) -> float:
    """How far a point is from an edge's drawn stroke, sampled finely."""
    best, here = np.inf, np.array(edge.path.start)
    t = np.linspace(0.0, 1.0, 20001)[:, None]
    for segment in edge.path.segments:
        rows = [here, *(np.array(q) for q in segment)]
        if len(segment) == 1:
            rows = [here, here + (rows[1] - here) / 3, here + 2 * (rows[1] - here) / 3, rows[1]]
        a, b, c, d = rows
        s = 1 - t
        points = s**3 * a + 3 * s * s * t * b + 3 * s * t * t * c + t**3 * d
        best = min(best, float(np.hypot(*(points - point).T).min()))
        here = np.array(segment[-1])
    return best


def test_a_dart_by_its_angle() -> None:
    paper = Paper()
    leg = 100.0
    top = paper.level(0.0)
    darts = [
        dart("front.d", edge_line=top, mouth=paper.point(50.0, 0.0), apex=paper.point(50.0, leg),
             angle=paper.amount(np.radians(12.0)))
    ]  # fmt: skip
    sides = boundary(("left", paper.plumb(0.0)), ("top", top), ("right", paper.plumb(110.0)),
                     ("bottom", paper.level(200.0)))  # fmt: skip
    plan = recipe(
        [piece("p", sides, allowances=tuple(allow(s.name, None) for s in sides))], darts=tuple(darts)
    )
    (mark,) = drafted(plan, paper).pieces[0].darts
    assert mark.angle == pytest.approx(np.radians(12.0), abs=1e-9)
    assert mark.intake == pytest.approx(2.0 * leg * np.tan(np.radians(6.0)), abs=1e-6)


def _shared(paper: Paper) -> object:
    """A level that bounds two pieces, with one dart on each piece's stretch."""
    top, bottom = paper.level(0.0), paper.level(200.0)
    left, middle, right = (paper.plumb(x) for x in (0.0, 100.0, 200.0))
    net = tuple(allow(name, None) for name in ("a", "top", "b", "bottom"))
    one = piece("one", boundary(("a", left), ("top", top), ("b", middle), ("bottom", bottom)), allowances=net)
    two = piece(
        "two", boundary(("a", middle), ("top", top), ("b", right), ("bottom", bottom)), allowances=net
    )
    intake = paper.amount(10.0)
    darts = tuple(
        dart(f"front.{n}", edge_line=top, mouth=paper.point(x, 0.0), apex=paper.point(x, 80.0), intake=intake)
        for n, x in (("far", np.array([160.0, 75.0])), ("near", np.array([50.0, 30.0])))
    )
    return recipe([one, two], darts=darts)


def test_a_piece_has_the_darts_on_its_own_stretch_of_a_shared_line_body_by_body() -> None:
    paper = Paper(2)
    plan = _shared(paper)
    first, second = (drafted(plan, paper, i) for i in range(2))
    assert [[d.name for d in p.darts] for p in first.pieces] == [["front.near"], ["front.far"]]
    assert [[d.name for d in p.darts] for p in second.pieces] == [["front.near", "front.far"], []]
    for i, pattern in enumerate((first, second)):
        assert pattern == drafted(plan, alone(paper, i))


def test_a_dart_that_runs_off_its_edge_is_told() -> None:
    paper = Paper()
    top = paper.level(0.0)
    sides = boundary(("left", paper.plumb(0.0)), ("top", top), ("right", paper.plumb(110.0)),
                     ("bottom", paper.level(200.0)))  # fmt: skip
    darts = (dart("front.d", edge_line=top, mouth=paper.point(4.0, 0.0), apex=paper.point(4.0, 80.0),
                  intake=paper.amount(20.0)),)  # fmt: skip
    plan = recipe([piece("p", sides, allowances=tuple(allow(s.name, None) for s in sides))], darts=darts)
    pattern = drafted(plan, paper)
    assert pattern.pieces == ()
    assert [(f.code, f.text) for f in pattern.findings] == [("E706", "the mouth of d does not fit on top")]


def test_a_dart_inside_the_piece_has_two_equal_sides() -> None:
    paper = Paper()
    sides = boundary(("left", paper.plumb(0.0)), ("top", paper.level(0.0)), ("right", paper.plumb(110.0)),
                     ("bottom", paper.level(200.0)))  # fmt: skip
    station = (paper.point(50.0, 90.0), paper.amount(16.0), "waist_line")
    darts = (
        dart("front.d", start=paper.point(50.0, 30.0), end=paper.point(50.0, 150.0), stations=(station,)),
        dart("back.e", draft="back", start=paper.point(50.0, 30.0), end=paper.point(50.0, 150.0),
             stations=(station,)),
    )  # fmt: skip
    plan = recipe([piece("p", sides, allowances=tuple(allow(s.name, None) for s in sides))], darts=darts)
    (mark,) = drafted(plan, paper).pieces[0].darts
    assert (mark.name, mark.edge, mark.intake) == ("front.d", None, 16.0)
    assert {tuple(map(tuple, turns(side).tolist())) for side in mark.legs} == {
        ((50.0, 30.0), (58.0, 90.0), (50.0, 150.0)),
        ((50.0, 30.0), (42.0, 90.0), (50.0, 150.0)),
    }


# --- scenario A6 -------------------------------------------------------------------------------


def test_a_moved_dart_opens_by_its_angle_not_its_width() -> None:
    pattern = drafted(*bodice_front())
    (front,) = pattern.pieces
    (mark,) = front.darts
    assert (mark.name, mark.edge, mark.pressed) == ("shoulder_dart", "shoulder", "toward cf")
    assert np.degrees(mark.angle) == pytest.approx(11.478341, abs=1e-6)
    assert mark.intake / INCH == pytest.approx(1.90, abs=1e-9)
    assert _legs(mark, mark.pivot) == pytest.approx((9.5 * INCH, 9.5 * INCH), abs=1e-9)
    assert np.hypot(mark.point[0] - mark.pivot[0], mark.point[1] - mark.pivot[1]) == pytest.approx(INCH)
    assert pattern.reports == (("Side dart moved on front", "taken 11.48 deg: side 0, shoulder 11.48"),)


def test_half_a_dart_moved() -> None:
    pattern = drafted(*bodice_front(0.5))
    marks = {mark.name: mark for mark in pattern.pieces[0].darts}
    assert marks["shoulder_dart"].intake / INCH == pytest.approx(0.95, abs=0.005)
    assert marks["front.side_dart"].intake / INCH == pytest.approx(0.50, abs=0.005)
    assert marks["front.side_dart"].pressed == "down"
    both = marks["shoulder_dart"].angle + marks["front.side_dart"].angle
    assert both == pytest.approx(2.0 * np.arcsin(0.1), abs=1e-12)
    for mark in marks.values():
        one, two = _legs(mark, mark.pivot)
        assert one == pytest.approx(two, abs=1e-9)
    assert pattern.reports == (("Side dart moved on front", "taken 11.48 deg: side 5.74, shoulder 5.74"),)


@pytest.mark.parametrize("share", [None, 0.5])
def test_the_fold_stays_straight_and_the_edges_keep_their_lengths(share: float | None) -> None:
    moved = drafted(*bodice_front(share)).pieces[0]
    fold = next(e for e in moved.edges if e.name == "cf")
    assert set(turns(fold.path)[:, 0].tolist()) == {0.0}
    lengths = {e.name: e.length for e in moved.edges}
    height = 480.0 - (300.0 - 9.5 * INCH)
    assert lengths["cf"] == pytest.approx(height)
    assert lengths["side"] == pytest.approx(height - INCH, abs=1e-6)
    assert lengths["shoulder"] == pytest.approx(100.0 + np.sqrt((5 * INCH) ** 2 - (INCH / 2) ** 2))


def test_a_dart_that_is_not_there_cannot_be_moved() -> None:
    plan, paper = bodice_front()
    pattern = drafted(recipe(plan.pieces), paper)
    assert [(f.code, f.text) for f in pattern.findings] == [
        ("E707", "there is no side dart on this piece to move")
    ]


def test_cut_on_fold_is_counted_twice_round_the_body() -> None:
    from scye.assemble.section import times_cut

    assert times_cut([cut(1, "fold", "cf")]) == 2
    assert times_cut([cut(2, "pair", layers=("self", "lining")), cut(2, "pair", layers=("facing",))]) == 2
    assert times_cut([cut(1, "single")]) == 1
    assert times_cut([cut(4, "plain", layers=("lining",))]) == 4


@pytest.mark.parametrize("lost", ["mouth", "apex", "intake"])
def test_a_piece_whose_dart_could_not_be_drawn_is_not_drawn_without_it(lost: str) -> None:
    plan, paper = skirt_front(2)
    ref = getattr(plan.darts[0], lost)
    value = np.broadcast_to(paper.values[ref], (*paper.values[ref].shape[:-1], 2)).copy()
    value[..., 1] = np.nan
    paper.values[ref] = value
    assert [len(drafted(plan, paper, i).pieces) for i in range(2)] == [1, 0]
    assert drafted(plan, paper, 1).findings == ()


def test_a_dart_may_be_moved_twice() -> None:
    plan, paper = bodice_front(0.5)
    (front,) = plan.pieces
    (half,) = front.moves
    rest = replace(half, share=None, edge="waist", point=paper.point(100.0, 480.0), new_name="waist_dart")
    pattern = drafted(recipe([replace(front, moves=(half, rest))], darts=plan.darts), paper)
    marks = {mark.name: mark for mark in pattern.pieces[0].darts}
    assert set(marks) == {"shoulder_dart", "waist_dart"}
    whole = 2.0 * np.arcsin(0.1)
    assert [mark.angle for mark in marks.values()] == pytest.approx([whole / 2.0, whole / 2.0])
    assert [text for _, text in pattern.reports] == [
        "taken 11.48 deg: side 5.74, shoulder 5.74",
        "taken 5.74 deg: side 0, waist 5.74",
    ]
