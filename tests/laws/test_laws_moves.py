"""Pieces slashed, spread, overlapped, folded and joined: held to shapely's areas and to plain sums."""

from __future__ import annotations

import math
import sys
from dataclasses import replace
from itertools import pairwise
from pathlib import Path as FilePath
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon

from scye.geometry.offset import flatten
from scye.geometry.path import Path
from scye.ir.pattern import Pattern, Piece, Stroke
from scye.ir.plan import BlendPlan, ClosePlan, MovePlan, PiecePlan, ReleasePlan, SlashPlan

sys.path.insert(0, str(FilePath(__file__).parents[1] / "unit" / "assemble"))

from by_hand import INCH, SPAN, Paper, allow, boundary, cut, dart, drafted, match, piece, recipe, sew

FEW = settings(max_examples=25)


def panel(paper: Paper, *corners: tuple[float, float], bow: float = 0.0) -> dict[str, int]:
    """Four lines round a piece, clockwise from its left upper corner; the top and bottom bowed down."""
    a, b, c, d = corners

    def line(p: tuple[float, float], q: tuple[float, float], name: str, by: float) -> int:
        third = [(p[0] + (q[0] - p[0]) * k / 3, p[1] + (q[1] - p[1]) * k / 3 + by) for k in (1, 2)]
        return paper.cubic(p, *third, q, name=f"front.{name}")

    return {
        "top": line(a, b, "top", bow), "right": line(b, c, "right", 0.0),
        "bottom": line(c, d, "bottom", bow), "left": line(d, a, "left", 0.0),
    }  # fmt: skip


def square(paper: Paper, wide: float = 300.0, high: float = 400.0) -> dict[str, int]:
    return panel(paper, (0, 0), (wide, 0), (wide, high), (0, high))


def done(paper: Paper, lines: dict[str, int], *operations: Any, darts: Any = (), **more: Any) -> Pattern:
    front = piece("front", boundary(*lines.items()), moves=tuple(operations), **more)
    return drafted(recipe([front], darts=darts), paper)


def only(pattern: Pattern) -> Piece:
    assert [f.text for f in pattern.findings] == []
    (front,) = pattern.pieces
    return front


def outline(stroke: Stroke) -> Polygon:
    points = [stroke.start]
    for segment in stroke.segments:
        if len(segment) == 1:
            points.append(segment[0])
        else:
            ctrl = np.array([points[-1], *segment])[None, :, :, None]
            points += flatten(Path(ctrl, (False,)), 1e-4, 0)[1:]
    return Polygon(points)


def lengths(front: Piece) -> dict[str, float]:
    return {edge.name: edge.length for edge in front.edges}


def slash(paper: Paper, kind: Any, near: float, **more: Any) -> SlashPlan:
    """From the bottom, a third from its right end, to the top straight above, unless more is said."""
    given = {
        "edge": "bottom", "far_edge": "top", "point": paper.point(200.0, 400.0),
        "far_point": paper.point(200.0, 0.0), "count": 1, "near": paper.amount(near), "angular": False,
        "far": None, "pressed": None,
    }  # fmt: skip
    return SlashPlan(kind=kind, span=SPAN, **{**given, **more})


# --- spreading ---------------------------------------------------------------------------------


@FEW
@given(st.floats(1.0, 150.0))
def test_a_hinged_spread_adds_a_sector(amount: float):
    """The hem is square to the slash, so that what comes in is a sector about the hinge."""
    paper = Paper()
    front = only(done(paper, square(paper), slash(paper, "spread", amount)))
    angle = 2.0 * math.asin(amount / 800.0)
    assert outline(front.net).area == pytest.approx(300 * 400 + 400**2 * angle / 2, rel=1e-6)
    assert lengths(front)["top"] == pytest.approx(300.0)
    assert lengths(front)["bottom"] == pytest.approx(300.0 + 400 * angle, rel=1e-6)


@FEW
@given(st.floats(0.5, 80.0))
def test_a_parallel_spread_adds_a_rectangle(amount: float):
    paper = Paper()
    plan = slash(paper, "spread", amount, far=paper.amount(amount))
    front = only(done(paper, square(paper), plan))
    assert outline(front.net).area == pytest.approx((300 + amount) * 400)
    assert lengths(front) == pytest.approx(
        {"top": 300 + amount, "bottom": 300 + amount, "left": 400, "right": 400}
    )


