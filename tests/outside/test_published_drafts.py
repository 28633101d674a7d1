"""Old drafts, published with their figures, written as recipes and compared point by point.

Sources, all out of copyright and read in stored copies: O. C. Hapgood, School Needlework, Boston
1893; I. Rosenfeld, The Practical Designer, New York 1911, and The Practical Designer for Women's
and Misses' Underwear, New York 1918; I. R. and M. G. Burton, School Sewing Based on Home Problems,
1916; A. V. Wakeman and L. M. Heller, Scientific Sewing and Garment Cutting, 1898. Titles and texts
were read; the years of Hapgood, Burton and Wakeman and the second authors are from memory. Figures
are inches.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from shapely.geometry import Polygon

from scye.ir.pattern import Pattern, Piece
from scye.units.tape import show_length
from workroom import INCH, Workroom

DRAFTS = Path(__file__).parent / "drafts"
HUNDREDTH = 0.01  # in: as near as the printed figures are given


def points_of(room: Workroom, draft: str, body: dict[str, str], names: str) -> dict[str, tuple[float, float]]:
    """Points in inches from the draft's beginning, right and down."""
    found = room.thing(DRAFTS / f"{draft}.scye", body, *names.split())
    return {name: (x / INCH, y / INCH) for name, (x, y) in zip(names.split(), found, strict=True)}


def lengths_of(piece: Piece) -> dict[str, float]:
    return {edge.name: edge.length / INCH for edge in piece.edges}


def amounts_of(pattern: Pattern) -> dict[str, float]:
    """Named amounts: lengths in inches, numbers as they are."""
    return {v.name.split(".")[-1]: v.value / INCH if v.unit == "mm" else v.value for v in pattern.values}


def assert_places(found: dict[str, tuple[float, float]], expected: dict[str, tuple[float, float]]) -> None:
    assert found.keys() == expected.keys()
    for name, place in expected.items():
        assert found[name] == pytest.approx(place, abs=HUNDREDTH), name


def assert_proved(pattern: Pattern) -> None:
    assert pattern.proofs
    assert {proof.verdict for proof in pattern.proofs} == {"walks true"}
    assert not pattern.findings


# --- Hapgood 1893, child's drawers, age 8 years (fig. 106) -------------------------------------------------

CHILD = {"waist": "22", "knee": "13"}


def test_every_point_of_the_childs_drawers(room: Workroom) -> None:
    expected = {
        "A": (0.0, 0.0), "B": (14.0, 0.0), "C": (0.0, 22.0), "D": (14.0, 22.0), "E": (0.0, 20.0),
        "F": (14.0, 20.0), "G": (14.0, 12.5), "H": (0.0, 3.0), "I": (10.0, 0.0), "J": (8.5, 20.0),
    }  # fmt: skip
    assert_places(points_of(room, "childs-drawers", CHILD, " ".join(expected)), expected)


def test_the_childs_drawers_come_to_the_printed_leg_measure(room: Workroom) -> None:
    """Hapgood prints `leg measure, seventeen inches`; her dots 3 in below A and 2 in above C leave just
    that."""
    pattern = room.pattern(DRAFTS / "childs-drawers.scye", CHILD)
    assert_proved(pattern)
    edges = lengths_of(pattern.pieces[0])
    assert edges["leg_side"] == pytest.approx(17.0, abs=1e-9)
    assert edges["waist"] == pytest.approx(math.hypot(10.0, 3.0), abs=1e-9)
    assert edges["back"] == pytest.approx(math.hypot(4.0, 12.5), abs=1e-9)
    assert edges["hem"] == pytest.approx(8.5, abs=1e-9)


def test_the_inward_curve_is_hollowed_one_inch(room: Workroom) -> None:
    """A circle over the chord G J with a rise of 1 in has the radius 11.3125 in and is 9.5847 in long.
    Hapgood only says `an inward-curving line, allowing one-inch curve in the middle`."""
    chord = math.hypot(5.5, 7.5)
    radius = (chord**2 / 4 + 1) / 2
    arc = 2 * radius * math.asin(chord / 2 / radius)
    pattern = room.pattern(DRAFTS / "childs-drawers.scye", CHILD)
    assert lengths_of(pattern.pieces[0])["leg_seam"] == pytest.approx(arc, abs=0.0001)
    assert lengths_of(pattern.pieces[0])["leg_seam"] == pytest.approx(9.5847, abs=0.0001)


