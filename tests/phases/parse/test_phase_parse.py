"""Texts beside what they are read as: `cases/*.scye` with the nodes and messages in `*.expected`.

Set SCYE_WRITE_EXPECTED=1 to write the expected files anew, and read the difference before keeping it.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from scye.diagnostics.model import Diagnostic
from scye.ir import syntax as s
from scye.parse.parser import parse_file
from scye.source import Source, Span
from scye.units.quantity import Quantity

CASES = sorted((Path(__file__).parent / "cases").glob("*.scye"))


def dump(value: Any, depth: int, label: str) -> Iterator[str]:
    """One line for each node: its kind and its words; its parts further in. What is empty is left out."""
    lead = "  " * depth + label
    match value:
        case None | () | False | Span() | Source():
            return
        case Quantity():
            yield f"{lead}{Fraction(value.value)} {value.unit.symbol if value.unit else ''}".rstrip()
        case s.Name():
            if not any(part.index for part in value.parts):
                yield lead + ".".join(part.text for part in value.parts)
                return
            yield lead + "Name"
            for part in value.parts:
                yield from dump(part, depth + 1, "")
        case tuple():
            for part in value:
                yield from dump(part, depth, label)
        case _ if is_dataclass(value):
            yield lead + type(value).__name__
            for f in fields(value):
                yield from dump(getattr(value, f.name), depth + 1, f"{f.name}: ")
        case _:
            yield f"{lead}{value}"


def message(d: Diagnostic) -> str:
    assert d.span is not None
    return f"{d.span.line}:{d.span.column} {d.code} {d.seen()} | {d.expected()} | {d.attempt()}"


def written(source: Source) -> str:
    file, diagnostics = parse_file(source)
    lines = [*dump(file.head, 0, ""), *dump(file.body, 0, "")]
    if file.unread_names:
        lines.append("unread: " + ", ".join(sorted(file.unread_names)))
    return "\n".join([*lines, *map(message, diagnostics), ""])


@pytest.mark.parametrize("case", CASES, ids=[case.stem for case in CASES])
def test_case(case: Path) -> None:
    expected = case.with_suffix(".expected")
    found = written(Source(case.name, case.read_text("utf-8")))
    if os.environ.get("SCYE_WRITE_EXPECTED"):
        expected.write_text(found, "utf-8")
    assert found == expected.read_text("utf-8")
