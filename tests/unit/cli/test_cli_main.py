"""The command as a whole: help, exit codes, and never a traceback."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

import scye
from scye.cli import main as cli
from scye.cli.main import COMMANDS, main
from scye.diagnostics.command import MissingFile
from scye.ir.requests import ExitCode, Outcome

DEAR = ("numpy", "lark", "yaml", "pikepdf", "shapely", "cairosvg", "jinja2", "fontTools", "pygls")


def modules_after(*words: str) -> set[str]:
    """The dear libraries that running a command has brought in, in a Python of its own."""
    code = (
        "import sys; from scye.cli.main import main\n"
        f"main({list(words)!r})\n"
        f"print('dear:', *[m for m in {DEAR!r} if m in sys.modules])"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return set(ran.stdout.splitlines()[-1].split()[1:])


@pytest.mark.parametrize(
    "words",
    [("--help",), ("--version",), ("code", "E901"), *((name, "--help") for name in COMMANDS)],
    ids=" ".join,
)
def test_help_brings_in_no_dear_library(words: tuple[str, ...]):
    assert modules_after(*words) == set()


def test_the_overview(capsys: pytest.CaptureFixture[str]):
    assert main(["--help"]) == 0
    assert capsys.readouterr().out == (
        "Scye drafts patterns: a recipe is written once and drafted for every body.\n"
        "\n"
        "usage: scye COMMAND ...\n"
        "\n"
        "commands:\n"
        "  build     draft a recipe for your bodies and write the pieces, sheets and proofs\n"
        "  batch     draft a recipe for every body of a table; a run that was stopped goes on\n"
        "  lay       lay the pieces on cloth and say how much of it to buy\n"
        "  lesson    write the draft as numbered steps for a class, with a sample's figures\n"
        "  serve     show a recipe on a live page: pieces redrawn as you drag, edit and save\n"
        "  check     read a recipe and say what is wrong with it, without a body\n"
        "  chart     look at a size chart: its steps, and figures out of line with their neighbours\n"
        "  bar       say what a measured test bar does to the garment, and what to print at\n"
        "  trace     show how one amount or point of a recipe comes about for a body\n"
        "  compare   say what changed from one edition to another: which pieces, where, by how much\n"
        "  enclose   put a recipe, with all it needs, in an envelope for another maker\n"
        "  inside    say what an envelope or a recipe needs, and what it may not do\n"
        "  keep      put an envelope into your own library\n"
        "  renew     say which pieces a newer edition moves, and take it if you like\n"
        "  tidy      lay recipes out the usual way\n"
        "  new       begin a recipe of your own that drafts at once\n"
        "  attend    help your editor with recipes as you write them; the editor starts this itself\n"
        "  measures  list the measures, or say where the tape goes for one\n"
        "  code      explain the code of a message\n"
        "\n"
        "scye COMMAND --help says what a command takes; scye --version which Scye this is.\n"
    )


@pytest.mark.parametrize("words", [[], ["-h"]])
def test_the_overview_is_shown_for_the_bare_word_too(words: list[str], capsys: pytest.CaptureFixture[str]):
    assert main(words) == 0
    assert capsys.readouterr().out == cli.overview() + "\n"


def test_the_version(capsys: pytest.CaptureFixture[str]):
    assert main(["--version"]) == 0
    assert capsys.readouterr().out == f"scye {scye.__version__}\n"


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_help_in_whole_lines(name: str, capsys: pytest.CaptureFixture[str]):
    assert main([name, "--help"]) == 0
    shown = capsys.readouterr().out
    assert shown.startswith(f"usage: scye {name} [-h]")
    summary = COMMANDS[name]
    assert f"\n\n{summary[0].upper()}{summary[1:]}.\n\nwhat it works on:\n" in shown
    assert max(map(len, shown.splitlines())) <= 92


MISUNDERSTOOD = [
    (
        ["chek"],
        "error E920: scye has no command `chek`\n  try: did you mean `check`?\n",
    ),
    (
        ["--sizes"],
        "error E920: scye has no command `--sizes`\n  try: `scye --help` lists the commands\n",
    ),
    (
        ["build"],
        "error E920: `scye build` also needs RECIPE and --out\n"
        "  try: `scye build --help` says what it takes\n",
    ),
    (
        ["build", "skirt", "--out"],
        "error E920: `--out` needs a word after it\n  try: `scye build --help` says what it takes\n",
    ),
    (
        ["build", "skirt", "--out", "o", "--boddy", "wren.yaml"],
        "error E920: `scye build` has no use for `--boddy`\n  try: did you mean `--body`?\n",
    ),
    (
        ["check", "skirt", "coat"],
        "error E920: `scye check` has no use for `coat`\n  try: `scye check --help` says what it takes\n",
    ),
    (
        ["build", "skirt", "--out", "o", "--units", "ft"],
        "error E920: `--units` can't be `ft`\n  expected: one of in, cm, mm\n",
    ),
    (
        ["check", "skirt", "--quiet=yes"],
        "error E920: `scye check`: argument --quiet: ignored explicit argument 'yes'\n"
        "  try: `scye check --help` says what it takes\n",
    ),
]


@pytest.mark.parametrize(
    ("words", "shown"), MISUNDERSTOOD, ids=[" ".join(words) for words, _ in MISUNDERSTOOD]
)
def test_what_is_not_understood_is_bad_input(
    words: list[str], shown: str, capsys: pytest.CaptureFixture[str]
):
    assert main(words) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err == shown + "\n1 error\n"


@pytest.mark.parametrize("trouble", [ValueError("secret"), RecursionError("deep"), MemoryError()])
def test_a_fault_of_ours_is_an_apology(
    trouble: Exception, driver, workroom, capsys: pytest.CaptureFixture[str]
):
    driver.trouble = trouble
    assert main(["check", "skirt.scye"]) == 3
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err == (
        f"Sorry: something went wrong inside Scye, not in your work ({type(trouble).__name__}).\n"
        "Please report it: say which command you gave, send the recipe if you can, and quote the word in "
        "brackets.\n"
        "Files that were there before are untouched.\n"
    )


def test_ctrl_c_stops_without_a_traceback(driver, workroom, capsys: pytest.CaptureFixture[str]):
    driver.trouble = KeyboardInterrupt()
    assert main(["check", "skirt.scye"]) == 130
    assert capsys.readouterr().err == "\nstopped\n"


def test_a_reader_that_went_away_is_not_a_fault():
    reading, writing = os.pipe()
    os.close(reading)
    ran = subprocess.run(
        [sys.executable, "-m", "scye", "code", "E901"], stdout=writing, stderr=subprocess.PIPE, check=False
    )
    os.close(writing)
    assert (ran.returncode, ran.stderr) == (141, b"")


def test_letters_the_terminal_lacks_do_not_stop_the_work():
    ran = subprocess.run(
        [sys.executable, "-m", "scye", "check", "veščica.scye"],
        capture_output=True,
        env={**os.environ, "PYTHONIOENCODING": "ascii"},
        check=False,
    )
    assert ran.returncode == 2
    assert ran.stderr.splitlines()[0] == b"error E901: there is no file `ve??ica.scye`"


@pytest.mark.parametrize("code", ExitCode)
def test_the_exit_code_is_what_the_driver_answers(code: ExitCode, driver, workroom):
    driver.outcome = Outcome((MissingFile(name="x"),), code)
    assert main(["check", "skirt.scye"]) == code


def test_the_words_of_the_command_line_are_the_default(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
):
    monkeypatch.setattr(sys, "argv", ["scye", "--version"])
    assert main() == 0
    assert capsys.readouterr().out == f"scye {scye.__version__}\n"