@FEW
@given(st.floats(5.0, 60.0), st.floats(5.0, 60.0))
def test_different_amounts_open_by_just_as_much(near: float, far: float):
    """The two ends of the slash are apart by what was asked, and both its sides keep their length."""
    paper = Paper()
    front = only(done(paper, square(paper), slash(paper, "spread", near, far=paper.amount(far))))
    turn = 2.0 * math.asin((near - far) / 800.0)
    trapezium = math.cos(turn / 2.0) * 400.0 * (near + far) / 2.0
    caps = [bow_area(amount, turn) for amount in (near, far)]
    assert outline(front.net).area == pytest.approx(300 * 400 + trapezium + caps[0] - caps[1], rel=1e-5)


def bow_area(chord: float, turn: float) -> float:
    """Between a chord and the arc that turns by an angle over it; of a hollow one less than nothing."""
    if abs(turn) < 1e-12:
        return 0.0
    radius = chord / (2.0 * math.sin(turn / 2.0))
    return radius**2 / 2.0 * (turn - math.sin(turn)) * (1.0 if chord > 0 else -1.0)


@FEW
@given(st.integers(1, 9), st.floats(0.01, 0.12))
def test_a_skirt_spread_in_many_places_is_a_ring(count: int, angle: float):
    """Every slash turns what follows by its angle; the waist keeps its length, and the two centres lie at the
    sum of the angles."""
    paper = Paper()
    plan = slash(paper, "spread", angle, angular=True, point=None, far_point=None, count=count)
    front = only(done(paper, square(paper), plan))
    assert lengths(front)["top"] == pytest.approx(300.0)
    assert outline(front.net).area == pytest.approx(300 * 400 + count * 400**2 * angle / 2, rel=1e-6)
    ways = [np.subtract(edge.path.segments[-1][-1], edge.path.start) for edge in front.edges[1::2]]
    right, left = (math.atan2(way[1], way[0]) for way in (ways[0], -ways[1]))
    assert abs(right - left) == pytest.approx(count * angle, abs=1e-9)


@FEW
@given(st.floats(-30.0, 30.0), st.floats(10.0, 60.0), st.floats(0.2, 0.8), st.floats(0.2, 0.8))
def test_a_slash_anywhere_leaves_every_other_edge_as_it_was(
    bow: float, amount: float, one: float, other: float
):
    paper = Paper()
    corners = ((0.0, 0.0), (300.0, 20.0), (320.0, 400.0), (-10.0, 380.0))
    lines = panel(paper, *corners, bow=bow)
    near = paper.keep(_on(paper.values[lines["bottom"]], one))
    far = paper.keep(_on(paper.values[lines["top"]], other))
    spread = slash(paper, "spread", amount, point=near, far_point=far)
    plain = only(done(paper, lines))
    opened = only(done(paper, lines, spread))
    assert lengths(opened)["top"] == pytest.approx(lengths(plain)["top"])
    assert lengths(opened)["left"] == pytest.approx(lengths(plain)["left"])
    assert lengths(opened)["right"] == pytest.approx(lengths(plain)["right"])
    assert lengths(opened)["bottom"] > lengths(plain)["bottom"]
    assert outline(opened.net).area > outline(plain.net).area


def _on(path: Path, t: float) -> np.ndarray:
    one, two, three, four = path.ctrl[0]
    s = 1 - t
    return s**3 * one + 3 * s * s * t * two + 3 * s * t * t * three + t**3 * four


# --- overlapping -------------------------------------------------------------------------------


@FEW
@given(st.floats(1.0, 80.0))
def test_a_parallel_overlap_takes_a_rectangle_out(amount: float):
    paper = Paper()
    plan = slash(paper, "overlap", amount, far=paper.amount(amount))
    front = only(done(paper, square(paper), plan))
    assert outline(front.net).area == pytest.approx((300 - amount) * 400)
    assert lengths(front)["top"] == pytest.approx(300 - amount)


@FEW
@given(st.floats(1.0, 80.0))
def test_a_hinged_overlap_takes_a_triangle_out(amount: float):
    """Half the amount is cut off on either side of the slash, as a dart of that width would take."""
    paper = Paper()
    front = only(done(paper, square(paper), slash(paper, "overlap", amount)))
    assert outline(front.net).area == pytest.approx(300 * 400 - amount * 400 / 2)
    assert lengths(front)["bottom"] == pytest.approx(300 - amount)
    assert lengths(front)["top"] == pytest.approx(300)


