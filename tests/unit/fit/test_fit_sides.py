"""Left and right: pieces turned over, opened out, and told for the side of the wearer they belong to."""

from __future__ import annotations

import math
from itertools import product
from pathlib import Path as File

import numpy as np
import pytest

from scye.fit.mirror import UPRIGHT, Axis, mirrored, turned
from scye.fit.sides import shown_side
from scye.ir.pattern import Pattern, Piece, Stroke
from scye.place.outline import flatten
from workroom import INCH, ROOT, Workroom

BOX = """recipe "Box"
  edition 1
needs waist
draft front
  begin at cf
  plumb centre_front through cf
  level top through cf
  level waist_line from top down 6 in
  level bottom from top down 12 in
  mark a from cf right waist / 4
  line side from a to b
  mark b from a down 12 in
piece panel "Panel"
  bounded by centre_front, top, side, bottom
  {cut}
  grain down
  allow 1/2 in on side
  allow 1/4 in on top
  net on bottom{fold}
  notch side at where side meets waist_line
prove "waist" girth at waist_line = waist / 2
"""
PAIR = BOX.format(cut="cut pair of self", fold="\n  allow 1/2 in on centre_front")
FOLD = BOX.format(cut="cut 1 of self on fold at centre_front", fold="")
# The fold begins where its own half's top begins, and leans as that half is wide: as at a flat collar's back.
APART = """recipe "Collar"
  edition 1
needs waist
lean = angle of sine (waist / 80 in)
draft front
  begin at cf
  mark p from cf right waist / 12
  mark q from p down turned lean toward right 11 in
  mark a from cf right waist / 4
  line centre_front from p to q
  line top from p to a
  line side from a to b
  mark b from a down 12 in
  line bottom from q to b
piece panel "Panel"
  bounded by centre_front, top, side, bottom
  cut 1 of self on fold at centre_front
  grain down
  allow 1/2 in on side
  allow 1/4 in on top
  net on bottom
"""
ONCE = BOX.format(cut="cut single of self", fold="\n  allow 1/2 in on centre_front")


def area(stroke: Stroke) -> float:
    points = np.array(flatten(stroke))
    x, y = points[:, 0], points[:, 1]
    return float((x[:-1] * y[1:] - x[1:] * y[:-1]).sum() / 2.0)


def far_apart(stroke: Stroke) -> float:
    return math.dist(stroke.start, stroke.segments[-1][-1])


def drafted(room: Workroom, recipe: str, extra: str, waist: str = "28") -> Pattern:
    card = f"client: heron\nunit: in\ntimes: 2\n{extra}measures:\n  waist: {waist}\n"
    (room.folder / "heron.yaml").write_text(card, encoding="utf-8")
    return room.pattern(recipe, str(room.folder / "heron"))


def one(pattern: Pattern, name: str) -> Piece:
    return next(p for p in pattern.pieces if p.name == name)


def test_a_stroke_turned_twice_is_itself() -> None:
    stroke = Stroke((0.0, 0.0), (((1.0, 0.0), (2.0, 1.0), (3.0, 3.0)), ((5.0, 5.0),)), False)
    assert turned(turned(stroke)) == stroke
    assert turned(stroke).start == (5.0, 5.0)


def test_an_axis_mirrors_points_and_directions() -> None:
    axis = Axis((10.0, 0.0), (0.0, 1.0))
    assert axis.mirror((13.0, 4.0)) == (7.0, 4.0)
    assert axis.turned((1.0, 0.0)) == (-1.0, 0.0)
    assert axis.off((13.0, 4.0)) == 3.0


def test_a_mirrored_piece_runs_the_same_way_round(room: Workroom) -> None:
    piece = drafted(room, PAIR, "").pieces[0]
    other = mirrored(piece, UPRIGHT)
    assert area(other.net) == pytest.approx(area(piece.net))
    assert area(piece.net) > 0
    assert [e.name for e in other.edges] == ["centre_front", "bottom", "side", "top"]
    assert other.notches[0].at == (-piece.notches[0].at[0], piece.notches[0].at[1])
    assert other.notches[0].inward == (-piece.notches[0].inward[0], piece.notches[0].inward[1])
    lengths = {e.name: e.length for e in piece.edges}
    assert other.notches[0].along == pytest.approx(lengths["side"] - piece.notches[0].along)
    assert mirrored(other, UPRIGHT).net == piece.net


