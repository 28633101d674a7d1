"""A driver that stands in for the compiler and remembers what it was asked."""

from __future__ import annotations

import sys
from dataclasses import dataclass, field
from pathlib import Path
from types import ModuleType

import pytest

import scye
from scye.ir.requests import BuildRequest, CheckRequest, ExitCode, Outcome, Say, TraceRequest


@dataclass
class FakeDriver:
    """Answers every request with `outcome`, or raises `trouble`."""

    outcome: Outcome = field(default_factory=lambda: Outcome((), ExitCode.GOOD))
    trouble: BaseException | None = None
    asked: list[object] = field(default_factory=list)

    def run_build(self, request: BuildRequest, say: Say) -> Outcome:
        say("drafting wren")
        return self._answer(request)

    def run_check(self, request: CheckRequest) -> Outcome:
        return self._answer(request)

    def run_trace(self, request: TraceRequest) -> Outcome:
        return self._answer(request)

    def _answer(self, request: object) -> Outcome:
        self.asked.append(request)
        if self.trouble:
            raise self.trouble
        return self.outcome


@pytest.fixture
def driver(monkeypatch: pytest.MonkeyPatch) -> FakeDriver:
    fake = FakeDriver()
    module = ModuleType("scye.driver")
    for name in ("run_build", "run_check", "run_trace"):
        setattr(module, name, getattr(fake, name))
    monkeypatch.setitem(sys.modules, "scye.driver", module)
    monkeypatch.setattr(scye, "driver", module, raising=False)
    return fake


@pytest.fixture
def workroom(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder to stand in that holds the recipe `skirt.scye`."""
    (tmp_path / "skirt.scye").write_text('recipe "A skirt"\n')
    monkeypatch.chdir(tmp_path)
    return tmp_path
