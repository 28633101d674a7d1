"""A5: the sleeve must follow the armhole (acceptance scenario, figures invented).

In: armhole 9 1/4 + 9 3/4 = 19; cap ease 1 1/4; upper arm 13 + 2; cap height a third of the armhole. Then the
armhole is lowered to 20; then, on the first armhole, the sleeve is to be 17 wide.
"""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from shapely.geometry import LineString
from svgelements import Move  # type: ignore[import-untyped]
from svgelements import Path as SvgPath

from scye.diagnostics.model import Severity
from scye.ir.pattern import Notch, Pattern, Piece, Stroke
from scye.render.svg import path_data
from scye.units.tape import show_length
from workroom import INCH, Workroom

RECIPE = Path(__file__).with_name("sleeve-follows.scye")
ARM = {"biceps": "13", "arm_length": "23", "wrist": "6 1/4"}
LOWERED: Any = {"front_length": "9 3/4 in", "back_length": "10 1/4 in"}
CHOICES: tuple[Any, ...] = ({}, LOWERED)


def piece(pattern: Pattern, title: str) -> Piece:
    (found,) = (p for p in pattern.pieces if p.title == title)
    return found


def length_of(pattern: Pattern, title: str, edge: str) -> float:
    """Inches."""
    (found,) = (e.length for e in piece(pattern, title).edges if e.name == edge)
    return found / INCH


def amount(pattern: Pattern, name: str) -> float:
    """Inches."""
    (found,) = (v.value for v in pattern.values if v.name.endswith(f".{name}") or v.name == name)
    return found / INCH


@pytest.mark.parametrize(("choices", "armhole", "cap"), [({}, 19.0, 20.25), (LOWERED, 20.0, 21.25)])
def test_cap_is_the_armhole_and_its_ease(room: Workroom, choices: Any, armhole: float, cap: float) -> None:
    """Re-solved without asking; the ease stays what was asked."""
    pattern = room.pattern(RECIPE, ARM, **choices)
    assert not pattern.findings
    sewn = length_of(pattern, "Front", "armhole") + length_of(pattern, "Back", "armhole")
    assert sewn == pytest.approx(armhole, abs=1e-6)
    assert length_of(pattern, "Sleeve", "set.cap") == pytest.approx(cap, abs=1 / 16)
    assert length_of(pattern, "Sleeve", "set.cap") - sewn == pytest.approx(1.25, abs=1e-4)


def test_cap_height_is_a_third_of_the_armhole(room: Workroom) -> None:
    """19 / 3 is 6 1/3 in: 6 3/8 to the nearest eighth, 6 5/16 to the sixteenth that the sheets show."""
    pattern = room.pattern(RECIPE, ARM)
    assert amount(pattern, "cap_height") == pytest.approx(19 / 3, abs=1e-6)
    assert abs(amount(pattern, "cap_height") - 6.375) <= 1 / 16
    assert show_length(amount(pattern, "cap_height") * INCH, "in") == "6 5/16 in"
    top, under = room.thing(RECIPE, ARM, "sleeve.set.top", "sleeve.set.front_under")
    assert (under[1] - top[1]) / INCH == pytest.approx(19 / 3, abs=1e-6)


def test_the_sleeve_is_as_wide_as_asked_at_the_underarm(room: Workroom) -> None:
    back, front = room.thing(RECIPE, ARM, "sleeve.set.back_under", "sleeve.set.front_under")
    assert (front[0] - back[0]) / INCH == pytest.approx(15.0)


def strokes(notches: tuple[Notch, ...]) -> dict[str, int]:
    return {notch.name: notch.strokes for notch in notches if notch.letter == "D"}


def test_notches_single_front_double_back_and_one_shoulder(room: Workroom) -> None:
    for choices in CHOICES:
        pattern = room.pattern(RECIPE, ARM, **choices)
        assert strokes(piece(pattern, "Sleeve").notches) == {"back notch": 2, "shoulder": 1, "front notch": 1}
        assert strokes(piece(pattern, "Front").notches)["front notch"] == 1
        assert strokes(piece(pattern, "Back").notches)["back notch"] == 2


def test_notches_pair_and_all_ease_is_above_them(room: Workroom) -> None:
    for choices in CHOICES:
        (seam,) = (s for s in room.pattern(RECIPE, ARM, **choices).seams if s.letter == "D")
        assert seam.verdict == "walks true"
        eases = [(part.length_a - part.length_b) / INCH for part in seam.parts]
        assert eases == pytest.approx([0.0, 0.6875, 0.5625, 0.0], abs=1e-4)
        assert [part.ease / INCH for part in seam.parts] == pytest.approx([0.0, 0.6875, 0.5625, 0.0])


