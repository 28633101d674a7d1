"""An edit of the recipe: from the changed text to the pattern of one body, in a process that is warm."""

from __future__ import annotations

import statistics
import tempfile
from collections.abc import Iterator
from pathlib import Path
from time import perf_counter

from measuring import RECIPE, Result, saltmarsh

from scye.driver import Compiler
from scye.project import open_project

EDITS = 15


def run() -> Iterator[Result]:
    _, _, order, _ = saltmarsh()
    text = RECIPE.read_text(encoding="utf-8")
    taken = []
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / RECIPE.name
        for edit in range(EDITS + 2):
            file.write_text(text.replace("(top_rise - 1 in) * 40%", f"(top_rise - 1 in) * {30 + edit}%"))
            begin = perf_counter()
            compiler = Compiler(open_project(file))
            asked, _ = compiler.order(order.body, ())
            (pattern,) = compiler.patterns([asked], None, lambda _line: None)
            taken.append(perf_counter() - begin)
            assert len(pattern.pieces) == 5
    median = statistics.median(taken[2:])
    yield Result("recompile after an edit, one body", median * 1000, "ms", None, 50, {"edit": median})
