"""Ten thousand bodies drafted, assembled and proved by the driver's chunks: the most memory that is taken."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

from measuring import ROOT, Result

BODIES = 10_000
PROGRAM = """
import resource, sys, time
from measuring import crowd, saltmarsh
_, compiler, order, _ = saltmarsh()
begin = time.perf_counter()
orders = crowd(order, int(sys.argv[1]))
pieces = sum(len(pattern.pieces) for pattern in compiler.patterns(orders, None, lambda _line: None))
print(pieces, time.perf_counter() - begin, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)
"""


def run() -> Iterator[Result]:
    paths = (str(ROOT / "compiler"), str(Path(__file__).parent))
    told = subprocess.run(
        [sys.executable, "-c", PROGRAM, str(BODIES)],
        env={**os.environ, "PYTHONPATH": os.pathsep.join(paths)},
        capture_output=True,
        text=True,
        check=True,
    )
    pieces, seconds, peak = told.stdout.split()
    assert int(pieces) == 5 * BODIES
    # ru_maxrss is in kilobytes, but in bytes on a Mac.
    megabytes = float(peak) / (1024 * 1024 if sys.platform == "darwin" else 1024)
    yield Result("peak memory, 10,000 bodies", megabytes, "MB", None, 250, {"10,000 bodies": float(seconds)})
