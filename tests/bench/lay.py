"""Cloth used by the fast lay, beside the packing library alone on the same pieces for ten seconds."""

from __future__ import annotations

from collections.abc import Iterator
from time import perf_counter

import spyrrow
from measuring import ROOT, Result

from scye.driver import Compiler
from scye.ir.lay import NO_SHRINKAGE, Cloth, Nap
from scye.ir.pattern import Pattern
from scye.lay.cuts import cut_list
from scye.lay.fast import lay_fast
from scye.lay.flat import area
from scye.lay.garment import garment_of
from scye.lay.ways import Choice, choices_of, margin_of
from scye.project import open_card, open_project

SECONDS = 10
INCH = 25.4
LAYS: tuple[tuple[str, int, Nap], ...] = (
    ("saltmarsh-bodice", 44, "one-way"),
    ("yoked-bodice", 44, "one-way"),
    ("yoked-bodice", 58, "none"),
)


def run() -> Iterator[Result]:
    for name, inches, nap in LAYS:
        cloth = Cloth("self", inches * INCH, nap, False, 0.0, NO_SHRINKAGE, 1.0, 20.0)
        choices = choices_of(cut_list(garment_of(_pattern(name)).pieces, "self", False).single, cloth)
        margin = margin_of(cloth)
        begin = perf_counter()
        ours = lay_fast(choices, cloth.width + 2 * margin).length - 2 * margin
        between = perf_counter()
        theirs = _library(choices, cloth.width + 2 * margin) - 2 * margin
        times = {"fast": between - begin, "library": perf_counter() - between}
        cut = sum(area(choice.cut.ring) for choice in choices) / cloth.width
        told = f"{name.split('-')[0]} {inches} in {nap}: {cut / ours:.1%} / {cut / theirs:.1%}"
        yield Result(told, theirs / ours, "x", 0.95, None, times)


def _library(choices: tuple[Choice, ...], width: float) -> float:
    """The length (mm) that the library comes to by itself, pieces with the same margins."""
    items = [
        spyrrow.Item(str(i), choice.ways[0].wide, 1, [0.0] if len(choice.ways) == 1 else [0.0, 180.0])
        for i, choice in enumerate(choices)
    ]
    config = spyrrow.StripPackingConfig(
        early_termination=False, total_computation_time=SECONDS, num_workers=2, seed=1
    )
    return spyrrow.StripPackingInstance("lay", width, items).solve(config).width


def _pattern(name: str) -> Pattern:
    project = open_project(ROOT / "recipes" / name / f"{name}.scye")
    body, _ = open_card(ROOT / "examples" / "cards" / "wren.yaml", project.catalogue)
    assert body is not None
    compiler = Compiler(project)
    order, _ = compiler.order(body, ())
    (pattern,) = compiler.patterns([order], None, lambda _line: None)
    return pattern
