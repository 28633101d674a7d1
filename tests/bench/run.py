"""Measure Scye: `python tests/bench/run.py [--json] [NAME...]`. Ends with 1 if a goal is missed.

Every ratio is of two things timed by turns in the same run, so it holds on any machine; the times are
medians and hold on this one.
"""

from __future__ import annotations

import json
import sys
from argparse import ArgumentParser
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parents[1] / "compiler")]

if TYPE_CHECKING:
    from measuring import Result

NAMES = ("batch", "curve_length", "recompile", "help", "pages", "memory", "sizes", "sureness", "lay", "live")


def main() -> int:
    parser = ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--json", action="store_true", help="one JSON list instead of lines")
    parser.add_argument("names", nargs="*", metavar="NAME", help=f"which: {', '.join(NAMES)}; otherwise all")
    asked = parser.parse_args()
    unknown = [name for name in asked.names if name not in NAMES]
    if unknown:
        parser.error(f"there is no benchmark {unknown[0]}; there are {', '.join(NAMES)}")
    results = []
    for result in _results(asked.names or NAMES):
        results.append(result)
        if not asked.json:
            print(_line(result), flush=True)
    if asked.json:
        print(json.dumps([_json(result) for result in results], indent=2))
    return 0 if all(result.holds for result in results) else 1


def _results(names: tuple[str, ...] | list[str]) -> Iterator[Result]:
    for name in names:
        yield from import_module(name).run()


def _line(result: Result) -> str:
    times = ", ".join(f"{name.replace('_', ' ')} {_shown(seconds)}" for name, seconds in result.times.items())
    mark = "met" if result.holds else "MISSED"
    return f"{result.name:44s} {result.measured:9.2f} {result.unit:9s} {result.goal:20s} {mark:7s} {times}"


def _shown(seconds: float) -> str:
    if seconds >= 1:
        return f"{seconds:.2f} s"
    return f"{seconds * 1e3:.2f} ms" if seconds >= 1e-3 else f"{seconds * 1e6:.1f} us"


def _json(result: Result) -> dict[str, object]:
    return {
        "name": result.name,
        "measured": result.measured,
        "unit": result.unit,
        "goal": result.goal,
        "holds": result.holds,
        "seconds": dict(result.times),
    }


if __name__ == "__main__":
    sys.exit(main())
