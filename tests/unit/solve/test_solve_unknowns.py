"""Unknowns found, rings solved, limits held, rules for the tape; and what is said where none can be."""

from __future__ import annotations

import math

import numpy as np
import pytest

from scye.solve.solve import solve
from stages import INCH, NAN, drafted, runnable_of

DRAFT = "draft d\n  begin at o\n  level across through o\n"


# --- one unknown ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("condition", "inches"),
    [
        ("a * 4 = waist", 7),
        ("a * a = 9 in * 4 in", 6),
        ("waist = a * 14", 2),
        ("a / 2 + 1 in = 3 in", 4),
        ("square root of (a * a + 4 in * 4 in) = 5 in", 3),
    ],
)
def test_an_unknown_between_its_bounds_meets_its_condition(condition: str, inches: float):
    made = drafted(f"needs waist\nfind a from 1 in to 9 in\n  so that {condition}\n", {"waist": 28})
    assert made.inches("a") == pytest.approx([inches], abs=1e-7)
    assert made.reasons() == []


@pytest.mark.parametrize("inches", [1.0, 9.0])
def test_a_bound_itself_will_do(inches: float):
    made = drafted(f"find a from 1 in to 9 in\n  so that a = {inches:g} in\n")
    assert made.inches("a") == [inches]


def test_a_solution_is_found_though_both_bounds_lie_on_one_side_of_it():
    # (a - 3 in)(a - 7 in) is positive at both bounds; the lower of its two places is taken.
    made = drafted("find a from 0 in to 10 in\n  so that a * a + 21 in * 1 in = a * 10 in\n")
    assert made.inches("a") == pytest.approx([3.0], abs=1e-7)


def test_a_point_is_put_on_a_line():
    text = (
        DRAFT
        + "  find h from 0 in to 9 in\n    so that p on across\n  mark p from o down h - 2 in right 1 in\n"
        "  find k from 0 in to 9 in\n    so that q level with p\n  mark q from o down k - 5 in\n"
        "  find m from 0 in to 9 in\n    so that r plumb with p\n  mark r from o right m\n"
    )
    made = drafted(text)
    assert [made.inches(f"d.{n}") for n in "hkm"] == [[2.0], [5.0], [1.0]]


def test_an_unknown_angle():
    made = drafted(
        DRAFT + "  find t from 1 deg to 80 deg\n    so that height from o to p = 1 in\n"
        "  mark p from o right turned t toward up 2 in\n"
    )
    assert math.degrees(float(made.value("d.t")[0])) == pytest.approx(30.0)


# --- several unknowns -------------------------------------------------------------------------------


def test_two_unknowns_meet_two_conditions():
    made = drafted(
        "needs waist, hip\nfind a from 0 in to 40 in, b from 0 in to 40 in\n"
        "  so that a + b = hip\n  so that a - b = waist\n",
        {"waist": 28, "hip": 38},
    )
    assert made.inches("a") == pytest.approx([33.0], abs=1e-6)
    assert made.inches("b") == pytest.approx([5.0], abs=1e-6)


def test_finds_that_hang_on_each_other():
    made = drafted(
        "find a from 0 in to 9 in\n  so that a * 2 = b + 4 in\n"
        "find b from 0 in to 9 in\n  so that b * 2 = a + 1 in\n"
    )
    assert made.inches("a") == pytest.approx([3.0], abs=1e-6)
    assert made.inches("b") == pytest.approx([2.0], abs=1e-6)


def test_a_circle_and_a_line_in_two_unknowns():
    made = drafted(
        DRAFT + "  find x from 0 in to 9 in, y from 0 in to 9 in\n"
        "    so that distance from o to p = 5 in\n    so that x * 4 = y * 3\n"
        "  mark p from o right x down y\n"
    )
    assert made.place("d.p") == pytest.approx((3.0, 4.0), abs=1e-6)


# --- rings ------------------------------------------------------------------------------------------


def test_a_ring_of_amounts_is_solved():
    made = drafted("needs waist\na = b / 2 + waist\nb = a / 4\n", {"waist": 28})
    assert made.inches("a") == pytest.approx([32.0], abs=1e-6)
    assert made.inches("b") == pytest.approx([8.0], abs=1e-6)


def test_a_ring_of_points_is_solved():
    # p lies as far right of o as q lies below it; q lies halfway between o's plumb and p, 3 in lower.
    made = drafted(
        DRAFT
        + "  mark p from o right height from q to o\n  mark q from o down 3 in + width from o to p / 2\n"
    )
    x, _ = made.place("d.p")
    _, y = made.place("d.q")
    assert (x, y) == pytest.approx((6.0, 6.0), abs=1e-6)


