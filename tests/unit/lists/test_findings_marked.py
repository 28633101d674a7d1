"""Where findings are marked on the pieces: figures of a plain rectangle, worked out by hand."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise
from math import dist
from pathlib import Path

import ezdxf
import pytest

from scye.fit.mirror import UPRIGHT, mirrored
from scye.ir.lay import Shrinkage
from scye.ir.pattern import FindingMark, Pattern
from scye.lay.shrink import grown
from scye.place.blocks import picture_blocks
from scye.place.picture import lay_picture
from scye.render.dxf import dxf
from workroom import INCH, ROOT, Workroom

# A front 10 in wide and 13 in high, from its lower left corner up; its side is at the right.
TABARD = """recipe "Tabard"
draft body
  begin at cf
  mark top from cf up 13 in
  mark back_top from top right 10 in
  mark low from back_top down 13 in
  line centre from top to cf
  line upper from top to back_top
  line side from back_top to low
  line hem from cf to low
  mark dart_place halfway along hem
  dart hem_dart on hem at dart_place
    to dart_place up 4 in
    intake 1 in
piece front "Front"
  bounded by centre, upper, side, hem
  cut pair of self
  grain down
  allow 1/2 in on centre, upper, side, hem
"""


Place = tuple[float, float]


@pytest.fixture
def room(tmp_path: Path) -> Workroom:
    return Workroom(tmp_path)


def drafted(room: Workroom, said: str) -> Pattern:
    return room.pattern(TABARD + said + "\n", {"bust": "36 in"})


def marks(room: Workroom, said: str) -> tuple[FindingMark, ...]:
    return drafted(room, said).pieces[0].marked


def upwards(places: Iterable[Place]) -> list[Place]:
    """Places in inches right and up, the lowest first."""
    return sorted(((round(x / INCH, 6), round(-y / INCH, 6)) for x, y in places), key=lambda p: (p[1], p[0]))


def test_fasteners_that_are_set_in_stand_at_their_places(room: Workroom) -> None:
    """Twelve inches from the first to the last: thirteen, an inch apart, 5/8 in in from the side."""
    (row,) = marks(room, "eyelets along front.side every 1 in from 1/2 in of each end set in 5/8 in")
    assert (row.kind, row.text, row.lines) == ("eyelets", "13 eyelets", ())
    assert upwards(row.places) == [(9.375, 0.5 + k) for k in range(13)]


def test_as_many_are_marked_as_are_bought(room: Workroom) -> None:
    pattern = drafted(room, "buttons along front.centre every 2 1/2 in from 1 in of each end set in 1/2 in")
    (row,) = pattern.pieces[0].marked
    assert len(row.places) == pattern.notions[0].count == 6
    assert upwards(row.places) == [pytest.approx((0.5, 1 + 2.2 * k)) for k in range(6)]


def test_what_is_not_said_to_be_set_in_is_ticked_at_the_edge(room: Workroom) -> None:
    """No hole is drilled where nobody said how far in it is."""
    (row,) = marks(room, "hooks along front.centre every 3 in from 1/2 in of each end")
    assert row.places == ()
    ticks = [(line.start, line.segments[-1][-1]) for line in row.lines]
    assert upwards(start for start, _ in ticks) == [(0.0, 0.5 + 3 * k) for k in range(5)]
    assert all(end[0] == pytest.approx(6.0) and end[1] == pytest.approx(start[1]) for start, end in ticks)


def test_a_bone_is_marked_from_end_to_end(room: Workroom) -> None:
    (mark,) = marks(room, "bone front.side spiral short 1/4 in at each end")
    run, *bars = mark.lines
    assert (mark.kind, mark.text, mark.places) == ("spiral bone", "spiral bone", ())
    assert upwards([run.start, run.segments[-1][-1]]) == [(10.0, 0.25), (10.0, 12.75)]
    assert [dist(bar.start, bar.segments[0][0]) for bar in bars] == [pytest.approx(5.0)] * 2
    (two,) = marks(room, "bone front.side flat twice short 1/4 in at each end")
    assert two.text == "2 flat bones"
    (busk,) = marks(room, "busk along front.centre short 3/4 in")
    assert upwards([busk.lines[0].start, busk.lines[0].segments[-1][-1]]) == [(0.0, 0.375), (0.0, 12.625)]


def test_nothing_is_marked_on_an_edge_that_a_dart_opens(room: Workroom) -> None:
    """The hem is 9 in when the dart is closed and is drawn 10 in and more: a place on it would be wrong."""
    pattern = drafted(room, "hooks along front.hem every 3 in from 1/2 in of each end")
    assert pattern.notions[0].count == 4
    assert pattern.pieces[0].marked == ()


def test_marks_are_turned_over_with_their_piece(room: Workroom) -> None:
    (piece,) = drafted(
        room,
        "eyelets along front.side every 1 in from 1/2 in of each end set in 5/8 in\n"
        "bone front.side short 1/4 in at each end",
    ).pieces
    row, bone = mirrored(piece, UPRIGHT).marked
    assert upwards(row.places) == [(-9.375, 0.5 + k) for k in range(13)]
    assert bone.lines[0].start[0] == pytest.approx(-10 * INCH)


def test_marks_grow_with_a_piece_that_shrinks(room: Workroom) -> None:
    """A tenth lost along the grain, which runs down: all that lies 9 in up is drawn 10 in up."""
    (piece,) = drafted(
        room, "eyelets along front.side every 1 in from 1/2 in of each end set in 5/8 in"
    ).pieces
    (row,) = grown(piece, Shrinkage(0.1, 0.0)).marked
    assert upwards(row.places) == [pytest.approx((9.375, (0.5 + k) / 0.9), abs=1e-5) for k in range(13)]


def test_a_cutting_room_gets_holes_and_lines_that_are_not_cut(room: Workroom) -> None:
    pattern = drafted(
        room,
        "eyelets along front.side every 1 in from 1/2 in of each end set in 5/8 in\n"
        "bone front.centre short 1/4 in at each end",
    )
    path = room.folder / "pieces.dxf"
    path.write_bytes(dxf(picture_blocks(lay_picture(pattern))))
    block = ezdxf.readfile(path).blocks["FRONT"]  # type: ignore[attr-defined]
    holes = [(p.dxf.location.x, -p.dxf.location.y) for p in block.query('POINT[layer=="13"]')]
    assert upwards(holes) == [(9.375, 0.5 + k) for k in range(13)]
    lines = [[(v.x, v.y) for v in line.points()] for line in block.query('POLYLINE[layer=="8"]')]
    assert max(sum(dist(a, b) for a, b in pairwise(line)) for line in lines) == pytest.approx(
        12.5 * INCH, abs=0.01
    )


def test_the_laced_bodice_has_every_eyelet_and_bone_marked(room: Workroom) -> None:
    pattern = room.pattern(ROOT / "recipes/saltmarsh-bodice/saltmarsh-bodice.scye", "wren")
    marked = {piece.title: [mark.text for mark in piece.marked] for piece in pattern.pieces}
    assert marked == {
        "Centre front": ["spiral bone"],
        "Side front": ["spiral bone"] * 2,
        "Side": ["spiral bone"] * 2,
        "Side back": ["spiral bone"] * 2,
        "Centre back": ["spiral bone", "2 flat bones", "13 eyelets"],
    }
