"""The prove room: judges what the assemble room measured.

Reads the plan, the assembly and the solution; adds a verdict for every seam and proof, and findings in
the maker's words. Changes none of them. All arrays are over the whole batch, and a body's verdicts do not
depend on its neighbours.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from scye.geometry.vector import Ints
from scye.ir.assembly import Assembly, Proofs
from scye.ir.plan import CuttingPlan
from scye.ir.solution import Solution
from scye.prove.figures import Amounts
from scye.prove.girths import judge_proof
from scye.prove.holds import judge_limits
from scye.prove.limits import gathered, judge_caution, judge_limit, moved_dart, reshaped, shown_report
from scye.prove.walk import Tolerance, across, judge_seam, look_alikes
from scye.units.quantity import Kind

# Beyond the declared ease, where the recipe does not say: a little over 1/16 in, and 1/8 in.
WARN_MM, FAIL_MM = 1.5, 3.0


def prove(
    plan: CuttingPlan,
    assembly: Assembly,
    solution: Solution,
    kinds: Sequence[Kind],
    other_side: Ints | None = None,
) -> Proofs:
    """Every seam walked, every proof and limit judged. `kinds` has the kind of every node by its `Ref`.

    `other_side` (n,) gives, where some bodies are drafted as a right and a left half, the place in the batch
    of each one's other half (its own place for a whole body): seams to the other side and girths hold both.
    """
    amounts = Amounts(solution, tuple(kinds))
    walks = assembly.walks
    if other_side is not None:
        walks = tuple(
            across(walk, other_side) if sew.to_pair else walk
            for sew, walk in zip(plan.seams, walks, strict=True)
        )
    seams = [
        judge_seam(sew, walk, amounts, _tolerance(plan, amounts))
        for sew, walk in zip(plan.seams, walks, strict=True)
    ]
    proofs = [
        judge_proof(proof, assembly.sections, amounts, plan.fitted, other_side) for proof in plan.proofs
    ]
    return Proofs(
        seams=tuple(seam for seam, _ in seams),
        proofs=tuple(proof for proof, _ in proofs),
        findings=(
            *(f for _, found in seams for f in found),
            *(f for _, found in proofs for f in found),
            *(f for keep in plan.keeps for f in judge_limit(keep, amounts)),
            *judge_limits(plan.limits, amounts),
            *look_alikes(plan.seams, walks),
        ),
        reports=(
            *(shown_report(report, amounts) for report in plan.reports),
            *(moved_dart(move) for move in assembly.moves),
            *(reshaped(line) for line in assembly.reshaped),
            *(
                line
                for sew, (seam, _) in zip(plan.seams, seams, strict=True)
                for line in gathered(sew, seam, amounts)
            ),
        ),
        cautions=tuple(judge_caution(caution, amounts) for caution in plan.cautions),
    )


def _tolerance(plan: CuttingPlan, amounts: Amounts) -> Tolerance:
    like = np.zeros(amounts.solution.count)
    warn = like + WARN_MM if plan.seam_warn is None else amounts.amount(plan.seam_warn)
    fail = like + FAIL_MM if plan.seam_fail is None else amounts.amount(plan.seam_fail)
    return Tolerance(warn, fail)
