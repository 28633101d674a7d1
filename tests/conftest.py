"""Shared fixtures."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings

from browser import browser
from desk import Desk, desk_in, starting
from workroom import Workroom

# The same examples on every run and machine: a check that fails now and then tells nobody anything. To look
# for new ones: SCYE_NEW_EXAMPLES=1.
settings.register_profile("same", derandomize=True, deadline=None)
settings.register_profile("new", deadline=None)
settings.load_profile("new" if os.environ.get("SCYE_NEW_EXAMPLES") else "same")


@pytest.fixture(scope="session", autouse=True)
def no_library(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """No test sees the library of whoever runs it."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("SCYE_LIBRARY", str(tmp_path_factory.mktemp("library") / "none"))
        yield


@pytest.fixture
def room(tmp_path: Path) -> Workroom:
    """A workroom that writes to a folder of its own."""
    return Workroom(tmp_path)


@pytest.fixture(scope="module")
def chromium() -> Iterator[Any]:
    """A headless Chromium for the module's tests; see browser.py."""
    with browser() as started:
        yield started


@pytest.fixture(scope="module")
def starter() -> Iterator[subprocess.Popen[str]]:
    with starting() as process:
        yield process


@pytest.fixture
def desk(tmp_path: Path, starter: subprocess.Popen[str]) -> Desk:
    """A desk whose commands are run under limits; see desk.py."""
    return desk_in(tmp_path, starter)
