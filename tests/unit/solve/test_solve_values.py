"""What a draft comes to: amounts, points and lines against geometry worked by hand, in inches."""

from __future__ import annotations

import math

import pytest

from scye.geometry import path
from stages import INCH, drafted

DRAFT = "draft d\n  begin at o\n  level across through o\n  plumb upright through o\n"


@pytest.mark.parametrize(
    ("amount", "inches"),
    [
        ("waist / 4 + 1 1/2 in", 8.5),
        ("(waist + 2 in) / 4", 7.5),
        ("-waist + 30 in", 2),
        ("waist - hip", -10),
        ("waist * 25%", 7),
        ("10% * waist * 2", 5.6),
        ("bust / 6 rounded to 1/2 in", 6.0),
        ("bust / 7 rounded to 1/4 in", 5.25),
        ("bust / 7 rounded up to 1/4 in", 5.25),
        ("bust / 7 rounded down to 1/4 in", 5.0),
        ("2.25 in rounded to 1/2 in", 2.5),
        ("least of (waist, hip, 30 in)", 28),
        ("most of (waist, hip, 30 in)", 38),
        ("sum of (waist, hip)", 66),
        ("square root of (5 in * 5 in - 3 in * 3 in)", 4),
        ("waist * sine of 30 deg", 14),
        ("waist * cosine of 60 deg", 14),
        ("waist * tangent of 45 deg", 28),
        ("1 in if waist > 27 in otherwise 2 in", 1),
        ("1 in if waist > 29 in or hip < 40 in and not waist = hip otherwise 2 in", 1),
        ("1 in if waist <= 28 in otherwise 2 in", 1),
        ("waist * hip / 2 in / 19", 28),
    ],
)
def test_amounts(amount: str, inches: float):
    text = f"needs waist, hip, bust\na = {amount}\n"
    made = drafted(text, {"waist": 28, "hip": 38, "bust": 36})
    assert made.inches("a") == pytest.approx([inches], abs=1e-9)


@pytest.mark.parametrize(
    ("angle", "degrees"),
    [
        ("angle of sine (1/2)", 30),
        ("angle of cosine (1/2)", 60),
        ("angle of tangent (3 in / 3 in)", 45),
        ("angle between up and right", 90),
        ("angle between right and (left)", 180),
        ("15 deg * 2 + 1 deg", 31),
    ],
)
def test_angles(angle: str, degrees: float):
    angle = angle.replace("(left)", "left")
    value = drafted(f"a = {angle}\n").value("a")
    assert math.degrees(float(value[0])) == pytest.approx(degrees, abs=1e-9)


PLACES = [
    ("mark p from o right 3 in up 4 in", (3, -4)),
    ("mark p from o down 2 in left 1 in", (-1, 2)),
    ("mark p where across meets plumb through (o right 5 in)", (5, 0)),
    ("mark p halfway from o to (o right 3 in down 4 in)", (1.5, 2)),
    ("mark p 1/3 from o to (o right 9 in)", (3, 0)),
    ("mark p 35% from o to (o right 10 in)", (3.5, 0)),
    ("mark p 2 in from o toward (o right 3 in down 4 in)", (1.2, 1.6)),
    ("mark p square from (o right 3 in down 4 in) to across", (3, 0)),
    ("mark p (o right 3 in down 4 in) mirrored in across", (3, -4)),
    ("mark p (o right 3 in down 4 in) mirrored in upright", (-3, 4)),
    ("mark p (o right 2 in) turned 90 deg about o", (0, 2)),
    ("mark p (o right 2 in) turned -90 deg about o", (0, -2)),
    ("mark p start of (seg)", (1, 1)),
    ("mark p end of (seg)", (4, 5)),
    ("mark p 2 1/2 in along seg", (2.5, 3)),
    ("mark p halfway along seg", (2.5, 3)),
    ("mark p 1 in along seg from (end of seg)", (3.4, 4.2)),
    ("mark p from o between up and right 2 in", (math.sqrt(2), -math.sqrt(2))),
    ("mark p from o right turned 30 deg toward down 2 in", (math.sqrt(3), 1)),
    ("mark p from o along seg 5 in", (3, 4)),
    ("mark p from o back along seg 5 in", (-3, -4)),
    ("mark p from o toward (o right 3 in down 4 in) 10 in", (6, 8)),
    ("mark p from o square to seg toward (o right 9 in) 5 in", (4, -3)),
    ("mark p where across meets sweep of 5 in about (o down 4 in) nearest (o right 9 in)", (3, 0)),
    ("mark p where across meets sweep of 5 in about (o down 4 in) nearest (o left 9 in)", (-3, 0)),
    ("mark p where across meets seg extended", (0.25, 0)),
    ("mark p where line through o and (end of seg) meets level through (o down 10 in)", (8, 10)),
    (
        "mark p where line from o going right turned 45 deg toward down meets plumb through (o right 3 in)",
        (3, 3),
    ),
]


