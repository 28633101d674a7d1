"""Lines and points laid without stretching, and lines kept beside others, as a recipe writes them."""

from __future__ import annotations

import numpy as np
import pytest

from scye.geometry.path import Circle, Guide, Path, end, length, start
from stages import INCH, drafted

DRAFT = (
    "draft body\n  begin at a\n  mark b from a right 4 in\n  mark c from a down 10 in\n"
    "  mark d from c right 3 in down 3 in\n  mark p from a right 1 in up 2 in\n"
    "  curve edge from a to b leaving up\n  level top through a\n  line bent from a to b to d\n"
)


def test_a_point_keeps_its_distances_from_the_two_that_are_laid():
    made = drafted(DRAFT + "  mark q p laid from a, b to c, d\n")
    q, p = made.value("body.q")[:, 0], made.value("body.p")[:, 0]
    a, b, c = (made.value(f"body.{n}")[:, 0] for n in "abc")
    d = made.value("body.d")[:, 0]
    on = c + (d - c) / np.linalg.norm(d - c) * 4 * INCH
    assert np.linalg.norm(q - c) == pytest.approx(np.linalg.norm(p - a), abs=1e-9)
    assert np.linalg.norm(q - on) == pytest.approx(np.linalg.norm(p - b), abs=1e-9)
    sides = [u[0] * v[1] - u[1] * v[0] for u, v in ((d - c, q - c), (b - a, p - a))]
    assert sides[0] < 0
    assert sides[1] < 0


def test_a_line_laid_there_and_back_is_the_line():
    made = drafted(
        DRAFT + "  line there = edge laid from a, b to c, d\n  line back = there laid from c, d to a, b\n"
    )
    assert np.allclose(made.value("body.back").ctrl, made.value("body.edge").ctrl, atol=1e-9)
    assert np.allclose(length(made.value("body.there")), length(made.value("body.edge")))
    assert np.allclose(start(made.value("body.there")), made.value("body.c"))


def test_it_can_be_laid_by_no_way():
    made = drafted(DRAFT + "  mark a2 from a\n  mark q p laid from a, a2 to c, d\n")
    ((_, code, said),) = made.reasons()
    assert (code, said) == (
        "E607",
        "`body.a` and `body.a2` are at the same place, so nothing can be laid by them",
    )


@pytest.mark.parametrize(("side", "y"), [("up", -1.0), ("down", 1.0), ("c", 1.0), ("p", -1.0)])
def test_a_level_is_kept_on_the_side_said(side: str, y: float):
    made = drafted(DRAFT + f"  line beside = parallel to top 1 in toward {side}\n")
    line = made.value("body.beside")
    assert isinstance(line, Guide)
    assert line.point[1, 0] == pytest.approx(y * INCH)


def test_a_sweep_is_kept_inside_or_outside():
    made = drafted(
        DRAFT
        + "  line in_side = parallel to (sweep of 3 in about a) 1 in toward a\n"
        + "  line out_side = parallel to (sweep of 3 in about a) 1 in toward c\n"
    )
    radii = [made.value(f"body.{n}").radius[0] / INCH for n in ("in_side", "out_side")]
    assert all(isinstance(made.value(f"body.{n}"), Circle) for n in ("in_side", "out_side"))
    assert radii == pytest.approx([2.0, 4.0])


def test_extended_runs_on_straight_past_both_ends():
    made = drafted(
        DRAFT + "  line beside = parallel to bent 1 in toward c\n"
        "  line longer = parallel to bent 1 in toward c extended\n"
    )
    one, two = made.value("body.beside"), made.value("body.longer")
    assert isinstance(two, Path)
    assert len(two.straight) == len(one.straight) + 2
    assert np.allclose(two.ctrl[1:-1], one.ctrl)
    assert end(two)[1, 0] > 1000.0


def test_a_line_that_bends_too_sharply_says_so():
    made = drafted(DRAFT + "  line beside = parallel to edge 30 in toward (b down 1 in)\n")
    ((_, code, said),) = made.reasons()
    assert code == "E609"
    assert said.startswith("`body.edge` bends too sharply for a line 30 in beside it toward `")
