"""Allowances per edge and stretch, and the corners between them (scenario A7)."""

from __future__ import annotations

import numpy as np
import pytest
from by_hand import INCH, SPAN, Paper, allow, boundary, cut, drafted, pegged_back, piece, recipe, turns

from scye.assemble.assemble import assemble
from scye.ir.plan import CornerPlan, CornerTreatment


def _points(pattern: object) -> np.ndarray:
    return turns(pattern.pieces[0].cutting)


def _has(points: np.ndarray, x: float, y: float) -> bool:
    return bool((np.hypot(points[:, 0] - x, points[:, 1] - y) < 1e-6).any())


def _off(points: np.ndarray, x: float, y: float) -> float:
    return float(np.hypot(points[:, 0] - x, points[:, 1] - y).min())


def test_a_turned_hem_flares_so_that_it_lies_on_the_skirt() -> None:
    """A7: a side seam 5 deg off square with a 1 1/2 in hem flares 0.131 in."""
    points = _points(drafted(*pegged_back()))
    at_fold = max(p[0] for p in points if abs(p[1] - 500.0) < 1e-6)
    lowest = points[:, 1].max()
    at_depth = max(p[0] for p in points if abs(p[1] - lowest) < 1e-6)
    assert lowest == pytest.approx(500.0 + 1.5 * INCH)
    assert (at_depth - at_fold) / INCH == pytest.approx(0.1312, abs=5e-5)
    assert 1.5 * np.tan(np.radians(5.0)) == pytest.approx(0.1312, abs=5e-5)


def test_the_turned_hem_mirrors_onto_the_cutting_line_above() -> None:
    points = _points(drafted(*pegged_back()))
    lowest = points[:, 1].max()
    corner = max((p for p in points if abs(p[1] - lowest) < 1e-6), key=lambda p: p[0])
    folded = np.array([corner[0], 1000.0 - corner[1]])
    lean = np.tan(np.radians(5.0))
    side = 200.0 - folded[1] * lean + 0.5 * INCH / np.cos(np.radians(5.0))
    assert folded[0] == pytest.approx(side, abs=1e-6)


def test_the_step_at_the_end_of_the_zip() -> None:
    points = _points(drafted(*pegged_back()))
    assert _has(points, -0.75 * INCH, 180.0)
    assert _has(points, -0.5 * INCH, 180.0)
    back = drafted(*pegged_back()).pieces[0]
    runs = next(e for e in back.edges if e.name == "cb").allowances
    found = np.array([(r.width, r.start, r.end) for r in runs])
    assert found == pytest.approx(np.array([(0.5 * INCH, 0.0, 220.0), (0.75 * INCH, 220.0, 400.0)]))
    words = {label.text for label in back.edge_labels if label.role == "allowance"}
    assert words == {"3/4 in", "1/2 in", "3/8 in", "1 1/2 in", "net"}


def test_an_edge_without_a_word_is_an_error_once() -> None:
    plan, paper = pegged_back(said=False)
    (missing,) = assemble(plan, paper.solution()).diagnostics
    assert missing.code == "E701"
    assert missing.seen() == "back, vent: no allowance stated"
    assert missing.attempt() == "say `net on vent` if it has none"
    plan, paper = pegged_back()
    assert assemble(plan, paper.solution()).diagnostics == ()


def test_a_part_of_an_edge_without_a_word_is_told() -> None:
    plan, paper = pegged_back()
    (back,) = plan.pieces
    only_the_zip = tuple(a for a in back.allowances if not (a.edge == "cb" and a.end is None))
    short = piece("back", back.boundary, allowances=only_the_zip)
    findings = drafted(recipe([short]), paper).findings
    assert [(f.code, f.text) for f in findings] == [("E701", "cb: no allowance stated for a part of it")]


# --- corners -----------------------------------------------------------------------------------


def _corner(
    treatment: CornerTreatment | None, angle: float = 90.0, widths: tuple[float, float] = (10.0, 10.0)
) -> np.ndarray:
    """The cutting line of a piece with a corner of `angle` deg at the origin, between `one` and `two`."""
    paper = Paper()
    lean = np.radians(angle)
    far = (-200.0 * np.cos(lean), 200.0 * np.sin(lean))
    beyond = (far[1], 200.0) if angle > 180.0 else ()
    sides = boundary(
        ("one", paper.line((-200.0, 0.0), (0.0, 0.0))),
        ("two", paper.line((0.0, 0.0), far)),
        ("three", paper.line(far, *((250.0, y) for y in beyond), (-200.0, 200.0), (-200.0, 0.0))),
    )
    rules = (
        allow("one", paper.amount(widths[0])),
        allow("two", paper.amount(widths[1])),
        allow("three", None),
    )
    corners = () if treatment is None else (CornerPlan("two", "one", treatment, SPAN),)
    return _points(drafted(recipe([piece("p", sides, allowances=rules, corners=corners)]), paper))


