"""Moving an edge: the full amount at its place, nothing at its ends, square to the line or up and down."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scye.geometry import path
from scye.geometry.fair import fair_curve
from scye.geometry.path import Guide, Path
from scye.geometry.vector import Array, norm, vec
from scye.solve import fitted

DOWN = path.polyline([vec(0.0, 0.0), vec(0.0, 300.0)])  # a straight side seam, drawn downward
CURVED = fair_curve([vec(0.0, 0.0), vec(30.0, 150.0), vec(0.0, 300.0)], [None, None, None])


def level(y: float) -> Guide:
    return Guide(vec(0.0, y), vec(1.0, 0.0))


def moved(line: Path, amount: float, at: object, nothing: list[object], **more: object) -> fitted.Move:
    carried = more.get("carried", [])
    ends = path.start(line), path.end(line)
    return fitted.move(line, *ends, np.array([amount]), more.get("toward"), at, nothing, carried)  # type: ignore[arg-type]


def x_at(line: Path, y: float) -> float:
    from scye.geometry.intersect import meet

    return float(meet(line, level(y)).point[0, 0, 0])


def test_a_straight_is_moved_square_by_the_whole_amount_at_its_place() -> None:
    """Drawn downward, its right is the left of the paper."""
    line = fitted.fitted_line(moved(DOWN, 10.0, level(120.0), [level(40.0)]))
    assert x_at(line, 120.0) == pytest.approx(-10.0, abs=1e-9)
    assert x_at(line, 40.0) == pytest.approx(0.0, abs=1e-9)
    assert x_at(line, 20.0) == pytest.approx(0.0, abs=1e-9)
    assert x_at(line, 300.0) == pytest.approx(0.0, abs=1e-9)


def test_it_fades_smoothly_by_hand() -> None:
    """Half way between nothing and all it has half, a quarter of the way 3/16 - 2/64 = 10/64."""
    line = fitted.fitted_line(moved(DOWN, 10.0, level(120.0), [level(40.0)]))
    assert x_at(line, 80.0) == pytest.approx(-5.0, abs=1e-6)
    assert x_at(line, 60.0) == pytest.approx(-10.0 * 10 / 64, abs=1e-6)
    tangents = [path.tangent(line, path.nearest(line, vec(0.0, y))[0])[:, 0] for y in (40.0, 120.0)]
    assert np.allclose(tangents, [[0.0, 1.0]] * 2, atol=1e-6)


def test_it_is_carried_on_to_a_place_and_past_the_end() -> None:
    line = fitted.fitted_line(moved(DOWN, 10.0, level(120.0), [], carried=[level(300.0)]))
    assert x_at(line, 200.0) == pytest.approx(-10.0, abs=1e-9)
    assert path.end(line)[:, 0] == pytest.approx([-10.0, 300.0], abs=1e-9)


def test_near_an_end_it_is_carried_on_to_it() -> None:
    """A hip 12 mm above the hem: nobody fades a seam in half an inch."""
    line = fitted.fitted_line(moved(DOWN, 10.0, level(288.0), []))
    assert path.end(line)[0, 0] == pytest.approx(-10.0, abs=1e-9)
    told = fitted.fitted_line(moved(DOWN, 10.0, level(288.0), [level(300.0)]))
    assert path.end(told)[0, 0] == pytest.approx(-10.0, abs=1e-9)


def test_a_straight_whose_end_is_raised_stays_straight() -> None:
    shoulder = path.polyline([vec(0.0, 0.0), vec(120.0, 40.0)])
    line = fitted.fitted_line(moved(shoulder, 10.0, path.end(shoulder), [], toward=vec(0.0, -1.0)))
    assert path.end(line)[:, 0] == pytest.approx([120.0, 30.0])
    assert path.length(line)[0] == pytest.approx(np.hypot(120.0, 30.0), abs=1e-9)
    assert all(line.straight)


@given(amount=st.floats(-15.0, 15.0), at=st.floats(60.0, 240.0))
@settings(max_examples=40, deadline=None)
def test_every_point_of_a_curve_is_as_far_off_as_its_share(amount: float, at: float) -> None:
    """Square to the old line, at places between those that are drawn exactly, to a hundredth of a mm."""
    move = moved(CURVED, amount, level(at), [])
    line = fitted.fitted_line(move)
    u = np.linspace(0.02, float(len(CURVED.straight)) - 0.02, 41)
    for place in u:
        point = path.locate(CURVED, [place])
        share = move.share(path.length_between(CURVED, 0.0, [place]))
        away = path.nearest(line, point + amount * share * square(place))[1]
        assert float(away[0]) < 0.01


def square(u: float) -> Array:
    from scye.geometry.vector import quarter_turn

    return quarter_turn(path.tangent(CURVED, [u]))


def test_a_place_that_is_not_on_the_line_moves_nothing() -> None:
    move = moved(DOWN, 10.0, level(400.0), [])
    assert fitted.fit_placed(move)[0] == 0.0
    line = fitted.fitted_line(move)
    assert np.abs(line.ctrl[:, :, 0]).max() == pytest.approx(0.0, abs=1e-12)
    assert path.length(line) == pytest.approx(path.length(DOWN), abs=1e-9)


def test_bodies_of_a_batch_do_not_see_each_other() -> None:
    two = path.polyline([vec([0.0, 0.0], [0.0, 0.0]), vec([0.0, 0.0], [300.0, 200.0])])
    amounts = np.array([10.0, 0.0])
    ends = path.start(two), path.end(two)
    both = fitted.fitted_line(fitted.move(two, *ends, amounts, None, level(120.0), [level(40.0)], []))
    alone = fitted.fitted_line(moved(DOWN, 10.0, level(120.0), [level(40.0)]))
    assert x_at(path.take(both, 0), 80.0) == pytest.approx(x_at(alone, 80.0), abs=1e-9)
    assert np.abs(both.ctrl[:, :, 0, 1]).max() == pytest.approx(0.0, abs=1e-12)


def test_a_neighbour_follows_with_its_end_and_stays_at_the_other() -> None:
    hem = path.polyline([vec(0.0, 300.0), vec(200.0, 320.0)])
    move = moved(DOWN, 10.0, path.end(DOWN), [path.start(DOWN)])
    trued = fitted.followed_line(hem, move)
    assert isinstance(trued, Path)
    assert path.start(trued)[:, 0] == pytest.approx([-10.0, 300.0], abs=1e-9)
    assert path.end(trued)[:, 0] == pytest.approx([200.0, 320.0], abs=1e-9)
    away = path.polyline([vec(1.0, 150.0), vec(200.0, 150.0)])
    assert fitted.followed_line(away, move).ctrl == pytest.approx(away.ctrl, abs=1e-9)


def test_which_side_of_a_line_its_piece_is_on() -> None:
    box = [vec(0.0, 0.0), vec(100.0, 0.0), vec(100.0, 300.0), vec(0.0, 300.0)]
    lines = [path.polyline([box[i], box[(i + 1) % 4]]) for i in range(4)]
    assert [float(fitted.piece_side(lines, [None] * 4, i)[0]) for i in range(4)] == [1.0] * 4
    lines[1] = path.reverse(lines[1])
    assert float(fitted.piece_side(lines, [None] * 4, 1)[0]) == -1.0
    assert norm(fitted.corner(lines[0], lines[1], None) - box[1])[0] < 1e-9