@pytest.mark.parametrize(("statement", "place"), PLACES)
def test_places(statement: str, place: tuple[float, float]):
    text = DRAFT + "  line seg from o right 1 in down 1 in to o right 4 in down 5 in\n"
    for bracketed in ("(seg)", "(end of seg)"):
        statement = statement.replace(bracketed, bracketed[1:-1])
    found = drafted(f"{text}  {statement}\n").place("d.p")
    assert found == pytest.approx(place, abs=1e-6)


LENGTHS = [
    ("line l from o to o right 3 in down 4 in", 5),
    ("line l from o to o right 3 in to o right 3 in down 4 in", 7),
    ("line l = seg reversed", 5),
    ("line l = seg from (start of seg) to (2 in along seg)", 2),
    ("line l = seg moved from o to (o right 9 in)", 5),
    ("line l = seg turned 33 deg about o", 5),
    ("line l = seg mirrored in upright", 5),
    ("curve l from o to o right 6 in leaving down length 8 in", 8),
    ("curve l from o to o right 6 in leaving down arriving up length 9 in", 9),
]


@pytest.mark.parametrize(("statement", "inches"), LENGTHS)
def test_lengths(statement: str, inches: float):
    statement = statement.replace("(start of seg)", "start of seg")
    text = DRAFT + "  line seg from o right 1 in down 1 in to o right 4 in down 5 in\n"
    made = drafted(f"{text}  {statement}\n  long = length of l\n")
    assert made.inches("d.long") == pytest.approx([inches], abs=1e-6)


def test_a_quarter_circle_is_nearly_drawn_by_a_fair_curve():
    made = drafted(DRAFT + "  curve c from o to o right 3 in down 3 in leaving right arriving down\n")
    assert float(path.length(made.value("d.c"))[0]) / INCH == pytest.approx(1.5 * math.pi, rel=2e-3)


SHARES = [("", -0.5, 0.5), ("left edge takes 60%", -0.6, 0.4), ("left edge takes all", -1.0, 0.0)]


@pytest.mark.parametrize(("share", "left", "right"), SHARES)
def test_a_panel_line_takes_its_intake_at_its_level(share: str, left: float, right: float):
    text = (
        DRAFT + "  level low from across down 8 in\n  panel_line s on upright\n"
        f"    at across take 0 in\n    at low take 1 in\n    {share}\n"
        "  mark a where s.left meets low\n  mark b where s.right meets low\n"
        "  mark c where s.left meets across\n"
    )
    made = drafted(text)
    assert made.place("d.a") == pytest.approx((left, 8), abs=1e-9)
    assert made.place("d.b") == pytest.approx((right, 8), abs=1e-9)
    assert made.place("d.c") == pytest.approx((0, 0), abs=1e-9)


def test_the_angle_and_intake_of_a_dart_belong_together():
    text = (
        DRAFT + "  line edge from o to o right 9 in\n  mark m from o right 4 in\n"
        "  dart a on edge at m\n    to m down 3 in\n    intake 2 in\n    pressed left\n"
        "  dart b on edge at m\n    to m down 3 in\n    angle 90 deg\n    pressed left\n"
        "  x = a.angle\n  y = b.intake\n"
    )
    made = drafted(text)
    assert float(made.value("d.x")[0]) == pytest.approx(2 * math.atan(1 / 3))
    assert made.inches("d.y") == pytest.approx([6.0])


def test_long_lists_can_be_added_and_compared():
    row = ", ".join(f"{i} in" for i in range(1, 251))
    made = drafted(f"a = {row}\nb = sum of a\nc = least of a\nd = most of a\n")
    assert made.inches("b") == [250 * 251 / 2]
    assert (made.inches("c"), made.inches("d")) == ([1], [250])
