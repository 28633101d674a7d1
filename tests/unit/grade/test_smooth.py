"""The smoothing report of a chart."""

from __future__ import annotations

import numpy as np
import pytest

from scye.grade.smooth import FEWEST, allowances, fitted, lines_of, remarks, smoothness
from scye.ir.people import Catalogue, Chart
from scye.library import find_stdlib, read_source
from scye.read.catalogue import read_catalogue
from scye.read.charts import read_chart
from scye.source import Source


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    text = read_source(find_stdlib() / "measures.yaml")
    assert isinstance(text, Source)
    return read_catalogue(text)[0]


def chart(catalogue: Catalogue, unit: str = "cm", **rows: list[float]) -> Chart:
    count = len(next(iter(rows.values())))
    sizes = "".join(
        f"  s{i}: {{{', '.join(f'{name}: {figures[i]}' for name, figures in rows.items())}}}\n"
        for i in range(count)
    )
    found, mistakes = read_chart(
        Source("c.yaml", f"chart: c\nsource: invented\nunit: {unit}\nsizes:\n{sizes}"), catalogue
    )
    assert found is not None, mistakes
    return found


BUST = [80.0, 84, 88, 92, 97, 102, 108, 115]


def test_a_parabola_over_uneven_sizes_is_smooth(catalogue: Catalogue) -> None:
    waist = [60 + 0.5 * (b - 80) + 0.01 * (b - 80) ** 2 for b in BUST]
    found = smoothness(chart(catalogue, bust=BUST, waist=waist), catalogue)[1]
    assert found.out == ()
    assert found.suggested == pytest.approx(found.values, abs=1e-6)


def test_steps_and_how_they_change(catalogue: Catalogue) -> None:
    bust = smoothness(chart(catalogue, bust=BUST), catalogue)[0]
    assert bust.steps == pytest.approx((40, 40, 40, 50, 50, 60, 70))
    assert bust.second == pytest.approx((0, 0, 10, 0, 10, 10))


@pytest.mark.parametrize("slip", range(8))
def test_one_slip_is_found_and_its_neighbours_are_not_blamed(catalogue: Catalogue, slip: int) -> None:
    hip = [b + 6 for b in BUST]
    hip[slip] += 3
    found = smoothness(chart(catalogue, bust=BUST, hip=hip), catalogue)[1]
    assert found.out == (slip,)
    assert found.suggested[slip] == pytest.approx(10 * (BUST[slip] + 6), abs=1e-6)
    (said,) = remarks(found, "cm")
    assert said.seen() == (
        f"size s{slip}: hip {hip[slip]:.1f} cm is 30.0 mm over the {BUST[slip] + 6:.1f} cm "
        "that its neighbours suggest"
    )


def test_within_the_tolerance_nothing_is_said(catalogue: Catalogue) -> None:
    """A large girth may be read 9 mm differently."""
    hip = [b + 6 for b in BUST]
    hip[3] += 0.88
    assert smoothness(chart(catalogue, bust=BUST, hip=hip), catalogue)[1].out == ()


def test_even_sizes_weigh_their_neighbours_by_the_old_formula() -> None:
    """Least squares by hand: a parabola through two points on either side says -1/6, 4/6, 4/6, -1/6."""
    fit = fitted(np.arange(7.0))
    assert fit.neighbours[3].tolist() == [1, 2, 4, 5]
    assert fit.weights[3] == pytest.approx([-1 / 6, 4 / 6, 4 / 6, -1 / 6])
    assert fit.weights.sum(axis=1) == pytest.approx(np.ones(7))


def test_more_is_allowed_where_the_parabola_is_run_on() -> None:
    allowed = allowances(fitted(np.arange(7.0)))
    assert allowed[3] == pytest.approx(1.0)
    assert allowed[0] == pytest.approx(allowed[6])
    assert 2.0 < allowed[0] < 2.2


def test_too_few_sizes_are_shown_without_a_suggestion(catalogue: Catalogue) -> None:
    few = smoothness(chart(catalogue, bust=BUST[: FEWEST - 1]), catalogue)[0]
    assert few.out == ()
    assert np.isnan(few.suggested).all()
    assert lines_of(few, "cm")[-1].split() == ["neighbours", "say", *["—"] * 4]


def test_the_lines_in_inches(catalogue: Catalogue) -> None:
    small = chart(catalogue, "in", bust=[30, 31.5, 33, 34.5, 36, 37.5], hip=[34, 35.5, 37, 40, 40, 41.5])
    assert lines_of(smoothness(small, catalogue)[1], "in") == [
        "hip (readings agree within 11/32 in)",
        "  size                   s0       s1       s2       s3       s4       s5",
        "  figure                 34   35 1/2       37       40       40   41 1/2",
        "  step                        +1 1/2   +1 1/2       +3        0   +1 1/2",
        "  change of step                            0   +1 1/2       -3   +1 1/2",
        "  neighbours say         34   35 1/2       37  38 1/2!       40   41 1/2",
    ]


def test_a_long_chart_is_broken_into_blocks(catalogue: Catalogue) -> None:
    long = chart(catalogue, bust=[70 + 2.0 * k for k in range(23)])
    lines = lines_of(smoothness(long, catalogue)[0], "cm")
    assert [line.split()[1] for line in lines if line.startswith("  size")] == ["s0", "s10", "s20"]
    assert max(map(len, lines)) <= 110
