"""A table to lay on, quickly."""

from __future__ import annotations

import pytest
from table import Table

from scye.lay import fast


@pytest.fixture
def table(monkeypatch: pytest.MonkeyPatch) -> Table:
    monkeypatch.setattr(fast, "WORK", 3_000_000)
    return Table()
