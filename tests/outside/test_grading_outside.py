"""Grading against outside sources: published charts as input, stdlib's charts, and a grading lesson of 1911.

Charts: the US pattern industry's misses 6 to 20 and women 38 to 50, as in "Women's and Men's Pattern
Sizing", Sewing Scholar, 28 February 2011 (secondary). They give bust, waist, hip and back length; the two
bodices need underbust and high hip as well. So the maker's own variant of each stands between, which gives
rules for both: underbust 86 % of the bust (31 of 36 in on the scenarios' cards), high hip two thirds of the
way from waist to hip.

Lesson: Rosenfeld, The Practical Designer, 1911, lesson 109, page 207, "How to grade a box coat from 36 to
38"; what the lesson says and why the redrafted bodice differs is in recipes/yoked-bodice/GRADING.md.
"""

from __future__ import annotations

import json
import shutil
from functools import lru_cache
from pathlib import Path
from typing import Any

import pytest

from scye.driver import Drafted, draft
from scye.ir.people import Chart
from scye.ir.requests import BuildRequest
from scye.project import open_chart, open_project
from scye.render.pattern_json import Header, pattern_json
from scye.sizes import graded
from scye.units.tape import show_length
from workroom import INCH, ROOT

CHARTS = ROOT / "stdlib" / "charts"
RULES = """\
recipe "From a chart"
  edition 1
  based on "{name}" edition 1

needs hip
redraw needs underbust otherwise bust * 86%
redraw needs high_hip otherwise waist + (hip - waist) * 2 / 3
"""
STEP = """\
chart: 36 to 38
source: The same change as the lesson's, on invented measures.
unit: in
sizes:
  36: {bust: 36, underbust: 31, waist: 28, high_hip: 35, nape_to_waist: 15 3/4}
  38: {bust: 38, underbust: 33, waist: 30, high_hip: 37, nape_to_waist: 16}
"""


def drafted(recipe: Path, chart: Path) -> dict[str, Any]:
    """All sizes of a chart with their grade, as they stand in pattern.json."""
    run = draft(BuildRequest(recipe, (), chart, (), (), None, Path()), lambda _line: None)
    assert isinstance(run, Drafted), [d.seen() for d in run.diagnostics]
    sizes = graded(run.patterns, run.chart, None)
    assert isinstance(sizes, tuple)
    found: dict[str, Any] = json.loads(pattern_json(run.patterns, Header("", "", ""), sizes[0]))
    return found


@pytest.mark.parametrize("name", ["saltmarsh-bodice", "yoked-bodice"])
@pytest.mark.parametrize(("chart", "count"), [("us-misses", 8), ("us-women", 7)])
def test_every_published_size_gives_a_proved_bodice(
    name: str, chart: str, count: int, tmp_path: Path
) -> None:
    parent = ROOT / "recipes" / name / f"{name}.scye"
    shutil.copy(parent, tmp_path / parent.name)
    recipe = tmp_path / "from-a-chart.scye"
    recipe.write_text(RULES.format(name=name), encoding="utf-8")
    bodies = drafted(recipe, CHARTS / f"{chart}.yaml")["bodies"]
    assert len(bodies) == count
    for body in bodies:
        assert len(body["pieces"]) == body["pieces"][0]["of"] == 5
        verdicts = {x["verdict"] for x in (*body["seams"], *body["proofs"])}
        assert verdicts == {"walks true"}, body["body"]
        assert [f["text"] for f in body["findings"] if f["severity"] != "note"] == []


def test_sizes_that_leap_are_told(tmp_path: Path) -> None:
    """The yoked bodice rounds its scye to 1/2 in, so seams below it shrink wherever that leaps."""
    parent = ROOT / "recipes" / "yoked-bodice" / "yoked-bodice.scye"
    shutil.copy(parent, tmp_path / parent.name)
    recipe = tmp_path / "from-a-chart.scye"
    recipe.write_text(RULES.format(name="yoked-bodice"), encoding="utf-8")
    grade = drafted(recipe, CHARTS / "us-misses.yaml")["grade"]
    depths = [step / INCH for step in grade["amounts"]["scye_rule"]["steps"]]
    assert depths == pytest.approx([0.5, 0, 0, 0.5, 0.5, 0, 0.5], abs=1e-4)
    places = [f["text"] for f in grade["findings"] if f["code"] == "E1001"]
    sizes = grade["sizes"]
    for i, depth in enumerate(depths):
        runs = [(a, b) for a in range(i + 1) for b in range(i + 1, len(sizes))]
        told = any(f"between {sizes[a]} and {sizes[b]} (" in text for a, b in runs for text in places)
        assert told == (depth > 0), sizes[i]


# --- the lesson -----------------------------------------------------------------------------------