def test_halves_of_their_own_make_a_right_and_a_left_piece(room: Workroom) -> None:
    """A half counts twice for its own side: 13 1/2 and 14 1/2 are quarters of 27 and of 29."""
    pattern = drafted(room, PAIR, "draft: full\n", "{left: 13 1/2, right: 14 1/2}")
    assert [p.title for p in pattern.pieces] == ["Right panel", "Left panel"]
    assert [(p.number, p.of) for p in pattern.pieces] == [(1, 2), (2, 2)]
    wide = [max(x for x, _ in flatten(p.net)) - min(x for x, _ in flatten(p.net)) for p in pattern.pieces]
    assert wide == pytest.approx([14.5 / 2 * INCH, 13.5 / 2 * INCH])
    (proof,) = pattern.proofs
    assert (proof.found / INCH, proof.verdict) == (pytest.approx(14.0), "walks true")


def test_a_half_draft_shares_the_measure(room: Workroom) -> None:
    pattern = drafted(room, PAIR, "", "{left: 13 1/2, right: 14 1/2}")
    assert [p.title for p in pattern.pieces] == ["Panel"]
    assert "E833" in {f.code for f in pattern.findings}


def test_alike_sides_are_cut_as_a_pair_even_in_a_full_draft(room: Workroom) -> None:
    pattern = drafted(room, PAIR, "draft: full\n", "{left: 14, right: 14}")
    assert pattern.pieces == drafted(room, PAIR, "", "28").pieces


def test_a_piece_on_the_fold_is_opened_out(room: Workroom) -> None:
    half = drafted(room, FOLD, "").pieces[0]
    whole = drafted(room, FOLD, "draft: full\n", "{left: 13 1/2, right: 14 1/2}").pieces[0]
    assert (whole.title, whole.cuts[0].text) == ("Panel", "cut 1 single, right side up, of self")
    assert area(whole.net) == pytest.approx(2 * area(half.net))
    assert area(whole.cutting) == pytest.approx(2 * area(half.cutting))
    assert not any(e.on_fold for e in whole.edges)
    ends = {e.name: max(abs(x) for x, _ in flatten(e.path)) for e in whole.edges}
    assert ends["right_side"] == pytest.approx(14.5 / 2 * INCH)
    assert ends["left_side"] == pytest.approx(13.5 / 2 * INCH)
    # seen from outside, her right is on the left hand of a front
    right = next(e for e in whole.edges if e.name == "right_side")
    assert all(x < 0 for x, _ in flatten(right.path))


@pytest.mark.parametrize(("near", "far"), [("left", "right"), ("right", "left")])
def test_halves_whose_folds_lie_apart_are_joined_along_the_fold(room: Workroom, near: str, far: str) -> None:
    short, long = (drafted(room, APART, "", waist).pieces[0] for waist in ("27", "29"))
    whole = drafted(room, APART, "draft: full\n", f"{{{near}: 13 1/2, {far}: 14 1/2}}").pieces[0]
    assert area(whole.net) == pytest.approx(area(short.net) + area(long.net))
    assert area(whole.cutting) == pytest.approx(area(short.cutting) + area(long.cutting))
    assert not any(e.on_fold for e in whole.edges)
    edges = {e.name: e for e in whole.edges}
    for half, side in ((short, near), (long, far)):
        for name in ("top", "side", "bottom"):
            (alone,) = [e for e in half.edges if e.name == name]
            assert edges[f"{side}_{name}"].length == pytest.approx(alone.length)
            assert far_apart(edges[f"{side}_{name}"].path) == pytest.approx(far_apart(alone.path))
    # top and bottom run on over the fold without a gap
    assert edges["left_bottom"].path.segments[-1][-1] == pytest.approx(edges["right_bottom"].path.start)
    assert edges["right_top"].path.segments[-1][-1] == pytest.approx(edges["left_top"].path.start)


def test_two_on_the_fold_become_a_pair_and_a_lining_is_cut_wrong_side_up(room: Workroom) -> None:
    """Outside and inside of a collar are joined right sides together; a lining has its right side inward."""
    both = "cut 2 of self on fold at centre_front\n  cut 1 of self, lining on fold at centre_front"
    recipe = BOX.format(cut=both, fold="")
    (whole,) = drafted(room, recipe, "draft: full\n", "{left: 13 1/2, right: 14 1/2}").pieces
    assert [c.text for c in whole.cuts] == [
        "cut 2 (a pair) of self",
        "cut 1 single, right side up, of self",
        "cut 1 single, wrong side up, of lining",
    ]
    recipe = BOX.format(cut="cut pair of self, lining", fold="\n  allow 1/2 in on centre_front")
    for piece in drafted(room, recipe, "draft: full\n", "{left: 13 1/2, right: 14 1/2}").pieces:
        assert [(c.count, c.how, c.layers) for c in piece.cuts] == [
            (1, "single", ("self",)),
            (1, "turned", ("lining",)),
        ]


