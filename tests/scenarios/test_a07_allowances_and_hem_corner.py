"""A7: allowances per edge and the hem corner (acceptance scenario, figures invented).

In: a pegged skirt, side 5 deg off square, hem 1 1/2 turned back, waist 3/8, side 1/2, centre back 3/4 to the
zip's end then 1/2, a facing edge 1/4; a vent for which no allowance is said.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from scye.diagnostics.model import Severity
from scye.ir.pattern import Pattern, Piece
from scye.ir.requests import ExitCode
from workroom import INCH, Workroom

RECIPE = Path(__file__).with_name("pegged-skirt.scye")
SAID = '  net on vent "faced"\n'


@pytest.fixture
def skirt(room: Workroom) -> Pattern:
    return room.pattern(RECIPE, "wren")


def corners(piece: Piece) -> list[tuple[float, float]]:
    """Ends of the cutting line's segments, inches."""
    places = [piece.cutting.start, *(segment[-1] for segment in piece.cutting.segments)]
    return [(x / INCH, y / INCH) for x, y in places]


def near(places: list[tuple[float, float]], place: tuple[float, float]) -> tuple[float, float]:
    found = min(places, key=lambda p: math.dist(p, place))
    assert math.dist(found, place) < 0.01, place
    return found


def test_the_hem_corner_flares_so_that_it_lies_on_the_skirt_when_turned(skirt: Pattern) -> None:
    """1 1/2 in tan 5 deg = 0.131 in. Turned up, the corner comes on the cut edge of the side again."""
    flare = 1.5 * math.tan(math.radians(5))
    side_at_hem = 9.0 - 24.5 * math.tan(math.radians(5)) + 0.5 / math.cos(math.radians(5))
    places = corners(skirt.pieces[0])
    inner, outer = near(places, (side_at_hem, 24.0)), near(places, (side_at_hem + flare, 25.5))
    assert outer[0] - inner[0] == pytest.approx(0.131, abs=0.001)


def test_the_hem_at_the_centre_back_stays_square(skirt: Pattern) -> None:
    places = corners(skirt.pieces[0])
    near(places, (0.0, 24.0))
    near(places, (0.0, 25.5))


def test_a_step_at_the_zips_end(skirt: Pattern) -> None:
    places = corners(skirt.pieces[0])
    near(places, (-0.75, 7.0))
    near(places, (-0.5, 7.0))


def test_the_corner_of_waist_and_side_is_blunt_and_never_spikes(skirt: Pattern) -> None:
    """Cut off, its farthest places are nearer than two allowances laid off square would meet."""
    corner = (9.0, -0.5)
    away = [math.dist(place, corner) for place in corners(skirt.pieces[0])]
    around = [distance for distance in away if distance < 0.7]
    assert 0.5 < max(around) < math.hypot(0.5, 0.375)
    assert sum(distance > 0.51 for distance in around) == 2


@pytest.mark.parametrize("title", ["Skirt back", "Facing"])
def test_no_spike_on_any_piece(skirt: Pattern, title: str) -> None:
    (piece,) = (p for p in skirt.pieces if p.title == title)
    net = [piece.net.start, *(segment[-1] for segment in piece.net.segments)]
    widest = max(run.width for edge in piece.edges for run in edge.allowances)
    for x, y in corners(piece):
        away = min(math.dist((x * INCH, y * INCH), p) for p in sampled(net))
        assert away <= 2 * widest


def sampled(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    return [
        (ax + (bx - ax) * i / 50, ay + (by - ay) * i / 50)
        for (ax, ay), (bx, by) in zip(points, [*points[1:], points[0]], strict=True)
        for i in range(50)
    ]


def test_every_edge_has_its_own_width(skirt: Pattern) -> None:
    widths = {
        edge.name: [run.width / INCH for run in edge.allowances]
        for piece in skirt.pieces
        for edge in piece.edges
    }
    assert widths == {
        "waist_seam": pytest.approx([0.375]), "side": pytest.approx([0.5]), "hem": pytest.approx([1.5]),
        "vent": pytest.approx([0.0]), "back_seam": pytest.approx([0.5, 0.75]),
        "facing_edge": pytest.approx([0.25]), "facing_side": pytest.approx([0.5]),
        "facing_low": pytest.approx([0.0]), "facing_back": pytest.approx([0.5]),
    }  # fmt: skip


def test_each_edge_is_printed_with_its_width(skirt: Pattern) -> None:
    back, facing = (
        [label.text for label in p.edge_labels if label.role == "allowance"] for p in skirt.pieces
    )
    assert sorted(back) == sorted(["3/8 in", "1/2 in", "1 1/2 in", "net", "1/2 in", "3/4 in"])
    assert sorted(facing) == sorted(["1/4 in", "1/2 in", "net", "1/2 in"])


def test_a_vent_without_allowance_is_an_error(room: Workroom) -> None:
    text = RECIPE.read_text(encoding="utf-8")
    assert SAID in text
    unsaid = text.replace(SAID, "")
    (found,) = room.check(unsaid)
    assert found.severity is Severity.ERROR
    assert found.seen() == "skirt back, vent: no allowance stated"
    assert found.attempt() == "say `net on vent` if it has none"


def test_nothing_is_drafted_with_a_guessed_allowance(room: Workroom) -> None:
    outcome, out = room.build(RECIPE.read_text(encoding="utf-8").replace(SAID, ""), "wren")
    assert outcome.exit_code is ExitCode.BAD_INPUT
    assert outcome.files == ()
    assert not out.exists()
