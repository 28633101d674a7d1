"""The reference shows stdlib and the recipes as they are; tests/docs/reference.py writes it again."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest
from documents import RECIPES, ROOT, same_picture, table
from method_pictures import drawn, examples, given_back, things
from reference import INDEX, PAGE, PICTURES, method_files, written
from tape_pictures import figure

from scye.ir import syntax as s
from scye.project import standards

STALE = "is out of date: python tests/docs/reference.py"


@pytest.fixture(scope="module")
def made() -> Mapping[Path, str]:
    return written()


def test_pages_and_pictures_are_as_they_would_be_made_now(made: Mapping[Path, str]) -> None:
    for path, text in made.items():
        name = path.relative_to(ROOT).as_posix()
        assert path.exists(), f"{name} {STALE}"
        kept = path.read_text(encoding="utf-8")
        same = same_picture(kept, text) if path.suffix == ".svg" else kept == text
        assert same, f"{name} {STALE}"


def test_no_picture_is_left_over(made: Mapping[Path, str]) -> None:
    assert set(PICTURES.iterdir()) <= set(made)


def test_every_measure_is_drawn() -> None:
    """And nothing is drawn that is no measure."""
    assert set(figure()["measures"]) == {measure.name for measure in standards()[0].measures}


def test_every_recipe_is_in_the_index(made: Mapping[Path, str]) -> None:
    rows = [row for row in made[INDEX].splitlines() if row.startswith("| <img")]
    for folder in RECIPES:
        assert sum(f"({folder.name}/README.md)**<br>" in row for row in rows) == 1, folder.name
    assert len(rows) == len(RECIPES)


def test_every_method_is_drawn_with_what_it_gives() -> None:
    """Each method of stdlib has an example, in which each line and point that it gives is drawn."""
    shown = examples()
    for file in method_files():
        for method in file.body:
            if isinstance(method, s.Method):
                example = shown[method.name.text]
                assert drawn(example) == given_back(method), method.name.text
                given = {thing.name for thing in things(example) if thing.pen == "given"}
                assert given <= {parameter.name.text for parameter in method.parameters}


def test_the_page_has_a_row_for_each_measure(made: Mapping[Path, str]) -> None:
    assert made[PAGE].count("| <img src=") == len(standards()[0].measures)
    assert table(PAGE, "girths-of-the-body")[0][1].startswith("**Bust** `bust`<br>Round the fullest part")