@FEW
@given(st.floats(10.0, 60.0))
def test_what_was_spread_in_is_overlapped_out(amount: float):
    """A rectangle in at one place and out at another leaves what there was."""
    paper = Paper()
    one = slash(paper, "spread", amount, far=paper.amount(amount))
    place = {"point": paper.point(90.0, 400.0), "far_point": paper.point(90.0, 0.0)}
    out = slash(paper, "overlap", amount, far=paper.amount(amount), **place)
    front = only(done(paper, square(paper), one, out))
    plain = only(done(paper, square(paper)))
    off = outline(front.net).symmetric_difference(outline(plain.net))
    assert off.area < 1e-3


@pytest.mark.parametrize(
    ("kind", "amount", "text"),
    [
        ("spread", 801.0, "a slash cannot be spread by more than twice its length"),
        ("overlap", 210.0, "bottom or top does not hold what is overlapped"),
    ],
)
def test_more_than_there_is_cannot_be_had(kind: Any, amount: float, text: str):
    paper = Paper()
    pattern = done(paper, square(paper), slash(paper, kind, amount))
    assert ([f.code for f in pattern.findings], pattern.pieces) == (["E717"], ())
    assert pattern.findings[0].text == text


# --- darts -------------------------------------------------------------------------------------


def darted(paper: Paper, lines: dict[str, int], apex: tuple[float, float], intake: float = 40.0) -> Any:
    middle = paper.keep(_on(paper.values[lines["top"]], 0.5))
    return dart(
        "front.dart", edge_line=lines["top"], mouth=middle, apex=paper.point(*apex),
        intake=paper.amount(intake), pressed=paper.direction(-1.0, 0.0),
    )  # fmt: skip


def told(pattern: Pattern) -> list[tuple[str, str]]:
    return [(finding.code, finding.text) for finding in pattern.findings]


@pytest.mark.parametrize("kind", ["spread", "pleat"])
@pytest.mark.parametrize(("x", "within"), [(129.0, False), (131.0, True), (169.0, True), (171.0, False)])
def test_a_slash_that_ends_in_the_mouth_of_a_dart_is_told(kind: Any, x: float, within: bool):
    """The dart's mouth lies from 130 to 170 mm along the top; the cloth is cut where the mouth begins."""
    paper = Paper()
    lines = square(paper)
    plan = slash(
        paper, kind, 10.0, point=paper.point(x, 400.0), far_point=paper.point(x, 0.0),
        pressed=paper.direction(-1.0, 0.0),
    )  # fmt: skip
    pattern = done(paper, lines, plan, darts=[darted(paper, lines, (150.0, 120.0))])
    said = "a slash at top would end in the mouth of dart, and is cut beside it"
    assert told(pattern) == ([("E719", said)] if within else [])
    assert len(pattern.pieces) == 1


@pytest.mark.parametrize(("x", "within"), [(119.0, False), (121.0, True), (150.0, True), (181.0, False)])
def test_an_overlap_that_reaches_into_the_mouth_of_a_dart_cannot_be_had(x: float, within: bool):
    paper = Paper()
    lines = square(paper)
    place = {"point": paper.point(x, 400.0), "far_point": paper.point(x, 0.0)}
    plan = slash(paper, "overlap", 20.0, far=paper.amount(20.0), **place)
    pattern = done(paper, lines, plan, darts=[darted(paper, lines, (150.0, 120.0))])
    said = "what is overlapped at top reaches into the mouth of dart"
    assert told(pattern) == ([("E717", said)] if within else [])


def test_an_overlap_hinged_in_the_mouth_of_a_dart_is_told():
    paper = Paper()
    lines = square(paper)
    plan = slash(
        paper, "overlap", 20.0, point=paper.point(150.0, 400.0), far_point=paper.point(140.0, 0.0)
    )  # fmt: skip
    pattern = done(paper, lines, plan, darts=[darted(paper, lines, (150.0, 120.0))])
    said = "a slash at top would end in the mouth of dart, and is cut beside it"
    assert told(pattern) == [("E719", said)]


def test_sides_that_do_not_meet_when_they_are_laid_together_are_told():
    """At a hem that slants by 0.2 a cut of 40 mm has one side 8 mm longer than the other; a level hem meets
    itself."""
    paper = Paper()
    slanting = panel(paper, (0, 0), (300, 0), (300, 460), (0, 400))
    pattern = done(paper, slanting, slash(paper, "overlap", 40.0, point=paper.point(200.0, 440.0)))
    said = "the two sides of bottom come 5/16 in apart where they are laid together: evened out"
    assert told(pattern) == [("E719", said)]
    assert len(pattern.pieces) == 1


