"""Every input in this folder beside the exact words the maker sees; both are found, never listed."""

from __future__ import annotations

from pathlib import Path

import pytest

from scye.diagnostics.model import Diagnostic
from scye.diagnostics.text import show_all
from scye.read.cards import cross_check, read_card, read_catalogue, read_cautions, read_chart
from scye.source import Source

HERE = Path(__file__).parent
STDLIB = HERE.parents[2] / "stdlib"
CATALOGUE, _ = read_catalogue(Source("measures.yaml", (STDLIB / "measures.yaml").read_text(encoding="utf-8")))


def diagnose(kind: str, source: Source) -> list[Diagnostic]:
    match kind:
        case "card":
            body, found = read_card(source, CATALOGUE)
            return found + (cross_check(body, CATALOGUE) if body else [])
        case "chart":
            return read_chart(source, CATALOGUE)[1]
        case "catalogue":
            return read_catalogue(source)[1]
        case _:
            return read_cautions(source)[1]


@pytest.mark.parametrize("path", sorted(HERE.glob("*/*.yaml")), ids=lambda p: f"{p.parent.name}/{p.stem}")
def test_says_exactly_this(path: Path) -> None:
    source = Source(path.name, path.read_text(encoding="utf-8"))
    shown = show_all(diagnose(path.parent.name, source)) + "\n"
    assert shown == path.with_suffix(".txt").read_text(encoding="utf-8")


def test_every_expected_output_has_its_input() -> None:
    outputs = list(HERE.glob("*/*.txt"))
    assert len(outputs) > 20
    assert all(path.with_suffix(".yaml").exists() for path in outputs)
