"""What a measured bar says."""

from fractions import Fraction

import pytest

from scye.place.scale import Bar, bar_words


def said(measured, unit="in", of=100, drift=Fraction(2, 5), pages=4):
    return list(bar_words(Bar(Fraction(measured), Fraction(of), drift, pages), unit))


def test_a_bar_of_97():
    assert said(97)[:2] == [
        "printed at 97 %: a 36 in bust would be 34 15/16 in.",
        "Reprint at 100 %, or at 103.1 % if it cannot be changed.",
    ]


def test_metric_makers_see_it_in_centimetres():
    assert said(97, "cm")[0] == "printed at 97 %: a 92 cm bust would be 89.2 cm."


@pytest.mark.parametrize(("measured", "at"), [("102", "98 %"), ("94.3", "106 %"), ("99.5", "100.5 %")])
def test_what_to_print_at(measured, at):
    assert f"or at {at} if it" in said(measured)[1]


def test_a_bar_that_is_right():
    assert said(100)[0] == "printed true: what should be 100 is 100"
    assert "Reprint" not in " ".join(said(100))


@pytest.mark.parametrize(("measured", "doubt"), [("99.5", True), ("100.5", True), ("99.4", False)])
def test_what_a_ruler_cannot_tell(measured, doubt):
    assert any("measure it again" in line for line in said(measured)) is doubt


def test_drift_adds_up_over_the_pages():
    words = " ".join(said(100))
    assert "0.4 mm a page is too little to see on one bar, and over 4 pages it is 1.6 mm." in words
    assert "over 7 pages it is 2.1 mm." in " ".join(said(100, drift=Fraction(3, 10), pages=7))


def test_another_length_than_the_bar():
    assert said(Fraction(31, 16), of=2)[0].startswith("printed at 96.9 %")
