"""Solve the same equations again: only what a changed measure, choice or figure reaches is worked out."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import numpy as np

from scye.geometry.vector import Array
from scye.ir import equations as e
from scye.ir.solution import BlockReport, Solution
from scye.solve.generate import generate_again
from scye.solve.solve import Runnable, function_of, with_bodies

Inputs = Callable[[e.Operation | e.BowSpec], tuple[e.Ref, ...]]
_ALWAYS = 1  # the bit of what no measure or choice reaches: it is worked out the first time


class Again:
    """Ordered equations solved again and again, mostly for little changes.

    The values are those of `solve`, bit for bit.
    """

    def __init__(self, runnable: Runnable, inputs: Inputs) -> None:
        self._runnable = runnable
        self._bit_of: dict[tuple[str, str], int] = {}
        source = generate_again(runnable.ordered, self._bits(runnable.ordered, inputs))
        self._evaluate = function_of(source, "evaluate_again")
        self._known: dict[tuple[str, str], bytes] = {}
        self._raw: list[Any] = []
        self._last: Solution | None = None

    def take_up(self, runnable: Runnable) -> None:
        """Go on with equations of the same source: those that differ in figures and names alone."""
        self._runnable = runnable

    def _bits(self, ordered: e.Ordered, inputs: Inputs) -> dict[e.Ref, int]:
        """Which measures, choices and figures reach each node, a bit for each of them."""
        nodes = ordered.equations.nodes
        bits: dict[e.Ref, int] = {}

        def of(ref: e.Ref) -> int:
            own = self._own_bit(ref, nodes[ref].op)
            for source in inputs(nodes[ref].op):
                own |= bits[source]
            return own

        for block in ordered.blocks:
            match block:
                case e.Straight(nodes=straight):
                    for ref in straight:
                        bits[ref] = of(ref)
                case e.Simultaneous(unknowns=unknowns, nodes=inside):
                    self._bits_together(unknowns, inside, bits, of)
        return bits

    @staticmethod
    def _bits_together(
        unknowns: tuple[e.Ref, ...],
        inside: tuple[e.Ref, ...],
        bits: dict[e.Ref, int],
        of: Callable[[e.Ref], int],
    ) -> None:
        """All of a block of unknowns hangs together: what reaches one of it reaches the whole."""
        bits.update(dict.fromkeys(unknowns, 0))
        whole = 0
        for ref in (*inside, *unknowns):
            bits[ref] = of(ref)
            whole |= bits[ref]
        bits.update(dict.fromkeys((*unknowns, *inside), whole))

    def _own_bit(self, ref: e.Ref, op: e.Operation) -> int:
        match op:
            case e.Constant():
                key = "figure", str(ref)
            case e.Taken(measure=name):
                key = "measure", name
            case e.Chosen(choice=name):
                key = "choice", name
            case _:
                return _ALWAYS
        return self._bit_of.setdefault(key, _ALWAYS << (len(self._bit_of) + 1)) | _ALWAYS

    def solve(self, measures: Mapping[str, Array], choices: Mapping[str, Array], count: int) -> Solution:
        """As `solve.solve`: the values for `count` bodies."""
        known = {("measure", name): row.tobytes() for name, row in measures.items()}
        known.update({("choice", name): row.tobytes() for name, row in choices.items()})
        figures = enumerate(self._runnable.constants)
        known.update(
            {("figure", str(ref)): repr(figure).encode() for ref, figure in figures if figure is not None}
        )
        last = self._last if self._last is not None and self._last.count == count else None
        changed = -1 if last is None else self._changed(known)
        told: list[BlockReport] = [] if last is None else last.blocks
        with np.errstate(all="ignore"):
            raw, reports = self._evaluate(
                measures, choices, count, self._runnable.constants, changed, self._raw, told
            )
        if last is None:
            values = [with_bodies(value) for value in raw]
        else:
            before = zip(raw, self._raw, last.values, strict=True)
            values = [known if now is old else with_bodies(now) for now, old, known in before]
        self._known, self._raw = known, raw
        self._last = Solution(count, values, self._runnable.names, reports)
        return self._last

    def _changed(self, known: Mapping[tuple[str, str], bytes]) -> int:
        """The bits of the measures, choices and figures that are not as they were."""
        return sum(bit for key, bit in self._bit_of.items() if known[key] != self._known[key])
