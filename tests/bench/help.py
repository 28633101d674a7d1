"""`scye --help` brings in nothing dear: what it has in memory when it has told its help."""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
from collections.abc import Iterator
from time import perf_counter

from measuring import ROOT, Result

DEAR = ("numpy", "lark", "yaml", "pikepdf", "shapely", "cairosvg", "jinja2", "fontTools")
PROGRAM = """
import contextlib, io, sys
from scye.cli.main import main
with contextlib.redirect_stdout(io.StringIO()):
    code = main(["--help"])
print(code, *sorted({name.split(".")[0] for name in sys.modules} & set(sys.argv[1:])))
"""


def run() -> Iterator[Result]:
    environment = {**os.environ, "PYTHONPATH": str(ROOT / "compiler")}
    taken = []
    for _ in range(5):
        begin = perf_counter()
        told = subprocess.run(
            [sys.executable, "-c", PROGRAM, *DEAR],
            env=environment,
            capture_output=True,
            text=True,
            check=True,
        )
        taken.append(perf_counter() - begin)
    code, *brought_in = told.stdout.split()
    assert code == "0", told.stdout
    times = {"process": statistics.median(taken)}
    yield Result("dear libraries brought in by --help", len(brought_in), "libraries", None, 0, times)
