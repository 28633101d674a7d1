"""Lines shown inside a piece: as far as they lie in it, and carried along when a dart moves."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from scye.cli.main import main
from scye.ir.pattern import Pattern, Piece, ShownLine
from workroom import INCH, ROOT, Workroom

DRAFT = (
    'recipe "Shown"\n  edition 1\nneeds bust\ndraft body\n  begin at cf\n  plumb centre through cf\n'
    "  level top through cf\n  level hem from top down 10 in\n  plumb side from centre right 8 in\n"
    "  mark apex from cf right 4 in down 5 in\n  mark place from cf right 4 in down 10 in\n"
    "  dart low on hem at place to apex intake 2 in\n  mark shoulder from cf right 4 in\n"
    "  level pocket from top down 2 in\n"
    "  line short from cf right 1 in down 1 in to cf right 7 in down 4 in\n"
    'piece front "Front"\n  bounded by centre, top, side, hem\n  cut pair of self\n  grain down\n'
    "  allow 1/2 in on centre, top, side, hem\n"
)


def shown(tmp_path: Path, *clauses: str) -> tuple[Piece, list[ShownLine]]:
    text = DRAFT + "".join(f"  {clause}\n" for clause in clauses)
    pattern: Pattern = Workroom(tmp_path).pattern(text, {"bust": "36"})
    (piece,) = pattern.pieces
    return piece, list(piece.shown)


def points(line: ShownLine) -> list[tuple[float, float]]:
    places = [line.stroke.start, *(segment[-1] for segment in line.stroke.segments)]
    return [(round(x / INCH, 6), round(y / INCH, 6)) for x, y in places]


def test_an_endless_line_ends_at_the_outline(tmp_path: Path):
    _, (line,) = shown(tmp_path, 'show pocket "pocket"')
    assert (line.text, points(line)) == ("pocket", [(0, 2), (8, 2)])


def test_a_drawn_line_and_a_made_one_are_shown_whole(tmp_path: Path):
    _, (one, two) = shown(tmp_path, "show short", 'show parallel to short 1/2 in toward cf "stitch"')
    assert points(one) == [(1, 1), (7, 4)]
    assert (one.text, two.text) == ("", "stitch")
    assert math.dist(points(two)[0], (1, 1)) == pytest.approx(0.5)


def test_a_line_that_leaves_the_piece_is_shown_inside_it_only(tmp_path: Path):
    _, lines = shown(tmp_path, 'show sweep of 5 in about (cf right 4 in down 2 in) "curve"')
    assert [line.text for line in lines] == ["curve"]
    assert all(-1e-6 <= x <= 8 + 1e-6 and -1e-6 <= y <= 10 + 1e-6 for line in lines for x, y in points(line))


def test_a_line_goes_with_the_part_that_turns(tmp_path: Path):
    """The dart is closed at the hem and opened at the top: the line across the cut is broken there."""
    _, lines = shown(tmp_path, "show pocket", "move low to top at shoulder")
    turn = 2 * math.atan(1 / 5)
    one, two = sorted(lines, key=lambda line: points(line)[0])
    assert points(one) == [(0, 2), (4, 2)]
    (ax, ay), (bx, by) = points(two)
    assert math.atan2(by - ay, bx - ax) == pytest.approx(turn, abs=1e-6)
    assert math.dist((ax, ay), (4, 5)) == pytest.approx(3.0, abs=1e-5)


def test_nothing_is_written_of_a_piece_that_shows_none(tmp_path: Path):
    room = Workroom(tmp_path)
    _, plain = room.build(DRAFT, "wren")
    assert '"shown"' not in (plain / "pattern.json").read_text("utf-8")
    _, drawn = room.build(DRAFT + '  show pocket "pocket"\n', "wren")
    assert '"shown":[{"text":"pocket","path":"M0,50.8L203.2,50.8"}]' in (drawn / "pattern.json").read_text(
        "utf-8"
    )


def test_it_is_for_the_cutting_room_as_well(tmp_path: Path):
    """In the DXF: a line on the layer of internal lines (8), its words on that of annotation (15)."""
    recipe = tmp_path / "shown.scye"
    recipe.write_text(DRAFT + '  show pocket "pocket"\n', encoding="utf-8")
    card = ROOT / "examples" / "cards" / "wren.yaml"
    assert main(["build", str(recipe), "--body", str(card), "--out", str(tmp_path / "out"), "--dxf"]) == 0
    rows = (tmp_path / "out" / "pieces.dxf").read_text("ascii").splitlines()
    tags = [(code.strip(), value.strip()) for code, value in zip(rows[::2], rows[1::2], strict=True)]
    words = tags.index(("1", "pocket"))
    assert ("8", "15") in tags[words - 8 : words + 4]
    flat = [i for i, tag in enumerate(tags) if tag == ("0", "VERTEX") and ("8", "8") in tags[i : i + 3]]
    places = [dict(tags[i + 1 : i + 6]) for i in flat]
    assert [round(float(place["20"]), 3) for place in places if "20" in place].count(-50.8) == 2
