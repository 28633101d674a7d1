"""The live page served as a maker serves it: by the command, in a process of its own, stopped by Ctrl-C."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlsplit

ROOT = Path(__file__).resolve().parents[2]
CARDS = ROOT / "examples" / "cards"


@dataclass(frozen=True)
class Served:
    """A page that is being served at `url`."""

    process: subprocess.Popen[bytes]
    url: str

    @property
    def port(self) -> int:
        found = urlsplit(self.url).port
        assert found is not None
        return found

    @property
    def home(self) -> str:
        """The address of the server, without the key."""
        return f"http://127.0.0.1:{self.port}"

    @property
    def path(self) -> str:
        return urlsplit(self.url).path

    @property
    def socket(self) -> str:
        return self.url.replace("http", "ws", 1) + "seat"

    def stop(self) -> tuple[int, str]:
        """Press Ctrl-C; the exit code, and what was printed besides the address."""
        self.process.send_signal(signal.SIGINT)
        said, _ = self.process.communicate(timeout=15)
        return self.process.returncode, said.decode()


@contextmanager
def serving(*words: str | Path, where: Path = ROOT) -> Iterator[Served]:
    """`scye serve` with those words, until the end of the block."""
    # Unbuffered: a reader that reads ahead for the first line keeps what else had come by then, and
    # `communicate`, which reads the pipe itself, never sees it.
    paths = os.pathsep.join([str(ROOT / "compiler"), os.environ.get("PYTHONPATH", "")])
    process = subprocess.Popen(
        [sys.executable, "-m", "scye", "serve", *map(str, words), "--no-open"],
        cwd=where, env={**os.environ, "PYTHONPATH": paths}, bufsize=0,
        stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
    )  # fmt: skip
    try:
        assert process.stdout is not None
        line = process.stdout.readline().decode()
        found = re.search(r"http\S+", line)
        assert found is not None, line + process.stdout.read().decode()
        yield Served(process, found[0])
    finally:
        if process.poll() is None:
            process.send_signal(signal.SIGINT)
            process.communicate(timeout=15)
