"""The yoked panelled bodice against check values that any drafting class knows.

Common practice, no source: scye depth from the sloped shoulder a sixth of the bust and 1 1/2 in,
worked to the nearest half inch; shoulder slope 1 in; neck 3 in wide, 3 in deep in front and 1 in at
the back; the front armhole hollowed 1/2 in at half its depth, the back not; and across a line on
which things are taken in one marks a quarter of the girth plus the intakes, so that the quarter is
left when they are cut away or sewn.
"""

from __future__ import annotations

import re

import pytest
from shapely.geometry import LineString, Point, Polygon
from svgelements import Move  # type: ignore[import-untyped]
from svgelements import Path as SvgPath

from scye.ir.pattern import DartMark, Pattern, Piece, Stroke
from scye.render.svg import path_data
from workroom import INCH, ROOT, Workroom

RECIPE = ROOT / "recipes" / "yoked-bodice" / "yoked-bodice.scye"
BODIES = ["wren", "plover", "dunnock"]
LEVELS = {
    "bust_line": "quarter_bust", "underbust_line": "quarter_underbust", "waist_line": "quarter_waist",
    "hip_line": "quarter_hip",
}  # fmt: skip


def amounts(pattern: Pattern) -> dict[str, float]:
    """Inches."""
    return {value.name: value.value / INCH for value in pattern.values if value.unit == "mm"}


def drawn(stroke: Stroke) -> list[tuple[float, float]]:
    """A path as many short chords, by an outside reading of its SVG data."""
    segments = [s for s in SvgPath(path_data(stroke)) if not isinstance(s, Move)]
    return [(x, y) for s in segments for x, y in s.npoint([i / 200 for i in range(201)])]


def across(shape: Polygon, y: float) -> float:
    """How wide a shape is on a level, mm."""
    return float(shape.intersection(LineString([(-3000.0, y), (3000.0, y)])).length)


def of_dart(dart: DartMark) -> Polygon:
    one, two = (drawn(leg) for leg in dart.legs)
    return Polygon([*one, *reversed(two)])


def finished(piece: Piece, y: float) -> float:
    """A piece's width on a level, less what its darts take in there, mm."""
    assert all(dart.edge is None for dart in piece.darts)
    return across(Polygon(drawn(piece.net)), y) - sum(across(of_dart(dart), y) for dart in piece.darts)


# --- the given amounts -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("bust", "depth"),
    [
        ("30", 6.5),
        ("32", 7.0),
        ("34", 7.0),
        ("36", 7.5),
        ("38", 8.0),
        ("40", 8.0),
        ("42", 8.5),
        ("44", 9.0),
        ("46", 9.0),
    ],
)
def test_scye_depth_is_a_sixth_and_an_inch_and_a_half_to_the_half_inch(
    room: Workroom, bust: str, depth: float
) -> None:
    body = {"bust": bust, "underbust": "28", "waist": "26", "high_hip": "36", "nape_to_waist": "16"}
    assert amounts(room.pattern(RECIPE, body))["scye_rule"] == pytest.approx(depth, abs=1e-9)


@pytest.mark.parametrize("body", BODIES)
def test_the_chest_line_lies_so_far_below_the_shoulder_point(room: Workroom, body: str) -> None:
    depth = amounts(room.pattern(RECIPE, body))["scye_rule"]
    for draft in ("front", "back"):
        sp, under = room.thing(RECIPE, body, f"{draft}.sp", f"{draft}.underarm")
        assert (under[1] - sp[1]) / INCH == pytest.approx(depth, abs=1e-9)


@pytest.mark.parametrize("body", BODIES)
def test_shoulder_and_neck(room: Workroom, body: str) -> None:
    front_snp, front_sp, pit, back_snp, back_sp, nape = room.thing(
        RECIPE, body, "front.snp", "front.sp", "pit", "back.snp", "back.sp", "nape"
    )
    assert (front_sp[1] - front_snp[1]) / INCH == pytest.approx(1.0)
    assert (back_sp[1] - back_snp[1]) / INCH == pytest.approx(1.0)
    assert front_snp[0] / INCH == pytest.approx(3.0)
    assert back_snp[0] / INCH == pytest.approx(3.0)
    assert (pit[1] - front_snp[1]) / INCH == pytest.approx(3.0)
    assert (nape[1] - back_snp[1]) / INCH == pytest.approx(1.0)


# --- the armhole -------------------------------------------------------------------------------------------


def armhole_of(pattern: Pattern, *pieces: str) -> list[LineString]:
    return [
        LineString(drawn(edge.path))
        for piece in pattern.pieces
        if piece.name in pieces
        for edge in piece.edges
        if edge.name == "armhole"
    ]


@pytest.mark.parametrize("body", BODIES)
def test_front_armhole_is_hollowed_half_an_inch_at_half_its_depth_and_the_back_is_not(
    room: Workroom, body: str
) -> None:
    pattern = room.pattern(RECIPE, body)
    halves = {"front": (0.5, "front_yoke", "front_side"), "back": (0.0, "back_yoke", "back_panel")}
    for draft, (hollow, *pieces) in halves.items():
        sp, under = room.thing(RECIPE, body, f"{draft}.sp", f"{draft}.underarm")
        half_depth = Point(sp[0] - hollow * INCH, (sp[1] + under[1]) / 2)
        parts = armhole_of(pattern, *pieces)
        assert len(parts) == 2
        assert min(part.distance(half_depth) for part in parts) < 0.01


# --- a quarter and the intakes -----------------------------------------------------------------------------


@pytest.mark.parametrize("body", BODIES)
def test_across_each_line_a_quarter_and_the_intakes_are_marked(room: Workroom, body: str) -> None:
    pattern = room.pattern(RECIPE, body)
    found = amounts(pattern)
    sides = {"bust_line": "bust_side", "underbust_line": "under_side", "waist_line": "waist_side"}
    for draft in ("front", "back"):
        for level, side in (*sides.items(), ("hip_line", "hip_side")):
            taken = [
                line.amount / INCH
                for line in pattern.ledger
                if line.owner != "total" and belongs(line.owner, draft) and line.at == level
            ]
            (place,) = room.thing(RECIPE, body, f"{draft}.{side}")
            assert place[0] / INCH == pytest.approx(found[LEVELS[level]] + sum(taken), abs=1e-6), (
                draft,
                level,
            )


def belongs(owner: str, draft: str) -> bool:
    return re.split(r"[. ]", owner)[0] == draft


@pytest.mark.parametrize("choices", [{}, {"side_darts": "2"}, {"side_darts": "0", "yoke": "no"}])
@pytest.mark.parametrize("body", BODIES)
def test_when_the_intakes_are_cut_away_the_quarter_is_left(
    room: Workroom, body: str, choices: dict[str, str]
) -> None:
    """Measured on the finished pieces of front and back by cutting them with a level line."""
    pattern = room.pattern(RECIPE, body, **choices)  # type: ignore[arg-type]
    found = amounts(pattern)
    drafts = {"front": ("front_centre", "front_side"), "back": ("back_panel",)}
    for draft, names in drafts.items():
        for level, quarter in LEVELS.items():
            (line,) = room.thing(RECIPE, body, f"{draft}.{level}", **choices)
            y = float(line.point[1, 0])
            left = sum(finished(piece, y) for piece in pattern.pieces if piece.name in names)
            assert left / INCH == pytest.approx(found[quarter], abs=0.01 / INCH), (draft, level)
