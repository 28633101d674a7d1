"""Laws of lays, over sets of pieces drawn at random: looked at with shapely, from the placements alone."""

from __future__ import annotations

import math
from itertools import combinations
from random import Random

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from scye.ir.lay import NO_SHRINKAGE, Cloth, Garment, Lay, PieceToLay, Placement, Stretch
from scye.ir.pattern import CutOrder, Point, Stroke
from scye.lay import fast
from scye.lay.flat import flattened
from scye.lay.lay import lay_out
from scye.lay.reckon import reckon
from scye.render.lay_json import lay_json

SETS = 200
NAPS = ("one-way", "two-way", "none")
# Curves may bulge over the selvedge by what their points' lines are off them (mm).
BULGE = 0.06


@pytest.fixture(autouse=True, scope="module")
def quick():
    """Less work for each lay: the laws hold however short the search."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(fast, "WORK", 1_000_000)
        yield


def random_piece(random: Random, number: int) -> PieceToLay:
    """A piece with straight and curved sides, of any grain; one in four has a straight edge for a fold."""
    how = random.choice(("pair", "fold", "single", "plain"))
    if how == "fold":
        long, wide = random.uniform(60, 300), random.uniform(30, 160)
        fold = ((0.0, 0.0), (0.0, long))
        bulge = random.uniform(0.2, 1.0) * wide
        curve = ((wide, long * 0.7), (bulge, long * 0.4), (wide * random.uniform(0.3, 1), 0.0))
        cutting = Stroke((0.0, 0.0), (((0.0, long),), ((wide, long),), curve, ((0.0, 0.0),)), True)
        return _piece(number, how, cutting, ((10.0, 10.0), (10.0, long - 10)), fold)
    corners = random.randint(3, 8)
    at = [_polar(random.uniform(40, 150), 2 * math.pi * k / corners) for k in range(corners)]
    segments: list[tuple[Point, ...]] = []
    for here, there in zip(at, [*at[1:], at[0]], strict=True):
        segments.append((there,) if random.random() < 0.5 else (_hollow(here), _hollow(there), there))
    way = random.uniform(0, 2 * math.pi)
    return _piece(number, how, Stroke(at[0], tuple(segments), True), ((0.0, 0.0), _polar(30, way)), None)


def _hollow(point: Point) -> Point:
    return point[0] * 0.8, point[1] * 0.8


def _polar(radius: float, angle: float) -> Point:
    return radius * math.cos(angle), radius * math.sin(angle)


def _piece(number, how, cutting, grain, fold) -> PieceToLay:
    count = {"pair": 2, "fold": 1, "single": 1, "plain": 2}[how]
    order = CutOrder(count, how, ("self",), "")
    return PieceToLay(f"piece_{number}", f"Piece {number}", (order,), cutting, grain, fold, number % 3 == 2)


def random_garment(random: Random) -> Garment:
    pieces = tuple(random_piece(random, k) for k in range(random.randint(1, 5)))
    return Garment("Any", "1", "heron", "", "cm", pieces, True)


def random_cloth(random: Random) -> Cloth:
    width = random.uniform(640, 1200)
    gap = random.choice((0.0, 1.0, 6.0))
    return Cloth("self", width, random.choice(NAPS), random.random() < 0.4, 0.0, NO_SHRINKAGE, gap, 20.0)


def on_cloth(piece: PieceToLay, placed: Placement, point: Point) -> Point:
    """A place of the paper on the cloth, as a placement's docstring has it."""
    x, y = (-point[0] if placed.mirrored else point[0]), point[1]
    cosine, sine = math.cos(placed.angle), math.sin(placed.angle)
    return x * cosine - y * sine + placed.move[0], x * sine + y * cosine + placed.move[1]


