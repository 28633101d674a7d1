"""What it costs to carry the error bars of one body: its draft with all its neighbours, and without."""

from __future__ import annotations

from collections.abc import Iterator

from measuring import RECIPE, Result, by_turns, saltmarsh

from scye.driver import Compiler
from scye.project import open_project

ROUNDS = 15


def run() -> Iterator[Result]:
    _, _, order, _ = saltmarsh()

    def compiled(sure: bool) -> None:
        compiler = Compiler(open_project(RECIPE))
        asked, _ = compiler.order(order.body, ())
        (pattern,) = compiler.patterns([asked], None, lambda _line: None, sure=sure)
        assert (pattern.sure is not None) == sure

    times = by_turns(ROUNDS, plain=lambda: compiled(False), with_error_bars=lambda: compiled(True))
    more = times["with_error_bars"] / times["plain"] - 1.0
    yield Result("error bars of one body, over its compile", more * 100, "%", None, 60, times)
