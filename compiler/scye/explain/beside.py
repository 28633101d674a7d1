"""Rules beside the tape: what the recipe would have used for a measure that the card has."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping

from scye.diagnostics.limits import RuleOffTape
from scye.explain.workings import UNIT_TAGS, number_at
from scye.ir import equations as e
from scye.ir.pattern import Finding
from scye.ir.people import DisplayUnit
from scye.ir.solution import Solution
from scye.ir.sureness import Beside, ErrorBar
from scye.units.tape import show_value

FAR = 3.0  # times the error bar of the tape


def beside_of(
    equations: e.Equations, solution: Solution, body: int, bars: Mapping[str, ErrorBar], display: DisplayUnit
) -> Iterator[Beside]:
    """Every measure that was taken though the recipe has a rule for it. `bars` has the measures taken."""
    for ref, node in enumerate(equations.nodes):
        match node.op:
            case e.Taken(measure=measure, otherwise=int(rule)) if measure in bars:
                figures = number_at(solution, rule, body), number_at(solution, ref, body)
                if all(map(math.isfinite, figures)):
                    yield _beside(bars[measure], UNIT_TAGS[node.kind], figures, display)


def _beside(bar: ErrorBar, tag: str, figures: tuple[float, float], display: DisplayUnit) -> Beside:
    """`rule gives scye depth 8 3/8 in, you measured 7 3/4 in, using the tape`."""
    rule, tape = (show_value(x, tag, display) for x in figures)
    text = f"rule gives {bar.title.lower()} {rule}, you measured {tape}, using the tape"
    far = abs(figures[0] - figures[1]) > FAR * bar.bar
    return Beside(bar.measure, bar.title, tag, *figures, bar.bar, far, text)


def far_findings(besides: Iterable[Beside], display: DisplayUnit) -> Iterator[Finding]:
    """A note for each rule that lies far from the tape."""
    for beside in besides:
        if beside.far:
            apart = show_value(abs(beside.rule - beside.tape), beside.unit, display)
            yield Finding(
                RuleOffTape.code, RuleOffTape.severity, beside.measure, f"{beside.text}; {apart} apart",
                "measure it once more, or leave the rule aside for this body", None,
            )  # fmt: skip
