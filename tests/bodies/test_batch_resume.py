"""All 1,986 women of the survey in one batch: killed halfway and gone on with, it ends as if never stopped.

The survey is the ANSUR II of `survey.py`; its measures are written down as a table of people.
"""

from __future__ import annotations

import csv
import filecmp
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from itertools import islice
from pathlib import Path

import numpy as np
import pytest
import survey

from scye.batch.journal import INDEX, JOURNAL

ROOT = Path(__file__).resolve().parents[2]
RECIPE = ROOT / "recipes" / "yoked-bodice" / "yoked-bodice.scye"
WOMEN = 1986
ANGLES = {"shoulder_slope"}
LONGEST = 300  # seconds that anything here may take before it is given up

pytestmark = pytest.mark.skipif(bool(survey.absent()), reason=survey.absent() or "the survey is here")


@pytest.fixture(scope="module")
def women(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The women of the survey as a table, in mm and degrees, each measure taken with care."""
    path = tmp_path_factory.mktemp("survey") / "women.csv"
    bodies = list(islice(survey.bodies(), WOMEN))
    names = [reading.name for reading in bodies[0].readings]
    with path.open("w", encoding="utf-8", newline="") as file:
        table = csv.writer(file)
        heads = [f"{name} ({'deg' if name in ANGLES else 'mm'})" for name in names]
        table.writerow(["client", "times", *heads])
        for body in bodies:
            figures = (np.degrees(r.value) if r.name in ANGLES else r.value for r in body.readings)
            table.writerow([body.code, 3, *(f"{figure:.4f}" for figure in figures)])
    return path


class Runs:
    """Batches in processes of their own; whatever happens, none outlives the test."""

    def __init__(self) -> None:
        self.begun: list[subprocess.Popen[bytes]] = []

    def start(self, table: Path, out: Path) -> subprocess.Popen[bytes]:
        words = ["batch", RECIPE.as_posix(), "--people", table.as_posix(), "--out", out.as_posix()]
        run = subprocess.Popen([sys.executable, "-m", "scye", *words, "--quiet"], cwd=ROOT)
        self.begun.append(run)
        return run

    def end(self) -> None:
        for run in self.begun:
            if run.poll() is None:
                run.kill()
                run.wait()


@pytest.fixture
def runs() -> Iterator[Runs]:
    made = Runs()
    yield made
    made.end()


def chunks_done(out: Path) -> int:
    journal = out / JOURNAL
    return max(journal.read_bytes().count(b"\n") - 1, 0) if journal.exists() else 0


def wait_for_the_middle(run: subprocess.Popen[bytes], out: Path) -> None:
    """Until two of the four chunks are done and files of the third lie waiting."""
    ends = time.monotonic() + LONGEST
    while chunks_done(out) < 2 or not any(out.glob("bodies/.scye-*/*")):
        assert run.poll() is None, "the batch ended before it could be killed"
        assert time.monotonic() < ends
        time.sleep(0.02)


def names_within(folder: Path) -> list[str]:
    return sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file())


def test_killed_halfway_it_loses_nothing_and_ends_the_same(runs: Runs, women: Path, tmp_path: Path) -> None:
    broken, unbroken = tmp_path / "broken", tmp_path / "unbroken"
    whole = runs.start(women, unbroken)  # beside the other, so that both take one stretch of time
    killed = runs.start(women, broken)
    wait_for_the_middle(killed, broken)
    killed.send_signal(signal.SIGKILL)
    assert killed.wait(LONGEST) == -signal.SIGKILL
    assert not (broken / INDEX).exists()
    kept = {path.name: path.stat().st_mtime_ns for path in (broken / "bodies").glob("*.json")}
    assert 1000 <= len(kept) < WOMEN
    resumed = runs.start(women, broken)
    # Whether some of the bodies fail (1) is for the recipe; none is a mistake (2).
    assert resumed.wait(LONGEST) == whole.wait(LONGEST) in (0, 1)
    after = {path.name: path.stat().st_mtime_ns for path in (broken / "bodies").iterdir()}
    assert sum(after[name] == kept[name] for name in kept) >= 1000, "what was done was done again"
    files = names_within(unbroken)
    assert names_within(broken) == files
    assert sorted(os.listdir(broken)) == ["batch.csv", "batch.journal", "bodies"]
    assert len(files) == WOMEN + 2
    assert filecmp.cmpfiles(broken, unbroken, files, shallow=False) == (files, [], [])
    with (broken / INDEX).open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) == len({row["code"] for row in rows}) == WOMEN
    assert {row["outcome"] for row in rows} == {"drafted"}
    assert {row["file"] for row in rows} == {f"bodies/{name}" for name in after}
