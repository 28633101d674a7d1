"""Measures against each other, scenario A3: nothing averaged, nothing within the tape's error told."""

from __future__ import annotations

from scye.diagnostics.cards import MeasuresDisagree, OutOfOrder, SidesDiffer
from scye.diagnostics.model import Diagnostic, Severity
from scye.ir.people import Catalogue
from scye.read.cards import cross_check, read_card
from scye.source import Source


def check(
    catalogue: Catalogue, measures: str, *, times: int | None = 3, unit: str = "in"
) -> list[Diagnostic]:
    often = f"times: {times}\n" if times else ""
    text = f"client: linnet\ndate: 2024-03-05\nunit: {unit}\n{often}measures: {{{measures}}}\n"
    body, found = read_card(Source("linnet.yaml", text), catalogue)
    assert body is not None, found
    return cross_check(body, catalogue)


def test_the_misread_arc_is_told_in_the_words_of_the_scenario(catalogue: Catalogue) -> None:
    (found,) = check(catalogue, "bust: 38, bust_front_arc: 20 1/2, bust_back_arc: 15 1/2")
    assert isinstance(found, MeasuresDisagree)
    words = "Bust 38 in but arcs come to 36 in: 2 in apart, more than the 3/8 in the two readings allow"
    assert found.seen() == words
    assert found.attempt() == "re-measure the back arc"
    assert found.doubts == ("bust_back_arc",)
    assert found.involved == ("bust", "bust_front_arc", "bust_back_arc")
    assert found.severity is Severity.FAILURE


def test_the_girth_is_suspected_where_the_arcs_fit_each_other(catalogue: Catalogue) -> None:
    (found,) = check(catalogue, "bust: 42, bust_front_arc: 19 1/2, bust_back_arc: 18 1/2")
    assert isinstance(found, MeasuresDisagree)
    assert "bust" in found.doubts


def test_a_front_arc_that_is_far_too_long_is_singled_out(catalogue: Catalogue) -> None:
    (found,) = check(catalogue, "bust: 36, bust_front_arc: 25, bust_back_arc: 17")
    assert isinstance(found, MeasuresDisagree)
    assert found.doubts == ("bust_front_arc",)


def test_where_nothing_explains_it_every_reading_is_in_doubt(catalogue: Catalogue) -> None:
    (found,) = check(catalogue, "bust: 40, bust_front_arc: 25, bust_back_arc: 12")
    assert isinstance(found, MeasuresDisagree)
    assert found.doubts == ("bust", "bust_front_arc", "bust_back_arc")
    assert found.attempt() == "re-measure the bust, the front arc and the back arc"


def test_the_tape_may_differ_by_its_tolerance(catalogue: Catalogue) -> None:
    assert check(catalogue, "bust: 96.0, bust_front_arc: 50, bust_back_arc: 45.1", unit="cm") == []
    assert len(check(catalogue, "bust: 96.0, bust_front_arc: 50, bust_back_arc: 45.0", unit="cm")) == 1


def test_measures_taken_once_may_differ_by_twice_as_much(catalogue: Catalogue) -> None:
    measures = "bust: 96, bust_front_arc: 49, bust_back_arc: {}"
    for times in (None, 1):
        assert check(catalogue, measures.format("45.3"), times=times, unit="cm") == []
        (found,) = check(catalogue, measures.format("45.1"), times=times, unit="cm")
        assert "1.8 cm readings taken once allow" in found.seen()


def test_a_high_hip_under_the_waist_is_a_caution_and_doubts_nothing(catalogue: Catalogue) -> None:
    (found,) = check(catalogue, "waist: 30, high_hip: 29")
    assert isinstance(found, OutOfOrder)
    assert found.seen().startswith("High hip is under the waist: taken at the right level?")
    assert found.severity is Severity.CAUTION
    assert found.doubts == ()
    assert check(catalogue, "waist: 29 1/4, high_hip: 29") == []


def test_halves_that_add_up_are_no_complaint_but_their_difference_is_noted(catalogue: Catalogue) -> None:
    (found,) = check(catalogue, "waist: {value: 30, left: 14 3/4, right: 15 1/4}")
    assert isinstance(found, SidesDiffer)
    assert found.seen() == "Waist: left and right differ 1/2 in: full draft or half?"
    assert found.attempt() == ""
    assert check(catalogue, "waist: {left: 15, right: 15 1/8}") == []


def test_halves_that_miss_the_girth_put_the_girth_in_doubt(catalogue: Catalogue) -> None:
    (found,) = check(catalogue, "hip: {value: 38, left: 18, right: 18}")
    assert isinstance(found, MeasuresDisagree)
    assert found.seen().startswith("Hip 38 in but its halves come to 36 in")
    assert found.doubts == ("hip",)


def test_nothing_is_said_of_measures_that_stand_alone(catalogue: Catalogue) -> None:
    assert check(catalogue, "bust: 36, bust_front_arc: 30") == []
