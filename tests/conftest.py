"""Shared fixtures."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import settings

from workroom import Workroom

# The same examples on every run and machine: a check that fails now and then tells nobody anything. To look
# for new ones: SCYE_NEW_EXAMPLES=1.
settings.register_profile("same", derandomize=True, deadline=None)
settings.register_profile("new", deadline=None)
settings.load_profile("new" if os.environ.get("SCYE_NEW_EXAMPLES") else "same")


@pytest.fixture
def room(tmp_path: Path) -> Workroom:
    """A workroom that writes to a folder of its own."""
    return Workroom(tmp_path)
