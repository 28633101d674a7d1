"""A grammar for highlighting, in the TextMate format that many editors read, made of the language's words."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from typing import Any

from scye.ir.program import PARAMETER_KINDS
from scye.parse.engine import written
from scye.parse.numbers import NUMBER, UNIT
from scye.parse.vocabulary import RESERVED, STATEMENTS

_NAME = r"[^\W\d]\w*"
_START = r"^\s*(?:(redraw)\s+)?"
_FREE = r"(?<![\w.])"  # a word behind a point is a name


def grammar() -> dict[str, Any]:
    """The grammar as data; the same words always give the same grammar."""
    openings = sorted({word for known in STATEMENTS.values() for word in known})
    makers = ("draft", "piece", "method")
    return {
        "name": "Scye",
        "scopeName": "source.scye",
        "fileTypes": ["scye"],
        "patterns": [
            {"name": "comment.line.number-sign.scye", "match": "#.*$"},
            {"name": "string.quoted.double.scye", "begin": '"', "end": '"|$'},
            _captured(rf"{_START}({_any(makers)})\s+({_NAME})", "keyword.control", "entity.name.type"),
            _captured(rf"{_START}({_NAME})(?=\s*(?:\[[^\]]*\]\s*)?=)", "variable.other.definition"),
            _captured(rf"{_START}({_any(openings)})(?!\w)", "keyword.control"),
            _amount(),
            {"name": "storage.type.scye", "match": _kinds()},
            {"name": "keyword.other.scye", "match": f"{_FREE}({_any(_phrases())})(?!\\w)"},
            {"name": "keyword.operator.scye", "match": r"<=|>=|[-+*/=<>]"},
        ],
    }


def _captured(match: str, *names: str) -> dict[str, Any]:
    """A pattern whose first capture is `redraw` and whose others are of the scopes named."""
    scopes = ("keyword.control", *names)
    return {
        "match": match,
        "captures": {str(i): {"name": f"{scope}.scye"} for i, scope in enumerate(scopes, 1)},
    }


def _amount() -> dict[str, Any]:
    return {
        "match": rf"{_FREE}({NUMBER})(?:[ \t]*({UNIT}))?",
        "captures": {"1": {"name": "constant.numeric.scye"}, "2": {"name": "keyword.other.unit.scye"}},
    }


def _kinds() -> str:
    return rf"(?<=\s)({_any(PARAMETER_KINDS)})(?=\s*(?:=|\"|$))"


def _phrases() -> set[str]:
    """Every word and phrase of the language."""
    return {phrase for words in written().values() for phrase in words} | set(RESERVED)


def _any(words: Iterable[str]) -> str:
    """A pattern for any of some words, the longest first."""
    ordered = sorted(set(words), key=lambda word: (-len(word), word))
    return "|".join(re.escape(word).replace(r"\ ", r"\s+") for word in ordered)


def as_json() -> str:
    return json.dumps(grammar(), indent=2, ensure_ascii=False) + "\n"
