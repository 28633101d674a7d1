"""The operations of a piece, each done in the order written."""

from __future__ import annotations

from typing import assert_never

from scye.assemble.blending import blend
from scye.assemble.closing import close, release
from scye.assemble.moves import move
from scye.assemble.parting import Job, State
from scye.assemble.slashes import slash
from scye.ir.plan import BlendPlan, ClosePlan, MovePlan, ReleasePlan, SlashPlan


def reshaped(job: Job, state: State) -> State:
    """The piece after all of them. The part with the fold, or else with the first edge, stays where it is."""
    for number, plan in enumerate(job.plan.moves):
        match plan:
            case MovePlan():
                state = move(job, plan, number, state)
            case ClosePlan():
                state = close(job, plan, number, state)
            case ReleasePlan():
                state = release(job, plan, number, state)
            case SlashPlan():
                state = slash(job, plan, number, state)
            case BlendPlan():
                state = blend(job, plan, state)
            case _:
                assert_never(plan)
    return state
