"""Notches, seams' sides, sections, grain, labels and words on pieces."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from by_hand import (
    SPAN,
    Paper,
    allow,
    boundary,
    cut,
    dart,
    drafted,
    match,
    piece,
    recipe,
    sew,
    skirt_front,
)

from scye.assemble.assemble import assemble
from scye.assemble.marks import cut_text
from scye.assemble.strokes import inside, inside_lattice
from scye.diagnostics.model import Severity
from scye.ir.plan import AllowPlan, CuttingPlan, MeasuredOnPieces, NotchPlan, ProvePlan, ProveTerm, SidePlan
from scye.ir.syntax import Amount
from scye.units.quantity import MM, Quantity


def panels(paper: Paper, **seam: object) -> CuttingPlan:
    """Two panels 300 mm high with curved edges between them, and levels at 60 and 180."""
    top, hem = paper.level(0.0, "front.top"), paper.level(300.0, "front.hem")
    bust, waist = paper.level(60.0, "front.bust_line"), paper.level(180.0, "front.waist_line")
    left = paper.cubic((100.0, -5.0), (90.0, 100.0), (60.0, 200.0), (95.0, 305.0))
    right = paper.cubic((100.0, -5.0), (112.0, 80.0), (110.0, 200.0), (110.0, 305.0))
    side = paper.cubic((220.0, -5.0), (215.0, 100.0), (190.0, 200.0), (230.0, 305.0))
    width = paper.amount(10.0)
    one = piece(
        "centre_front",
        boundary(("cf", paper.plumb(0.0)), ("top", top), ("seam.left", left), ("hem", hem)),
        cuts=(cut(1, "fold", "cf"),),
        allowances=tuple(allow(e, width) for e in ("top", "seam.left", "hem")),
    )
    two = piece(
        "side_front",
        boundary(("seam.right", right), ("top", top), ("side", side), ("hem", hem)),
        cuts=(cut(2, "pair"),),
        allowances=(*(allow(e, width) for e in ("top", "seam.right", "hem")), allow("side", None)),
    )
    matches = (match("bust_line", bust), match("waist_line", waist, strokes=2))
    given = {"matches": matches, **seam}
    return recipe(
        [one, two],
        seams=(sew("A", [("side_front", "seam.right")], [("centre_front", "seam.left")], **given),),
    )


def test_both_edges_of_a_seam_carry_the_same_notches() -> None:
    paper = Paper()
    one, two = drafted(panels(paper), paper).pieces
    assert [(n.name, n.strokes, n.letter, n.edge) for n in one.notches] == [
        ("bust line", 1, "A", "seam.left"),
        ("waist line", 2, "A", "seam.left"),
    ]
    assert [(n.name, n.strokes, n.letter, n.edge) for n in two.notches] == [
        ("bust line", 1, "A", "seam.right"),
        ("waist line", 2, "A", "seam.right"),
    ]
    for notch in (*one.notches, *two.notches):
        assert notch.at[1] == pytest.approx({"bust line": 60.0, "waist line": 180.0}[notch.name], abs=1e-6)
        out = np.subtract(notch.cut, notch.at)
        assert out == pytest.approx(-10.0 * np.array(notch.inward))
        assert (notch.inward[0] > 0) == (notch in two.notches)
    letters = {(p.name, e.name): e.letters for p in (one, two) for e in p.edges}
    assert letters["centre_front", "seam.left"] == letters["side_front", "seam.right"] == ("A",)
    assert letters["centre_front", "cf"] == ()


def test_notches_at_a_distance_count_from_where_the_seam_starts_or_ends() -> None:
    paper = Paper()
    at = paper.amount(40.0)
    matches = (match("low", distance=at, origin="end"), match("high", distance=at))
    plan = panels(paper, matches=matches)
    one, two = drafted(plan, paper).pieces
    for p in (one, two):
        low, high = p.notches
        assert high.at[1] < 45.0
        assert low.at[1] > 255.0
    walk = assemble(plan, paper.solution()).walks[0]
    assert walk.length_a - walk.matches_a[0] == pytest.approx(40.0)
    assert walk.matches_b[1] == pytest.approx(40.0)


def test_a_line_that_misses_an_edge_leaves_its_notch_out_with_a_caution() -> None:
    paper = Paper()
    plan = panels(paper, matches=(match("knee_line", paper.level(900.0)),))
    pattern = drafted(plan, paper)
    assert ("E709", "seam A") in {(f.code, f.where) for f in pattern.findings}
    assert all(p.notches == () for p in pattern.pieces)


def test_a_match_that_can_not_be_placed_says_what_is_amiss_with_it() -> None:
    paper = Paper()
    low = paper.level(900.0)
    off, far = paper.point(900.0, 900.0), paper.amount(5000.0)
    said = {}
    for name, more in {
        "line": {"line": low}, "point": {"first": off, "second": off}, "far": {"distance": far},
    }.items():  # fmt: skip
        pattern = drafted(panels(paper, matches=(match("", **more),)), paper)
        (said[name],) = [f.text for f in pattern.findings if f.code == "E709"]
        assert all(p.notches == () for p in pattern.pieces)
    assert said == {
        "line": "seam A: the line does not cross both edges once, so its notch is left out",
        "point": "seam A: what is matched does not lie on both edges, so its notch is left out",
        "far": "seam A: an edge is shorter than the distance of a notch, so it is left out",
    }


def test_a_notch_of_a_piece_may_be_at_a_point_or_a_line() -> None:
    paper = Paper()
    plan = panels(paper)
    asked = (
        NotchPlan("side", None, paper.level(100.0, "front.high_hip"), 2, SPAN),
        NotchPlan("top", paper.point(150.0, 0.0, "front.strap"), None, 1, SPAN),
    )
    one, two = plan.pieces
    two = piece("side_front", two.boundary, cuts=two.cuts, allowances=two.allowances, notches=asked)
    pattern = drafted(recipe([one, two]), paper)
    at_line, at_point = pattern.pieces[1].notches
    assert (at_line.name, at_line.strokes, at_line.letter) == ("high hip", 2, "")
    assert at_line.at[1] == pytest.approx(100.0)
    assert at_point.at == pytest.approx((150.0, 0.0))
    assert at_point.cut == pytest.approx((150.0, -10.0))
    assert at_line.cut == at_line.at  # the side is net


# --- sides of several edges --------------------------------------------------------------------


def _yoke(paper: Paper, second_way: str) -> CuttingPlan:
    """A band whose upper edge is two lines, to be sewn to one; the second drawn `on` or `back`."""
    first = paper.line((0.0, 0.0), (100.0, 0.0))
    ends = [(100.0, 0.0), (250.0, -20.0)]
    second = paper.line(*(ends if second_way == "on" else ends[::-1]))
    rest = paper.line((250.0, -20.0), (250.0, 50.0), (0.0, 50.0), (0.0, 0.0))
    band = piece("band", boundary(("one", first), ("two", second), ("rest", rest)))
    long = 100.0 + float(np.hypot(150.0, 20.0))
    other = piece(
        "skirt",
        boundary(
            ("waist", paper.line((0.0, 0.0), (long, 0.0))),
            ("rest", paper.line((long, 0.0), (long, 80.0), (0.0, 80.0), (0.0, 0.0))),
        ),
        draft="skirt",
    )
    seam = sew("A", [("band", "one"), ("band", "two")], [("skirt", "waist")])
    return recipe([band, other], seams=(seam,))


@pytest.mark.parametrize("way", ["on", "back"])
def test_edges_of_one_side_are_chained_head_to_tail(way: str) -> None:
    paper = Paper()
    plan = _yoke(paper, way)
    pattern = drafted(plan, paper)
    (seam,) = pattern.seams
    assert seam.verdict == "walks true"
    assert seam.difference == pytest.approx(0.0, abs=1e-9)
    notes = [f for f in pattern.findings if f.code == "E716"]
    assert [n.text for n in notes] == (
        [] if way == "on" else ["seam A: two was walked from its end, so that it joins the edge before it"]
    )


def test_a_seam_to_its_pair_is_walked_against_itself() -> None:
    paper = Paper()
    plan = panels(paper)
    side = (SidePlan("side_front", "side", False, SPAN),)
    seam = sew("B", [], [], to_pair=True, matches=(match("waist_line", paper.level(180.0)),))
    seam = type(seam)("B", side, side, True, (), seam.matches, SPAN)
    pattern = drafted(recipe(plan.pieces, seams=(seam,)), paper)
    assert pattern.seams[0].verdict == "walks true"
    assert pattern.seams[0].b == "Side front: side of its pair"
    assert len(pattern.pieces[1].notches) == 1


# --- across the piece --------------------------------------------------------------------------


def _proof(line: int, name: str, what: str, piece_name: str | None, right: int) -> ProvePlan:
    measured = MeasuredOnPieces(what, line, name, "front", piece_name)
    expr = Amount(SPAN, Quantity(Fraction(0), MM))
    terms = (ProveTerm(1.0, measured),), (ProveTerm(1.0, right),)
    return ProvePlan("width", terms[0], "=", terms[1], None, expr, expr, SPAN)


def test_a_width_leaves_out_the_dart_and_runs_along_an_edge_that_lies_on_the_line() -> None:
    paper = Paper()
    top = paper.level(0.0)
    sides = boundary(("left", paper.plumb(0.0)), ("top", top), ("right", paper.plumb(100.0)),
                     ("bottom", paper.level(200.0)))  # fmt: skip
    edge_dart = dart("front.d", edge_line=top, mouth=paper.point(40.0, 0.0), apex=paper.point(40.0, 80.0),
                     intake=paper.amount(20.0))  # fmt: skip
    inner = dart("front.e", start=paper.point(70.0, 20.0), end=paper.point(70.0, 120.0),
                 stations=((paper.point(70.0, 60.0), paper.amount(12.0), "waist"),))  # fmt: skip
    body = piece("p", sides, cuts=(cut(2, "pair"),), allowances=tuple(allow(s.name, None) for s in sides))
    levels = [paper.level(y) for y in (0.0, 40.0, 60.0, 150.0)]
    right = paper.amount(0.0)
    proofs = tuple(_proof(line, "l", "girth", None, right) for line in levels)
    plan = recipe([body], darts=(edge_dart, inner), proofs=proofs)
    sections = assemble(plan, paper.solution()).sections
    widths = [float(s.width[0]) for s in sections]
    # 20 wide at the mouth runs to nothing at 80; 12 wide at 60 runs to nothing at 20 and 120
    assert widths == pytest.approx([80.0, 100.0 - 10.0 - 6.0, 100.0 - 5.0 - 12.0, 100.0], abs=1e-6)
    assert [s.times for s in sections] == [2, 2, 2, 2]
    assert [p.found for p in drafted(plan, paper).proofs] == pytest.approx([2 * w for w in widths])


# --- words -------------------------------------------------------------------------------------


def test_cut_orders_in_words() -> None:
    assert cut_text(cut(2, "pair", layers=("self", "lining"))) == "cut 2 (a pair) of self, lining"
    assert cut_text(cut(4, "pair")) == "cut 4 (2 pairs) of self"
    assert cut_text(cut(1, "fold", "cf")) == "cut 1 on fold of self"
    assert cut_text(cut(1, "single")) == "cut 1 single, right side up, of self"
    assert cut_text(cut(2, "plain", layers=("interlining",))) == "cut 2 of interlining"


def test_pieces_are_numbered_and_labelled_inside() -> None:
    paper = Paper()
    one, two = drafted(panels(paper), paper).pieces
    assert [(p.number, p.of) for p in (one, two)] == [(1, 2), (2, 2)]
    for p in (one, two):
        (ax, ay), (bx, by) = p.grain
        assert ax == pytest.approx(bx)
        assert 0.0 < ay < by < 300.0
        assert by - ay > 200.0
        x, y = p.label_at
        assert 20.0 < x < 205.0
        assert 20.0 < y < 280.0
        assert {label.text for label in p.edge_labels if label.role == "letter"} == {"A"}
        assert {label.angle for label in p.edge_labels if label.role == "letter"} == {0.0}
        assert all(-100.0 <= np.degrees(label.angle) < 80.0 for label in p.edge_labels)
        names = [name for name, _, _ in p.levels]
        assert names == ["bust line", "waist line"]
        for name, start, end in p.levels:
            assert start[1] == end[1] == pytest.approx({"bust line": 60.0, "waist line": 180.0}[name])


def test_bias_grain_lies_at_45_degrees() -> None:
    paper = Paper()
    plan = panels(paper)
    two = plan.pieces[1]
    bias = piece("side_front", two.boundary, allowances=two.allowances, bias=True)
    (one,) = drafted(recipe([bias]), paper).pieces
    (ax, ay), (bx, by) = one.grain
    assert abs(bx - ax) == pytest.approx(abs(by - ay))
    assert one.bias


def test_the_skirt_has_no_label_on_its_fold() -> None:
    (front,) = drafted(*skirt_front()).pieces
    assert sorted(label.text for label in front.edge_labels) == ["1/2 in", "2 in", "3/8 in"]


def test_a_fold_that_is_not_straight_is_found_for_the_bodies_that_have_it() -> None:
    """A curve that bows 0.3 mm for the first body, as good as straight, and 6 mm for the second."""
    paper = Paper(2)
    bow = np.array([0.4, 8.0])
    fold = paper.cubic((0.0, -5.0), (bow, 100.0), (bow, 200.0), (0.0, 305.0))
    sides = boundary(
        ("cf", fold), ("top", paper.level(0.0)), ("side", paper.plumb(100.0)), ("hem", paper.level(300.0))
    )
    net = _net("top", "side", "hem")
    plan = recipe([piece("front", sides, cuts=(cut(1, "fold", "cf"),), allowances=net)])
    straight, bent = drafted(plan, paper, 0), drafted(plan, paper, 1)
    assert straight.findings == ()
    (found,) = bent.findings
    assert (found.code, found.severity) == ("E1502", Severity.FAILURE)
    assert found.text == "cf is to lie on the fold, but is 7/32 in off a straight line"


def _net(*edges: str) -> tuple[AllowPlan, ...]:
    return tuple(allow(edge, None) for edge in edges)


def test_notches_without_a_name_are_numbered() -> None:
    paper = Paper()
    distances = [paper.amount(mm) for mm in (80.0, 200.0)]
    unnamed = tuple(match("", distance=d, origin="start") for d in distances)
    pattern = drafted(panels(paper, matches=unnamed), paper)
    assert {notch.name for notch in pattern.pieces[0].notches} == {"notch 1", "notch 2"}
    assert [part.name for part in pattern.seams[0].parts] == [
        "start to notch 1", "notch 1 to notch 2", "notch 2 to end",
    ]  # fmt: skip
    (found,) = (f for f in pattern.findings if f.code.startswith("E71"))
    assert "between notch 1 and notch 2 " in found.text


def test_a_lattice_is_told_inside_from_outside_as_its_points_are_one_by_one():
    draw = np.random.default_rng(3)
    outline = draw.normal(0.0, 100.0, (40, 2, 6))
    outline[..., 4] = np.nan
    outline[:20, 1, 5] = np.round(outline[:20, 1, 5], -2)  # corners level with rows, level edges
    across, down = draw.normal(0.0, 80.0, (7, 6)), draw.normal(0.0, 80.0, (9, 6))
    down[:3, 5] = np.array([-100.0, 0.0, 100.0])
    points = np.stack(np.broadcast_arrays(across, down[:, None]), axis=2).reshape(63, 2, 6)
    found = inside_lattice(outline, across, down)
    assert found.any()
    assert not found.all()
    assert np.array_equal(found.reshape(63, 6), inside(outline, points))
