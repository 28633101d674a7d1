"""What a newcomer wrote from the guide alone drafts for example cards, with nothing left to put right."""

from __future__ import annotations

from pathlib import Path

import pytest
from documents import ROOT
from drafting import drafts

WRITTEN = sorted((ROOT / "examples" / "newcomer").glob("*.scye"))


def test_there_are_three() -> None:
    page = (ROOT / "examples" / "newcomer" / "README.md").read_text(encoding="utf-8")
    assert len(WRITTEN) == 3
    assert all(f"({path.name})" in page for path in WRITTEN)


@pytest.mark.parametrize("recipe", WRITTEN, ids=lambda path: path.stem)
@pytest.mark.parametrize("code", ["wren", "knot", "dunnock"])
def test_it_drafts(recipe: Path, code: str) -> None:
    pattern = drafts(recipe, code)
    assert pattern.pieces
    assert {verdict.verdict for verdict in (*pattern.seams, *pattern.proofs)} <= {"walks true"}
