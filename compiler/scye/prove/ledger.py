"""The ledger: what every dart and panel line takes in at every level, with a total for each."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from scye.ir.equations import LedgerEntry
from scye.ir.pattern import LedgerLine
from scye.ir.solution import Solution


def ledger_lines(entries: Sequence[LedgerEntry], solution: Solution, index: int) -> tuple[LedgerLine, ...]:
    """The ledger of one body, level by level in the order of the recipe; an owner `total` closes each.

    Amounts in mm, negative where cloth is let out. An amount that could not be worked out is NaN, and so
    is its level's total.
    """
    lines: list[LedgerLine] = []
    for at in dict.fromkeys(entry.at for entry in entries):
        level = [
            LedgerLine(at, entry.owner, _amount(solution, entry.amount, index))
            for entry in entries
            if entry.at == at
        ]
        lines += [*level, LedgerLine(at, "total", sum(line.amount for line in level))]
    return tuple(lines)


def _amount(solution: Solution, ref: int, index: int) -> float:
    value = np.asarray(solution.values[ref], dtype=np.float64)
    return float(value[index if value.shape[-1] > 1 else 0])
