"""Shared fixtures."""

from __future__ import annotations

from pathlib import Path

import pytest

from workroom import Workroom


@pytest.fixture
def room(tmp_path: Path) -> Workroom:
    """A workroom that writes to a folder of its own."""
    return Workroom(tmp_path)
