"""Every example of the language guide is read without a word of complaint."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from scye.ir import syntax as s
from scye.parse.parser import parse_file
from scye.source import Source

GUIDE = Path(__file__).parents[3] / "compiler" / "LANGUAGE.md"
EXAMPLES = re.findall(r"```(scye[\w-]*)\n(.*?)```", GUIDE.read_text("utf-8"), re.DOTALL)
AT_THE_EDGE = ("needs", "choose", "piece", "sew", "prove", "when", "find", "limit", "tape", "every")


def in_its_place(kind: str, text: str) -> str:
    """A part of a recipe as it stands in one: in a draft, unless its first word belongs at the left edge."""
    if kind != "scye-part" or text.startswith(AT_THE_EDGE) or re.match(r"\w+ =", text):
        return text
    return "draft front\n" + "".join(f"  {line}" for line in text.splitlines(keepends=True))


@pytest.mark.parametrize(("kind", "text"), EXAMPLES, ids=[text.split("\n")[0] for _, text in EXAMPLES])
def test_example_reads(kind: str, text: str) -> None:
    file, diagnostics = parse_file(Source("guide.scye", in_its_place(kind, text)))
    assert diagnostics == []
    assert file.body
    assert file.unread_names == frozenset()


def test_first_example_has_its_parts() -> None:
    file, _ = parse_file(Source("guide.scye", EXAMPLES[0][1]))
    assert file.head is not None
    assert file.head.title.value == "A plain skirt front"
    assert {h.key: h.value for h in file.head.headings} == {
        "edition": "1",
        "about": "Quarter of a straight skirt, one waist dart.",
        "licence": "CC-BY-4.0",
        "studio": "Saltmarsh Workroom",
    }
    kinds = [type(node).__name__ for node in file.body]
    assert kinds == ["Needs", "Choose", "Choose", "Let", "Let", "Let", "Draft", "Piece", "Prove"]
    draft = file.body[6]
    assert isinstance(draft, s.Draft)
    dart = draft.body[-1]
    assert isinstance(dart, s.Dart)
    assert isinstance(dart.apex, s.Moved)
    assert isinstance(dart.pressed, s.Toward)
