"""What `every piece` says holds for a piece as far as the piece says nothing of the matter itself."""

from __future__ import annotations

from pathlib import Path

import pytest

from scye.driver import run_check
from scye.ir import plan as p
from scye.ir.requests import CheckRequest
from stages import checked, codes, plan

DRAFT = (
    "draft body\n  begin at cf\n  plumb centre through cf\n  level top through cf\n"
    "  level hem from top down 12 in\n  plumb side from centre right 9 in\n"
    "  plumb back from centre right 18 in\n"
)
PIECES = (
    'piece one "One"\n  bounded by centre, top, side, hem\n{one}'
    'piece two "Two"\n  bounded by side, top, back, hem\n{two}'
    "sew one.side to two.side\n"
)
COMMON = "every piece\n  cut pair of self\n  grain down\n  allow 1/2 in on seams\n"


def drawn(every: str, one: str = "", two: str = "") -> list[p.PiecePlan]:
    return list(plan(every + DRAFT + PIECES.format(one=one, two=two)).plan.pieces)


def widths(piece: p.PiecePlan, every: str, one: str = "") -> dict[str, float | None]:
    """The allowance of each edge, in mm, by the clause's own words."""
    made = plan(every + DRAFT + PIECES.format(one=one, two="")).equations.nodes
    ops = {a.edge: None if a.width is None else made[a.width].op for a in piece.allowances}
    return {edge: None if op is None else op.value for edge, op in ops.items()}  # type: ignore[union-attr]


def test_a_piece_has_what_it_does_not_say_itself():
    one, two = drawn(COMMON)
    assert [c.how for c in one.cuts] == [c.how for c in two.cuts] == ["pair"]
    assert one.grain is not None
    assert [a.edge for a in one.allowances] == [a.edge for a in two.allowances] == ["side"]


def test_its_own_cut_and_grain_replace_the_common_ones():
    one, two = drawn(
        COMMON, one="  cut 1 of self on fold at centre\n  cut 2 of lining\n  grain on true bias\n"
    )
    assert [c.how for c in one.cuts] == ["fold", "plain"]
    assert one.bias
    assert not two.bias


def test_a_named_edge_counts_for_the_pieces_that_have_it():
    one, two = drawn(COMMON + "  allow 1 in on hem turned back\n  net on back\n")
    assert [a.edge for a in one.allowances] == ["hem", "side"]
    assert [a.edge for a in two.allowances] == ["hem", "back", "side"]


@pytest.mark.parametrize(
    ("every", "own", "wanted"),
    [
        ("  allow 1 in on side\n", "", 25.4),
        ("  allow 1 in on side\n", "  allow 1/4 in on seams\n", 6.35),
        ("  allow 1 in on side\n", "  allow 3/4 in on side\n", 19.05),
        ("", "  net on side\n", None),
        ("", "", 12.7),
    ],
)
def test_what_is_nearer_goes_before(every: str, own: str, wanted: float | None):
    one, _ = drawn(COMMON + every, one=own)
    assert widths(one, COMMON + every, own)["side"] == wanted


def test_a_stretch_of_the_piece_leaves_the_rest_of_the_edge_to_the_common_one():
    own = "  allow 2 in on centre from cf to (cf down 3 in)\n"
    one, _ = drawn(COMMON + "  allow 1 in on centre\n", one=own)
    assert [(a.edge, a.start is None) for a in one.allowances] == [
        ("centre", False), ("centre", True), ("side", True),
    ]  # fmt: skip


def test_the_last_of_several_goes_before():
    one, _ = drawn(COMMON + "every piece\n  cut single of self\n  allow 1 in on seams\n")
    assert [c.how for c in one.cuts] == ["single"]
    assert len(one.allowances) == 1
    assert widths(one, COMMON + "every piece\n  cut single of self\n  allow 1 in on seams\n") == {
        "side": 25.4
    }


def test_corners_are_common_where_a_piece_has_both_edges():
    one, two = drawn(COMMON + "  corner centre, hem mirrored\n", two="  corner back, hem blunt\n")
    assert [c.treatment for c in one.corners] == ["mirrored"]
    assert [c.treatment for c in two.corners] == ["blunt"]


@pytest.mark.parametrize(
    ("every", "own", "wanted"),
    [
        ("  allow 1/4 in on others\n", "", {"side": 12.7, "centre": 6.35, "top": 6.35, "hem": 6.35}),
        ("", "  net on others\n", {"side": None, "centre": None, "top": None, "hem": None}),
        (
            "  allow 1 in on hem\n",
            "  allow 1/4 in on others\n",
            dict.fromkeys(("side", "centre", "top", "hem"), 6.35),
        ),
        (
            "  allow 1 in on hem\n  net on others\n",
            "  allow 3/4 in on top\n",
            {"side": 12.7, "centre": None, "top": 19.05, "hem": 25.4},
        ),
    ],
)
def test_others_are_the_edges_that_nothing_nearer_speaks_of(
    every: str, own: str, wanted: dict[str, float | None]
):
    one, _ = drawn(COMMON + every, one=own)
    assert widths(one, COMMON + every, own) == wanted


def test_an_edge_on_the_fold_is_none_of_the_others():
    one, _ = drawn(COMMON, one="  cut 1 of self on fold at centre\n  net on others\n")
    assert sorted(a.edge for a in one.allowances) == ["hem", "side", "top"]


def test_an_arm_of_every_piece_holds_by_its_choice():
    every = COMMON + "  when lined\n    cut pair of lining\n"
    text = 'choose lined = yes "lined"\n' + every + DRAFT + PIECES.format(one="", two="")
    assert [len(plan(text, lined=said).plan.pieces[0].cuts) for said in ("yes", "no")] == [2, 1]


def test_without_it_a_piece_must_say_all_itself():
    _, found = checked(DRAFT + PIECES.format(one="", two=""))
    assert codes(found).count("E310") == 4


def test_a_variant_may_do_away_with_an_edge_that_its_parent_speaks_of(tmp_path: Path):
    head = 'recipe "{0}"\n  edition 1\n  about "A test."\n'
    bounds = 'piece one "One"\n  bounded by centre, top, side, {0}\n'
    parent = head.format("Parent") + COMMON + "  allow 1 in on hem, centre, top\n" + DRAFT
    (tmp_path / "parent.scye").write_text(parent + "  level knee from hem up 3 in\n" + bounds.format("hem"))
    variant = head.format("Variant").replace("edition 1", 'edition 1\n  based on "parent" edition 1')
    said = variant + "every piece\n  allow 1 in on {0}, side\nredraw " + bounds.format("knee")
    found = []
    for edge in ("knee", "hem"):
        (tmp_path / "variant.scye").write_text(said.format(edge))
        found.append([d.code for d in run_check(CheckRequest(tmp_path / "variant.scye")).diagnostics])
    assert found == [[], ["E309"]]