def test_the_area_within_the_straight_lines_of_the_childs_drawers(room: Workroom) -> None:
    """219.375 sq in by the corners alone; the one-inch hollow takes a segment of the circle from it."""
    straight = room.pattern(DRAFTS / "childs-drawers.scye", CHILD, inner_leg="straight").pieces[0]
    corners = [straight.net.start, *(segment[-1] for segment in straight.net.segments)]
    assert Polygon(corners).area / INCH**2 == pytest.approx(219.375, abs=1e-6)


def test_the_childs_drawers_are_cut_net_but_for_the_hem(room: Workroom) -> None:
    piece = room.pattern(DRAFTS / "childs-drawers.scye", CHILD).pieces[0]
    widths = {e.name: [run.width / INCH for run in e.allowances] for e in piece.edges if not e.on_fold}
    assert widths.pop("hem") == pytest.approx([2.0])
    assert all(set(found) <= {0.0} for found in widths.values())
    assert [cut.text for cut in piece.cuts] == ["cut 2 on fold of self"]


# --- Rosenfeld 1911, lesson 142, and 1918, first foundation: backs of size 36 ------------------------------

SIZE_36 = {"bust": "36"}


def test_every_listed_point_of_the_shirt_waist_back_of_1911(room: Workroom) -> None:
    expected = {
        "A": (0.0, 0.0), "B": (0.0, 7.0), "C": (0.0, 15.5), "D": (0.0, 21.5), "G": (12.0, 7.0),
        "E": (12.0, 21.5), "H": (6.0, 7.0), "I": (7.25, 7.0), "J": (7.25, 0.0), "K": (3.0, 0.0),
        "L": (3.0, -1.0), "M": (8.8107, 0.3672), "F": (15.0, 7.0), "Z": (1.5, 21.5),
    }  # fmt: skip
    assert_places(points_of(room, "shirt-waist-back-1911", SIZE_36, " ".join(expected)), expected)


def test_the_shoulder_of_1911_against_the_printed_six_inches(room: Workroom) -> None:
    """The construction gives 5.969 in; the same shoulder is printed as `6 inches for size 36` in the book of
    1918. They agree to what a tape shows, 1/16 in, and no nearer."""
    pattern = room.pattern(DRAFTS / "shirt-waist-back-1911.scye", SIZE_36)
    edges = lengths_of(pattern.pieces[0])
    assert edges["shoulder"] == pytest.approx(5.969, abs=0.001)
    assert edges["armhole"] == pytest.approx(6.8139, abs=0.0001)
    assert show_length(edges["shoulder"] * INCH, "in") == "6 in"
    assert abs(edges["shoulder"] - 6.0) > HUNDREDTH
    assert_proved(pattern)


def test_every_listed_point_of_the_foundation_of_1918(room: Workroom) -> None:
    expected = {
        "A": (0.0, 0.0), "B": (0.0, 7.0), "C": (0.0, 15.5), "D": (12.0, 0.0), "E": (12.0, 7.0),
        "F": (12.0, 15.5), "G": (6.0, 7.0), "H": (7.5, 7.0), "I": (7.5, 0.0), "J": (3.0, 0.0),
        "K": (3.0, -1.0), "L": (8.8571, 0.3016),
    }  # fmt: skip
    assert_places(points_of(room, "foundation-back-1918", SIZE_36, " ".join(expected)), expected)
    assert_proved(room.pattern(DRAFTS / "foundation-back-1918.scye", SIZE_36))


# --- Rosenfeld 1911, lesson 106, child's one-piece skirt, size ten -----------------------------------------

SIZE_10 = {"bust": "30", "waist": "25 1/2", "hip": "34"}


def test_every_point_of_the_childs_skirt(room: Workroom) -> None:
    expected = {
        "A": (0.0, 0.0), "B": (0.0, 20.0), "C": (12.75, 0.0), "D": (15.75, 0.0), "E": (0.0, 5.0),
        "F": (17.0, 5.0), "G": (7.875, 0.0), "H": (7.875, 0.75), "J": (20.8432, 20.373), "I": (7.875, 21.25),
    }  # fmt: skip
    assert_places(points_of(room, "childs-skirt-1911", SIZE_10, " ".join(expected)), expected)