def test_a_ring_without_an_answer_names_what_is_in_it():
    made = drafted("a = b + 1 in\nb = a + 1 in\n")
    (reason,) = made.reasons()
    assert reason[1] == "E605"
    assert "`a`" in reason[2]
    assert "`b`" in reason[2]


@pytest.mark.parametrize(
    "text",
    [
        "a = b / 4\nb = a * 4\n",
        "a = b + 1 in\nb = a - 1 in\n",
        "a = b + c\nb = c * 2\nc = a / 3\n",
        "a = b * 1.1 + 0.3 in\nb = (a - 0.3 in) / 1.1\n",
        "find a from 0 in to 9 in, b from 0 in to 9 in\n  so that a + b = 4 in\n"
        "  so that a * 2 + b * 2 = 8 in\n",
        # the unit in which a thing is asked makes no difference
        "find a from 0 in to 9 in, b from 0 in to 9 in\n  so that a + b = 4 in\n"
        "  so that a * 0.001 + b * 0.001 = 0.004 in\n",
    ],
)
def test_unknowns_that_are_left_open_are_not_made_up(text: str):
    made = drafted(text)
    (reason,) = made.reasons()
    assert reason[1] == "E605"
    assert "any amount would do" in reason[2] or reason[2].startswith("many `a` and `b` meet")
    assert math.isnan(float(made.value("a")[0]))


def test_conditions_that_differ_slightly_leave_nothing_open():
    made = drafted(
        "find a from 0 in to 9 in, b from 0 in to 9 in\n  so that a + b = 4 in\n"
        "  so that a * 1.001 + b = 4.002 in\n"
    )
    assert made.inches("a") == pytest.approx([2.0], abs=1e-3)


def test_a_body_whose_unknowns_are_left_open_changes_no_other():
    text = (
        "needs waist, hip\nfind a from 0 in to 40 in, b from 0 in to 40 in\n"
        "  so that a + b = hip\n  so that a + b * (waist / 28 in) = hip\n"
    )
    alone = drafted(text, {"waist": 30, "hip": 38})
    several = drafted(text, {"waist": [28, 30], "hip": [38, 38]})
    assert math.isnan(float(several.value("a")[0]))
    assert float(several.value("a")[1]) == float(alone.value("a")[0])


# --- nothing fits -----------------------------------------------------------------------------------


def test_nothing_between_the_bounds_says_how_near_it_comes():
    made = drafted(
        "needs waist\nfind a from 1 in to 4 in\n  so that a * 4 = waist\nb = a * 2\n", {"waist": 28}
    )
    assert math.isnan(made.inches("a")[0])
    assert made.reasons() == [(0, "E604", "no `a` from 1 in to 4 in makes `a * 4 = waist`")]


def test_a_condition_that_is_jumped_past_is_not_met():
    made = drafted("find a from 1 in to 9 in\n  so that a rounded to 1 in = 3 1/2 in\n")
    assert math.isnan(made.inches("a")[0])
    assert [code for _, code, _ in made.reasons()] == ["E604"]


def test_a_pole_is_no_solution():
    made = drafted("find a from 0 in to 4 in\n  so that 1 in * 1 in / (a - 2 in + 1/1000 in) = 0 in\n")
    assert math.isnan(made.inches("a")[0])


def test_conditions_that_disagree_are_both_named():
    made = drafted(
        "find a from 0 in to 9 in, b from 0 in to 9 in\n"
        "  so that a + b = 8 in\n  so that 2 * a + 2 * b = 9 in\n"
    )
    ((_, code, said),) = made.reasons()
    assert code == "E605"
    assert "`a + b = 8 in` and `2 * a + 2 * b = 9 in`" in said


# --- causes -----------------------------------------------------------------------------------------


def test_only_the_first_thing_that_failed_is_told():
    made = drafted(
        "needs waist, hip\na = square root of (waist * waist - hip * hip)\nb = a + 1 in\nc = b * 2\n"
        "find d from 0 in to 9 in\n  so that d = c\n",
        {"waist": 28, "hip": 38},
    )
    assert [code for _, code, _ in made.reasons()] == ["E608"]


def test_each_body_has_reasons_of_its_own():
    made = drafted(
        "needs waist, hip\na = square root of (waist * waist - hip * hip)\nb = hip / (waist - 32 in)\n",
        {"waist": [32, 40, 30], "hip": [20, 38, 38]},
    )
    assert [(body, code) for body, code, _ in sorted(made.reasons())] == [(0, "E608"), (2, "E608")]


