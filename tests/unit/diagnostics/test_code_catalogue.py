"""The catalogue of codes: complete, unique, and every entry explained."""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path

import pytest

import scye.diagnostics
from scye.diagnostics.catalogue import MODULES, explain, kinds, listed
from scye.diagnostics.command import did_you_mean
from scye.diagnostics.model import Diagnostic

# What shows and lists diagnostics, rather than holding any.
MACHINERY = {"__init__", "catalogue", "json", "model", "suggest", "text"}

ALL = sorted(listed(), key=lambda kind: (kind.code, kind.__name__))


def test_the_list_of_modules_is_the_folder():
    folder = Path(scye.diagnostics.__file__).parent
    assert sorted(MODULES) == sorted({path.stem for path in folder.glob("*.py")} - MACHINERY)


def test_no_code_is_used_twice():
    assert [code for code, count in Counter(kind.code for kind in ALL).items() if count > 1] == []


@pytest.mark.parametrize("kind", ALL, ids=lambda kind: f"{kind.code}-{kind.__name__}")
def test_every_code_is_explained(kind: type[Diagnostic]):
    assert re.fullmatch(r"[A-Z][0-9]{3,4}", kind.code)
    assert kind.title
    assert not kind.title.endswith(".")
    # A dataclass without a docstring of its own is given its call for one.
    assert not (kind.__doc__ or "").startswith(f"{kind.__name__}(")
    assert len(kind.__doc__ or "") > 120


def test_an_explanation_is_the_title_and_the_docstring():
    assert explain("E943") == (
        "error E943: the disk is full\n"
        "\n"
        "The disk was full before every file was written.\n"
        "\n"
        "Nothing half written is left: the files that were there before are whole.\n"
        "\n"
        "Make room on the disk, or choose a folder on another with `--out`."
    )


def test_codes_may_be_typed_small():
    assert explain("e943") == explain("E943")


def test_an_unknown_code_has_no_explanation():
    assert explain("E000") is None


def test_codes_are_in_order():
    assert list(kinds()) == sorted(kinds(), key=lambda code: (len(code), code))


@pytest.mark.parametrize(
    ("near", "text"),
    [
        ((), ""),
        (("a",), "did you mean `a`?"),
        (("a", "b"), "did you mean `a` or `b`?"),
        (("a", "b", "c"), "did you mean `a`, `b` or `c`?"),
    ],
)
def test_near_names_are_offered(near: tuple[str, ...], text: str):
    assert did_you_mean(near) == text
