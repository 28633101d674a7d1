"""Each command: what it asks of the driver, and what it tells the maker."""

from __future__ import annotations

import io
import json
import shlex
import sys
from pathlib import Path

import pytest

from scye.cli.main import main
from scye.diagnostics.command import CannotRead, MissingFile
from scye.ir.requests import BuildRequest, CheckRequest, ExitCode, Outcome, TraceRequest


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def scye(line: str) -> int:
    """Run a command as it would be typed."""
    return main(shlex.split(line))


def on_a_terminal(line: str, patch: pytest.MonkeyPatch) -> str:
    """What standard error is given by a command when it is a terminal of 30 columns."""
    terminal = Terminal()
    patch.setattr(sys, "stderr", terminal)
    patch.setenv("COLUMNS", "30")
    scye(line)
    return terminal.getvalue()


# --- build --------------------------------------------------------------------------------------


def test_build_for_cards(driver, workroom):
    words = "build skirt.scye --body wren.yaml --body heron.yaml --out out --units cm --set closing=laced"
    assert scye(f"{words} --set 'ease = 1 1/2 in'") == 0
    assert driver.asked == [
        BuildRequest(
            recipe=Path("skirt.scye"),
            cards=(Path("wren.yaml"), Path("heron.yaml")),
            chart=None,
            sizes=(),
            settings=(("closing", "laced"), ("ease", "1 1/2 in")),
            units="cm",
            out=Path("out"),
        )
    ]


def test_build_for_sizes_of_a_chart(driver, workroom):
    assert scye("build skirt.scye --chart misses.yaml --sizes 10,12,14 --out out") == 0
    assert driver.asked == [
        BuildRequest(
            recipe=Path("skirt.scye"),
            cards=(),
            chart=Path("misses.yaml"),
            sizes=("10", "12", "14"),
            settings=(),
            units=None,
            out=Path("out"),
        )
    ]


def test_build_tells_what_it_wrote(driver, workroom, capsys: pytest.CaptureFixture[str]):
    driver.outcome = Outcome(
        (MissingFile(name="x.yaml"),), ExitCode.FINDINGS, ("wren: all seams walk true",), ("a.svg", "b.pdf")
    )
    assert scye("build skirt.scye --body wren.yaml --out sheets/wren") == 1
    told = capsys.readouterr()
    assert told.out == "wren: all seams walk true\nwritten into sheets/wren:\n  a.svg\n  b.pdf\n"
    assert told.err == "error E901: there is no file `x.yaml`\n\n1 error\n"


def test_build_quietly_tells_only_what_is_wrong(driver, workroom, capsys: pytest.CaptureFixture[str]):
    driver.outcome = Outcome((MissingFile(name="x.yaml"),), ExitCode.FINDINGS, ("wren",), ("a.svg",))
    assert scye("build skirt.scye --body wren.yaml --out out --quiet") == 1
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err == "error E901: there is no file `x.yaml`\n\n1 error\n"


def test_progress_is_one_line_of_a_terminal_and_wiped(driver, workroom, monkeypatch: pytest.MonkeyPatch):
    shown = on_a_terminal("build skirt.scye --body wren.yaml --out out", monkeypatch)
    assert shown == f"\r{'drafting wren':<29}\r{'':<29}\r"


def test_progress_is_kept_back_when_quiet(driver, workroom, monkeypatch: pytest.MonkeyPatch):
    assert on_a_terminal("build skirt.scye --body wren.yaml --out out --quiet", monkeypatch) == ""


@pytest.mark.parametrize(
    ("settings", "coloured"),
    [({}, True), ({"NO_COLOR": "1"}, False), ({"TERM": "dumb"}, False)],
)
def test_colour_is_for_terminals_that_want_it(
    settings: dict[str, str], coloured: bool, driver, workroom, monkeypatch: pytest.MonkeyPatch
):
    driver.outcome = Outcome((MissingFile(name="x"),), ExitCode.BAD_INPUT)
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setenv("TERM", "xterm")
    for name, value in settings.items():
        monkeypatch.setenv(name, value)
    shown = on_a_terminal("check skirt.scye", monkeypatch)
    assert shown.startswith("\x1b[1;31merror E901:\x1b[0m" if coloured else "error E901:")


