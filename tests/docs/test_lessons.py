"""The tutorial: every lesson drafts for every card, is laid out tidily, and shows its own picture."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from documents import DOCUMENTS, LESSONS, RECIPES, ROOT, fences, prose, same_picture, section, spans, table
from drafting import compiles, drafts
from redraw import pictures

from scye.cli.main import main
from scye.diagnostics.model import Severity
from scye.ir import syntax as s
from scye.library import read_source
from scye.parse.parser import parse_file
from scye.source import Source


@pytest.mark.parametrize("lesson", LESSONS, ids=lambda path: path.name)
def test_a_lesson_drafts_with_nothing_to_say(lesson: Path) -> None:
    pattern = drafts(lesson / f"{lesson.name}.scye")
    assert pattern.pieces
    assert [f.text for f in pattern.findings if f.severity >= Severity.NOTE] == []
    assert {seam.verdict for seam in pattern.seams} <= {"walks true"}


def test_lessons_are_numbered_in_a_row_and_listed() -> None:
    assert [path.name[:2] for path in LESSONS] == [f"{i:02}" for i in range(1, len(LESSONS) + 1)]
    index = (ROOT / "examples" / "README.md").read_text(encoding="utf-8")
    assert re.findall(r"^\d\. \[.*?\]\((.*?)/README.md\)", index, re.MULTILINE) == [
        path.name for path in LESSONS
    ]


def test_lessons_are_tidy(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.chdir(ROOT)
    files = sorted(path.relative_to(ROOT).as_posix() for path in ROOT.glob("examples/*/*.scye"))
    assert main(["tidy", "--check", *files]) == 0, capsys.readouterr().err


@pytest.mark.parametrize("lesson", LESSONS, ids=lambda path: path.name)
def test_what_a_lesson_quotes_is_in_its_recipe(lesson: Path) -> None:
    """Fragments, and whatever stands between backticks with more than one word, are the recipe's own."""
    recipe = "\n".join(path.read_text(encoding="utf-8") for path in sorted(lesson.glob("*.scye")))
    flat = " ".join(recipe.split())
    for fence in fences(lesson / "README.md"):
        if fence.language == "scye-part":
            assert fence.text in recipe
    for quoted in spans(prose(lesson / "README.md")):
        if " " in quoted and not quoted.startswith("scye "):
            assert quoted in flat


@pytest.mark.parametrize("lesson", LESSONS, ids=lambda path: path.name)
@pytest.mark.parametrize("code", ["avocet", "dunnock", "knot"])
def test_a_lesson_drafts_for_other_bodies(lesson: Path, code: str) -> None:
    assert drafts(lesson / f"{lesson.name}.scye", code).pieces


WHOLE = [f for d in DOCUMENTS for f in fences(d) if f.language == "scye" and d.name != "LANGUAGE.md"]


@pytest.mark.parametrize("fence", WHOLE, ids=lambda fence: fence.label)
def test_recipes_shown_elsewhere_draft(fence) -> None:
    assert compiles(fence.text).pieces


# --- pictures -----------------------------------------------------------------------------------


def test_pictures_show_what_is_drafted() -> None:
    """Redraw them with tests/docs/redraw.py after a change."""
    for path, drawn in pictures().items():
        name = path.relative_to(ROOT).as_posix()
        assert same_picture(path.read_text(encoding="utf-8"), drawn.decode()), f"{name} is out of date"


# --- pages of recipes -----------------------------------------------------------------------------


@pytest.mark.parametrize("folder", RECIPES, ids=lambda path: path.name)
def test_the_page_of_a_recipe_lists_its_measures_and_choices(folder: Path) -> None:
    """As the recipe has them: measures with their rules, choices with default, range and sentence.

    A variant's page lists what the variant says itself, and leads to its parent.
    """
    page = folder / "README.md"
    source = read_source(folder / f"{folder.name}.scye")
    assert isinstance(source, Source)
    file, _ = parse_file(source)
    needs = [need for said in file.body if isinstance(said, s.Needs) for need in said.items]
    chosen = [said for said in file.body if isinstance(said, s.Choose)]
    assert _listed(page, "measures") == [[f"`{need.name.text}`", _rule(need)] for need in needs]
    assert _listed(page, "choices") == [[f"`{c.name.text}`", *_choice(c)] for c in chosen]
    assert section(page, "limits")
    assert file.head is not None
    if file.head.based_on is not None:
        assert f"(../{file.head.based_on.recipe.value}/README.md)" in page.read_text(encoding="utf-8")


def _listed(page: Path, heading: str) -> list[list[str]]:
    """The rows under a heading; none where the page leaves the heading out."""
    there = f"## {heading.capitalize()}\n" in page.read_text(encoding="utf-8")
    return table(page, heading) if there else []


def _rule(need: s.Need) -> str:
    return "needed" if need.otherwise is None else need.otherwise.span.text


def _choice(choice: s.Choose) -> list[str]:
    sentence = "" if choice.sentence is None else choice.sentence.value
    if isinstance(choice.default, str):
        may_be = ", ".join(word.text for word in choice.words) or "yes or no"
        return [choice.default, may_be, sentence]
    low_high = choice.low, choice.high
    may_be = " to ".join(end.span.text for end in low_high if end is not None)
    return [choice.default.span.text, may_be or "as in the parent", sentence]
