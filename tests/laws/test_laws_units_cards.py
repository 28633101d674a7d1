"""What holds for every file given as a card: no exception, each mistake placed, no body from a bad card."""

from __future__ import annotations

from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from scye.diagnostics.model import Severity
from scye.diagnostics.text import show_all
from scye.read.cards import cross_check, read_card, read_catalogue, read_chart
from scye.read.yaml_reader import read_source
from scye.source import Source

STDLIB = Path(__file__).parents[2] / "stdlib"
CATALOGUE, _ = read_catalogue(Source("measures.yaml", (STDLIB / "measures.yaml").read_text(encoding="utf-8")))

keys = st.sampled_from(
    [
        "client",
        "date",
        "unit",
        "times",
        "notes",
        "measures",
        "choices",
        "bust",
        "waist",
        "high_bust",
        "value",
        "left",
        "right",
        "sizes",
        "chart",
        "source",
        "base",
        "<<",
        "",
        "wrist",
        "shoulder_slope",
    ]
)
scalars = st.one_of(
    st.sampled_from(
        ["36 1/2", "in", "cm", "wren", "20 deg", "-3", "nan", "*a", "&a 1", "!!int 1", '"', "[", "{", "3"]
    ),
    st.text(max_size=12),
)
nodes = st.recursive(
    scalars,
    lambda inner: st.one_of(
        st.lists(inner, max_size=3).map(lambda items: f"[{', '.join(items)}]"),
        st.lists(st.tuples(keys, inner), max_size=4).map(
            lambda pairs: "{" + ", ".join(f"{k}: {v}" for k, v in pairs) + "}"
        ),
    ),
    max_leaves=12,
)
files = st.lists(st.tuples(keys, nodes), max_size=6).map(
    lambda pairs: "".join(f"{k}: {v}\n" for k, v in pairs)
)


def holds_for(text: str) -> None:
    source = Source("card.yaml", text)
    body, found = read_card(source, CATALOGUE)
    refused = any(d.severity is Severity.ERROR for d in found)
    assert (body is None) == refused
    found = found + (cross_check(body, CATALOGUE) if body else [])
    for diagnostic in found:
        assert diagnostic.span is not None
        assert 0 <= diagnostic.span.start <= diagnostic.span.end <= len(text)
    assert bool(show_all(found)) == bool(found)
    if body is not None:
        assert all(r.value > 0 for r in body.readings)


@given(files)
def test_anything_like_a_card_is_read_or_refused_with_a_place(text: str) -> None:
    holds_for(text)


@given(st.text(max_size=200))
def test_any_text_is_read_or_refused_with_a_place(text: str) -> None:
    holds_for(text)


@given(files)
def test_anything_like_a_chart_is_read_or_refused(text: str) -> None:
    chart, found = read_chart(Source("chart.yaml", text), CATALOGUE)
    assert (chart is None) == any(d.severity is Severity.ERROR for d in found)


@given(st.binary(max_size=200))
def test_any_bytes_are_decoded_or_refused(data: bytes) -> None:
    source, found = read_source("card.yaml", data)
    assert (source is None) == bool(found)
    if source is not None:
        assert source.text.encode("utf-8") == data
