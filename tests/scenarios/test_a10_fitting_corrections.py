"""A10: fitting corrections that survive next year. Dunlin, fitted on 3 March, has grown a year later."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from scye.diagnostics.model import Severity
from scye.ir.pattern import Pattern, Piece, Point
from scye.place.outline import flatten
from workroom import INCH, ROOT, Workroom

YOKED = ROOT / "recipes" / "yoked-bodice" / "yoked-bodice.scye"
SALTMARSH = ROOT / "recipes" / "saltmarsh-bodice" / "saltmarsh-bodice.scye"
CARDS = ROOT / "examples" / "cards"


def without_fitting(room: Workroom, year: str) -> Pattern:
    """Dunlin of that year as she would be drafted had she never been fitted."""
    text = (CARDS / f"dunlin-{year}.yaml").read_text(encoding="utf-8")
    return drafted(room, text[: text.index("\nfittings:")], YOKED)


def drafted(room: Workroom, card: str, recipe: Path, **choices: str) -> Pattern:
    (room.folder / "card.yaml").write_text(card, encoding="utf-8")
    return room.pattern(recipe, str(room.folder / "card"), **choices)


def fitted(corrections: str, code: str = "wren") -> str:
    """A card of the examples with a fitting of 3 March, and these corrections."""
    rows = "\n".join(f"      - {{{row}}}" for row in corrections.strip().splitlines())
    head = (CARDS / f"{code}.yaml").read_text(encoding="utf-8")
    return f"{head}\nfittings:\n  - date: 2025-03-03\n    by: Saltmarsh Workroom\n    corrections:\n{rows}\n"


def piece(pattern: Pattern, name: str) -> Piece:
    return next(p for p in pattern.pieces if p.name == name)


def proof(pattern: Pattern, name: str) -> float:
    (found,) = [p.found for p in pattern.proofs if p.name == name]
    return found


def level(p: Piece, name: str) -> float:
    """The width of a piece at a level line that is marked on it, mm."""
    a, b = next((a, b) for at, a, b in p.levels if at == name)
    return abs(b[0] - a[0])


def corner(p: Piece, one: str, two: str) -> Point:
    """Where two edges of a piece meet."""
    ends = [{e.path.start, e.path.segments[-1][-1]} for e in p.edges if e.name in (one, two)]
    near = [(a, b) for a in ends[0] for b in ends[1] if abs(a[0] - b[0]) + abs(a[1] - b[1]) < 0.1]
    return near[0][0]


@pytest.fixture
def first(room: Workroom) -> Pattern:
    return room.pattern(YOKED, "dunlin-2025")


@pytest.fixture
def later(room: Workroom) -> Pattern:
    return room.pattern(YOKED, "dunlin-2026")


def test_all_four_are_replayed_in_order_and_said(later: Pattern) -> None:
    assert [(line.what, line.outcome) for line in later.fittings] == [
        ("take in 3/8 in at waist on side, nothing at underarm, both sides", "replayed"),
        ("drop 1/2 in at CF on neck, both sides", "replayed"),
        ("let out 1/4 in at hip on side, nothing at waist, carried to hem, right only", "replayed"),
        ("raise 3/8 in at armhole on shoulder, right only", "replayed"),
    ]
    assert {line.day for line in later.fittings} == {"3 March 2025"}
    assert (
        later.fittings[0].where
        == "Side front: side, at waist line, half of it; Back: side, at waist line, half of it"
    )


def test_next_year_has_the_new_measures_and_the_old_fitting(first: Pattern, later: Pattern) -> None:
    """The waist has one inch more, less 3/8 at each side; the bust half an inch more."""
    assert proof(first, "waist") / INCH == pytest.approx(28 + 0.5 - 0.75, abs=0.01)
    assert proof(later, "waist") / INCH == pytest.approx(29 + 0.5 - 0.75, abs=0.01)
    assert (proof(later, "bust") - proof(first, "bust")) / INCH == pytest.approx(0.5, abs=0.01)
    assert all(p.verdict == "walks true" for p in later.proofs)
    assert all(s.verdict == "walks true" for s in later.seams)
    assert not [f for f in later.findings if f.severity >= Severity.CAUTION]


def test_each_edge_of_the_side_seam_takes_half(room: Workroom, later: Pattern) -> None:
    before = without_fitting(room, "2026")
    for name in ("front_side", "back_panel"):
        for side in ("left", "right"):
            taken = level(piece(before, name), "waist line") - level(
                piece(later, f"{side}_{name}"), "waist line"
            )
            assert taken / INCH == pytest.approx(3 / 16, abs=0.002)


def test_the_hip_is_let_out_on_the_right_only(room: Workroom, later: Pattern) -> None:
    """1/8 on each edge of the right; the left has only what is left there of the waist's 3/16."""
    for name in ("front_side", "back_panel"):
        right, left = (level(piece(later, f"{s}_{name}"), "hip line") for s in ("right", "left"))
        assert (right - left) / INCH == pytest.approx(1 / 8, abs=0.004)
        plain = level(piece(without_fitting(room, "2026"), name), "hip line")
        assert -0.03 < (left - plain) / INCH <= 0


