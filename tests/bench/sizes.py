"""Twenty-four sizes made again, up to what is drawn on paper, against one."""

from __future__ import annotations

from collections.abc import Iterator

from measuring import Result, by_turns, crowd, saltmarsh

SIZES = 24


def run() -> Iterator[Result]:
    _, compiler, order, _ = saltmarsh()
    orders = crowd(order, SIZES)
    times = by_turns(
        5,
        one=lambda: list(compiler.patterns(orders[:1], None, lambda _line: None)),
        all=lambda: list(compiler.patterns(orders, None, lambda _line: None)),
    )
    yield Result("24 sizes / one size", times["all"] / times["one"], "x", None, 3, times)
