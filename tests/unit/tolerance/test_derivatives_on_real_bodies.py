"""Slopes of the whole compiler against fresh drafts of moved cards, on a hundred women of the survey.

The survey is ANSUR II (NATICK/TR-15/007; see tests/bodies/survey.py). What is compared with is another way to
the same derivative: bodies drafted one batch at a time without any neighbours, at other distances, and
Richardson's extrapolation, (4 D(h) - D(2h)) / 3, whose error falls with the fourth power of h.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parents[2] / "bodies"))

import drafted
import survey

from scye.assemble.assemble import assemble
from scye.driver import Compiled, Compiler, solved
from scye.geometry.vector import Array
from scye.ir.pattern import Pattern
from scye.ir.people import Body
from scye.prove.prove import prove
from scye.tolerance.bars import moved
from scye.units.quantity import Kind

pytestmark = pytest.mark.skipif(bool(survey.absent()), reason=survey.absent() or "the survey is here")

COUNT = 100
MEASURES = ("bust", "underbust", "waist", "high_hip", "waist_to_high_hip")
WIDE, NARROW = 0.8, 0.4  # mm, neither of them the compiler's own step


def women() -> tuple[Body, ...]:
    """A hundred women from all of the survey, each measured once."""
    whole = survey.bodies()[:1986]
    some = whole[:: len(whole) // COUNT][:COUNT]
    return tuple(replace(body, readings=tuple(replace(r, times=1) for r in body.readings)) for body in some)


def drawn(compiler: Compiler, bodies: Sequence[Body], sure: bool = False) -> list[Pattern]:
    orders = drafted.orders_for(compiler, bodies)
    return list(compiler.patterns(orders, None, lambda _line: None, sure=sure))


def fresh(compiler: Compiler, bodies: Sequence[Body]) -> dict[tuple[str, str], Array]:
    """Every seam, proof and named amount of bodies drafted anew, by name: (n,) in mm."""
    orders = drafted.orders_for(compiler, bodies)
    compiled = compiler.compiled(orders[0].settled)
    assert isinstance(compiled, Compiled)
    solution, nodes = solved(compiled, orders), compiled.runnable.ordered.equations.nodes
    assembly = assemble(compiled.plan, solution)
    proofs = prove(compiled.plan, assembly, solution, [node.kind for node in nodes])
    amounts = {
        ("amount", node.name): np.broadcast_to(solution.values[ref], (len(bodies),))
        for ref, node in enumerate(nodes)
        if node.name and node.kind is Kind.LENGTH
    }
    seams = {("seam", seam.letter): seam.length_a for seam in proofs.seams}
    return {**amounts, **seams, **{("proof", proof.name): proof.found for proof in proofs.proofs}}


def slopes_by_richardson(
    compiler: Compiler, bodies: Sequence[Body], measure: str
) -> dict[tuple[str, str], Array]:
    """Slopes (n,) in one measure, from four fresh drafts of every body; NaN where the draft turns a corner.

    Where a panel edge stops turning round, or the greater of two amounts becomes the lesser, there is no
    slope: the nearer difference and the wider one then disagree by far more than they do on a smooth draft.
    """
    runs = [fresh(compiler, [moved(b, measure, o) for b in bodies]) for o in (WIDE, -WIDE, NARROW, -NARROW)]
    slopes = {}
    for key in runs[0]:
        wide_up, wide_down, up, down = (run[key] for run in runs)
        coarse, fine = (wide_up - wide_down) / (2 * WIDE), (up - down) / (2 * NARROW)
        smooth = np.abs(fine - coarse) <= 1e-6 + 1e-3 * np.abs(fine)
        slopes[key] = np.where(smooth, (4.0 * fine - coarse) / 3.0, np.nan)
    return slopes


@pytest.fixture(scope="module")
def compiler() -> Compiler:
    return drafted.compiler_for(drafted.recipe_file("saltmarsh-bodice"))


@pytest.fixture(scope="module")
def patterns(compiler: Compiler) -> list[Pattern]:
    return drawn(compiler, women(), sure=True)


@pytest.mark.parametrize("measure", MEASURES)
def test_slopes_agree_with_fresh_drafts(compiler: Compiler, patterns: list[Pattern], measure: str) -> None:
    expected = slopes_by_richardson(compiler, women(), measure)
    compared = corners = 0
    for i, pattern in enumerate(patterns):
        assert pattern.sure is not None
        for doubt in pattern.sure.doubts:
            slopes = {part.measure: part.slope for part in doubt.parts}
            slope = float(expected[doubt.what, doubt.name][i])
            corners += not np.isfinite(slope)
            if np.isfinite(slope):
                compared += 1
                ours = slopes.get(measure, 0.0)
                assert ours == pytest.approx(slope, rel=1e-4, abs=1e-6), (pattern.body, doubt.name)
    assert compared > 40 * COUNT
    assert corners <= compared / 100


def test_the_error_bars_are_those_of_a_measure_taken_once(patterns: list[Pattern]) -> None:
    assert all(p.sure is not None for p in patterns)
    bars = {bar.measure: bar.bar for p in patterns if p.sure is not None for bar in p.sure.bars}
    assert bars["bust"] == pytest.approx(18.0)
    assert bars["waist_to_high_hip"] == pytest.approx(10.0)