def test_the_derived_figures_of_the_childs_skirt(room: Workroom) -> None:
    """`One-third of 15 should amount to 5 inches`; the waist seam A H D over 15 3/4 in with a rise of 3/4 in
    is, as a circle, 15.8451 in, which leaves 3.0951 in of fullness over half the waist."""
    pattern = room.pattern(DRAFTS / "childs-skirt-1911.scye", SIZE_10)
    amounts, edges = amounts_of(pattern), lengths_of(pattern.pieces[0])
    assert amounts["hip_depth"] == pytest.approx(5.0, abs=1e-9)
    assert amounts["half_hip"] == pytest.approx(17.0, abs=1e-9)
    assert edges["waist_line"] == pytest.approx(15.8451, abs=0.001)
    assert amounts["waist_dart"] == pytest.approx(3.0951, abs=0.001)
    assert edges["centre_back"] == pytest.approx(21.0, abs=1e-9)
    assert_proved(pattern)
    (side,) = room.thing(DRAFTS / "childs-skirt-1911.scye", SIZE_10, "I")
    (waist,) = room.thing(DRAFTS / "childs-skirt-1911.scye", SIZE_10, "H")
    assert math.dist(side, waist) / INCH == pytest.approx(20.5, abs=1e-9)


# --- Rosenfeld 1918: drawers front, and the rule of eighths ------------------------------------------------

LEG = {"outside_leg": "41", "body_rise": "12", "hip": "43", "knee": "13", "calf": "15", "ankle": "12"}


def test_the_widths_of_the_drawers_front(room: Workroom) -> None:
    """A quarter of 13, 15 and 12 in at each side of the crease: 3 1/4, 3 3/4 and 3 in (lesson 427)."""
    pattern = room.pattern(DRAFTS / "drawers-front-1918.scye", LEG)
    assert_proved(pattern)
    assert {p.name: p.found / INCH for p in pattern.proofs} == pytest.approx(
        {"knee": 6.5, "calf": 7.5, "ankle": 6.0}
    )
    halves = {name: mm for name, mm in amounts_of(pattern).items() if name.startswith("half_")}
    assert halves == pytest.approx({"half_knee": 3.25, "half_calf": 3.75, "half_ankle": 3.0})


def test_the_levels_of_the_drawers_front(room: Workroom) -> None:
    places = points_of(room, "drawers-front-1918", LEG, "Y C E G U")
    assert {name: y for name, (_, y) in places.items()} == pytest.approx(
        {"Y": 26.5, "C": 24.5, "E": 30.5, "G": 41.0, "U": 12.0}
    )
    assert places["U"][0] == pytest.approx(-1.5)


def test_the_rule_of_eighths_to_the_printed_table(room: Workroom) -> None:
    """5 ft 6 in in eight units; printed: 2/8 16 1/2, 3/8 24 3/4, 4/8 33, 5/8 41 1/4, 6/8 49 1/2, 7/8 57 3/4,
    8/8 66 inches (p. 9)."""
    printed = {2: "16 1/2", 3: "24 3/4", 4: "33", 5: "41 1/4", 6: "49 1/2", 7: "57 3/4", 8: "66"}
    pattern = room.pattern(DRAFTS / "eighths-1918.scye", SIZE_36)
    amounts = amounts_of(pattern)
    shown = {i: show_length(amounts[f"eighths[{i}]"] * INCH, "in").removesuffix(" in") for i in printed}
    assert shown == printed
    assert amounts["waist_in_back"] == pytest.approx(16.5)
    assert amounts["skirt_in_front"] == pytest.approx(41.25)
    assert_proved(pattern)



# --- Rosenfeld 1911, lesson 109: grading a back from 36 to 38 ----------------------------------------------

# By hand, for each half: 1/8 in at the neck, 1/8 in at the shoulder end (height and width), 3/8 in at
# the side.
STEPS = {"neck": 0.125, "shoulder": 0.125, "side": 0.375}