def test_back_and_front_ease_are_printed(room: Workroom) -> None:
    pattern = room.pattern(RECIPE, ARM)
    shown = {v.name.rsplit(".", 1)[-1]: show_length(v.value, "in") for v in pattern.values}
    assert (shown["back_ease"], shown["front_ease"], shown["cap_length"]) == (
        "11/16 in",
        "9/16 in",
        "20 1/4 in",
    )


def path_of(pattern: Pattern, title: str, edge: str) -> Stroke:
    (found,) = (e.path for e in piece(pattern, title).edges if e.name == edge)
    return found


def drawn(stroke: Stroke) -> LineString:
    """A path as a row of short chords, by an outside reading of its SVG data."""
    segments = [s for s in SvgPath(path_data(stroke)) if not isinstance(s, Move)]
    return LineString([tuple(place) for s in segments for place in s.npoint([i / 400 for i in range(401)])])


def from_underarm(line: LineString, right: bool | None = None) -> list[tuple[float, float]]:
    """Points of the last inch at the underarm, as moves from there: from the lower end, or from that which
    lies right (left) of the other."""
    (ax, ay), (bx, by) = line.coords[0], line.coords[-1]
    backward = by > ay if right is None else (bx > ax) is right
    places = [line.length - step if backward else step for step in (0.0, 5.0, 10.0, 15.0, 20.0, 25.0)]
    points = [line.interpolate(place) for place in places]
    return [(p.x - points[0].x, p.y - points[0].y) for p in points]


def test_the_sleeves_underarm_lies_on_the_bodices(room: Workroom) -> None:
    """Laid underarm on underarm, the last inch of cap and armhole are one line: the front as it lies, the
    back turned over."""
    pattern = room.pattern(RECIPE, ARM)
    cap = drawn(path_of(pattern, "Sleeve", "set.cap"))
    for title, turned in (("Front", False), ("Back", True)):
        bodice = from_underarm(drawn(path_of(pattern, title, "armhole")))
        sleeve = from_underarm(cap, right=not turned)
        for (x, y), (u, v) in zip(bodice, sleeve, strict=True):
            assert (-x if turned else x, y) == pytest.approx((u, v), abs=0.01)


def bends(line: LineString) -> int:
    """How often a line changes from a left to a right bend, on 200 chords."""
    points = [line.interpolate(i / 200, normalized=True) for i in range(201)]
    steps = [complex(b.x - a.x, b.y - a.y) for a, b in pairwise(points)]
    turns = [(one.conjugate() * two).imag for one, two in pairwise(steps)]
    clear = [turn > 0 for turn in turns if abs(turn) > 1e-3 * abs(steps[0]) ** 2]
    return sum(one != two for one, two in pairwise(clear))


def test_the_cap_is_one_hill_without_bumps(room: Workroom) -> None:
    """Hollow at either underarm, round over the top: two changes of bend and no more."""
    for choices in CHOICES:
        cap = path_of(room.pattern(RECIPE, ARM, **choices), "Sleeve", "set.cap")
        assert bends(drawn(cap)) == 2


WIDE = ARM | {"biceps": "15"}


def test_a_sleeve_17_wide_has_no_such_cap(room: Workroom) -> None:
    """Half the cap is 10 1/8, half the arm 8 1/2: root of (10.125 squared - 8.5 squared) is 5.50 in."""
    pattern = room.pattern(RECIPE, WIDE)
    (finding,) = (f for f in pattern.findings if f.code == "E714")
    assert finding.severity is Severity.FAILURE
    assert finding.text == "cap height cannot exceed 5 1/2 in; you asked 6 5/16 in"
    assert finding.attempt.startswith("lower the cap, add cap ease, or ")


def test_no_cap_is_drawn_then_and_the_bodice_is(room: Workroom) -> None:
    pattern = room.pattern(RECIPE, WIDE)
    assert [p.title for p in pattern.pieces] == ["Front", "Back"]
    assert {s.letter: s.verdict for s in pattern.seams} == {
        "A": "walks true", "B": "walks true", "C": "not drawn", "D": "not drawn",
    }  # fmt: skip


def test_the_requirement_is_the_only_failure_told(room: Workroom) -> None:
    assert [f.code for f in room.pattern(RECIPE, WIDE).findings] == ["E714"]


def test_a_narrower_sleeve_cures_it(room: Workroom) -> None:
    """Less ease at the upper arm is what lets the cap stand: 17 less 2 1/2."""
    assert not room.pattern(RECIPE, WIDE, biceps_ease="0 in").findings


def test_the_remedy_offered_cures_it(room: Workroom) -> None:
    (finding,) = (f for f in room.pattern(RECIPE, WIDE).findings if f.code == "E714")
    assert "raise the upper arm's ease" not in finding.attempt