def test_a_measure_that_is_nothing_is_not_blamed_on_the_draft():
    made = drafted(
        "needs waist\na = waist / 4\nfind b from 0 in to 9 in\n  so that b = a\n"
        + DRAFT
        + "  mark p from o right a\n  line l from o to p\n",
        {"waist": [NAN, 28]},
    )
    assert made.reasons() == []
    assert made.inches("b")[1] == pytest.approx(7.0)
    assert math.isnan(made.inches("b")[0])


@pytest.mark.parametrize(
    ("statements", "code"),
    [
        ("line a from o to o down 1 in\n  mark p where a meets level through (o down 2 in)", "E601"),
        ("mark p where across meets level through (o down 2 in)", "E601"),
        ("mark p where across meets sweep of 2 in about o", "E602"),
        ("mark p where across meets sweep of 2 in about (o down 3 in)", "E601"),
        ("curve c from o to o right 6 in length 5 in", "E603"),
        ("line a from o to o right 6 in\n  mark p 7 in along a", "E606"),
        ("line a from o to o right 6 in\n  mark p 1 in along a from (o down 1 in)", "E606"),
        ("line a from o to o right 6 in\n  line b = a from (o down 1 in) to (o right 1 in)", "E606"),
        ("mark p 1 in from o toward o", "E607"),
        ("curve c from o to o", "E607"),
        ("line a from o to o right 6 in\n  line b from o to o down 1 in\n  line c = a then b", "E601"),
        ("mark p from o right 900000 in\n  mark q from p right 1 in", "E612"),
        (
            "line a from o to o right 6 in to o right 6 in down 1 in\n  mark p (o down 3 in) mirrored in a",
            "E609",
        ),
    ],
)
def test_what_can_not_be_drawn_has_one_reason(statements: str, code: str):
    made = drafted(f"{DRAFT}  {statements}\n")
    assert [c for _, c, _ in made.reasons()] == [code]


# --- limits and rules -------------------------------------------------------------------------------


def test_what_is_past_a_requirement_is_not_drawn():
    made = drafted(
        'needs waist\na = waist / 4\nrequire a at most 7 in "x"\nb = a * 2\n', {"waist": [24, 28, 32]}
    )
    assert made.inches("b")[:2] == [12.0, 14.0]
    assert math.isnan(made.inches("b")[2])
    assert made.reasons() == []


def test_the_tape_goes_before_the_rule():
    made = drafted(
        "needs bust\nneeds scye_depth otherwise bust / 6 + 1 1/2 in\na = scye_depth\n",
        {"bust": [36, 36], "scye_depth": [8, NAN]},
    )
    assert made.inches("a") == [8.0, 7.5]


def test_a_choice_of_amount_may_differ_by_body():
    runnable = runnable_of('needs waist\nchoose ease = 1 in from 0 in to 4 in "x"\na = waist + ease\n')
    waist, ease = np.array([28.0, 30.0]) * INCH, np.array([1.0, 2.5]) * INCH
    solution = solve(runnable, {"waist": waist}, {"ease": ease}, 2)
    (ref,) = [i for i, n in enumerate(runnable.names) if n == "a"]
    assert (solution.values[ref] / INCH).tolist() == pytest.approx([29.0, 32.5])


# --- the generated source ---------------------------------------------------------------------------


def test_the_source_holds_nothing_of_the_text_but_measures_and_choices():
    made = drafted(
        'needs waist\nchoose ease = 1 in from 0 in to 4 in "__import__"\n'
        "import_os = waist / 4 + ease\nfind a from 1 in to 9 in\n  so that a = import_os\n",
        {"waist": 28},
    )
    source = made.runnable.source
    assert "import" not in source
    assert "measures['waist']" in source
    assert "choices['ease']" in source
    assert source.startswith("def evaluate(measures, choices, count, c):\n")
    assert source.count("k.seek(") == 1


def test_the_same_recipe_gives_the_same_source():
    text = "needs waist, hip\na = waist / 4\nb = hip / a * 1 in\nfind c from 0 in to 9 in\n  so that c = b\n"
    assert (
        drafted(text, {"waist": 28, "hip": 38}).runnable.source
        == drafted(text, {"waist": 20, "hip": 30}).runnable.source
    )


def test_a_recipe_with_other_figures_has_the_same_source_and_its_own_values():
    text = "needs waist\na = waist / 4\nb = a + 2 in\n"
    one, other = drafted(text, {"waist": 28}), drafted(text.replace("2 in", "3 in"), {"waist": 28})
    assert one.runnable.source == other.runnable.source
    assert [x.solution.values[x.runnable.names.index("b")] / INCH for x in (one, other)] == [9.0, 10.0]