@FEW
@given(st.floats(10.0, 80.0), st.floats(420.0, 2000.0))
def test_closing_a_dart_through_a_yoke_takes_out_what_lies_between_its_legs(intake: float, deep: float):
    paper = Paper()
    lines = square(paper)
    one = darted(paper, lines, (150.0, deep), intake)
    front = only(done(paper, lines, ClosePlan("front.dart", SPAN), darts=(one,)))
    low = intake * (deep - 400.0) / deep
    assert outline(front.net).area == pytest.approx(300 * 400 - 400 * (intake + low) / 2)
    assert lengths(front)["top"] == pytest.approx(300 - intake)
    assert lengths(front)["bottom"] == pytest.approx(300 - low)
    assert front.darts == ()


def test_a_dart_that_ends_on_an_edge_closes_and_keeps_that_edge():
    paper = Paper()
    lines = square(paper)
    one = darted(paper, lines, (150.0, 400.0))
    pattern = done(paper, lines, ClosePlan("front.dart", SPAN), darts=(one,))
    front = only(pattern)
    assert outline(front.net).area == pytest.approx(300 * 400 - 400 * 40 / 2)
    assert lengths(front)["bottom"] == pytest.approx(300.0)
    ((title, text),) = pattern.reports
    assert (title, text) == (
        "Dart closed on front",
        f"{2 * math.degrees(math.atan(20 / 400)):.2f} deg taken out",
    )


def test_a_dart_that_ends_inside_cannot_be_closed():
    paper = Paper()
    lines = square(paper)
    one = darted(paper, lines, (150.0, 200.0))
    pattern = done(paper, lines, ClosePlan("front.dart", SPAN), darts=(one,))
    (finding,) = pattern.findings
    assert (finding.code, pattern.pieces) == ("E717", ())
    assert finding.text == "the point of dart lies inside the piece, so that it cannot be closed flat"


@FEW
@given(
    st.tuples(*[st.floats(-40.0, 40.0)] * 4), st.floats(-40.0, 40.0), st.floats(0.1, 0.9), st.floats(0.1, 0.9)
)
def test_a_dart_pivoted_all_the_way_round_comes_back(
    lean: tuple[float, ...], bow: float, one: float, other: float
):
    """From the top to the right edge, to the bottom, to the left and home: the outline to a thousandth."""
    paper = Paper()
    a, b, c, d = lean
    lines = panel(paper, (a, b), (300 + b, c), (300 + c, 400 + d), (d, 400 + a), bow=bow)
    first = darted(paper, lines, (150.0, 200.0), 30.0)
    stops = [("right", one), ("bottom", other), ("left", (one + other) / 2), ("top", 0.5)]
    moves, name = [], "front.dart"
    for edge, share in stops:
        at = paper.keep(_on(paper.values[lines[edge]], share))
        moves.append(MovePlan(name, None, edge, at, f"at {edge}", paper.direction(-1.0, 0.0), SPAN))
        name = f"at {edge}"
    plain = only(done(paper, lines, darts=(first,)))
    back = only(done(paper, lines, *moves, darts=(first,)))
    assert outline(back.net).hausdorff_distance(outline(plain.net)) < 1e-3
    assert back.darts[0].angle == pytest.approx(plain.darts[0].angle)
    halfway = only(done(paper, lines, *moves[:2], darts=(first,)))
    assert sum(mark.angle for mark in halfway.darts) == pytest.approx(plain.darts[0].angle)
    assert wedge_free(halfway) == pytest.approx(wedge_free(plain), rel=1e-7)


def wedge_free(front: Piece) -> float:
    """The area of a piece without what its darts take in and without their caps."""
    places = outline(front.net)
    for mark in front.darts:
        (legs,) = mark.legs
        corner = Polygon([legs.start, mark.pivot, legs.segments[-1][-1]])
        cap = Polygon([legs.start, *cap_of(front, legs.start, legs.segments[-1][-1])])
        places = places.difference(corner.union(cap).buffer(1e-9))
    return float(places.area)


