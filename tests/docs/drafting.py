"""Drafting what the guides show, for one of the example clients."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path

from documents import RECIPES, ROOT

from scye.diagnostics.model import Severity
from scye.diagnostics.text import show_all
from scye.driver import Compiler, run_check
from scye.ir.pattern import Pattern
from scye.ir.requests import CheckRequest
from scye.project import open_card, open_project

CARDS = ROOT / "examples" / "cards"


def compiles(text: str) -> Pattern:
    """The pattern of a recipe's text for wren: it has no mistakes, and nothing in it fails. It may be
    a variant of a recipe in `recipes`.
    """
    with tempfile.TemporaryDirectory() as folder:
        for recipe in RECIPES:
            shutil.copytree(recipe, Path(folder) / recipe.name)
        path = Path(folder) / "shown" / "shown.scye"
        path.parent.mkdir()
        path.write_text(text, encoding="utf-8")
        return drafts(path)


def drafts(path: Path, code: str = "wren", **settings: str) -> Pattern:
    """The pattern of a recipe's file for a card's body, as `compiles`."""
    checked = run_check(CheckRequest(path))
    assert not checked.diagnostics, show_all(checked.diagnostics)
    project = open_project(path)
    body, found = open_card(CARDS / f"{code}.yaml", project.catalogue)
    assert body is not None
    compiler = Compiler(project)
    order, mistakes = compiler.order(body, tuple(settings.items()))
    assert not [*found, *mistakes]
    (pattern,) = compiler.patterns([order], None, lambda _line: None)
    assert not [f"{f.where}: {f.text}" for f in pattern.findings if f.severity >= Severity.FAILURE]
    return pattern
