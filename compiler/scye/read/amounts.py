"""Reading one amount of one measure: the figure, its unit, whether a body can have it and whether many do."""

from __future__ import annotations

import math
import re
from fractions import Fraction

from scye.diagnostics.cards import ImpossibleAmount, UnreadableAmount, UnusualAmount, WrongKind
from scye.ir.people import DisplayUnit, Measure
from scye.read.fields import Found
from scye.read.yaml_reader import Text, clip
from scye.units.quantity import CM, DEGREE, INCH, MM, Kind, Quantity
from scye.units.tape import parse_quantity, show_quantity, unit_of

LONGEST_MM = 10_000.0
_STEEPEST = math.pi / 2
_DECIMAL_COMMA = re.compile(r"([0-9]{1,6}),([0-9]{1,6})(.*)", re.DOTALL)
_RANGE_STEP = {"in": Fraction(1, 4), "cm": Fraction(1, 2), "mm": Fraction(1), "deg": Fraction(1)}


def read_amount(text: Text, measure: Measure, unit: DisplayUnit | None, found: Found) -> Quantity | None:
    """The amount with its unit. One that names no unit takes the card's; None if anything is amiss.

    With `unit` None (the card's own is missing or bad, and was reported) the unit isn't missed again here.
    """
    amount = parse_quantity(text.text)
    if amount is None:
        found.append(_unreadable(text, measure.title))
        return None
    if amount.unit is None and measure.kind is Kind.LENGTH:
        if unit is None:
            _possible(text, measure, amount, found)
            return None
        amount = Quantity(amount.value, unit_of(unit))
    if amount.kind is not measure.kind:
        found.append(_wrong_kind(text, measure, amount))
        return None
    return amount if _possible(text, measure, amount, found) else None


def check_usual(text: Text, measure: Measure, amount: Quantity, unit: DisplayUnit, found: Found) -> None:
    """A caution if the amount lies outside the measure's usual range, with the unit it may be meant in."""
    if measure.low <= amount.inside <= measure.high:
        return
    found.append(
        UnusualAmount(
            span=text.span,
            name=measure.title,
            written=show_quantity(amount),
            usual=_usual(measure, unit),
            instead=_other_units(measure, amount),
        )
    )


def _usual(measure: Measure, unit: DisplayUnit) -> str:
    """The range in round figures: `23 1/2 to 67 in`, `60 to 170 cm`, `8 to 38 deg`."""
    shown = DEGREE if measure.kind is Kind.ANGLE else unit_of(unit)
    step = _RANGE_STEP[shown.symbol]
    low, high = (
        show_quantity(Quantity(round(bound / shown.size / float(step)) * step, shown))
        for bound in (measure.low, measure.high)
    )
    return f"{low.removesuffix(f' {shown.symbol}')} to {high}"


def _other_units(measure: Measure, amount: Quantity) -> tuple[str, ...]:
    """The same figure in other units, where that would be usual."""
    if measure.kind is not Kind.LENGTH:
        return ()
    others = (Quantity(amount.value, u) for u in (INCH, CM, MM) if u != amount.unit)
    return tuple(show_quantity(o) for o in others if measure.low <= o.inside <= measure.high)


def _unreadable(text: Text, name: str) -> UnreadableAmount:
    written = text.text.strip()
    comma = _DECIMAL_COMMA.fullmatch(written)
    if comma and parse_quantity(f"{comma[1]}.{comma[2]}{comma[3]}"):
        advice = f"write the decimal with a point: {comma[1]}.{comma[2]}{comma[3]}"
    elif "/" in written:
        advice = "write a fraction whole: 36 1/2"
    else:
        advice = "write a figure: 36, 92.5 or 36 1/2, with a unit if it isn't the card's"
    return UnreadableAmount(span=text.span, name=name, written=clip(written), advice=advice)


def _wrong_kind(text: Text, measure: Measure, amount: Quantity) -> WrongKind:
    angle = measure.kind is Kind.ANGLE
    figure = show_quantity(Quantity(amount.value, None))
    found = "a plain number" if amount.unit is None else f"{_article(amount.kind)} {amount.kind.value}"
    return WrongKind(
        span=text.span,
        name=measure.title,
        written=clip(text.text),
        found=found,
        wanted="an angle" if angle else "a length",
        example=f"{figure} {DEGREE.symbol}" if angle else f"{figure} in` or `{figure} cm",
    )


def _article(kind: Kind) -> str:
    return "an" if kind.value[0] in "aeiou" else "a"


def _possible(text: Text, measure: Measure, amount: Quantity, found: Found) -> bool:
    limit, words = (
        (_STEEPEST, "less than 90 deg") if measure.kind is Kind.ANGLE else (LONGEST_MM, "at most 10 m")
    )
    if amount.value > 0 and amount.inside <= limit:
        return True
    why = "more than nought" if amount.value <= 0 else words
    found.append(ImpossibleAmount(span=text.span, name=measure.title, written=show_quantity(amount), why=why))
    return False