def cap_of(
    front: Piece, begin: tuple[float, float], finish: tuple[float, float]
) -> list[tuple[float, float]]:
    """The points of the outline from one place to another."""
    ring = list(outline(front.net).exterior.coords)[:-1]
    i, j = (min(range(len(ring)), key=lambda k: math.dist(ring[k], p)) for p in (begin, finish))
    return [ring[k % len(ring)] for k in range(i, (j if j > i else j + len(ring)) + 1)]


@pytest.mark.parametrize("kind", ["gathers", "ease", "tuck"])
def test_a_dart_let_go_is_taken_up_in_the_seam(kind: Any):
    """Its edge still joins a plain one, and the width below the seam is all there."""
    paper = Paper()
    lines = square(paper)
    one = darted(paper, lines, (150.0, 200.0))
    band = paper.line((0.0, -60.0), (260.0, -60.0), name="front.band_top")
    ends = [paper.line((x, -60.0), (x, 0.0)) for x in (0.0, 260.0)]
    low = paper.line((0.0, 0.0), (260.0, 0.0))
    pieces = [
        piece("front", boundary(*lines.items()), moves=(ReleasePlan("front.dart", kind, SPAN),)),
        piece("band", boundary(("over", band), ("far", ends[1]), ("edge", low), ("near", ends[0]))),
    ]
    seam = sew("A", [("front", "top")], [("band", "edge")], matches=(match("middle", paper.plumb(130.0)),))
    pattern = drafted(recipe(pieces, darts=(one,), seams=(seam,)), paper)
    front = pattern.pieces[0]
    (walked,) = pattern.seams
    assert walked.verdict == "walks true"
    top = next(edge for edge in front.edges if edge.name == "top")
    assert (top.length, top.drawn) == pytest.approx((260.0, 300.0), abs=1.0)
    assert front.darts == ()
    assert outline(front.net).area == pytest.approx(300 * 400, rel=0.01)
    assert len([n for n in front.notches if n.letter == ""]) == 2
    assert front.shown[0].text.startswith({"gathers": "gather 1 9/16", "ease": "ease", "tuck": "tuck"}[kind])
    ((_, text),) = pattern.reports
    assert text.startswith("1 9/16 in ")


# --- folding -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "folds"), [("pleat", 1), ("tuck", 1), ("box pleat", 2), ("inverted pleat", 2)]
)
@pytest.mark.parametrize("depth", [10.0, 25.0])
def test_a_fold_adds_twice_its_depth_and_the_walked_edge_keeps_its_length(
    kind: Any, folds: int, depth: float
):
    paper = Paper()
    plan = slash(
        paper, kind, depth, edge="top", far_edge="bottom",
        point=paper.point(150.0, 0.0), far_point=paper.point(150.0, 400.0),
        pressed=paper.direction(-1.0, 0.0),
    )  # fmt: skip
    front = only(done(paper, square(paper), plan))
    wide = 300 + 2 * depth * folds
    assert outline(front.net).area == pytest.approx(wide * 400)
    top = next(edge for edge in front.edges if edge.name == "top")
    assert (top.length, top.drawn) == pytest.approx((300.0, wide))
    assert lengths(front)["bottom"] == pytest.approx(wide)
    assert len(front.notches) == 2 * folds
    assert [line.text for line in front.shown if line.text] == [f"{kind} {tape(depth)} deep"] * folds


def tape(mm: float) -> str:
    return {10.0: "3/8 in", 25.0: "1 in"}[mm]


@FEW
@given(st.floats(-0.3, 0.3), st.sampled_from([-1.0, 1.0]), st.floats(10.0, 30.0))
def test_a_pleat_folded_flat_is_caught_in_a_slanting_seam(slope: float, side: float, depth: float):
    """Fold the paper: every layer ends on the line of the edge that it lies under."""
    paper = Paper()
    lines = panel(paper, (0, 0), (300, 300 * slope), (300, 400), (0, 400))
    plan = slash(
        paper, "pleat", depth, edge="top", far_edge="bottom", point=paper.point(150.0, 150 * slope),
        far_point=paper.point(150.0, 400.0), pressed=paper.direction(side, 0.0),
    )  # fmt: skip
    front = only(done(paper, lines, plan))
    top = next(edge for edge in front.edges if edge.name == "top")
    places = [top.path.start, *(segment[-1] for segment in top.path.segments)]
    inner = next(p for p in places if abs(p[0] - (150.0 + depth)) < 1e-6)
    # Folded on its first line and on its inner one, the middle lies `depth` to the side it is pressed to.
    folded = 150.0 + side * depth
    assert inner[1] == pytest.approx(slope * folded, abs=1e-6)


