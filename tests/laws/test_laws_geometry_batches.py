"""A body's lines are the same to the bit alone, in any batch, beside NaN, and from strided arrays."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from scye.geometry import area, curve, fair, offset, path, vector
from scye.geometry.intersect import Meets, meet
from scye.geometry.path import Circle, Guide, Path
from scye.geometry.vector import Array

N = 1000
Body = dict[str, Array]
RIGHT, DOWN = vector.vec(1.0, 0.0), vector.vec(0.0, 1.0)


def batch() -> Body:
    """Points of a thousand bodices: shoulder, chest, underarm, waist and so on, in mm."""
    rng = np.random.default_rng(7)

    def near(x: float, y: float) -> Array:
        return vector.vec(rng.normal(x, 12.0, N), rng.normal(y, 12.0, N))

    return {
        "shoulder": near(120, 20),
        "chest": near(95, 110),
        "scye": near(170, 200),
        "waist": near(150, 420),
        "neck": near(20, 0),
        "angle": rng.uniform(-3.0, 3.0, (1, N)),
        "amount": rng.uniform(5.0, 25.0, (1, N)),
    }


def armhole(body: Body) -> Path:
    return fair.fair_curve(
        [body["shoulder"], body["chest"], body["scye"]],
        [vector.turn(DOWN, 0.2 * body["angle"][0]), None, RIGHT],
    )


def side(body: Body) -> Path:
    return path.join(
        [
            path.polyline([body["neck"], body["scye"]]),
            fair.fair_curve([body["scye"], body["waist"]], [DOWN, None]),
        ]
    )


def flat(meets: Meets) -> list[Array]:
    """The meetings with a fixed number of rows, so that batches can be compared."""
    rows = 6
    assert len(meets.u) <= rows

    def padded(part: Array) -> Array:
        room = np.full((rows, *part.shape[1:]), np.nan)
        room[: len(part)] = part
        return room

    return [meets.count.astype(np.float64), padded(meets.u), padded(meets.v), padded(meets.point)]


def trigonometry(body: Body) -> list[Array]:
    angle, p, q = body["angle"][0], body["shoulder"], body["chest"]
    share = angle / 3.2
    return [
        vector.sin(angle),
        vector.cos(angle),
        vector.arccos(share),
        vector.arcsin(share),
        vector.turn(p, angle),
        vector.angle_between(p, q),
        vector.angle_of(q),
        vector.unit(p),
        vector.mirror(p, q, vector.turn(RIGHT, angle)),
    ]


def curves(body: Body) -> list[Array]:
    line = armhole(body)
    s = 0.4 * path.length(line)
    return [
        line.ctrl,
        curve.arc_length(line.ctrl),
        curve.curvature(line.ctrl[0], 0.3),
        curve.parameter_at_length(line.ctrl[1], 0.3 * path.segment_lengths(line)[1]),
        path.at_length(line, s),
        path.length_between(line, path.at_length(line, s), 1.7),
        *path.nearest(line, body["neck"]),
        path.tangent(line, 0.8 + 0.1 * body["angle"][0]),
    ]


def fitted(body: Body) -> list[Array]:
    ends = [body["shoulder"], body["scye"]]
    with np.errstate(all="ignore"):
        wanted = 1.04 * vector.norm(ends[1] - ends[0]) + body["amount"][0]
    long, low, high = fair.curve_of_length(ends, [DOWN, RIGHT], wanted)
    three, _, _ = fair.curve_of_length([*ends, body["waist"]], [DOWN, None, None], 1.5 * wanted + 200.0)
    arc, _, _ = fair.arc_of_length(ends[0], ends[1], wanted, RIGHT)
    hollow = fair.bowed_curve(ends[0], ends[1], body["amount"][0], 1.0, 0.4)
    round_ = fair.bowed_curve(ends[0], ends[1], body["amount"][0], -1.0, 0.5, DOWN, None)
    extra, peak = fair.regularity(hollow)
    return [long.ctrl, low, high, three.ctrl, arc.ctrl, hollow.ctrl, round_.ctrl, extra * 1.0, peak]


def meetings(body: Body) -> list[Array]:
    hole, seam = armhole(body), side(body)
    guide = Guide(body["chest"], vector.turn(RIGHT, body["angle"][0]))
    sweep = Circle(body["scye"], 4.0 * body["amount"][0])
    pairs = [(hole, seam), (seam, guide), (guide, hole), (hole, sweep), (sweep, guide), (seam, sweep)]
    return [part for a, b in pairs for part in flat(meet(a, b))]


def reshaped(body: Body) -> list[Array]:
    seam, angle = side(body), body["angle"][0]
    parted = path.part(seam, 1.0 + 0.3 * angle, 1.4)
    lines = [
        parted,
        path.turn_path(seam, body["neck"], angle),
        path.mirror_path(seam, body["neck"], RIGHT),
        path.extend(seam, body["amount"][0]),
        offset.offset_path(armhole(body), body["amount"][0])[0],
        offset.offset_path(path.part(armhole(body), 0.2, 0.9), 10.0)[0],
    ]
    outline = path.join([seam, path.polyline([body["waist"], body["neck"]])])
    return [*(line.ctrl for line in lines), area.signed_area(outline), path.inflections(seam) * 1.0]


SCENES = [trigonometry, curves, fitted, meetings, reshaped]
Scene = Callable[[Body], list[Array]]


def bits(array: Array) -> bytes:
    """The bits, every NaN alike."""
    return np.where(np.isnan(array), np.nan, array).tobytes()


def chosen(body: Body, which: list[int]) -> Body:
    return {name: np.ascontiguousarray(array[..., which]) for name, array in body.items()}


def check(scene: Scene, whole: list[Array], some: Body, which: list[int], at: slice) -> None:
    for number, (expected, found) in enumerate(zip(whole, scene(some), strict=True)):
        assert bits(expected[..., which]) == bits(found[..., at]), (scene.__name__, number, which[:4])


@pytest.fixture(scope="module")
def body() -> Body:
    return batch()


@pytest.mark.parametrize("scene", SCENES)
def test_a_body_alone_has_the_bits_it_has_among_a_thousand(scene: Scene, body: Body) -> None:
    whole = scene(body)
    for one in range(3, N, 140):
        check(scene, whole, chosen(body, [one]), [one], slice(None))


@pytest.mark.parametrize("scene", SCENES)
@pytest.mark.parametrize("count", [2, 3, 7, 64])
def test_a_few_bodies_have_the_bits_they_have_among_a_thousand(scene: Scene, count: int, body: Body) -> None:
    whole = scene(body)
    for first in (0, 501):
        which = list(range(first, first + count))
        check(scene, whole, chosen(body, which), which, slice(None))


@pytest.mark.parametrize("scene", SCENES)
@pytest.mark.parametrize("spoilt", [np.nan, np.inf, 1e300])
def test_neighbours_that_are_nothing_change_nobody(scene: Scene, spoilt: float, body: Body) -> None:
    whole = scene(body)
    which = list(range(40, 40 + 33))
    bad = {name: np.repeat(array[..., which], 2, axis=-1) for name, array in body.items()}
    for array in bad.values():
        array[..., 1::2] = spoilt
    check(scene, whole, bad, which, slice(None, None, 2))


@pytest.mark.parametrize("scene", SCENES)
def test_strided_arrays_give_the_same_bits(scene: Scene, body: Body) -> None:
    whole = scene(body)
    which = list(range(100, 119))
    strided = {name: np.repeat(array[..., which], 3, axis=-1)[..., ::3] for name, array in body.items()}
    check(scene, whole, strided, which, slice(None))


@pytest.mark.parametrize("scene", SCENES)
def test_nan_goes_in_and_comes_out_without_a_warning(scene: Scene, body: Body) -> None:
    missing = {name: np.full_like(array[..., :2], np.nan) for name, array in body.items()}
    with np.errstate(all="raise"):
        for result in scene(missing):
            assert np.isnan(result[np.nonzero(result)]).all()


@pytest.mark.parametrize("scene", SCENES)
def test_nothing_given_is_written_to(scene: Scene, body: Body) -> None:
    before = {name: array.tobytes() for name, array in body.items()}
    scene(body)
    assert before == {name: array.tobytes() for name, array in body.items()}