def test_grading_by_hand_beside_drafting_anew(room: Workroom) -> None:
    """A graded pattern is moved out by printed steps; a recipe drafts the next size from its rules. For the
    back of lesson 142, from 36 to 38:

    - The side neck point goes out 1/6 in, since the neck is a sixth of half the breast; by hand it is moved
      1/8 in. The rule is 1/24 in ahead a size, 1/8 in after three.
    - The side goes out 2/3 in, by two-thirds of half the step of 2 in; by hand 3/8 in. The hand grade
      leaves the rest of the half's inch to the front, where the lesson's front begins 1/6 in further on (G
      to F): the rule puts 5/6 in before the front's own points, the hand grade 3/8 in.
    - The shoulder end goes out and up 1/8 in by hand. By rule it goes out more, for it hangs from the width
      of back, which grows by half of the side's 2/3 in, and it is hardly raised: depth, rise of neck and
      waist length are fixed amounts in the lesson, which change with the size table and not with the
      breast.
    """
    at = {
        size: points_of(room, "shirt-waist-back-1911", {"bust": size}, "L M G F K") for size in ("36", "38")
    }
    moved = {name: at["38"][name][0] - at["36"][name][0] for name in "LMGFK"}
    raised = {name: at["36"][name][1] - at["38"][name][1] for name in "LMG"}
    assert moved["L"] == pytest.approx(1 / 6)
    assert moved["L"] - STEPS["neck"] == pytest.approx(1 / 24)
    assert moved["G"] == pytest.approx(2 / 3)
    assert moved["G"] > STEPS["side"]
    assert moved["F"] == pytest.approx(5 / 6)
    assert raised["L"] == pytest.approx(0.0, abs=1e-9)
    assert STEPS["shoulder"] < 1 / 6 < moved["M"] < moved["G"] / 2 + 0.05
    assert abs(raised["M"]) < STEPS["shoulder"]


# --- Burton and Burton 1916, neck; Wakeman and Heller 1898, darts ------------------------------------------


@pytest.mark.parametrize(
    ("neck", "step"), [("12", 2.0), ("12 1/2", 2.125), ("13", 2.25), ("13 1/2", 2.375), ("14", 2.5)]
)
def test_the_neck_rule_of_1916(room: Workroom, neck: str, step: float) -> None:
    """2 in for a neck of 12 in, `increase this measurement 1/8 in for each 1/2 in increase`: 13 gives 2
    1/4."""
    body = {"neck": neck, "shoulder_length": "5", "across_chest": "13"}
    places = points_of(room, "burton-front-1916", body, "L M O P Q")
    assert places["L"] == pytest.approx((-step, 0.0))
    assert places["M"] == pytest.approx((0.0, step))
    assert places["P"] == pytest.approx((0.0, step + 2.0))
    assert places["Q"] == pytest.approx((-6.5, step + 2.0))
    assert math.dist(places["L"], places["O"]) == pytest.approx(5.0)
    fall = math.hypot(5.0, 1.5)
    assert places["O"] == pytest.approx((-step - 5.0 * 5.0 / fall, 5.0 * 1.5 / fall))


@pytest.mark.parametrize(("waist", "darts", "slant"), [("24", 1, 0.0), ("23", 1, 1.0), ("21", 2, 1.0)])
def test_the_dart_rule_of_1898(room: Workroom, waist: str, darts: int, slant: float) -> None:
    """Difference of bust and waist 4 in: one dart; 5 in: one dart and 1 in slant; 7 in: two darts and 1
    in."""
    body = {"bust": "28", "waist": waist, "front_waist_length": "12"}
    pattern = room.pattern(DRAFTS / "underwaist-1898.scye", body)
    amounts = amounts_of(pattern)
    assert (amounts["darts"], amounts["slant"]) == pytest.approx((darts, slant))
    edges = lengths_of(pattern.pieces[0])
    assert edges["upper"] == pytest.approx(14.0)
    assert edges["centre_front"] == pytest.approx(14.5)
    assert edges["lower"] == pytest.approx(14.0 - slant)
    assert edges["centre_back"] == pytest.approx(math.hypot(14.5, slant))


# --- circle skirts -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("circle", "radius", "turns"),
    [
        ("whole", 11.1408, 1.0),
        ("three_quarter", 14.8545, 0.75),
        ("half", 22.2817, 0.5),
        ("quarter", 44.5634, 0.25),
    ],
)
@pytest.mark.parametrize("waist", [70.0, 102.0])
def test_circle_skirt_radii(room: Workroom, circle: str, radius: float, turns: float, waist: float) -> None:
    """The length of a circle is 2 pi r: for a waist of 70 cm 11.1408, 22.2817 and 44.5634 cm. The recipe
    knows nothing of pi: it finds the radius at which its own curve is as long as the waist."""
    pattern = room.pattern(DRAFTS / "circle-skirt.scye", {"waist": str(waist)}, "cm", circle=circle)
    (found,) = (v.value for v in pattern.values if v.name.endswith("radius"))
    exact = waist * 10 / (2 * math.pi * turns)
    assert found == pytest.approx(exact, abs=0.01)
    assert found == pytest.approx(radius * 10 * waist / 70, abs=0.012)
    edges = {edge.name: edge.length for edge in pattern.pieces[0].edges}
    assert edges["hem"] == pytest.approx(math.pi / 2 * (exact + 600.0), abs=0.02)
    assert edges["waist_line"] == pytest.approx(waist * 10 / turns / 4, abs=1e-6)


