"""Laws of variants: what changes nothing changes nothing, to the byte."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from scye.diagnostics.model import Severity
from scye.ir import syntax as s
from scye.ir.pattern import Pattern
from scye.parse.parser import parse_file
from scye.project import open_project
from scye.render.pattern_json import Header, pattern_json
from scye.resolve.makers import all_found, keys
from scye.source import Source
from workroom import ROOT, Workroom

RECIPES = ("saltmarsh-bodice", "yoked-bodice")


def drawn(pattern: Pattern) -> dict[str, object]:
    """Everything that is drafted and proved, without the places in the text that findings name."""
    body = json.loads(pattern_json([pattern], Header("", "", "")))["bodies"][0]
    findings = [{k: v for k, v in f.items() if k not in ("file", "line", "column")} for f in body["findings"]]
    return {**body, "findings": findings}


def variant_of(recipe: str, folder: Path, body: str) -> Path:
    """A variant of a recipe of the workroom, in a folder where its parent is found."""
    for name in (recipe, "sleeves"):
        source = ROOT / "recipes" / name / f"{name}.scye"
        if source.exists():
            (folder / source.name).write_text(source.read_text("utf-8"), "utf-8")
    path = folder / "variant.scye"
    path.write_text(f'recipe "Variant"\n  edition 1\n  based on "{recipe}" edition 1\n{body}', "utf-8")
    return path


def redrawn_word_for_word(recipe: str) -> str:
    """A recipe's own lines but for its head, measures and choices, each statement of it redrawn."""
    path = ROOT / "recipes" / recipe / f"{recipe}.scye"
    file, _ = parse_file(Source("recipe", path.read_text("utf-8")))
    text = file.source.text
    own = [f.statement for f in all_found(file.body) if keys(f.statement)]
    starts = [it.span.start for it in own if not isinstance(it, s.Draft | s.Begin | s.Choose | s.Needs)]
    for start in sorted(starts, reverse=True):
        text = f"{text[:start]}redraw {text[start:]}"
    lines = text[text.index("\nneeds") :].splitlines()
    return "\n".join(line for line in lines if not line.startswith(("needs", "choose"))) + "\n"


@pytest.mark.parametrize("recipe", RECIPES)
def test_a_variant_that_states_nothing_is_its_parent(recipe: str, room: Workroom) -> None:
    parent = room.pattern(ROOT / "recipes" / recipe / f"{recipe}.scye", "wren")
    variant = room.pattern(variant_of(recipe, room.folder, ""), "wren")
    assert variant.recipe == "Variant"
    assert drawn(variant) == drawn(parent)


@pytest.mark.parametrize("recipe", RECIPES)
def test_what_is_redrawn_word_for_word_is_as_it_was(recipe: str, room: Workroom) -> None:
    lines = redrawn_word_for_word(recipe)
    assert lines.count("redraw ") > 40
    parent = room.pattern(ROOT / "recipes" / recipe / f"{recipe}.scye", "plover")
    variant = room.pattern(variant_of(recipe, room.folder, lines), "plover")
    assert drawn(variant) == drawn(parent)


@pytest.mark.parametrize("recipe", RECIPES)
def test_anything_may_be_named_to_be_left_out(recipe: str, tmp_path: Path) -> None:
    """Whatever is left out, either the recipe still stands, or what still uses it is named with its place."""
    path = ROOT / "recipes" / recipe / f"{recipe}.scye"
    file, _ = parse_file(Source("recipe", path.read_text("utf-8")))
    names = {
        f"{found.draft}.{key.name}" if found.draft else key.shown.strip("`")
        for found in all_found(file.body)
        for key in keys(found.statement)
        if key.sort in ("name", "title", "seam")
    }
    for name in sorted(names):
        project = open_project(variant_of(recipe, tmp_path, f"leave out {name}\n"))
        said = [d for d in project.diagnostics if d.severity is Severity.ERROR]
        assert all(d.span is not None for d in said), name
        codes = {d.code for d in said}
        assert codes <= {"E1113", "E1116"}, (name, codes)
