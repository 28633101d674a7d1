"""`scye lesson` as it is called, and what it refuses."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from scye.cli.main import main
from workroom import ROOT

CARDS = ROOT / "examples" / "cards"
SKIRT = ROOT / "examples" / "02-skirt" / "02-skirt.scye"
CINCHER = ROOT / "recipes" / "saltmarsh-bodice" / "saltmarsh-bodice.scye"


def run(*words: str, recipe: Path = SKIRT, out: Path) -> int:
    return main(["lesson", str(recipe), "--out", str(out), *words])


def test_it_writes_a_page_and_the_steps(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    assert run("--body", str(CARDS / "wren.yaml"), "--units", "mm", out=tmp_path / "out") == 0
    assert "13 steps in 1 stage" in capsys.readouterr().out
    assert {p.name for p in (tmp_path / "out").iterdir()} == {"lesson.html", "lesson.json"}
    assert json.loads((tmp_path / "out" / "lesson.json").read_text())["units"] == "mm"


def test_a_student_has_a_column(tmp_path: Path):
    words = "--body", str(CARDS / "wren.yaml"), "--student", str(CARDS / "plover.yaml")
    assert run(*words, out=tmp_path / "out") == 0
    rows = json.loads((tmp_path / "out" / "lesson.json").read_text())["measures"]
    assert all(row["student"] for row in rows)
    assert any(row["student"] != row["figure"]["text"] for row in rows)


def test_a_body_whose_sides_differ_is_taught_on_its_right(tmp_path: Path):
    yoked = ROOT / "recipes" / "yoked-bodice" / "yoked-bodice.scye"
    assert run("--body", str(CARDS / "whinchat.yaml"), recipe=yoked, out=tmp_path / "out") == 0
    page = (tmp_path / "out" / "lesson.html").read_text()
    assert page.count("this sheet drafts the right half") == 1


def test_a_student_who_chooses_another_draft_needs_another_sheet(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
):
    card = tmp_path / "heron.yaml"
    text = (CARDS / "wren.yaml").read_text().replace("client: wren", "client: heron")
    card.write_text(text + "\nchoices:\n  closing: zipped\n" if "choices:" not in text else text)
    words = "--body", str(CARDS / "wren.yaml"), "--student", str(card)
    assert run(*words, recipe=CINCHER, out=tmp_path / "out") == 2
    assert "E1702" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


def test_a_draft_that_is_not_whole_is_not_taught(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    recipe = tmp_path / "gap.scye"
    recipe.write_text(
        'recipe "Gap"\nneeds waist\ndraft front\n  begin at a\n  mark b from a right 4 in\n'
        "  mark c where sweep of 1 in about a meets sweep of 1 in about b nearest a\n"
    )
    assert run("--body", str(CARDS / "wren.yaml"), recipe=recipe, out=tmp_path / "out") == 2
    assert "E1701" in capsys.readouterr().err


def test_a_measure_that_a_rule_would_give_as_well_is_told_as_measured(tmp_path: Path):
    recipe = tmp_path / "belt.scye"
    recipe.write_text(
        'recipe "Belt"\nneeds bust, waist otherwise bust - 8 in\ndraft belt\n  begin at a\n'
        "  mark b from a right waist\n  line edge from a to b\n"
    )
    told = {}
    for name, waist in (("taken", "  waist: 28\n"), ("lacking", "")):
        card = tmp_path / f"{name}.yaml"
        card.write_text(f"client: heron\nunit: in\ntimes: 2\nmeasures:\n  bust: 36\n{waist}")
        assert run("--body", str(card), recipe=recipe, out=tmp_path / name) == 0
        rows = json.loads((tmp_path / name / "lesson.json").read_text())["measures"]
        told[name] = [(row["working"], row["figure"]["text"]) for row in rows if row["name"] == "waist"]
    assert told == {"taken": [("measured", "28 in")], "lacking": [("bust - 8 in", "28 in")]}
