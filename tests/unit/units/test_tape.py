"""Amounts as they are written and read."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from scye.units.quantity import Kind
from scye.units.tape import (
    parse_quantity,
    show_difference,
    show_length,
    show_list,
    show_quantity,
    show_value,
    spread,
)

NAN = float("nan")


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("36 1/2", Fraction(73, 2), None),
        ("36 1/2 in", Fraction(73, 2), "in"),
        ("36½", Fraction(73, 2), None),
        ("36 ½ in", Fraction(73, 2), "in"),
        ("½ in", Fraction(1, 2), "in"),
        ("3/8 in", Fraction(3, 8), "in"),
        ("92 cm", Fraction(92), "cm"),
        ("92.5cm", Fraction(185, 2), "cm"),
        ("20 deg", Fraction(20), "deg"),
        ("20°", Fraction(20), "deg"),
        ('36"', Fraction(36), "in"),
        ("35%", Fraction(35), "%"),
        (" 1 yd ", Fraction(1), "yd"),
        ("-3 mm", Fraction(-3), "mm"),
        ("−3", Fraction(-3), None),
        (".5", Fraction(1, 2), None),
    ],
)
def test_reads_what_makers_write(text: str, value: Fraction, unit: str | None) -> None:
    amount = parse_quantity(text)
    assert amount is not None
    assert amount.value == value
    assert (amount.unit.symbol if amount.unit else None) == unit


@pytest.mark.parametrize(
    "text",
    [
        "",
        " ",
        "in",
        "36 1/",
        "36,5",
        "36 5/4",
        "361/2",
        "1/0",
        "nan",
        "inf",
        "-inf",
        "1e9",
        "0x10",
        "1_000",
        "36 furlongs",
        "36 in in",
        "12.5.5",
        "1 2",
        "1.5 1/2",
        "٣٦",
        "3 ½ ½",
        "9" * 7,
        "9" * 1000000,
        "1/2/3",
    ],
)
def test_refuses_what_is_no_amount(text: str) -> None:
    assert parse_quantity(text) is None


def test_a_fraction_keeps_its_unit_and_its_exact_size() -> None:
    amount = parse_quantity("1 1/2 in")
    assert amount is not None
    assert amount.kind is Kind.LENGTH
    assert amount.inside == 38.1


@pytest.mark.parametrize(
    ("inches", "shown"),
    [
        (2.625, "2 5/8 in"),
        (0.375, "3/8 in"),
        (12, "12 in"),
        (-0.25, "-1/4 in"),
        (0, "0 in"),
        (-0.001, "0 in"),
        (9 / 25.4, "3/8 in"),
        (2 + 1 / 32, "2 1/16 in"),
        (-2 - 1 / 32, "-2 1/16 in"),
        (0.99, "1 in"),
    ],
)
def test_inches_are_shown_in_sixteenths(inches: float, shown: str) -> None:
    assert show_length(inches * 25.4, "in") == shown


@pytest.mark.parametrize(
    ("mm", "unit", "step", "shown"),
    [
        (40, "cm", None, "4.0 cm"),
        (40.25, "mm", None, "40 mm"),
        (40.5, "mm", None, "41 mm"),
        (-0.4, "mm", None, "0 mm"),
        (-0.4, "cm", None, "0.0 cm"),
        (12.3, "cm", Fraction(1, 2), "1.0 cm"),
        (12.3, "cm", Fraction(1, 100), "1.23 cm"),
        (12.3, "cm", Fraction(1), "1 cm"),
        (82.46 * 10, "in", Fraction(1, 8), "32 1/2 in"),
        (NAN, "in", None, "—"),
        (math.inf, "mm", None, "—"),
    ],
)
def test_lengths_in_each_unit(mm: float, unit: str, step: Fraction | None, shown: str) -> None:
    assert show_length(mm, unit, step) == shown  # type: ignore[arg-type]


def test_differences_are_told_finer_than_lengths() -> None:
    assert show_difference(0.8, "in") == "1/32 in"
    assert show_difference(-0.25, "cm") == "-0.3 mm"
    assert show_difference(0.04, "mm") == "0.0 mm"


@pytest.mark.parametrize(
    ("value", "tag", "display", "shown"),
    [
        (25.4, "mm", "in", "1 in"),
        (math.radians(20), "rad", "in", "20 deg"),
        (math.radians(11.478), "rad", "cm", "11.5 deg"),
        (1150 * 25.4**2, "mm2", "in", "1150 sq in"),
        (12345, "mm2", "cm", "123.5 sq cm"),
        (12345.4, "mm2", "mm", "12345 sq mm"),
        (5, "", "in", "5"),
        (1 / 3, "", "in", "0.333"),
        (-0.0001, "", "in", "0"),
        (100, "", "in", "100"),
        (NAN, "rad", "in", "—"),
    ],
)
def test_values_by_their_tag(value: float, tag: str, display: str, shown: str) -> None:
    assert show_value(value, tag, display) == shown  # type: ignore[arg-type]


def test_an_unknown_tag_is_our_mistake() -> None:
    with pytest.raises(ValueError, match="furlong"):
        show_value(1.0, "furlong", "in")


@pytest.mark.parametrize("text", ["36 1/2 in", "92.5 cm", "20 deg", "35%", "3", "1/8 in", "1 1/2 yd"])
def test_a_quantity_is_shown_as_it_was_written(text: str) -> None:
    amount = parse_quantity(text)
    assert amount is not None
    assert show_quantity(amount) == text


def test_intakes_of_the_metric_client_keep_their_total() -> None:
    # Scenario A2: 35, 20, 20, 20 and 5 % of 115 mm.
    assert spread([40.25, 23, 23, 23, 5.75], "mm") == [40, 23, 23, 23, 6]
    bust = [485 * w / 17 for w in (3.5, 4, 3.5, 3.25, 2.75)]
    assert spread(bust, "mm") == [100, 114, 100, 93, 78]
    assert show_list([40.25, 23, 23, 23, 5.75], "cm") == ["4.0 cm", "2.3 cm", "2.3 cm", "2.3 cm", "0.6 cm"]


def test_twelve_panels_keep_their_total_in_eighths_and_millimetres() -> None:
    # Scenario A13: 12 panels of 6.87 cm.
    inches = show_list([68.7] * 12, "in", Fraction(1, 8))
    assert inches == ["2 3/4 in"] * 8 + ["2 5/8 in"] * 4
    assert sum(spread([68.7] * 12, "in", Fraction(1, 8))) == Fraction(65, 2)
    assert show_list([68.7] * 12, "mm") == ["69 mm"] * 8 + ["68 mm"] * 4


def test_a_list_with_an_unknown_figure_is_rounded_singly() -> None:
    assert show_list([NAN, 2.6, 2.6], "mm") == ["—", "3 mm", "3 mm"]
    assert show_list([], "mm") == []
