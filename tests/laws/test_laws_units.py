"""What holds for every amount."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from scye.units.tape import (
    TAPE_STEP,
    DisplayUnit,
    parse_quantity,
    show_length,
    show_quantity,
    spread,
    unit_of,
)

lengths = st.floats(-20_000, 20_000, allow_nan=False)
units: st.SearchStrategy[DisplayUnit] = st.sampled_from(["in", "cm", "mm"])
steps = st.sampled_from([None, Fraction(1, 8), Fraction(1, 4), Fraction(1, 2), Fraction(1)])


def in_mm(unit: DisplayUnit, amount: Fraction) -> float:
    exact = unit_of(unit).exact
    assert exact is not None
    return float(amount * exact)


@given(lengths, units)
def test_what_is_shown_reads_back_within_half_a_step(mm: float, unit: DisplayUnit) -> None:
    amount = parse_quantity(show_length(mm, unit))
    assert amount is not None
    assert abs(amount.inside - mm) <= in_mm(unit, TAPE_STEP[unit]) / 2 + 1e-5


@given(lengths, units)
def test_showing_what_was_read_back_changes_nothing(mm: float, unit: DisplayUnit) -> None:
    shown = show_length(mm, unit)
    amount = parse_quantity(shown)
    assert amount is not None
    assert show_length(amount.inside, unit) == shown


@given(st.lists(lengths, max_size=12), units, steps)
def test_rounded_parts_add_to_the_rounded_total(
    values: list[float], unit: DisplayUnit, step: Fraction | None
) -> None:
    step = step or TAPE_STEP[unit]
    parts = spread(values, unit, step)
    assert len(parts) == len(values)
    assert all((part / step).denominator == 1 for part in parts)
    assert abs(in_mm(unit, sum(parts, Fraction(0))) - sum(values)) <= in_mm(unit, step) / 2 + 1e-4


@given(st.lists(lengths, max_size=12), units)
def test_no_part_moves_by_a_whole_step(values: list[float], unit: DisplayUnit) -> None:
    step = in_mm(unit, TAPE_STEP[unit])
    for value, part in zip(values, spread(values, unit), strict=True):
        assert abs(in_mm(unit, part) - value) < step + 1e-5


@given(st.lists(lengths, min_size=2, max_size=12), units)
def test_the_larger_of_two_is_never_shown_as_the_smaller(values: list[float], unit: DisplayUnit) -> None:
    shown = spread(values, unit)
    step = in_mm(unit, TAPE_STEP[unit])
    for i, first in enumerate(values):
        for j, second in enumerate(values):
            if first > second + step:
                assert shown[i] >= shown[j]


@given(st.text(max_size=60))
def test_any_text_is_an_amount_or_none_and_amounts_keep_their_value(text: str) -> None:
    amount = parse_quantity(text)
    if amount is not None:
        again = parse_quantity(show_quantity(amount))
        assert again is not None
        assert again.unit == amount.unit
        assert abs(again.value - amount.value) <= Fraction(1, 2000)
