"""The grammar for highlighting is made from the language's own words, and knows all of them."""

from __future__ import annotations

import json
import re

import pytest
from editor_client import ROOT

from scye.cli.main import main
from scye.editor.highlighting import as_json, grammar
from scye.parse.vocabulary import RESERVED, STATEMENTS
from scye.units.quantity import UNITS


def scopes(line: str) -> dict[str, str]:
    """What each stretch of a line is coloured as: the first pattern that fits furthest left."""
    found: dict[str, str] = {}
    at = 0
    while at < len(line):
        best = min(
            ((m.start(), i, m) for i, p in enumerate(_patterns()) if (m := p.search(line, at)) and m.group()),
            default=None,
            key=lambda candidate: candidate[:2],
        )
        if best is None:
            break
        start, index, match = best
        pattern = grammar()["patterns"][index]
        if "begin" in pattern:
            end = line.find('"', match.end()) + 1 or len(line)
            found[line[start:end]] = pattern["name"]
            at = end
            continue
        for number, capture in pattern.get("captures", {}).items():
            if match[int(number)]:
                found[match[int(number)]] = capture["name"]
        if "name" in pattern:
            found[match.group()] = pattern["name"]
        at = match.end()
    return {text: scope.removesuffix(".scye") for text, scope in found.items()}


def _patterns() -> list[re.Pattern[str]]:
    return [re.compile(pattern.get("match") or pattern["begin"]) for pattern in grammar()["patterns"]]


def test_the_file_is_made_from_the_language():
    """Written anew by `scye attend --highlighting > compiler/scye.tmLanguage.json`."""
    assert (ROOT / "compiler" / "scye.tmLanguage.json").read_text(encoding="utf-8") == as_json()


def test_the_command_prints_it(capsys: pytest.CaptureFixture[str]):
    assert main(["attend", "--highlighting"]) == 0
    assert json.loads(capsys.readouterr().out) == grammar()


@pytest.mark.parametrize("word", sorted({word for known in STATEMENTS.values() for word in known}))
def test_every_first_word(word: str):
    assert scopes(f"  {word} x")[word].startswith("keyword")
    assert scopes(f"  redraw {word} x")["redraw"] == "keyword.control"


@pytest.mark.parametrize("word", sorted(RESERVED))
def test_every_word_of_the_language_within_a_line(word: str):
    assert scopes(f"mark a {word} b")[word].startswith("keyword")


@pytest.mark.parametrize("unit", UNITS)
def test_every_unit(unit: str):
    assert scopes(f"mark a from b right 1 1/2 {unit}") == {
        "mark": "keyword.control",
        "from": "keyword.other",
        "right": "keyword.other",
        "1 1/2": "constant.numeric",
        unit: "keyword.other.unit",
    }


def test_a_line_of_each_kind():
    assert scopes('half_waist = (waist - gap) / 2 "in front"  # in all') == {
        "half_waist": "variable.other.definition",
        "=": "keyword.operator",
        "-": "keyword.operator",
        "/": "keyword.operator",
        "2": "constant.numeric",
        '"in front"': "string.quoted.double",
        "# in all": "comment.line.number-sign",
    }
    assert scopes("draft front") == {"draft": "keyword.control", "front": "entity.name.type"}
    assert scopes("  given depth length") == {
        "given": "keyword.control",
        "length": "storage.type",
    }
    # A part of a name is no word of the language.
    assert "left" not in scopes("mark a where seam[1].left meets hem")
