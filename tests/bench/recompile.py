"""An edit of the recipe: from the changed text to the pattern of one body, in a process that is warm. The
same of a live draft, which keeps what the edit leaves; and of one, to all that is to be said of its text."""

from __future__ import annotations

import statistics
import tempfile
from collections.abc import Iterator
from pathlib import Path
from time import perf_counter

from measuring import RECIPE, ROOT, Result, saltmarsh

from scye.driver import Compiler
from scye.ir.people import Body
from scye.live.draft import LiveDraft
from scye.project import open_project

EDITS = 15
YOKED = ROOT / "recipes" / "yoked-bodice" / "yoked-bodice.scye"
# A figure in the middle, a line near the top, and a point that is named again below.
TURNS = (
    ("under_suppression * 8%", "under_suppression * 8.{}%"),
    ("quarter_bust = ", "spare_{} = 1 in\nquarter_bust = "),
    ("half_scye", "half_scye_{}"),
)


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
    yield from _drafted(order.body)
    yield from _checked()


def _drafted(body: Body) -> Iterator[Result]:
    text = RECIPE.read_text(encoding="utf-8")
    live = LiveDraft(RECIPE)
    taken = []
    for edit in range(EDITS + 2):
        live.write(RECIPE, text.replace("(top_rise - 1 in) * 40%", f"(top_rise - 1 in) * {30 + edit}%"))
        begin = perf_counter()
        pattern = live.draw(body).pattern
        taken.append(perf_counter() - begin)
        assert pattern is not None
    median = statistics.median(taken[2:])
    yield Result("an edit of a live draft", median * 1000, "ms", None, 50, {"edit drafted": median})


def _checked() -> Iterator[Result]:
    text = YOKED.read_text(encoding="utf-8")
    live = LiveDraft(YOKED)
    taken = []
    for edit in range(2 + EDITS):
        for was, now in TURNS:
            live.write(YOKED, text.replace(was, now.format(edit)))
            begin = perf_counter()
            project = live.project
            taken.append(perf_counter() - begin)
            assert project.sound
    median = statistics.median(taken[2 * len(TURNS) :])
    yield Result("an edit checked", median * 1000, "ms", None, 8, {"edit checked": median})