def test_a_piece_cut_once_says_which_side_it_is_for(room: Workroom) -> None:
    pattern = drafted(room, ONCE, "draft: full\n", "{left: 13 1/2, right: 14 1/2}")
    (told,) = [f.text for f in pattern.findings if f.code == "E1212"]
    assert told == "Panel is cut once, and left and right differ: it is drawn for the right"


@pytest.mark.parametrize(
    ("draft", "line", "side", "known"),
    [
        ("body", "centre_front", "left", True),
        ("body", "cf_fold", "left", True),
        ("body", "centre_back", "right", True),
        ("body", "front_edge", "left", True),
        ("body", "middle", "right", False),
        ("body", "centre", "right", False),
        # a draft that is called front or back: its centre, or away from it its side
        ("front", "centre", "left", True),
        ("back", "centre", "right", True),
        ("upper_front", "middle", "left", True),
        ("back", "middle", "right", True),
        ("front_and_back", "centre", "right", False),
        # an edge that says more than its draft is asked first
        ("front", "centre_back", "right", True),
    ],
)
def test_a_draft_shows_the_side_that_its_names_tell(
    room: Workroom, draft: str, line: str, side: str, known: bool
) -> None:
    recipe = PAIR.replace("draft front", f"draft {draft}").replace("centre_front", line)
    shown = shown_side(draft, drafted(room, recipe, "").pieces)
    assert (shown.side, shown.known) == (side, known)


@pytest.mark.parametrize("code", ["bodice-block", "princess-dress", "shirt", "trousers"])
def test_right_and_left_of_a_published_recipe_lie_to_the_wearers_sides(room: Workroom, code: str) -> None:
    """Seen from outside, the right side seam is on the left hand of a front and on the right of a back."""
    pattern = room.pattern(ROOT / "recipes" / code / f"{code}.scye", "whinchat")
    told = [
        (side, which, float(np.mean(xs)) > float(np.mean([x for x, _ in flatten(piece.net)])))
        for piece in pattern.pieces
        for which in ("front", "back")
        if which in piece.name
        for side in ("right", "left")
        if (xs := side_seam(piece, side))
    ]
    assert {(side, which) for side, which, _ in told} == set(product(("right", "left"), ("front", "back")))
    for side, which, at_right in told:
        assert at_right == ((side == "right") == (which == "back")), (side, which)


def side_seam(piece: Piece, side: str) -> list[float]:
    """Across the paper, the points of the side seam of one side of the wearer; none if the piece has none."""
    whole = {"right_side", "left_side"} <= {e.name for e in piece.edges}
    name = f"{side}_side" if whole else "side" if piece.name.startswith(f"{side}_") else ""
    return [x for e in piece.edges if e.name == name for x, _ in flatten(e.path)]


def test_a_draft_that_tells_no_side_is_remarked_on(room: Workroom) -> None:
    recipe = PAIR.replace("draft front", "draft body").replace("centre_front", "middle")
    pattern = drafted(room, recipe, "draft: full\n", "{left: 13 1/2, right: 14 1/2}")
    assert [f.code for f in pattern.findings] == ["E1213"]
    assert one(pattern, "right_panel").cuts[0].how == "single"


def test_the_measure_card_is_not_changed(room: Workroom) -> None:
    """It is read, and what is fitted or shared out is kept elsewhere."""
    card = "client: heron\nunit: in\nmeasures:\n  waist: {left: 13 1/2, right: 14 1/2}\ndraft: full\n"
    path = File(room.folder / "heron.yaml")
    path.write_text(card, encoding="utf-8")
    room.pattern(PAIR, str(room.folder / "heron"))
    assert path.read_text(encoding="utf-8") == card


def test_a_piece_that_only_one_half_can_be_drawn_of(room: Workroom) -> None:
    """The side runs through a square root that the smaller half has none of."""
    rooted = PAIR.replace("right waist / 4", "right square root of (waist * waist / 16 - 7 in * 7 in) + 6 in")
    for left, right, title in (("13", "14 1/2", "Right panel"), ("14 1/2", "13", "Left panel")):
        pattern = drafted(room, rooted, "draft: full\n", f"{{left: {left}, right: {right}}}")
        assert [p.title for p in pattern.pieces] == [title]
        assert "root of less than nothing" in pattern.findings[0].text
