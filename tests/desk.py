"""A desk where a stranger's command is run: in a process of its own, under limits that are looked at.

Each is forked from one that has read the modules once. The limits leave room for a slow machine: most
commands take a few tenths of a second.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import IO

import scye

SECONDS = 4.0
MEGABYTES = 500

# For each line of standard input, run a command in a child under limits and tell what it took.
STARTER = """
import json, os, resource, sys, traceback
from scye.cli.main import main
from scye.parse.parser import parse_file
from scye.source import Source
import scye.driver, scye.cli.build, scye.cli.check, scye.cli.keep, scye.sharing.keep

parse_file(Source("warm", 'recipe "Warm"\\n'))


def child(asked):
    os.chdir(asked["folder"])
    os.environ["SCYE_LIBRARY"] = asked["folder"] + "/library"
    os.environ["TMPDIR"] = asked["passing"]
    for stream, name in ((1, "said"), (2, "said")):
        os.dup2(os.open(asked[name], os.O_WRONLY | os.O_CREAT | os.O_APPEND), stream)
    resource.setrlimit(resource.RLIMIT_CPU, (20, 20))
    resource.setrlimit(resource.RLIMIT_FSIZE, (50_000_000, 50_000_000))
    code = int(main(asked["words"]))
    sys.stdout.flush()
    sys.stderr.flush()
    with open("/proc/self/status") as status:
        peak = next(int(line.split()[1]) // 1024 for line in status if line.startswith("VmHWM"))
    with open(asked["peak"], "w") as file:
        file.write(str(peak))
    os._exit(code)


for line in sys.stdin:
    asked = json.loads(line)
    number = os.fork()
    if not number:
        try:
            child(asked)
        finally:
            os._exit(99)
    _, status, used = os.wait4(number, 0)
    code = os.waitstatus_to_exitcode(status)
    print(json.dumps({"code": code, "seconds": used.ru_utime + used.ru_stime}), flush=True)
"""

CARD = "client: dunlin\ndate: 2024-03-05\nunit: in\ntimes: 3\nmeasures:\n  bust: 36\n  waist: 28\n  hip: 38\n"


@dataclass(frozen=True)
class Ended:
    code: int
    said: str
    seconds: float
    megabytes: int


@dataclass(frozen=True)
class Desk:
    """A folder to work in, and the process that runs commands in it."""

    folder: Path
    ask: IO[str]
    answer: IO[str]

    def run(self, *words: str, **files: str | bytes) -> Ended:
        """Run a command beside the files given; see that it keeps within the limits."""
        work = self.folder / "work"
        work.mkdir(exist_ok=True)
        for name, content in files.items():
            path = work / name.replace("__", ".")
            path.write_bytes(content if isinstance(content, bytes) else content.encode())
        (work / "body.yaml").write_text(CARD)
        said, peak = self.folder / "said", self.folder / "peak"
        asked = {"folder": str(work), "words": words, "said": str(said), "peak": str(peak)}
        asked["passing"] = str(self.folder / "passing")
        print(json.dumps(asked), file=self.ask, flush=True)
        told = json.loads(self.answer.readline())
        text = said.read_text(errors="replace")
        assert peak.exists(), f"it did not end by itself ({told['code']}): {text[-500:]}"
        ended = Ended(told["code"], text, told["seconds"], int(peak.read_text()))
        said.unlink()
        peak.unlink()
        assert "Traceback" not in text
        assert "Sorry" not in text
        assert ended.seconds < SECONDS
        assert ended.megabytes < MEGABYTES
        return ended

    def build(self, text: str | bytes, *more: str) -> Ended:
        return self.run("build", "it.scye", "--body", "body.yaml", "--out", "out", *more, it__scye=text)

    def listing(self) -> set[str]:
        return {str(path.relative_to(self.folder)) for path in self.folder.rglob("*")}


@contextmanager
def starting() -> Iterator[subprocess.Popen[str]]:
    """The process that a desk's commands are forked from."""
    place = str(Path(scye.__file__).parents[1])
    with subprocess.Popen(
        [sys.executable, "-c", STARTER],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONPATH": place, "OPENBLAS_NUM_THREADS": "1"},
    ) as process:
        yield process


def desk_in(folder: Path, process: subprocess.Popen[str]) -> Desk:
    assert process.stdin is not None
    assert process.stdout is not None
    return Desk(folder, process.stdin, process.stdout)
