"""A6: moving a dart by its angle (acceptance scenario, figures invented).

In: side dart 1 in, its legs 5 in from apex to seam (11.48 deg); moved to the shoulder, 9 1/2 in
from the apex; then half of it only. The apex is short by 1 in.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from shapely.geometry import Point, Polygon
from svgelements import Path as SvgPath  # type: ignore[import-untyped]

from scye.ir.pattern import DartMark, Pattern, Piece
from scye.render.svg import path_data
from scye.units.tape import show_length
from workroom import INCH, Workroom

RECIPE = Path(__file__).with_name("moved-dart.scye")
ANGLE = 2 * math.asin(0.1)


def front(pattern: Pattern) -> Piece:
    (piece,) = pattern.pieces
    return piece


def darts(pattern: Pattern) -> dict[str, DartMark]:
    return {dart.edge or dart.name: dart for dart in front(pattern).darts}


def outline(piece: Piece) -> Polygon:
    path = SvgPath(path_data(piece.net))
    return Polygon([(p.x, p.y) for p in (path.point(i / 2000) for i in range(2000))])


def test_the_dart_before_it_is_moved(room: Workroom) -> None:
    dart = darts(room.pattern(RECIPE, "wren", moved="left"))["side"]
    assert dart.intake / INCH == pytest.approx(1.0, abs=1e-6)
    assert math.degrees(dart.angle) == pytest.approx(11.48, abs=0.005)
    assert dart.pressed == "down"


def test_the_whole_dart_at_the_shoulder_takes_1_90(room: Workroom) -> None:
    found = darts(room.pattern(RECIPE, "wren", moved="whole"))
    assert list(found) == ["shoulder"]
    assert found["shoulder"].intake / INCH == pytest.approx(2 * 9.5 * math.sin(ANGLE / 2), abs=1e-3)
    assert found["shoulder"].intake / INCH == pytest.approx(1.90, abs=0.005)
    assert show_length(found["shoulder"].intake, "in") == "1 7/8 in"
    assert found["shoulder"].angle == pytest.approx(ANGLE, abs=1e-9)


def test_half_of_it_moved(room: Workroom) -> None:
    found = darts(room.pattern(RECIPE, "wren", moved="half"))
    assert found["shoulder"].intake / INCH == pytest.approx(0.95, abs=0.005)
    assert found["side"].intake / INCH == pytest.approx(0.50, abs=0.005)
    assert found["shoulder"].angle + found["side"].angle == pytest.approx(ANGLE, abs=1e-9)


@pytest.mark.parametrize("moved", ["left", "half", "whole"])
def test_legs_are_equal_and_the_point_is_short_by_an_inch(room: Workroom, moved: str) -> None:
    for dart in front(room.pattern(RECIPE, "wren", moved=moved)).darts:
        (legs,) = dart.legs
        one, point, two = legs.start, legs.segments[0][-1], legs.segments[1][-1]
        assert math.dist(one, point) == pytest.approx(math.dist(two, point), abs=1e-6)
        assert math.dist(dart.pivot, point) == pytest.approx(INCH, abs=1e-6)
        assert math.dist(one, two) == pytest.approx(dart.intake, abs=1e-6)


@pytest.mark.parametrize(("moved", "left", "opened"), [("whole", "0", "11.48"), ("half", "5.74", "5.74")])
def test_the_ledger_balances(room: Workroom, moved: str, left: str, opened: str) -> None:
    pattern = room.pattern(RECIPE, "wren", moved=moved)
    assert dict(pattern.reports) == {
        "Side dart moved on front piece": f"taken 11.48 deg: side {left}, shoulder {opened}"
    }
    assert float(left) + float(opened) == pytest.approx(11.48)


@pytest.mark.parametrize("moved", ["left", "half", "whole"])
def test_centre_front_stays_straight_and_plumb(room: Workroom, moved: str) -> None:
    (edge,) = (e for e in front(room.pattern(RECIPE, "wren", moved=moved)).edges if e.name == "centre_edge")
    places = [edge.path.start, *(p for segment in edge.path.segments for p in segment)]
    assert {round(x, 6) for x, _ in places} == {0.0}
    assert edge.length / INCH == pytest.approx(14.0)


@pytest.mark.parametrize("moved", ["left", "half", "whole"])
def test_sewn_edges_keep_their_lengths(room: Workroom, moved: str) -> None:
    """What is folded away is not sewn: every edge is as long as before, darts closed."""
    lengths = {e.name: e.length for e in front(room.pattern(RECIPE, "wren", moved=moved)).edges}
    before = {e.name: e.length for e in front(room.pattern(RECIPE, "wren", moved="left")).edges}
    assert lengths == pytest.approx(before, abs=1e-6)


def test_the_caps_stand_out_for_the_way_they_are_pressed(room: Workroom) -> None:
    """The cap's peak lies on the stitching line beyond the straight from leg to leg."""
    for moved in ("whole", "left"):
        piece = front(room.pattern(RECIPE, "wren", moved=moved))
        for dart in piece.darts:
            peak = dart.fold.segments[-1][-1]
            ends = dart.legs[0].start, dart.legs[0].segments[-1][-1]
            middle = ((ends[0][0] + ends[1][0]) / 2, (ends[0][1] + ends[1][1]) / 2)
            assert math.dist(dart.point, peak) > math.dist(dart.point, middle)
            assert outline(piece).exterior.distance(Point(peak)) < 0.5


def test_the_shoulder_dart_is_said_to_be_pressed_toward_the_centre(room: Workroom) -> None:
    dart = darts(room.pattern(RECIPE, "wren", moved="whole"))["shoulder"]
    assert dart.pressed in ("toward centre edge", "toward neck")
