"""A body's pattern is the same bit for bit alone and in any batch; many bodies cost little more than one."""

from __future__ import annotations

import time

import numpy as np
import pytest
from by_hand import Paper, allow, alone, bodice_front, boundary, drafted, piece, recipe, skirt_front

from scye.assemble.assemble import assemble


@pytest.mark.parametrize("count", [2, 3, 24])
def test_bodies_do_not_change_each_other(count: int) -> None:
    plan, paper = skirt_front(count)
    for body in {0, count // 2, count - 1}:
        assert drafted(plan, paper, body) == drafted(plan, alone(paper, body))


def test_a_neighbour_that_could_not_be_drawn_changes_nothing() -> None:
    plan, paper = skirt_front(3)
    whole = drafted(plan, paper, 2)
    for i, value in enumerate(paper.values):
        if isinstance(value, np.ndarray) and value.shape[-1] == 3:
            spoiled = value.copy()
            spoiled[..., 1] = np.nan
            paper.values[i] = spoiled
    assert drafted(plan, paper, 2) == whole


def test_bodies_with_moved_darts_do_not_change_each_other() -> None:
    plan, paper = bodice_front(0.5, 4)
    share = plan.pieces[0].moves[0].share
    paper.values[share] = np.array([0.25, 0.5, 0.75, 1.0])
    for body in range(4):
        assert drafted(plan, paper, body) == drafted(plan, alone(paper, body))


def test_twenty_four_bodies_cost_well_under_three_times_one() -> None:
    def seconds(count: int) -> float:
        plan, paper = skirt_front(count)
        solution = paper.solution()
        times = []
        for _ in range(7):
            began = time.process_time()
            assemble(plan, solution)
            times.append(time.process_time() - began)
        return min(times)

    assert seconds(24) < 2.5 * seconds(1)


def test_nothing_is_drawn_for_no_bodies_at_all() -> None:
    plan, paper = skirt_front(1)
    paper.values = [np.full_like(v, np.nan) if isinstance(v, np.ndarray) else v for v in paper.values]
    pattern = drafted(plan, paper)
    assert isinstance(paper, Paper)
    assert pattern.pieces == ()
    assert pattern.findings == ()


def test_a_kink_in_one_body_leaves_the_smooth_joint_of_another_alone() -> None:
    paper = Paper(2)
    dip = np.array([0.0, 4.0])
    top = paper.line((0.0, 0.0), (60.0, dip), (120.0, 0.0))
    sides = boundary(("left", paper.plumb(0.0)), ("top", top), ("right", paper.plumb(120.0)),
                     ("bottom", paper.level(80.0)))  # fmt: skip
    width = paper.amount(10.0)
    plan = recipe([piece("p", sides, allowances=tuple(allow(s.name, width) for s in sides))])
    for body in range(2):
        assert drafted(plan, paper, body) == drafted(plan, alone(paper, body))
