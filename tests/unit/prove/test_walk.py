"""Walking seams (scenario A4): whole and from notch to notch, and what is said."""

from __future__ import annotations

import numpy as np
import pytest

from scye.diagnostics.model import Severity
from scye.ir.assembly import CAUTION, NOT_DRAWN, NOT_PROVED, WALKS_TRUE, SeamWalk
from scye.ir.plan import EasingPlan, MatchPlan, SewPlan
from scye.ir.solution import Solution
from scye.prove.figures import Amounts
from scye.prove.walk import Tolerance, judge_seam, look_alikes
from scye.source import Source, Span
from scye.units.quantity import Kind

INCH = 25.4
SPAN = Span(Source("by hand", "sew"), 0, 3)


def _row(*inches: float) -> np.ndarray:
    return np.array(inches) * INCH


def _seam(
    matches: dict[str, tuple[np.ndarray, np.ndarray]],
    lengths: tuple[np.ndarray, np.ndarray],
    easings: list[tuple[np.ndarray, tuple[str, str] | None]],
    lie: float = 1.0,
) -> tuple[SewPlan, SeamWalk, Amounts]:
    plans = tuple(MatchPlan(name, None, None, None, None, "start", 1, SPAN) for name in matches)
    eased = tuple(EasingPlan(i, between, SPAN) for i, (_, between) in enumerate(easings))
    plan = SewPlan("A", (), (), False, eased, plans, SPAN)
    count = len(lengths[0])
    empty = np.empty((0, count))
    sides = [np.stack([pair[i] for pair in matches.values()]) if matches else empty for i in (0, 1)]
    walk = SeamWalk(
        "A", "side front princess", "centre front princess", "side front", "centre front", *lengths, *sides,
        tuple(matches), np.full(count, lie),
    )  # fmt: skip
    values = [amount for amount, _ in easings]
    amounts = Amounts(Solution(count, values, [""] * len(values)), (Kind.LENGTH,) * len(values))
    return plan, walk, amounts


def _tolerance(count: int, warn: float = 1.5, fail: float = 3.0) -> Tolerance:
    return Tolerance(np.full(count, warn), np.full(count, fail))


def _princess(over: float = 0.125) -> tuple[SewPlan, SeamWalk, Amounts]:
    """A4: 13 1/2 in against 13 1/8 in; 1/4 in eased between two notches 4 in apart on the shorter edge."""
    a = {"apex": (_row(5.0 + over), _row(5.0)), "lower": (_row(9.25 + over), _row(9.0))}
    return _seam(a, (_row(13.375 + over), _row(13.125)), [(_row(0.25), ("apex", "lower"))])


def test_a4_a_princess_seam_that_does_not_walk() -> None:
    judged, findings = judge_seam(*_princess(), _tolerance(1, 1.0, 25.4 / 16))
    assert judged.standing.tolist() == [NOT_PROVED]
    assert judged.difference / INCH == pytest.approx(0.125)
    (finding,) = findings
    assert (finding.code, finding.severity, finding.where) == ("E710", Severity.FAILURE, "seam A")
    assert finding.text(0, "in") == (
        "seam A: side front is long by 3/8 in; 1/4 in is declared; 1/8 in over, above the apex notch. Not "
        "proved. Above the apex notch side front 5 1/8 in, centre front 5 in; between the apex notch and the "
        "lower notch side front 4 1/4 in, centre front 4 in; below the lower notch side front 4 1/8 in, "
        "centre front 4 1/8 in."
    )
    assert finding.attempt(0, "in") == (
        "flatten side front's curve by 1/8 in; put 1/8 in into the centre front edge; or declare 1/8 in of "
        "ease there"
    )


def test_a_metric_maker_reads_millimetres() -> None:
    _, findings = judge_seam(*_princess(), _tolerance(1))
    head = "seam A: side front is long by 9.5 mm; 6.4 mm is declared; 3.2 mm over, above the apex notch. "
    assert findings[0].text(0, "cm").startswith(head)


def test_the_walk_by_part_is_listed() -> None:
    judged, _ = judge_seam(*_princess(), _tolerance(1))
    rows = [(p.length_a[0] / INCH, p.length_b[0] / INCH, p.ease[0] / INCH) for p in judged.parts]
    assert np.array(rows) == pytest.approx(np.array([(5.125, 5, 0), (4.25, 4, 0.25), (4.125, 4.125, 0)]))
    assert [(int(p.first[0]), int(p.last[0])) for p in judged.parts] == [(-1, 0), (0, 1), (1, 2)]


def test_ease_outside_its_notches_counts_against_the_seam() -> None:
    """The whole is right, but the ease lies above the notches instead of between them."""
    a = {"apex": (_row(5.25), _row(5.0)), "lower": (_row(9.25), _row(9.0))}
    judged, findings = judge_seam(
        *_seam(a, (_row(13.375), _row(13.125)), [(_row(0.25), ("apex", "lower"))]), _tolerance(1)
    )
    assert judged.difference == pytest.approx(0.0)
    assert judged.standing.tolist() == [NOT_PROVED]
    assert "1/4 in over, above the apex notch" in findings[0].text(0, "in")


def test_ease_without_a_place_may_lie_anywhere() -> None:
    a = {"notch": (_row(5.25, 5.0, 5.125), _row(5.0, 5.0, 5.0))}
    lengths = (_row(10.25, 10.25, 10.25), _row(10.0, 10.0, 10.0))
    judged, _ = judge_seam(*_seam(a, lengths, [(_row(0.25), None)]), _tolerance(3))
    assert judged.standing.tolist() == [WALKS_TRUE] * 3