WRONG = [
    (
        "compare skirt.scye skirt.scye",
        "error E923: the command doesn't say which bodies to draft for\n"
        "  expected: cards, each after its own `--body`, or one chart after `--chart`\n"
        "\n1 error\n",
    ),
    (
        "build skirt.scye --body wren.yaml --chart c.yaml --out out",
        "error E923: cards and a chart can't be drafted in one go\n"
        "  expected: cards, each after its own `--body`, or one chart after `--chart`\n"
        "\n1 error\n",
    ),
    (
        "build skirt.scye --body wren.yaml --sizes 10 --out out",
        "error E923: `--sizes` is given without a chart\n"
        "  expected: cards, each after its own `--body`, or one chart after `--chart`\n"
        "\n1 error\n",
    ),
    (
        "build skrt.scye --chart c.yaml --sizes 10,,12 --out out --set x --set a=1 --set a=2 --set =3",
        "error E901: there is no file `skrt.scye`\n"
        "  try: did you mean `skirt.scye`?\n"
        "\n"
        "error E924: `--sizes 10,,12` has a size missing\n"
        "  expected: sizes with commas between them, as in `--sizes 10,12,14`\n"
        "\n"
        "error E921: `--set x` does not set a choice\n"
        '  expected: the choice\'s name, an equals sign and its value, as in `--set "ease=1 1/2 in"`\n'
        "\n"
        "error E922: the choice `a` is set twice\n"
        "  try: leave one out\n"
        "\n"
        "error E921: `--set =3` does not set a choice\n"
        '  expected: the choice\'s name, an equals sign and its value, as in `--set "ease=1 1/2 in"`\n'
        "\n5 errors\n",
    ),
    (
        "build skirt.scye --chart c.yaml --sizes 10,12,10 --out out",
        "error E924: `--sizes 10,12,10` names a size twice\n"
        "  expected: sizes with commas between them, as in `--sizes 10,12,14`\n"
        "\n1 error\n",
    ),
]


@pytest.mark.parametrize(("words", "shown"), WRONG, ids=[words for words, _ in WRONG])
def test_build_gathers_the_mistakes_of_a_command(
    words: str, shown: str, driver, workroom, capsys: pytest.CaptureFixture[str]
):
    assert scye(words) == 2
    assert driver.asked == []
    assert capsys.readouterr().err == shown


# --- check and trace ----------------------------------------------------------------------------


def test_check_with_nothing_wrong(driver, workroom, capsys: pytest.CaptureFixture[str]):
    assert main(["check", "skirt.scye"]) == 0
    assert driver.asked == [CheckRequest(Path("skirt.scye"))]
    assert capsys.readouterr().out == "skirt.scye: nothing to put right\n"


def test_check_as_data(driver, workroom, capsys: pytest.CaptureFixture[str]):
    driver.outcome = Outcome((CannotRead(name="x", why="you are not allowed to"),), ExitCode.BAD_INPUT)
    assert main(["check", "skirt.scye", "--json", "--quiet"]) == 2
    told = capsys.readouterr()
    assert [entry["code"] for entry in json.loads(told.out)] == ["E905"]
    assert told.err == ""


def test_trace(driver, workroom, capsys: pytest.CaptureFixture[str]):
    driver.outcome = Outcome((), ExitCode.GOOD, ("quarter_hip is 9 3/4 in",))
    assert scye("trace skirt.scye quarter_hip --body wren.yaml --set ease=1in --units in") == 0
    assert driver.asked == [
        TraceRequest(Path("skirt.scye"), "quarter_hip", Path("wren.yaml"), (("ease", "1in"),), "in")
    ]
    assert capsys.readouterr().out == "quarter_hip is 9 3/4 in\n"


def test_trace_of_a_missing_recipe(driver, workroom):
    assert scye("trace coat quarter_hip --body wren.yaml") == 2
    assert driver.asked == []


# --- code ---------------------------------------------------------------------------------------


def test_code_explains(capsys: pytest.CaptureFixture[str]):
    assert main(["code", "e922"]) == 0
    assert capsys.readouterr().out == (
        "error E922: a choice was set twice\n"
        "\n"
        "One choice was set twice in the same command, and it is not for Scye to guess which was meant.\n"
        "\n"
        "    --set closing=laced --set closing=zipped\n"
        "\n"
        "Leave one of them out. To compare two, build twice into two folders.\n"
    )


def test_an_unknown_code(capsys: pytest.CaptureFixture[str]):
    assert main(["code", "dart"]) == 2
    assert capsys.readouterr().err == (
        "error E925: no message has the code `dart`\n  try: copy the code from the message\n\n1 error\n"
    )


# --- new ----------------------------------------------------------------------------------------