def test_an_arc_struck_with_the_compass_is_a_part_of_its_circle(room: Workroom) -> None:
    pattern = room.pattern(DRAFTS / "quarter-turn.scye", {"waist": "28"})
    assert lengths_of(pattern.pieces[0])["waist_line"] * INCH == pytest.approx(math.pi * 50, abs=0.001)


# --- scye depth, the best warning in the trade -------------------------------------------------------------

# Rule: bust 34, 36, 40, 44. The table value is for size 36 alone. An eighth and 2 1/2 in: a student's
# bodice draft;
# a sixth and 1 in: a women's basic bodice block; the rest as named in the recipe.
DEPTHS = {
    "by_table": (7.0, 7.0, 7.0, 7.0),
    "by_eighth": (6.75, 7.0, 7.5, 8.0),
    "by_sixth": (34 / 6 + 1, 7.0, 40 / 6 + 1, 44 / 6 + 1),
    "by_sixth_and_6_cm": (34 / 6 + 6 / 2.54, 6 + 6 / 2.54, 40 / 6 + 6 / 2.54, 44 / 6 + 6 / 2.54),
    "by_sixth_and_7_cm": (34 / 6 + 7 / 2.54, 6 + 7 / 2.54, 40 / 6 + 7 / 2.54, 44 / 6 + 7 / 2.54),
    "by_twelfth_metric": (
        34 / 12 + 13.7 / 2.54,
        3 + 13.7 / 2.54,
        40 / 12 + 13.7 / 2.54,
        44 / 12 + 13.7 / 2.54,
    ),
    "by_tenth_metric": (3.4 + 10.5 / 2.54, 3.6 + 10.5 / 2.54, 4 + 10.5 / 2.54, 4.4 + 10.5 / 2.54),
    "by_sloped_shoulder": (7.0, 7.5, 8.0, 9.0),
}


@pytest.mark.parametrize(("column", "bust"), list(enumerate((34, 36, 40, 44))))
def test_scye_depth_by_every_rule(room: Workroom, column: int, bust: int) -> None:
    amounts = amounts_of(room.pattern(DRAFTS / "scye-depths.scye", {"bust": str(bust)}))
    for rule, depths in DEPTHS.items():
        assert amounts[rule] == pytest.approx(depths[column]), rule


def test_three_rules_meet_at_36_and_part_elsewhere(room: Workroom) -> None:
    """`A rule proved only on the sample size is not proved`: the table, an eighth and 2 1/2 in, and a sixth
    and 1 in all say 7 in for 36, and three different things for 34, 40 and 44."""
    for bust in (34, 36, 40, 44):
        amounts = amounts_of(room.pattern(DRAFTS / "scye-depths.scye", {"bust": str(bust)}))
        three = [amounts[rule] for rule in ("by_table", "by_eighth", "by_sixth")]
        apart = min(abs(a - b) for i, a in enumerate(three) for b in three[:i])
        assert (apart < 1e-9) is (bust == 36)


@pytest.mark.parametrize(
    ("bust", "rule", "shown"),
    [
        (36, "by_eighth", "7 in"), (36, "by_sixth", "7 in"), (36, "by_sixth_and_6_cm", "8 3/8 in"),
        (36, "by_sixth_and_7_cm", "8 3/4 in"), (36, "by_twelfth_metric", "8 3/8 in"),
        (44, "by_eighth", "8 in"), (44, "by_sixth", "8 5/16 in"), (44, "by_sixth_and_6_cm", "9 11/16 in"),
        (44, "by_sixth_and_7_cm", "10 1/16 in"), (44, "by_twelfth_metric", "9 1/16 in"),
    ],
)  # fmt: skip
def test_scye_depths_as_a_tape_shows_them(room: Workroom, bust: int, rule: str, shown: str) -> None:
    """To a sixteenth. Tables of the trade round to eighths: 8 3/8, 9 3/4, 10 1/8 and 9 in for 44."""
    amounts = amounts_of(room.pattern(DRAFTS / "scye-depths.scye", {"bust": str(bust)}))
    assert show_length(amounts[rule] * INCH, "in") == shown