def test_ease_over_several_parts_may_lie_in_any_of_them_but_not_outside() -> None:
    a = {
        "upper": (_row(3.0, 3.25), _row(3.0, 3.0)),
        "middle": (_row(5.25, 5.25), _row(5.0, 5.0)),
        "lower": (_row(7.25, 7.25), _row(7.0, 7.0)),
    }
    lengths = (_row(10.25, 10.25), _row(10.0, 10.0))
    judged, _ = judge_seam(*_seam(a, lengths, [(_row(0.25), ("upper", "lower"))]), _tolerance(2))
    assert judged.standing.tolist() == [WALKS_TRUE, NOT_PROVED]


def test_equal_counts_as_within() -> None:
    out = np.array([1.5, 1.5 + 1e-5, 3.0, 3.0 + 1e-5, -1.5, np.nan])
    judged, findings = judge_seam(*_seam({}, (300.0 + out, np.full(6, 300.0)), []), _tolerance(6))
    assert judged.standing.tolist() == [WALKS_TRUE, CAUTION, CAUTION, NOT_PROVED, WALKS_TRUE, NOT_DRAWN]
    assert {f.code: f.mask.tolist() for f in findings} == {
        "E710": [False, False, False, True, False, False],
        "E711": [False, True, True, False, False, False],
    }
    assert findings[1].text(1, "mm") == (
        "seam A: side front is long by 1.5 mm; no ease is declared; 1.5 mm over. Look at it."
    )


def test_a_short_first_side_is_said_to_be_short() -> None:
    _, findings = judge_seam(*_seam({}, (_row(10.0), _row(10.25)), []), _tolerance(1))
    assert findings[0].text(0, "in") == (
        "seam A: centre front is long by 1/4 in; no ease is declared; 1/4 in short. Not proved."
    )
    assert findings[0].attempt(0, "in") == (
        "flatten centre front's curve by 1/4 in; put 1/4 in into the side front edge; or name centre front "
        "first and declare 1/4 in of ease"
    )


def test_the_place_is_told_as_the_seam_lies() -> None:
    a = {"apex": (_row(5.0), _row(5.0))}
    lengths = (_row(10.5), _row(10.0))
    for lie, word in ((1.0, "below"), (-1.0, "above"), (0.0, "after")):
        _, findings = judge_seam(*_seam(a, lengths, [], lie), _tolerance(1))
        assert f"1/2 in over, {word} the apex notch" in findings[0].text(0, "in")


def test_where_the_whole_is_right_the_notch_is_to_be_moved_or_an_edge_walked_the_other_way() -> None:
    """As when one of two joined edges was begun at its other end: no curve is to be flattened."""
    seam = _seam({"shoulder": (_row(3.25), _row(0.0))}, (_row(8.0), _row(8.0)), [])
    _, (found,) = judge_seam(*seam, _tolerance(1))
    assert found.attempt(0, "in") == (
        "move one of the two notches by 3 1/4 in; "
        "or write `reversed` after an edge that is walked from the wrong end"
    )
    # a seam that is out as a whole as well is to be made as long as its partner
    seam = _seam({"shoulder": (_row(3.25), _row(0.0))}, (_row(8.5), _row(8.0)), [])
    _, (found,) = judge_seam(*seam, _tolerance(1))
    assert found.attempt(0, "in").startswith("flatten side front's curve by 3 1/4 in")


def test_ease_that_is_too_much_by_itself_is_not_to_be_declared_as_nothing() -> None:
    seam = _seam({}, (_row(8.0), _row(8.0)), [(_row(0.25), None)])
    _, (found,) = judge_seam(*seam, _tolerance(1))
    assert found.attempt(0, "in").endswith("or declare no ease")


def test_matches_are_taken_in_the_order_they_come() -> None:
    a = {"low": (_row(8.0, 3.0), _row(8.0, 3.0)), "high": (_row(3.0, 8.0), _row(3.0, 8.0))}
    judged, _ = judge_seam(*_seam(a, (_row(10, 10), _row(10, 10)), []), _tolerance(2))
    bounds = [[(int(p.first[i]), int(p.last[i])) for p in judged.parts] for i in range(2)]
    assert bounds == [[(-1, 1), (1, 0), (0, 2)], [(-1, 0), (0, 1), (1, 2)]]
    assert judged.standing.tolist() == [WALKS_TRUE, WALKS_TRUE]


def test_a_match_that_was_not_found_makes_no_part() -> None:
    nothing = np.array([np.nan])
    a = {"lost": (nothing, nothing), "high": (_row(3.0), _row(3.0))}
    judged, _ = judge_seam(*_seam(a, (_row(10), _row(10)), []), _tolerance(1))
    there = [p for p in judged.parts if np.isfinite(p.length_a[0])]
    assert [(int(p.first[0]), int(p.last[0])) for p in there] == [(-1, 1), (1, 2)]
    assert [p.length_a[0] / INCH for p in there] == pytest.approx([3.0, 7.0])


def test_edges_that_could_be_joined_wrongly_are_noted_once() -> None:
    plans, walks = [], []
    for letter, length, notch in (("A", 12.0, 6.0), ("B", 12.05, 6.05), ("C", 12.0, 7.0), ("D", 13.0, 6.0)):
        plan, walk, _ = _seam({"waist": (_row(notch), _row(notch))}, (_row(length), _row(length)), [])
        plans.append(plan)
        walks.append(SeamWalk(letter, *(getattr(walk, f) for f in SeamWalk.__slots__[1:])))
    (note,) = look_alikes(plans, walks)
    assert (note.code, note.severity) == ("E715", Severity.NOTE)
    assert note.text(0, "in") == "the edges of seams A and B are as long as each other and notched alike"
    assert look_alikes(plans[1:], walks[1:]) == []