# --- redrawing ---------------------------------------------------------------------------------


@FEW
@given(st.integers(1, 6), st.floats(0.02, 0.1))
def test_a_blended_edge_runs_without_a_corner_and_stays_close(count: int, angle: float):
    paper = Paper()
    plan = slash(paper, "spread", angle, angular=True, point=None, far_point=None, count=count)
    rough = only(done(paper, square(paper), plan))
    front = only(done(paper, square(paper), plan, BlendPlan("bottom", SPAN)))
    assert corners_of(rough, "top") == count
    assert corners_of(front, "bottom") == 0
    assert outline(front.net).hausdorff_distance(outline(rough.net)) < 8.0
    assert lengths(front)["bottom"] == pytest.approx(lengths(rough)["bottom"], rel=0.01)


def corners_of(front: Piece, name: str) -> int:
    """How often an edge turns by more than half a degree from one segment to the next."""
    edge = next(edge for edge in front.edges if edge.name == name)
    ways, at = [], edge.path.start
    for segment in edge.path.segments:
        points = [at, *segment]
        ways.append((np.subtract(points[1], points[0]), np.subtract(points[-1], points[-2])))
        at = segment[-1]
    turns = [
        abs(math.degrees(math.atan2(float(a[0] * b[1] - a[1] * b[0]), float(a @ b))))
        for (_, a), (b, _) in pairwise(ways)
    ]
    return sum(turn > 0.5 for turn in turns)


def test_an_edge_with_a_dart_is_blended_as_it_runs_with_the_dart_closed():
    """Closed, a straight edge dips at its dart: redrawn it runs fair over it, with longer legs, alike."""
    paper = Paper()
    lines = square(paper)
    one = replace(darted(paper, lines, (150.0, 200.0)), pressed=paper.direction(1.0, 0.0))
    plain = only(done(paper, lines, darts=(one,)))
    front = only(done(paper, lines, BlendPlan("top", SPAN), darts=(one,)))
    assert front.darts[0].angle == pytest.approx(plain.darts[0].angle)
    assert lengths(front)["top"] == pytest.approx(lengths(plain)["top"], rel=1e-3)
    (legs,), (was,) = front.darts[0].legs, plain.darts[0].legs
    lean = [
        math.dist(legs.start, front.darts[0].pivot),
        math.dist(legs.segments[-1][-1], front.darts[0].pivot),
    ]
    assert lean[0] == pytest.approx(lean[1])
    assert lean[0] > math.dist(was.start, plain.darts[0].pivot)


# --- in company --------------------------------------------------------------------------------


def test_each_body_has_the_piece_it_has_alone():
    wide = np.array([280.0, 300.0, 330.0])
    together = done_in(Paper(3), wide)
    for body in range(3):
        alone = done_in(Paper(1), wide[body : body + 1])
        front, same = only(drafted(*together, body)), only(drafted(*alone))
        assert front.net == same.net
        assert front.shown == same.shown


def done_in(paper: Paper, wide: np.ndarray) -> Any:
    top = paper.line((0.0, 0.0), (wide, 0.0), name="front.top")
    right = paper.line((wide, 0.0), (wide, 400.0), name="front.right")
    bottom = paper.line((wide, 400.0), (0.0, 400.0), name="front.bottom")
    left = paper.line((0.0, 400.0), (0.0, 0.0), name="front.left")
    lines = {"top": top, "right": right, "bottom": bottom, "left": left}
    one = dart(
        "front.dart", edge_line=top, mouth=paper.point(wide / 2, 0.0), apex=paper.point(wide / 2, 150.0),
        intake=paper.amount(INCH), pressed=paper.direction(-1.0, 0.0),
    )  # fmt: skip
    plan: PiecePlan = piece(
        "front", boundary(*lines.items()), cuts=(cut(),),
        allowances=tuple(allow(edge, paper.amount(10.0)) for edge in lines),
        moves=(
            ReleasePlan("front.dart", "gathers", SPAN),
            slash(paper, "spread", 20.0, point=None, far_point=None, count=3),
            slash(
                paper, "pleat", 12.0, edge="top", far_edge="bottom", point=paper.point(wide / 5, 0.0),
                far_point=paper.point(wide / 5, 400.0), pressed=paper.direction(1.0, 0.0),
            ),
            BlendPlan("bottom", SPAN),
        ),
    )  # fmt: skip
    return recipe([plan], darts=(one,)), paper
