"""The catalogue of stdlib, read once."""

from __future__ import annotations

from pathlib import Path

import pytest

from scye.ir.people import Catalogue
from scye.read.cards import read_catalogue
from scye.source import Source

ROOT = Path(__file__).parents[3]


@pytest.fixture(scope="session")
def catalogue() -> Catalogue:
    path = ROOT / "stdlib" / "measures.yaml"
    read, found = read_catalogue(Source("measures.yaml", path.read_text(encoding="utf-8")))
    assert found == []
    return read