def test_the_neck_drops_at_the_centre_front_of_both_halves(room: Workroom, later: Pattern) -> None:
    before = corner(piece(without_fitting(room, "2026"), "front_yoke"), "neck", "centre_front")
    after = corner(piece(later, "front_yoke"), "right_neck", "left_neck")
    assert (after[1] - before[1]) / INCH == pytest.approx(0.5, abs=1e-6)
    assert after[0] == pytest.approx(before[0], abs=1e-6)


def test_the_right_shoulder_is_raised_and_stays_straight(room: Workroom, later: Pattern) -> None:
    before = corner(piece(without_fitting(room, "2026"), "front_yoke"), "shoulder", "armhole")
    yoke = piece(later, "front_yoke")
    right, left = (corner(yoke, f"{s}_shoulder", f"{s}_armhole") for s in ("right", "left"))
    assert (before[1] - right[1]) / INCH == pytest.approx(3 / 8, abs=1e-6)
    assert left[1] == pytest.approx(before[1], abs=1e-6)
    for edge in yoke.edges:
        if edge.name.endswith("_shoulder"):
            ends = np.array([edge.path.start, edge.path.segments[-1][-1]])
            assert edge.length == pytest.approx(float(np.hypot(*(ends[1] - ends[0]))), abs=1e-6)


def test_the_front_yoke_is_opened_out_and_the_others_are_right_and_left(later: Pattern) -> None:
    titles = [p.title for p in later.pieces]
    assert titles[2:] == [
        "Right side front", "Left side front", "Right back", "Left back", "Front yoke", "Right back yoke",
        "Left back yoke",
    ]  # fmt: skip
    assert {c.text for p in later.pieces for c in p.cuts} == {
        "cut 1 single, right side up, of self",
        "cut 1 single, wrong side up, of lining",
    }
    yoke = piece(later, "front_yoke")
    assert not any(edge.on_fold for edge in yoke.edges)
    xs = [x for x, _ in flatten(yoke.cutting)]
    assert min(xs) == pytest.approx(-max(xs), abs=0.1 * INCH)


def test_right_and_left_lie_as_the_wearer_does(later: Pattern) -> None:
    """Cloth right side up, a right front has its centre on the right hand, a right back on the left."""
    for name, centre, side in (
        ("front_side", "princess.right", "side"),
        ("back_panel", "cb_seam.right", "side"),
    ):
        for hand, sign in (("right", 1.0), ("left", -1.0)):
            p = piece(later, f"{hand}_{name}")
            x = {e.name: np.mean([a for a, _ in flatten(e.path)]) for e in p.edges}
            way = sign if name == "front_side" else -sign
            assert (x[centre] - x[side]) * way > 0, (hand, name)


def test_a_sleeve_follows_the_armhole_that_was_corrected(room: Workroom) -> None:
    """The higher shoulder makes a longer armhole; the right cap is drafted to it."""
    pattern = room.pattern(YOKED, "dunlin-2026", sleeves="yes")
    caps = [s for s in pattern.seams if "cap" in s.a]
    assert [s.verdict for s in caps] == ["walks true", "walks true"]
    right, left = (s.length_a for s in caps)
    assert right - left > 0.5 * INCH
    assert all(abs(s.difference) < 0.1 for s in caps)


def test_pieces_that_are_the_same_on_both_sides_are_still_cut_as_a_pair(room: Workroom) -> None:
    pattern = room.pattern(YOKED, "dunlin-2026", yoke="no")
    (front,) = [p for p in pattern.pieces if p.title == "Centre front"]
    assert [c.text for c in front.cuts] == ["cut 2 (a pair) of self, lining"]
    assert len(pattern.pieces) == 5


def test_what_the_recipe_no_longer_has_is_said(room: Workroom) -> None:
    """Strapless, there is no neck and no shoulder: both are told, and the rest is replayed."""
    pattern = room.pattern(YOKED, "dunlin-2026", yoke="no")
    assert [line.outcome for line in pattern.fittings] == ["replayed", "left out", "replayed", "left out"]
    told = [f.text for f in pattern.findings if f.code == "E1211"]
    assert told == [
        "neck is no longer in this recipe: drop 1/2 in at CF on neck, both sides,"
        " of 3 March 2025, was left out",
        "shoulder is no longer in this recipe: raise 3/8 in at armhole on shoulder, right only,"
        " of 3 March 2025, was left out",
    ]


def test_a_seam_that_is_gone_is_said_and_nothing_moves(room: Workroom) -> None:
    """Seam F was the side under a yoke; without the yoke there are only A to C."""
    card = fitted("take_in: 3/8, seam: F, at: waist")
    pattern = drafted(room, card, YOKED, yoke="no")
    plain = room.pattern(YOKED, "wren", yoke="no")
    (told,) = [f.text for f in pattern.findings if f.code == "E1211"]
    assert told.startswith(
        "seam F is no longer in this recipe: take in 3/8 in at waist on seam F, both sides"
    )
    assert pattern.pieces == plain.pieces


