"""A bodice contoured at its neck, gathered at its waist and parted by a yoke, as a recipe writes it."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from scye.diagnostics.model import Severity
from scye.ir.pattern import Edge, Pattern, Piece
from workroom import INCH, Workroom

RECIPE = Path(__file__).with_name("contours.scye")
BUSTS = ("30", "36", "44", "52")


@pytest.fixture(params=BUSTS)
def pattern(request: pytest.FixtureRequest, room: Workroom) -> Pattern:
    return room.pattern(RECIPE, {"bust": str(request.param)})


def piece(pattern: Pattern, name: str) -> Piece:
    return next(p for p in pattern.pieces if p.name == name)


def edge(pattern: Pattern, of: str, name: str) -> Edge:
    return next(e for e in piece(pattern, of).edges if e.name == name)


def angles(pattern: Pattern, of: str) -> dict[str, float]:
    return {dart.name.rsplit(".", 1)[-1]: math.degrees(dart.angle) for dart in piece(pattern, of).darts}


def test_every_piece_comes_out(pattern: Pattern):
    assert [f.text for f in pattern.findings if f.severity >= Severity.CAUTION] == []
    assert len(pattern.pieces) == 5


def test_a_gape_at_the_neck_goes_into_the_bust_dart(pattern: Pattern):
    """The two have one point, so that what was two darts is one, as wide as both."""
    plain, contoured = angles(pattern, "plain"), angles(pattern, "contoured")
    assert set(contoured) == set(plain) - {"gape"}
    assert contoured["bust_dart"] == pytest.approx(plain["bust_dart"] + plain["gape"])
    assert sum(contoured.values()) == pytest.approx(sum(plain.values()))
    assert edge(pattern, "contoured", "neck").length == pytest.approx(
        edge(pattern, "plain", "neck").length, abs=0.8
    )


def test_the_neck_is_blended_where_it_was_closed(pattern: Pattern):
    """Closed and not blended, it has a corner of as much as the gape held and its slope."""
    assert sharpest(edge(pattern, "contoured", "neck")) < 1.0
    assert sharpest(edge(pattern, "into_waist", "neck")) > 1.5


def sharpest(one: Edge) -> float:
    """The greatest turn, in degrees, from one segment of an edge to the next."""
    at, before, most = one.path.start, None, 0.0
    for segment in one.path.segments:
        first, last = segment[0], segment[-2] if len(segment) > 1 else at
        way = math.atan2(first[1] - at[1], first[0] - at[0])
        if before is not None:
            most = max(most, abs(math.degrees(math.remainder(way - before, math.tau))))
        at = segment[-1]
        before = math.atan2(at[1] - last[1], at[0] - last[0])
    return most


def test_all_that_was_moved_to_the_waist_is_gathered_there(pattern: Pattern):
    front = piece(pattern, "into_waist")
    waist = edge(pattern, "into_waist", "waist")
    assert angles(pattern, "into_waist") == {"shoulder_dart": pytest.approx(6.0)}
    assert waist.length == pytest.approx(edge(pattern, "plain", "waist").length, rel=0.01)
    held = (waist.drawn - waist.length) / INCH
    assert 1.8 < held < 3.5
    (told,) = [text for title, text in pattern.reports if title.startswith("Waist dart released")]
    assert told.endswith("gathered into waist")
    assert [line.text for line in front.shown] == [f"gather {told.removesuffix(' gathered into waist')}"]
    assert len([notch for notch in front.notches if notch.edge == "waist"]) == 2


def test_a_yoke_cut_through_a_dart_joins_what_lies_below(pattern: Pattern):
    """The dart below the seam is that of the piece it runs into; above it the yoke is laid together."""
    (seam,) = pattern.seams
    assert seam.verdict == "walks true"
    assert angles(pattern, "yoke") == {}
    assert set(angles(pattern, "lower")) == {"bust_dart", "waist_dart", "lower_dart"}
    assert sharpest(edge(pattern, "yoke", "yoke_line")) < 1.0
    (told,) = [text for title, text in pattern.reports if title == "Shoulder dart closed on yoke"]
    assert told == "6.00 deg taken out"
