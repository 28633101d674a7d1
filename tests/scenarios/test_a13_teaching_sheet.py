"""A13: teaching sheet in two unit systems (acceptance scenario, figures invented).

In: a class handout for a bodice with 12 panels of 6.87 cm at the waist; one group uses inches to 1/8, one mm.
"""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from scye.ir.lesson import Lesson, LessonRequest, LessonUnits
from scye.ir.requests import ExitCode
from scye.render.lesson import lesson_html
from scye.teaching import make_lesson, run_lesson

RECIPE = """recipe "Twelve panels"
  about "The waist of a bodice of twelve panels."

needs waist
panel_width = share waist evenly over 12 "at the waist"

draft body
  begin at cf
  plumb centre_front through cf
  level waist_line through cf
  level hem_line from waist_line down 4 in
  mark panel[1] from cf right panel_width[1]
  repeat i from 2 to 12
    mark panel[i] from panel[i - 1] right panel_width[i]
  plumb last through panel[12]

piece belt "Waist"
  bounded by centre_front, waist_line, last, hem_line
  cut 1 of self
  grain down
  net on centre_front, waist_line, last, hem_line "bound"

prove "panels" sum of panel_width = waist
"""


@pytest.fixture
def teach(tmp_path: Path):
    def lesson(units: LessonUnits) -> Lesson:
        made = make_lesson(request(tmp_path, units), lambda _line: None)
        assert isinstance(made, tuple), made
        return made[0]

    return lesson


def request(folder: Path, units: LessonUnits) -> LessonRequest:
    recipe, card = folder / "panels.scye", folder / "heron.yaml"
    recipe.write_text(RECIPE)
    card.write_text("client: heron\nunit: cm\nmeasures:\n  waist: 82.44\n")
    return LessonRequest(recipe, card, None, (), units, folder / "out")


def steps(lesson: Lesson) -> list[Any]:
    return [step for stage in lesson.stages for step in stage.steps]


def widths(lesson: Lesson) -> Counter[str]:
    """The figures that the steps measure off for the panels."""
    return Counter(
        s.figure.text for step in steps(lesson) for s in step.sums if s.name.startswith("panel_width")
    )


def test_eight_panels_of_2_3_4_and_four_of_2_5_8(teach):
    lesson = teach("in8")
    assert widths(lesson) == {"2 3/4 in": 8, "2 5/8 in": 4}
    (row,) = lesson.rows
    assert Counter(s.figure.text for s in row.sums) == {"2 3/4 in": 8, "2 5/8 in": 4}
    assert row.total == "32 1/2 in"
    assert sum(s.figure.printed for s in row.sums) == pytest.approx(32.5 * 25.4)


def test_a_line_says_that_rounding_was_spread(teach):
    page = lesson_html(teach("in8")).decode()
    assert (
        "Rounding was spread over panel width: 8 of 2 3/4 in and 4 of 2 5/8 in, together 32 1/2 in." in page
    )
    assert "Each rounded by itself, they would come to 33 in." in page


def test_eight_of_69_and_four_of_68_mm(teach):
    lesson = teach("mm")
    assert widths(lesson) == {"69 mm": 8, "68 mm": 4}
    (row,) = lesson.rows
    assert row.total == "824 mm"
    assert sum(s.figure.printed for s in row.sums) == 824
    assert row.said.startswith("Rounding was spread")


def test_the_same_points_and_letters_in_both(teach):
    inches, metric = teach("in8"), teach("mm")
    assert [(s.number, s.makes) for s in steps(inches)] == [(s.number, s.makes) for s in steps(metric)]
    assert [n for s in steps(inches) for n in s.makes if "panel" in n] == [
        f"body.panel[{i}]" for i in range(1, 13)
    ]


def test_nothing_is_rounded_in_the_middle_of_the_sums(teach):
    """The waist is shown as 32 1/2 in and never used as that."""
    lesson = teach("in8")
    (waist,) = lesson.measures
    assert (waist.figure.text, waist.figure.exact) == ("32 1/2 in", pytest.approx(824.4))
    assert all(s.figure.exact == pytest.approx(68.7) for s in lesson.rows[0].sums)


def test_a_blank_column_and_a_check(teach):
    lesson = teach("in8")
    assert {s.student for s in (*lesson.measures, *lesson.rows[0].sums)} == {""}
    assert [(c.expected, c.found, c.verdict) for c in lesson.sum_checks] == [
        ("32 1/2 in", "32 1/2 in", "walks true")
    ]
    assert lesson.stages[0].checks
    assert "Yours" in lesson_html(lesson).decode()


def test_what_is_written(tmp_path: Path):
    outcome = run_lesson(request(tmp_path, "in8"), lambda _line: None)
    assert (outcome.exit_code, outcome.files) == (ExitCode.GOOD, ("lesson.html", "lesson.json"))
    document = json.loads((tmp_path / "out" / "lesson.json").read_text())
    assert [len(stage["steps"]) for stage in document["stages"]] == [17]
