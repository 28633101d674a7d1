"""The steps of a lesson: in an order that can be followed, with the pattern's figures, landing on it."""

from __future__ import annotations

import json
import re
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from by_steps import Student, away

from scye.ir.lesson import Lesson, LessonRequest, LessonUnits
from scye.ir.pattern import Piece, Stroke
from scye.render.lesson import lesson_html, lesson_json
from scye.teaching import make_lesson
from scye.units.tape import show_length
from workroom import ROOT, Workroom, client_for, recipes

WREN = ROOT / "examples" / "cards" / "wren.yaml"
EVERY = [*recipes(), *sorted((ROOT / "examples").glob("*/0*.scye"))]


@cache
def taught(recipe: Path, units: LessonUnits = "in8") -> Lesson:
    card = ROOT / "examples" / "cards" / f"{client_for(recipe, 'wren')}.yaml"
    request = LessonRequest(recipe, card, None, (), units, Path("unused"))
    made = make_lesson(request, lambda _line: None)
    assert isinstance(made, tuple), made
    return made[0]


@cache
def followed(recipe: Path, figures: str, units: LessonUnits = "in8") -> Student:
    return Student(json.loads(lesson_json(taught(recipe, units), "0")), figures)


def steps(lesson: Lesson) -> list[Any]:
    return [step for stage in lesson.stages for step in stage.steps]


each = pytest.mark.parametrize("recipe", EVERY, ids=lambda path: path.stem)


@each
def test_a_step_uses_only_what_was_marked_before(recipe: Path):
    marked: set[str] = set()
    for step in steps(taught(recipe)):
        made = {*step.makes, *(name.rpartition(".")[0] for name in step.makes)}
        assert set(step.uses) - made <= marked, step.text
        marked |= made | {s.name for s in step.sums}


@each
def test_no_words_speak_of_what_is_not_yet_marked(recipe: Path):
    """A name with an underscore or an index in a sentence is one that was made before, or is made by it."""
    lesson = taught(recipe)
    for stage_steps in (stage.steps for stage in lesson.stages):
        homes = {name.split(".")[0] for step in stage_steps for name in step.makes}
        later = {name for step in stage_steps for name in step.makes}
        for step in stage_steps:
            said = set(re.findall(r"[a-z]\w*(?:\[\d+\])?(?:\.\w+)*", " ".join((step.text, *step.details))))
            unmade = {name for name in later if name not in step.makes}
            if not step.text.startswith("Take "):
                for home in homes:
                    assert not said & {n.removeprefix(f"{home}.") for n in unmade if "_" in n or "[" in n}, (
                        step.text
                    )
            later -= set(step.makes)


@each
def test_followed_in_full_the_steps_land_on_the_pieces(recipe: Path, tmp_path: Path):
    assert farthest(recipe, "exact", tmp_path) <= 0.1


@each
def test_followed_to_an_eighth_they_land_within_5_mm(recipe: Path, tmp_path: Path):
    """Figures to 1/8 in are each up to 1/16 in out, and a place is reached by several of them in a row."""
    off = farthest(recipe, "printed", tmp_path)
    print(f"{recipe.stem}: {off:.2f} mm off with the figures as printed")
    assert off <= 5.0


@each
def test_followed_to_a_millimetre_they_land_within_1_and_a_half(recipe: Path, tmp_path: Path):
    off = farthest(recipe, "printed", tmp_path, "mm")
    print(f"{recipe.stem}: {off:.2f} mm off with the figures as printed")
    assert off <= 1.5


def farthest(recipe: Path, figures: str, folder: Path, units: LessonUnits = "in8") -> float:
    """How far (mm) the outline of any piece lies from the lines that a student drew."""
    student = followed(recipe, figures, units)
    document = json.loads(lesson_json(taught(recipe, units), "0"))
    cuts = {cut["name"]: cut for cut in document["pieces"]}
    pattern = Workroom(folder).pattern(recipe, client_for(recipe, "wren"))
    return max(_off(piece, cuts[piece.name], student) for piece in pattern.pieces)


def _off(piece: Piece, cut: Any, student: Student) -> float:
    """The lines that bound a piece, but those that darts change as they were trued at the end."""
    trued = {x["edge"]: x for x in cut["trued"]}
    lines = [_ruled(x, student.figures) for x in cut["trued"]]
    for name in cut["boundary"]:
        if name not in trued:
            lines += [student.named(n) for n in student.names if n == name or n.endswith(f".{name}")]
    return max(min(away(line, p) for line in lines) for p in _places(piece.net))


def _ruled(trued: Any, figures: str) -> np.ndarray:
    return np.array([[mark["right"][figures], mark["down"][figures]] for mark in trued["marks"]])