def test_a_seam_by_its_letter_between_a_level_and_its_end(room: Workroom) -> None:
    """Seam C of the laced bodice, 3/8 at the waist, nothing at the top: 3/16 off each edge, 3/4 in all."""
    plain = room.pattern(SALTMARSH, "wren")
    pattern = drafted(room, fitted("take_in: 3/8, seam: C, at: waist, nothing_at: underarm"), SALTMARSH)
    for name in ("side", "side_back"):
        taken = level(piece(plain, name), "waist line") - level(piece(pattern, name), "waist line")
        assert taken / INCH == pytest.approx(3 / 16, abs=0.002)
    assert (proof(plain, "laced waist") - proof(pattern, "laced waist")) / INCH == pytest.approx(
        0.75, abs=0.002
    )
    assert [p.cuts for p in pattern.pieces] == [p.cuts for p in plain.pieces]
    tops = [corner(piece(x, "side"), "top_edge", "seam[3].left") for x in (plain, pattern)]
    assert np.hypot(tops[0][0] - tops[1][0], tops[0][1] - tops[1][1]) < 0.02 * INCH
    assert all(s.verdict == "walks true" for s in pattern.seams)


def test_a_correction_for_another_recipe_is_not_replayed(room: Workroom) -> None:
    card = fitted("take_in: 3/8, seam: C, at: waist, only: yoked-bodice")
    pattern = drafted(room, card, SALTMARSH)
    assert [(line.outcome, line.reason) for line in pattern.fittings] == [
        ("for another recipe", "it is for yoked-bodice only")
    ]
    plain = room.pattern(SALTMARSH, "wren")
    assert replace(pattern, fittings=()) == replace(plain, body=pattern.body)


def test_measured_and_fitted_are_told_apart(later: Pattern) -> None:
    """The measure card says 29 and the sheet says so; the fitting is a figure of its own."""
    (waist,) = [v for v in later.values if v.name == "waist"]
    assert waist.working == "measured: 29 in"
    (proved,) = [p.working for p in later.proofs if p.name == "waist"]
    assert proved.endswith("= 29 in + 1/2 in, less 3/4 in taken in at fittings")


def test_a_centre_seam_on_a_guide_moves_its_own_edge_only(room: Workroom) -> None:
    """The centre front of the laced bodice is what all panels are measured from: none of them may move."""
    plain = room.pattern(SALTMARSH, "wren")
    pattern = drafted(room, fitted("take_in: 1/4, seam: E, at: waist"), SALTMARSH)
    assert pattern.pieces[1:] == plain.pieces[1:]
    taken = level(plain.pieces[0], "waist line") - level(pattern.pieces[0], "waist line")
    assert taken / INCH == pytest.approx(1 / 8, abs=1e-6)
    one_side = drafted(room, fitted("take_in: 1/4, seam: E, at: waist, side: left"), SALTMARSH)
    left, right = (level(piece(one_side, f"{s}_centre_front_panel"), "waist line") for s in ("left", "right"))
    assert (right - left) / INCH == pytest.approx(1 / 4, abs=1e-6)


def test_a_line_sewn_to_itself_is_parted_into_two_edges(room: Workroom) -> None:
    """Yoke and panel are cut along one line: each edge goes into its own piece."""
    plain = room.pattern(YOKED, "wren")
    pattern = drafted(room, fitted("take_in: 1/4, seam: C, at: all along"), YOKED)
    seam, before = (next(s for s in p.seams if s.letter == "C") for p in (pattern, plain))
    assert seam.verdict == "walks true"
    assert abs(seam.length_a - before.length_a) < 1.0
    heights = [
        next(e for e in piece(p, "back_yoke").edges if e.name == "centre_back").length
        for p in (plain, pattern)
    ]
    assert (heights[0] - heights[1]) / INCH == pytest.approx(1 / 8, abs=0.005)


def test_a_top_edge_drops_across_the_panels_it_runs_over(room: Workroom) -> None:
    """Half an inch at the centre front, fading across seam A to nothing at seam B."""
    plain = room.pattern(SALTMARSH, "wren")
    card = fitted("drop: 1/2, edge: top edge, at: centre front, nothing_at: B")
    pattern = drafted(room, card, SALTMARSH)
    at = [corner(piece(p, "centre_front_panel"), "top_edge", "centre_front") for p in (plain, pattern)]
    assert (at[1][1] - at[0][1]) / INCH == pytest.approx(0.5, abs=1e-6)
    lengths = [[e.length for x in p.pieces[2:] for e in x.edges] for p in (plain, pattern)]
    assert lengths[1] == pytest.approx(lengths[0], abs=1e-3)
    assert all(s.verdict == "walks true" for s in pattern.seams)


def test_nothing_is_corrected_on_the_fold(room: Workroom) -> None:
    card = fitted("take_in: 1/4, edge: centre front, piece: front yoke, at: all along")
    pattern = drafted(room, card, YOKED)
    assert [line.reason for line in pattern.fittings] == ["Front yoke: centre front is cut on the fold"]
    assert pattern.pieces == room.pattern(YOKED, "wren").pieces
