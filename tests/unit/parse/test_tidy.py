"""The formatter."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from scye.parse.tidy import tidy
from scye.source import Source

GUIDE = Path(__file__).parents[3] / "compiler" / "LANGUAGE.md"


def tidied(text: str) -> str:
    return tidy(Source("a.scye", text))


@pytest.mark.parametrize("text", re.findall(r"```scye\n(.*?)```", GUIDE.read_text("utf-8"), re.DOTALL))
def test_the_guide_is_tidy(text: str) -> None:
    assert tidied(text) == text


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("x=bust/4+1in", "x = bust / 4 + 1 in"),
        ("x = ( bust+2   in )/4", "x = (bust + 2 in) / 4"),
        ("x = 1  1/2   in", "x = 1 1/2 in"),
        ("x = 1½in", "x = 1½ in"),
        ("x = 35 %", "x = 35%"),
        ("x = a -b", "x = a - b"),
        ("x = - b", "x = -b"),
        ("x = a*-2", "x = a * -2"),
        ("x = (- b)", "x = (-b)"),
        ("x = a [ i+1 ] . left", "x = a[i + 1].left"),
        ("x = 1 in ,2 in,3 in", "x = 1 in, 2 in, 3 in"),
        ("x = most   of ( a ,b )", "x = most of (a, b)"),
        ('x = 1 in   "a  b"   by   taste', 'x = 1 in "a  b" by taste'),
        ("x = 1 in# why", "x = 1 in  # why"),
        ("x = 1 in      # why   ", "x = 1 in  # why"),
        ("x = 1 in\r\ny = 2 in\r\n", "x = 1 in\ny = 2 in"),
        ("\ufeffx = 1 in", "x = 1 in"),
        ("when a>=3 in\n    x=1 in", "when a >= 3 in\n  x = 1 in"),
        (
            "draft d\n      begin at a\n      mark b from a right -1 in",
            "draft d\n  begin at a\n  mark b from a right -1 in",
        ),
        ('recipe   "A"\n   licence   CC-BY-4.0', 'recipe "A"\n  licence CC-BY-4.0'),
        ("\n\n\nx = 1 in\n\n\n\ny = 2 in\n\n", "x = 1 in\n\ny = 2 in"),
        ("x = 1 in   \n   \ny = 2 in", "x = 1 in\n\ny = 2 in"),
        (
            "draft d\n     # first\n      begin at a\n\n  # next\nx = 1 in",
            "draft d\n  # first\n  begin at a\n\n# next\nx = 1 in",
        ),
        ("#one\nx = 1 in\n      # last", "#one\nx = 1 in\n# last"),
    ],
)
def test_spacing(before: str, after: str) -> None:
    assert tidied(before) == after + "\n"


@pytest.mark.parametrize("text", ["", "\n\n", "   \n"])
def test_nothing_stays_nothing(text: str) -> None:
    assert tidied(text) == ""


def test_faulty_lines_are_left_and_keep_their_block() -> None:
    text = "draft d\n    begin   at a\n    mark   b form a\n      what\nx=1 in\n"
    assert tidied(text) == "draft d\n    begin at a\n    mark   b form a\n      what\nx = 1 in\n"


@pytest.mark.parametrize("text", ["draft d\n\tbegin  at a\n", "x  = 1 in\n" * 20_001, "(((\n" * 200])
def test_a_file_that_cannot_be_read_comes_back_unchanged(text: str) -> None:
    assert tidied(text) == text
