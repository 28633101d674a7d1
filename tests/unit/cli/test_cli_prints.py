"""The printing options of `scye build`, and `scye bar`."""

from __future__ import annotations

from argparse import Namespace

import pytest

from scye.cli import build
from scye.cli.asked import PAPERS, ROLLS, Slips
from scye.cli.main import main
from scye.cli.parser import CommandParser
from scye.ir.requests import PrintWishes
from scye.place.paper import HOME
from scye.place.roll import NARROWEST, ROLL_WIDTH


def given(*words: str) -> tuple[PrintWishes, list[str]]:
    parser = CommandParser("build", "draft")
    build.arguments(parser)
    found: Namespace = parser.parse_args(["recipe.scye", "--out", "out", *words])
    slips = Slips()
    wishes = slips.prints(found.paper, found.joints, found.roll, found.projector, found.dxf)
    return wishes, [d.seen() for d in slips.found]


def test_what_is_printed_when_nothing_is_asked():
    assert given() == (PrintWishes(("a4", "letter"), "overlap", ROLL_WIDTH, False, False), [])


def test_everything_that_may_be_asked():
    words = ["--paper", "A3, a4,a3", "--joints", "butt", "--roll", "24in", "--projector", "--dxf"]
    assert given(*words) == (PrintWishes(("a3", "a4"), "butt", pytest.approx(609.6), True, True), [])


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--paper", "a5"], "`--paper` can't be `a5`"),
        (["--paper", "a4,"], "`--paper` has a paper missing"),
        (["--roll", "914"], "`--roll 914` is not the width of a roll"),
        (["--roll", "30 deg"], "`--roll 30 deg` is not the width of a roll"),
        (["--roll", "10in"], "`--roll 10in` is not the width of a roll"),
        (["--roll", "-3m"], "`--roll -3m` is not the width of a roll"),
    ],
)
def test_slips(words: list[str], said: str):
    if words[1].startswith("-"):
        words = [f"{words[0]}={words[1]}"]
    assert given(*words)[1] == [said]


def test_the_papers_and_rolls_of_the_command_are_those_of_the_sheets():
    assert set(PAPERS) == set(HOME)
    assert ROLLS[0] >= NARROWEST


@pytest.mark.parametrize(
    ("words", "first"),
    [
        (["97"], "printed at 97 %: a 36 in bust would be 34 15/16 in."),
        (["97mm"], "printed at 97 %: a 36 in bust would be 34 15/16 in."),
        (["97", "of", "100", "--units", "cm"], "printed at 97 %: a 92 cm bust would be 89.2 cm."),
        (["1", "15/16", "in", "of", "2", "in"], "printed at 96.9 %: a 36 in bust would be 34 7/8 in."),
        (["100"], "printed true: what should be 100 is 100"),
    ],
)
def test_a_measured_bar(words: list[str], first: str, capsys: pytest.CaptureFixture[str]):
    assert main(["bar", *words]) == 0
    assert capsys.readouterr().out.splitlines()[0] == first


def test_a_drift_of_one_s_own(capsys: pytest.CaptureFixture[str]):
    assert main(["bar", "100", "--drift", "0.3mm", "--pages", "6"]) == 0
    assert "0.3 mm a page" in (out := capsys.readouterr().out)
    assert "over 6 pages it is 1.8 mm" in out


@pytest.mark.parametrize(
    "words",
    [["bar"], ["40"], ["250"], ["0"], ["97", "of", "0"], ["20", "deg"], ["97", "of"]],
)
def test_what_is_not_the_measure_of_a_bar(words: list[str], capsys: pytest.CaptureFixture[str]):
    assert main(["bar", *words]) == 2
    assert "E1505" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("option", "value", "wanted"),
    [
        ("--pages", "0", "from 1 to 100"),
        ("--pages", "9" * 60, "from 1 to 100"),
        ("--pages", "four", "a whole number"),
        ("--drift", "-5mm", "from 0 mm to 25 mm"),
        ("--drift", "far", "from 0 mm to 25 mm"),
    ],
)
def test_what_is_no_drift_and_no_count_of_pages(
    option: str, value: str, wanted: str, capsys: pytest.CaptureFixture[str]
):
    assert main(["bar", "97", f"{option}={value}"]) == 2
    said = " ".join(capsys.readouterr().err.split())
    assert f"`{option}` can't be `{value}` expected: {wanted}" in said
