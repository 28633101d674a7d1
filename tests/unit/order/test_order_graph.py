"""The algorithms over the graph, each held against the definition of what it should give."""

from __future__ import annotations

import itertools

from hypothesis import given
from hypothesis import strategies as st

from scye.ir import equations as e
from scye.order.graph import components, inputs, matching, reached, renamed

GRAPHS = st.integers(1, 8).flatmap(
    lambda n: st.lists(st.lists(st.integers(0, n - 1), max_size=4), min_size=n, max_size=n)
)
ROWS = st.integers(1, 5).flatmap(
    lambda columns: st.tuples(
        st.lists(st.lists(st.integers(0, columns - 1), max_size=3, unique=True), max_size=5),
        st.just(columns),
    )
)


@given(GRAPHS)
def test_components_are_what_reaches_each_other_each_after_what_it_needs(graph: list[list[int]]):
    found = components(len(graph), lambda i: graph[i])
    assert sorted(i for c in found for i in c) == list(range(len(graph)))
    reach = [reached([i], lambda k: graph[k]) for i in range(len(graph))]
    for c in found:
        assert all(b in reach[a] and a in reach[b] for a, b in itertools.product(c, c))
    place = {i: k for k, c in enumerate(found) for i in c}
    assert all(place[child] <= place[i] for i in range(len(graph)) for child in graph[i])


@given(ROWS)
def test_a_matching_is_one_to_one_and_the_greatest(rows_and_columns: tuple[list[list[int]], int]):
    rows, columns = rows_and_columns
    found = matching(rows, columns)
    taken = [c for c in found if c >= 0]
    assert len(set(taken)) == len(taken)
    assert all(c < 0 or c in rows[r] for r, c in enumerate(found))
    greatest = max(
        len({c for c in pick if c >= 0})
        for pick in itertools.product(*[[-1, *row] for row in rows])
        if len({c for c in pick if c >= 0}) == sum(c >= 0 for c in pick)
    )
    assert len(taken) == greatest


def test_inputs_are_found_in_rows_and_in_bows():
    bow = e.BowSpec(depth=7, side=8, side_is_point=True, away=False, at=None)
    curve = e.CurveLine(points=(1, 2), goings=(None, 3), bow=bow, length=None, fulness=4)
    assert inputs(curve) == (1, 2, 3, 4, 7, 8)
    assert inputs(e.Constant(1.0)) == ()
    assert inputs(e.Taken("waist", 3)) == (3,)


def test_renaming_changes_references_and_nothing_else():
    bow = e.BowSpec(depth=7, side=8, side_is_point=True, away=False, at=None)
    curve = e.CurveLine(points=(1, 2), goings=(None, 3), bow=bow, length=None, fulness=4)
    assert renamed(curve, {2: 20, 8: 80}) == e.CurveLine(
        points=(1, 20), goings=(None, 3), bow=e.BowSpec(7, 80, True, False, None), length=None, fulness=4
    )
    assert renamed(e.Combine("+", 1, 2), {9: 1}) == e.Combine("+", 1, 2)
    assert renamed(e.TrigOf("sine", 1), {1: 2}) == e.TrigOf("sine", 2)


def test_a_chain_of_any_length_needs_no_stack():
    count = 50_000
    assert len(components(count, lambda i: [i + 1] if i + 1 < count else [])) == count
    assert matching([[i, i + 1] for i in range(2_000)], 2_001)[-1] >= 0
