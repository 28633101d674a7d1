"""Every recipe in `recipes` beside the exact words that the maker sees; both are found, never listed.

NAME.scye is checked, or done with as NAME.args says; NAME.expected holds what came on standard output and
standard error and the exit code. Files that begin with `methods_` are used by recipes and not run. To write
what is said now into the files, run this file as a script, then read every line that changed.
"""

from __future__ import annotations

import io
import os
import shlex
import shutil
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, redirect_stderr, redirect_stdout
from pathlib import Path

import pytest

from scye import driver
from scye.cli.main import main

HERE = Path(__file__).parent / "recipes"
RECIPES = sorted(path for path in HERE.glob("*.scye") if not path.name.startswith("methods_"))


def said(recipe: Path, out: Path) -> str:
    """What the maker sees; the sheets themselves are not drawn, since other tests look at them."""
    args = recipe.with_suffix(".args")
    words = shlex.split(args.read_text(encoding="utf-8")) if args.exists() else ["check", recipe.name]
    words = [str(out) if word == "OUT" else word for word in words]
    stdout, stderr = io.StringIO(), io.StringIO()
    with standing_in(HERE), without_sheets(), redirect_stdout(stdout), redirect_stderr(stderr):
        code = main(words)
    parts = ((stdout, "output"), (stderr, "messages"))
    shown = [f"--- {title}\n{text.getvalue()}" for text, title in parts if text.getvalue()]
    return "".join((*shown, f"--- exit code {int(code)}\n")).replace(str(out), "OUT")


@contextmanager
def standing_in(folder: Path) -> Iterator[None]:
    before = Path.cwd()
    os.chdir(folder)
    try:
        yield
    finally:
        os.chdir(before)


@contextmanager
def without_sheets() -> Iterator[None]:
    drawn = driver.files_of
    driver.files_of = lambda *given, **named: [("pieces.txt", b"")]
    try:
        yield
    finally:
        driver.files_of = drawn


@pytest.mark.parametrize("recipe", RECIPES, ids=lambda path: path.stem)
def test_says_exactly_this(recipe: Path, tmp_path: Path) -> None:
    assert said(recipe, tmp_path / "out") == recipe.with_suffix(".expected").read_text(encoding="utf-8")


def test_every_file_belongs_to_a_recipe() -> None:
    assert len(RECIPES) >= 45
    names = {path.stem for path in RECIPES}
    others = [path for path in HERE.iterdir() if path.suffix in {".expected", ".args"}]
    assert {path.stem for path in others} <= names
    cards = {path.name.removesuffix(".card.yaml") for path in HERE.glob("*.card.yaml")}
    assert cards <= names


def write_down() -> None:
    for recipe in RECIPES:
        out = Path(tempfile.mkdtemp()) / "out"
        text = said(recipe, out)
        shutil.rmtree(out.parent)
        recipe.with_suffix(".expected").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    sys.exit(write_down())