def test_new_begins_a_recipe(workroom: Path, capsys: pytest.CaptureFixture[str]):
    assert main(["new", "recipes/gored_skirt"]) == 0
    assert capsys.readouterr().out == (
        "recipes/gored_skirt/gored_skirt.scye\n"
        "recipes/gored_skirt/wren.yaml\n"
        "\n"
        "To draft it: scye build recipes/gored_skirt --body recipes/gored_skirt/wren.yaml "
        "--out recipes/gored_skirt/out\n"
    )
    text = (workroom / "recipes/gored_skirt/gored_skirt.scye").read_text()
    assert text.startswith('recipe "Gored skirt"\n  edition 1\n')


def test_what_new_writes_compiles(workroom: Path, capsys: pytest.CaptureFixture[str]):
    assert main(["new", "gored_skirt"]) == 0
    assert main(["check", "gored_skirt"]) == 0
    assert scye("build gored_skirt --body gored_skirt/wren.yaml --out out") == 0
    assert capsys.readouterr().err == ""
    assert any((workroom / "out").iterdir())


def test_what_new_writes_is_tidy(workroom: Path, capsys: pytest.CaptureFixture[str]):
    assert main(["new", "gored_skirt"]) == 0
    assert main(["tidy", "--check", "gored_skirt"]) == 0
    assert capsys.readouterr().err == ""


@pytest.mark.parametrize("there", ["skirt", "link"])
def test_new_writes_over_nothing(there: str, workroom: Path, capsys: pytest.CaptureFixture[str]):
    (workroom / "skirt").mkdir()
    (workroom / "link").symlink_to("nowhere")
    assert main(["new", there]) == 2
    assert capsys.readouterr().err == (
        f"error E940: `{there}` is there already, and nothing was written over it\n"
        "  try: choose another name\n\n1 error\n"
    )
    assert list((workroom / "skirt").iterdir()) == []
    assert not (workroom / "nowhere").exists()


@pytest.mark.parametrize(
    ("name", "hint"),
    [("Gored Skirt", "gored_skirt"), ("coat.scye", "coat"), ("9", ""), ("..", ""), ("été", "t"), ("", "")],
)
def test_new_refuses_names_that_can_not_be(
    name: str, hint: str, workroom: Path, capsys: pytest.CaptureFixture[str]
):
    assert main(["new", name]) == 2
    offered = f"  try: did you mean `{hint}`?\n" if hint else ""
    assert capsys.readouterr().err == (
        f"error E941: `{name}` can't be the name of a recipe\n"
        "  expected: small letters, digits and underscores, beginning with a letter\n"
        f"{offered}\n1 error\n"
    )
    assert [path.name for path in workroom.iterdir()] == ["skirt.scye"]


# --- tidy ---------------------------------------------------------------------------------------

LOOSE = 'recipe   "A skirt"\n  edition   1\nneeds waist,hip\nquarter=waist/4\n'


def test_tidy_lays_a_recipe_out_once(workroom: Path, capsys: pytest.CaptureFixture[str]):
    (workroom / "loose.scye").write_text(LOOSE)
    assert main(["tidy", "loose.scye"]) == 0
    assert capsys.readouterr().out == "loose.scye: laid out\n"
    text = (workroom / "loose.scye").read_text()
    assert text.startswith('recipe "A skirt"\n  edition 1\n')
    assert main(["tidy", "loose.scye"]) == 0
    assert capsys.readouterr().out == ""
    assert (workroom / "loose.scye").read_text() == text


def test_tidy_check_changes_nothing(workroom: Path, capsys: pytest.CaptureFixture[str]):
    (workroom / "loose.scye").write_text(LOOSE)
    assert main(["tidy", "--check", "loose.scye"]) == 1
    assert capsys.readouterr().err == (
        "failure E950: `loose.scye` is not tidy\n  try: run `scye tidy loose.scye`\n\n1 failure\n"
    )
    assert (workroom / "loose.scye").read_text() == LOOSE


def test_tidy_touches_nothing_when_one_is_missing(workroom: Path, capsys: pytest.CaptureFixture[str]):
    (workroom / "loose.scye").write_text(LOOSE)
    (workroom / "bad.scye").write_bytes(b"\xff")
    assert main(["tidy", "loose.scye", "lose.scye", "bad.scye"]) == 2
    assert [line for line in capsys.readouterr().err.splitlines() if line.startswith("error")] == [
        "error E901: there is no file `lose.scye`",
        "error E903: `bad.scye` is not plain text in UTF-8: line 1 can't be read",
    ]
    assert (workroom / "loose.scye").read_text() == LOOSE