@pytest.mark.parametrize("treatment", [None, "extended"])
def test_an_extended_corner_runs_on_straight(treatment: CornerTreatment | None) -> None:
    assert _has(_corner(treatment), 10.0, -10.0)
    assert _has(_corner(treatment, widths=(10.0, 30.0)), 30.0, -10.0)


@pytest.mark.parametrize("angle", [50.0, 30.0, 12.0, 3.0])
def test_no_corner_reaches_past_twice_its_allowance(angle: float) -> None:
    points = _corner(None, angle, (10.0, 6.0))
    near = points[points[:, 0] > -1e-6]
    assert len(near) >= 2
    assert np.hypot(*near.T).max() <= 20.0 + 1e-6


def test_a_blunt_corner_is_cut_square_across_at_its_allowance() -> None:
    points = _corner("blunt")
    assert not _has(points, 10.0, -10.0)
    out = np.array([1.0, -1.0]) / np.sqrt(2.0)
    tips = [p for p in points if abs(float(p @ out) - 10.0) < 1e-6]
    assert len(tips) == 2


def test_a_stepped_corner_runs_the_wider_on_and_steps_square() -> None:
    points = _corner("stepped", widths=(20.0, 8.0))
    assert _has(points, 0.0, -20.0)  # square over the corner, then down to the narrower: x 8 from y 0
    assert _has(points, 8.0, 0.0)


def test_a_mitred_corner_leaves_a_quarter_inch_beyond_the_fold() -> None:
    points = _corner("mitred", widths=(30.0, 30.0))
    out = np.array([1.0, -1.0]) / np.sqrt(2.0)
    tips = [p for p in points if abs(float(p @ out) - INCH / 4.0) < 1e-6]
    assert len(tips) == 2
    assert max(float(p @ out) for p in points) == pytest.approx(INCH / 4.0)


def test_a_hollow_corner_is_cut_back_to_where_the_cutting_lines_cross() -> None:
    points = _corner(None, 240.0)
    crossing = 10.0 / np.tan(np.radians(120.0))
    assert _has(points, crossing, -10.0)


def test_cutting_lines_of_curves_are_cut_back_on_the_curves() -> None:
    paper = Paper()
    sides = boundary(
        ("one", paper.cubic((-200.0, 60.0), (-150.0, 20.0), (-60.0, 30.0), (0.0, 0.0))),
        ("two", paper.cubic((0.0, 0.0), (60.0, 30.0), (150.0, 20.0), (200.0, 60.0))),
        ("three", paper.line((200.0, 60.0), (200.0, 200.0), (-200.0, 200.0), (-200.0, 60.0))),
    )
    rules = tuple(allow(name, paper.amount(12.0)) for name in ("one", "two", "three"))
    pattern = drafted(recipe([piece("p", sides, allowances=rules)]), paper)
    assert pattern.findings == ()
    points = _points(pattern)
    top = points[np.abs(points[:, 0]) < 1e-6]
    assert len(top) == 1  # the two sides are alike, so their cutting lines cross in the middle
    assert top[0][1] < -12.0


def test_a_fold_needs_no_allowance_and_runs_on_to_the_hem() -> None:
    paper = Paper()
    sides = boundary(("fold", paper.plumb(0.0)), ("top", paper.level(0.0)), ("side", paper.plumb(100.0)),
                     ("hem", paper.level(200.0)))  # fmt: skip
    rules = (
        allow("top", None),
        allow("side", paper.amount(10.0)),
        allow("hem", paper.amount(40.0), turned=True),
    )
    plan = recipe([piece("p", sides, cuts=(cut(1, "fold", "fold"),), allowances=rules)])
    pattern = drafted(plan, paper)
    points = _points(pattern)
    assert _has(points, 0.0, 240.0)
    assert _has(points, 110.0, 240.0)
    assert _has(points, 110.0, 0.0)
    fold = pattern.pieces[0].edges[0]
    assert (fold.on_fold, fold.letters) == (True, ())
    assert assemble(plan, paper.solution()).diagnostics == ()


def test_a_loop_in_a_tight_hollow_is_taken_out_with_a_note() -> None:
    paper = Paper()
    sides = boundary(
        ("left", paper.line((0.0, 200.0), (0.0, 0.0))),
        ("notched", paper.cubic((0.0, 0.0), (60.0, 160.0), (40.0, 160.0), (100.0, 0.0))),
        ("right", paper.line((100.0, 0.0), (100.0, 200.0))),
        ("bottom", paper.line((100.0, 200.0), (0.0, 200.0))),
    )
    rules = tuple(allow(s.name, paper.amount(20.0)) for s in sides)
    pattern = drafted(recipe([piece("p", sides, allowances=rules)]), paper)
    assert [f.code for f in pattern.findings] == ["E708"]
    cutting = pattern.pieces[0].cutting
    assert cutting.closed
    points = turns(cutting)[:-1]
    x, y = points.T
    area = float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)) / 2.0
    assert area > 0.0
    assert _simple(points)


def _simple(points: np.ndarray) -> bool:
    import shapely

    return bool(shapely.is_valid(shapely.polygons(points)))
