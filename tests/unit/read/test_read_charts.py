"""Size charts, those of stdlib among them."""

from __future__ import annotations

from pathlib import Path

import pytest

from scye.diagnostics.model import Severity
from scye.ir.people import Catalogue
from scye.read.cards import cross_check, read_chart
from scye.source import Source

CHARTS = sorted((Path(__file__).parents[3] / "stdlib" / "charts").glob("*.yaml"))
TEXT = """\
chart: Two sizes
source: invented
unit: cm
base: b
notes: a note
sizes:
  b: {bust: 92, waist: 74}
  a: {bust: 88 cm, waist: 27 in}
"""


def test_sizes_keep_their_order_and_become_bodies(catalogue: Catalogue) -> None:
    chart, found = read_chart(Source("chart.yaml", TEXT), catalogue)
    assert chart is not None
    assert found == []
    assert (chart.title, chart.source, chart.unit) == ("Two sizes", "invented", "cm")
    assert [body.code for body in chart.sizes] == ["b", "a"]
    assert [r.value for r in chart.sizes[1].readings] == [880, pytest.approx(685.8)]
    assert chart.sizes[0].notes == ("a note",)
    assert chart.sizes[0].span.text == "b"


def test_a_chart_may_be_large(catalogue: Catalogue) -> None:
    sizes = "".join(f"  s{i}: {{bust: {70 + i % 80}, waist: 60, hip: 90}}\n" for i in range(5_000))
    head = "chart: Many\nsource: invented\nunit: cm\nsizes:\n"
    chart, found = read_chart(Source("x", head + sizes), catalogue)
    assert chart is not None
    assert found == []
    assert len(chart.sizes) == 5_000


@pytest.mark.parametrize("path", CHARTS, ids=lambda p: p.stem)
def test_charts_of_stdlib_have_a_source_and_nothing_amiss(path: Path, catalogue: Catalogue) -> None:
    chart, found = read_chart(Source(path.name, path.read_text(encoding="utf-8")), catalogue)
    assert chart is not None
    # The usual range of a measure is that of grown people.
    assert found == [] or (path.stem, {d.code for d in found}) == ("children-historic", {"E820"})
    assert len(chart.sizes) >= 7 or path.stem == "children-historic"
    assert chart.source.startswith(("Secondary:", "Derived:"))
    assert all("Waist is" in body.notes[0] for body in chart.sizes)
    assert [
        d for body in chart.sizes for d in cross_check(body, catalogue) if d.severity > Severity.NOTE
    ] == []


@pytest.mark.parametrize("path", CHARTS, ids=lambda p: p.stem)
def test_every_girth_of_a_chart_grows_with_the_size(path: Path, catalogue: Catalogue) -> None:
    chart, _ = read_chart(Source(path.name, path.read_text(encoding="utf-8")), catalogue)
    assert chart is not None
    for name in ("bust", "chest", "waist", "hip"):
        girths = [r.value for body in chart.sizes for r in body.readings if r.name == name]
        assert girths == sorted(set(girths))
        if path.stem != "children-historic":
            lacking = (0,) if name in ("bust", "chest") else ()
            assert len(girths) in (*lacking, len(chart.sizes))