def shape_of(piece: PieceToLay, placed: Placement) -> shapely.Polygon:
    """What is cut, from the true curve; a piece opened out with its other half."""
    ring = [on_cloth(piece, placed, point) for point in flattened(piece.cutting, 0.002)]
    half = shapely.Polygon(ring)
    if not placed.opened:
        return half
    (ax, ay), (bx, by) = (on_cloth(piece, placed, end) for end in piece.fold)
    angle = 2 * math.atan2(by - ay, bx - ax)
    cosine, sine = math.cos(angle), math.sin(angle)
    over = [(
        ax + (x - ax) * cosine + (y - ay) * sine,
        ay + (x - ax) * sine - (y - ay) * cosine,
    ) for x, y in ring]  # fmt: skip
    return shapely.union(half, shapely.Polygon(over), grid_size=1e-6)


def check_stretch(garment: Garment, cloth: Cloth, stretch: Stretch) -> None:
    pieces = {piece.name: piece for piece in garment.pieces}
    shapes = [shape_of(pieces[p.piece], p) for p in stretch.placements]
    for a, b in combinations(shapes, 2):
        assert shapely.area(shapely.intersection(a, b)) <= 1e-6
        assert shapely.distance(a, b) >= cloth.gap - 2 * BULGE
    room = shapely.box(
        stretch.start - BULGE, -BULGE, stretch.start + stretch.length + BULGE, stretch.width + BULGE
    )
    assert all(shapely.covers(room, shape) for shape in shapes)
    for placed in stretch.placements:
        check_grain(pieces[placed.piece], cloth, placed)
        check_fold(pieces[placed.piece], placed, stretch)


def check_grain(piece: PieceToLay, cloth: Cloth, placed: Placement) -> None:
    """Along the selvedge; the upper end of the paper's grain to the left unless the nap allows a turn.

    A piece that is one way has the first end of its grain there, and no nap allows a turn.
    """
    head, foot = piece.grain if piece.one_way else sorted(piece.grain, key=lambda end: end[1])
    (x, y), (x2, y2) = on_cloth(piece, placed, head), on_cloth(piece, placed, foot)
    assert y == pytest.approx(y2, abs=1e-6)
    assert (cloth.nap != "one-way" and not piece.one_way) or x < x2


def check_fold(piece: PieceToLay, placed: Placement, stretch: Stretch) -> None:
    is_fold = piece.cuts[0].how == "fold"
    assert placed.on_fold == (is_fold and stretch.folded)
    assert placed.opened == (is_fold and not stretch.folded)
    assert placed.double == stretch.folded
    if placed.on_fold:
        assert all(abs(on_cloth(piece, placed, end)[1]) < 1e-6 for end in piece.fold)


def check_counts(garment: Garment, cloth: Cloth, lay: Lay) -> None:
    """Every cut there, pairs one of each hand, singles as drawn, the two of a pair alike in two-way nap."""
    for piece in garment.pieces:
        placed = [p for s in lay.stretches for p in s.placements if p.piece == piece.name]
        order = piece.cuts[0]
        layers = sum(2 if p.double and not p.on_fold else 1 for p in placed)
        assert layers == order.count
        if order.how in ("single", "plain"):
            assert not any(p.mirrored for p in placed)
        if order.how == "pair" and not cloth.folded:
            assert sorted(p.mirrored for p in placed) == [False, True]
            heads = {p.grain[0][0] < p.grain[1][0] for p in placed}
            assert cloth.nap == "none" or len(heads) == 1
        if order.how == "plain" and cloth.folded and len(placed) == 1:
            raise AssertionError("a piece that differs from side to side was cut through both layers")


@given(st.integers(0, 10**9))
@settings(max_examples=SETS, deadline=None, derandomize=True)
def test_every_lay_keeps_the_rules(seed: int):
    random = Random(seed)
    garment, cloth = random_garment(random), random_cloth(random)
    lay = lay_out(garment, cloth, 0)
    assert isinstance(lay, Lay)
    check_counts(garment, cloth, lay)
    for stretch in lay.stretches:
        check_stretch(garment, cloth, stretch)


@given(st.integers(0, 10**9))
@settings(max_examples=10, deadline=None, derandomize=True)
def test_the_same_pieces_give_the_same_lay(seed: int):
    def once() -> bytes:
        random = Random(seed)
        garment, cloth = random_garment(random), random_cloth(random)
        lay = lay_out(garment, cloth, 0)
        return lay_json(lay, reckon(lay), "1")

    assert once() == once()
