"""Every command that a document shows is run, and prints what the document says."""

from __future__ import annotations

import contextlib
import io
import re
import shlex
import sys
from itertools import groupby
from pathlib import Path

import pytest
from documents import DOCUMENTS, ROOT, Shown, fences, shown_commands

from scye.cli.main import main

README = ROOT / "README.md"
SHOWN = [shown for document in DOCUMENTS for shown in shown_commands(document)]
BLOCKS = [list(group) for _, group in groupby(SHOWN, key=lambda shown: shown.fence)]


@pytest.fixture
def checkout(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder that looks like the checkout; what a command writes stays here."""
    for name in ("recipes", "examples", "stdlib"):
        (tmp_path / name).symlink_to(ROOT / name)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def run(words: list[str]) -> str:
    """What `scye` prints as its result; it ends well and complains of nothing."""
    out, wrong = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(wrong):
        code = main(words)
    assert (code, wrong.getvalue()) == (0, "")
    return out.getvalue()


@pytest.mark.parametrize("block", BLOCKS, ids=lambda block: block[0].label)
def test_commands_print_what_is_shown(checkout: Path, block: list[Shown]) -> None:
    """A block's commands are run in order in one place; `...` stands for the rest of the output."""
    for shown in block:
        program, *words = shown.words
        assert program == "scye"
        printed = run(words)
        start, rest, _ = shown.output.partition("...\n")
        if rest:
            assert printed.startswith(start)
        else:
            assert _without_picture(printed) == _without_picture(start)


def _without_picture(output: str) -> list[str]:
    """The lines of an output; where the Cairo library is missing, a line says so and there is no picture."""
    return [
        line for line in output.splitlines() if not line.endswith(("pieces.png", "is not on this machine"))
    ]


def test_the_first_screen_shows_a_command_with_its_output() -> None:
    """The README's first console block comes before its second heading."""
    first = next(fence for fence in fences(README) if fence.language == "console")
    assert first.heading == "scye"
    assert first.line < 60


def test_the_setting_up_drafts_the_saltmarsh_bodice(checkout: Path) -> None:
    """What follows the setting up in the README's first line of commands is run; the setting up is not."""
    first = next(fence for fence in fences(README) if fence.language == "sh")
    venv, install, draft = first.text.strip().split(" && ")
    assert (venv, install) == ("python3 -m venv .venv", ".venv/bin/pip install -q .")
    program, *words = shlex.split(draft)
    assert program == ".venv/bin/scye"
    assert "5 of 5 seams walk true" in run(words)
    assert (checkout / "out" / "sheet.pdf").read_bytes().startswith(b"%PDF")


def test_the_test_command_is_marked() -> None:
    """The run of all checks finds the command by its mark."""
    text = README.read_text(encoding="utf-8")
    marked = text.partition("<!-- test-command -->\n")[2]
    assert marked.startswith("```sh\n")
    install = "python3 -m venv .venv && .venv/bin/pip install -q -e '.[dev]'"
    command = f"{install} && .venv/bin/python -m pytest -n auto"
    assert marked.split("\n")[1:3] == [command, "```"]


def test_without_cairo_only_the_picture_is_skipped_and_it_is_said(
    checkout: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As the README says; a missing module stands for the missing library."""
    monkeypatch.setitem(sys.modules, "cairosvg", None)
    printed = run(["build", "examples/01-kerchief", "--body", "examples/cards/wren.yaml", "--out", "out"])
    assert "picture skipped" in printed
    names = {path.name for path in (checkout / "out").iterdir()}
    listed = {"sheet.pdf", "tiles-a4.pdf", "tiles-letter.pdf", "proof.html", "lists.html", "pieces.svg"}
    assert names == {*listed, "pattern.json"}


BODIES = {
    "one body": ["--body", "examples/cards/wren.yaml"],
    "two bodies": ["--body", "examples/cards/wren.yaml", "--body", "examples/cards/knot.yaml"],
    "a chart": ["--chart", "stdlib/charts/us-misses.yaml", "--sizes", "10,12"],
}


@pytest.mark.parametrize("bodies", BODIES.values(), ids=BODIES)
def test_the_readme_lists_every_file_that_comes_out(checkout: Path, bodies: list[str]) -> None:
    """By its name, before which a run of several bodies writes their codes."""
    run(["build", "examples/02-skirt", *bodies, "--out", "out", "--quiet"])
    text = README.read_text(encoding="utf-8").partition("## What comes out")[2].partition("##")[0]
    for path in (checkout / "out").iterdir():
        plain = re.sub(r"^(wren|knot|\d+)-", "", path.name)
        assert f"`{plain}`" in text