def _places(stroke: Stroke) -> list[np.ndarray]:
    places, at = [], np.array(stroke.start)
    for segment in stroke.segments:
        ends = [at, *map(np.array, segment)]
        if len(ends) == 2:
            ends = [ends[0], ends[0] + (ends[1] - ends[0]) / 3, ends[1] - (ends[1] - ends[0]) / 3, ends[1]]
        for t in (0.25, 0.5, 0.75, 1.0):
            weights = (1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3
            places.append(sum(w * e for w, e in zip(weights, ends, strict=True)))
        at = ends[-1]
    return places


@each
def test_points_are_where_the_pattern_has_them(recipe: Path, tmp_path: Path):
    student = followed(recipe, "exact")
    points = dict(Workroom(tmp_path).pattern(recipe, client_for(recipe, "wren")).points)
    named = {n: student.named(n) for n in student.names if n in points}
    assert named
    for name, at in named.items():
        assert np.hypot(*(at - np.array(points[name]))) <= 0.1, name


@each
def test_every_printed_figure_is_the_patterns_rounded(recipe: Path, tmp_path: Path):
    lesson = taught(recipe)
    values = {
        v.name: v.value
        for v in Workroom(tmp_path).pattern(recipe, client_for(recipe, "wren")).values
        if v.unit == "mm"
    }
    listed = {s.name for row in lesson.rows for s in row.sums}
    rows = [
        *lesson.measures,
        *lesson.choices,
        *lesson.sums,
        *(s for step in steps(lesson) for s in step.sums),
    ]
    seen = [row for row in rows if row.name in values and row.name not in listed]
    assert seen
    for row in seen:
        assert row.figure.exact == pytest.approx(values[row.name], abs=1e-9)
        assert row.figure.text == show_length(values[row.name], "in", Fraction(1, 8)), row.name


def test_names_and_steps_are_the_same_in_both_units():
    inches, metric = (taught(EVERY[0], u) for u in ("in8", "mm"))
    assert [s.makes for s in steps(inches)] == [s.makes for s in steps(metric)]
    assert [s.number for s in steps(inches)] == [s.number for s in steps(metric)]


def test_steps_run_from_one_without_a_gap():
    for recipe in EVERY:
        assert [s.number for s in steps(taught(recipe))] == list(range(1, len(steps(taught(recipe))) + 1))


def test_every_stage_ends_with_a_check():
    for recipe in EVERY:
        assert all(stage.checks for stage in taught(recipe).stages), recipe.stem


def test_the_same_sheet_every_time():
    made = [
        make_lesson(LessonRequest(EVERY[0], WREN, None, (), "mm", Path("x")), lambda _l: None) for _ in "ab"
    ]
    first, second = (m[0] for m in made if isinstance(m, tuple))
    assert lesson_html(first) == lesson_html(second)
    assert lesson_json(first, "0") == lesson_json(second, "0")


def test_the_page_fetches_nothing():
    page = lesson_html(taught(EVERY[0])).decode()
    assert not re.search(r"https?://|<script|<link|url\(|src=", page)


def test_a_find_says_what_it_was_tried_for_and_is_tried_when_all_is_drawn():
    lesson = taught(ROOT / "examples" / "07-find" / "07-find.scye")
    texts = [s.text for s in steps(lesson)]
    take = next(
        i for i, t in enumerate(texts) if t.startswith("Take cap_height = 5 3/8 in: between 3 in and 8 in")
    )
    tried = next(i for i, t in enumerate(texts) if t.startswith("Try: is length of cap = "))
    drawn = next(i for i, s in enumerate(steps(lesson)) if "sleeve.cap" in s.makes)
    assert take < drawn < tried


def test_a_method_is_a_stage_with_its_own_words():
    lesson = taught(ROOT / "examples" / "08-method" / "08-method.scye")
    stage = next(
        s for s in lesson.stages if s.title == "Draft of front: front neck, by the method round neck"
    )
    assert stage.about == "A round neckline from the side neck point to the centre line."
    assert {n for s in stage.steps for n in s.makes} == {
        "front.front_neck.at_centre",
        "front.front_neck.edge",
    }


def test_a_caution_is_said_once():
    recipe = ROOT / "recipes" / "saltmarsh-bodice" / "saltmarsh-bodice.scye"
    request = LessonRequest(recipe, WREN, None, (("reduction", "3 1/2 in"),), "in8", Path("unused"))
    made = make_lesson(request, lambda _line: None)
    assert isinstance(made, tuple)
    (caution,) = made[0].cautions
    assert lesson_html(made[0]).decode().count(caution[:60]) == 1
    assert taught(recipe).cautions == ()


def test_the_trade_says_it_so():
    lesson = taught(ROOT / "recipes" / "saltmarsh-bodice" / "saltmarsh-bodice.scye")
    texts = [s.text for s in steps(lesson)]
    assert "From bust_line measure down 7 1/4 in; square across: waist_line" in texts
    assert "From cf measure up 2 1/2 in: mark top_front" in texts
