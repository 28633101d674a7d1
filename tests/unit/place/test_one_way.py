"""A grain that is one way: said in the recipe, drawn with one head, kept in every file."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from scye.ir.pattern import Piece
from scye.ir.sheets import Fill, Operation
from scye.lay.garment import garment_of, read_garment
from scye.place.blocks import picture_blocks
from scye.place.picture import lay_picture
from scye.place.pieces import ready_pieces
from scye.render.draw_piece import draw_grain
from scye.render.pattern_json import Header, pattern_json
from workroom import ROOT, Workroom

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
piece front "Front"
  bounded by centre, upper, side, hem
  cut pair of self
  grain {grain}
  allow 1/2 in on centre, upper, side, hem
"""


class Drawn(list[Operation]):
    def draw(self, operation: Operation) -> None:
        self.append(operation)


def pattern(tmp_path: Path, grain: str):
    return Workroom(tmp_path).pattern(TABARD.format(grain=grain), {"bust": "36 in"})


def heads(piece: Piece) -> list[tuple[float, float]]:
    """The points of the arrowheads."""
    drawn = Drawn()
    draw_grain(drawn, piece.grain, piece.one_way)
    return [operation.path.start for operation in drawn if isinstance(operation, Fill)]


@pytest.mark.parametrize(
    ("grain", "one_way", "words"),
    [
        ("down", False, "straight grain"),
        ("down one way", True, "straight grain, one way"),
        ("along side one way", True, "straight grain, one way"),
        ("on true bias one way", True, "true bias, one way"),
    ],
)
def test_it_is_said_on_the_piece(tmp_path: Path, grain: str, one_way: bool, words: str) -> None:
    made = pattern(tmp_path, grain)
    (piece,) = made.pieces
    (ready,) = ready_pieces(made)
    assert piece.one_way is one_way
    assert ready.lettering.grain is not None
    assert ready.lettering.grain.words == words
    assert len(heads(piece)) == (1 if one_way else 2)
    (block,) = picture_blocks(lay_picture(made)).blocks
    assert ("ANNOTATION: one way" in block.texts) is one_way


@pytest.mark.parametrize(("grain", "below"), [("down one way", True), ("up one way", False)])
def test_the_head_is_where_the_nap_runs_to(tmp_path: Path, grain: str, below: bool) -> None:
    (piece,) = pattern(tmp_path, grain).pieces
    (head,) = heads(piece)
    assert (head[1] == max(end[1] for end in piece.grain)) is below


@pytest.mark.parametrize("grain", ["down", "down one way"])
def test_a_lay_knows_it_from_the_draft_and_from_the_file(tmp_path: Path, grain: str) -> None:
    made = pattern(tmp_path, grain)
    text = pattern_json([made], Header("1", "Tabard", "1")).decode()
    read = read_garment(text, "pattern.json", None, None)
    assert read.pieces[0].one_way is garment_of(made).pieces[0].one_way is (grain == "down one way")  # type: ignore[union-attr]
    older = json.loads(text)
    del older["bodies"][0]["pieces"][0]["grain"]["one_way"]
    again = read_garment(json.dumps(older), "pattern.json", None, None)
    assert again.pieces[0].one_way is False  # type: ignore[union-attr]


@pytest.mark.parametrize("card", ["wren", "plover", "knot"])
def test_the_grain_keeps_off_darts_inside_a_piece(tmp_path: Path, card: str) -> None:
    """In narrow panels the place beside the label is where the dart is."""
    recipe = ROOT / "recipes" / "yoked-bodice" / "yoked-bodice.scye"
    pieces = Workroom(tmp_path).pattern(recipe, card).pieces
    darted = [(piece, dart) for piece in pieces for dart in piece.darts if dart.edge is None]
    assert darted
    for piece, dart in darted:
        (x, _), (x2, _) = piece.grain
        assert x == pytest.approx(x2)
        assert abs((dart.pivot[0] + dart.point[0]) / 2 - x) > dart.intake / 2 + 4.9, piece.title


@pytest.mark.parametrize("recipe", ["skirt-block", "pencil-skirt", "trousers"])
@pytest.mark.parametrize("card", ["wren", "plover", "knot"])
def test_the_grain_keeps_off_darts_in_an_edge(tmp_path: Path, recipe: str, card: str) -> None:
    pieces = Workroom(tmp_path).pattern(ROOT / "recipes" / recipe / f"{recipe}.scye", card).pieces
    darted = [(piece, dart) for piece in pieces for dart in piece.darts]
    assert darted
    for piece, dart in darted:
        (x, _), (x2, _) = piece.grain
        assert x == pytest.approx(x2)
        [leg] = dart.legs
        reach = [leg.start[0], *(segment[-1][0] for segment in leg.segments)]
        assert not min(reach) - 4.9 < x < max(reach) + 4.9, piece.title