def test_the_lesson_beside_the_redrafted_bodice(tmp_path: Path) -> None:
    """What GRADING.md says of the redrafted bodice is what it does."""
    chart = tmp_path / "step.yaml"
    chart.write_text(STEP, encoding="utf-8")
    recipe = ROOT / "recipes" / "yoked-bodice" / "yoked-bodice.scye"
    grade = drafted(recipe, chart)["grade"]

    def moved(name: str) -> float:
        """Inches."""
        return float(grade["points"][f"back.{name}"]["moves"][1]) / INCH

    shoulder = next(row for name, row in grade["seams"].items() if name.startswith("A: "))
    redrafted = {
        "half back at the bust": moved("bust_side right"),
        "half back at the hem": moved("hem_side right"),
        "side of neck, outward": moved("snp right"),
        "side of neck, up": -moved("snp down"),
        "shoulder point, outward": moved("sp right"),
        "shoulder point, up": -moved("sp down"),
        "underarm below the shoulder point": moved("underarm down") - moved("sp down"),
        "shoulder length": shoulder["moves"][1] / INCH,
        "length": moved("waist_side down"),
    }
    words = {0.0: "0", 0.2: "1/5 in", 0.25: "1/4 in", 0.5: "1/2 in"}
    expected = {what: words[min(words, key=lambda w: abs(w - x))] for what, x in redrafted.items()}
    assert expected == {what: text for what, _, text in table()}
    for what, _, text in table():
        exact = next(figure for figure, word in words.items() if word == text)
        assert redrafted[what] == pytest.approx(exact, abs=0.006)


def table() -> list[tuple[str, str, str]]:
    text = (ROOT / "recipes" / "yoked-bodice" / "GRADING.md").read_text(encoding="utf-8")
    rows = [
        [cell.strip() for cell in line.strip("|").split("|")] for line in text.splitlines() if "|" in line
    ]
    return [(what, lesson, redrafted) for what, lesson, redrafted in rows[2:]]


def test_the_lessons_own_figures_add_to_the_change_of_girth() -> None:
    """1/8 in and 3/8 in a quarter, four quarters: 2 in."""
    lesson = {what: text for what, text, _ in table()}
    assert lesson["half back at the bust"] == "1/8 in at the centre back and 3/8 in at the side: 1/2 in"
    assert 4 * (1 / 8 + 3 / 8) == 2


# --- charts of stdlib -----------------------------------------------------------------------------


@lru_cache(maxsize=8)
def chart(name: str) -> Chart:
    catalogue = open_project(ROOT / "recipes" / "saltmarsh-bodice" / "saltmarsh-bodice.scye").catalogue
    found, mistakes = open_chart(CHARTS / f"{name}.yaml", catalogue)
    assert found is not None, mistakes
    return found


def figures(name: str, size: str) -> dict[str, str]:
    body = next(b for b in chart(name).sizes if b.code == size)
    return {r.name: show_length(r.value, chart(name).unit) for r in body.readings}


# ANSUR II public data (NATICK/TR-15/007), 4,082 men: medians by class of chest girth, mm, as worked out from
# the public file: class 980 to 1020 has 623 men.
def test_men_by_chest_hold_the_medians_of_the_survey() -> None:
    found = figures("men-by-chest", "98-102")
    assert found["chest"] == "100.1 cm"
    assert found["waist"] == "86.7 cm"
    assert found["hip"] == "97.8 cm"
    assert found["neck_base"] == "42.3 cm"
    assert "navel" in chart("men-by-chest").sizes[0].notes[0]


# The survey's regressions over 4,082 men, cm: neck base = 20.16 + 0.220 chest; nape to armpit 12.46 + 0.060.
def test_men_by_chest_agree_with_the_surveys_own_regressions() -> None:
    for body in chart("men-by-chest").sizes:
        cm = {r.name: r.value / 10 for r in body.readings}
        assert cm["neck_base"] == pytest.approx(20.16 + 0.220 * cm["chest"], abs=0.7)
        assert cm["scye_depth"] == pytest.approx(12.46 + 0.060 * cm["chest"], abs=0.8)


# sampleSpanishSurvey of the R package Anthropometry 1.20: 600 women, medians by bust class of EN 13402-3.
def test_the_spanish_sample_holds_its_medians() -> None:
    assert figures("spanish-women", "90-94") == {
        "bust": "91.8 cm",
        "waist": "81.2 cm",
        "hip": "101.9 cm",
        "nape_to_floor": "136.4 cm",
    }


def test_childrens_sizes_are_those_of_the_old_lessons_and_no_more() -> None:
    """Rosenfeld 1911, pages 194 and 199; Hapgood 1893. What no source gives is not there."""
    sizes = {body.code: {r.name for r in body.readings} for body in chart("children-historic").sizes}
    expected = {"6": {"chest", "inside_sleeve"}, "8": {"waist", "knee"}, "10": {"chest", "waist", "hip"}}
    assert sizes == expected
    assert figures("children-historic", "10") == {"chest": "30 in", "waist": "25 1/2 in", "hip": "34 in"}
