"""Amounts as a maker writes and reads them: fractions of an inch, centimetres, millimetres, degrees.

Nothing is rounded inside the compiler; rounding happens here, on the way to the page. A figure is first
taken to the nearest millionth of a millimetre, so that the last bits of a float never decide a tie, and
ties go away from nought (2 1/32 in reads 2 1/16 in). A figure that is not known (NaN) reads as a dash.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from fractions import Fraction
from functools import cache, lru_cache
from typing import Literal

from scye.units.quantity import CM, DEGREE, INCH, MM, UNITS, Quantity, Unit

DisplayUnit = Literal["in", "cm", "mm"]

DISPLAY_UNITS: dict[str, DisplayUnit] = {"in": "in", "cm": "cm", "mm": "mm"}
UNKNOWN = "—"
LONGEST_AMOUNT = 40

# How a tape is read: sixteenths of an inch, or millimetres. Differences between two lines are told finer,
# since the seam tolerances (1/16 in, 1.5 mm) would vanish in the rounding.
TAPE_STEP: dict[str, Fraction] = {"in": Fraction(1, 16), "cm": Fraction(1, 10), "mm": Fraction(1)}
FINE_STEP: dict[str, Fraction] = {"in": Fraction(1, 32), "mm": Fraction(1, 10)}

_PER_UNIT: dict[str, Fraction] = {"in": Fraction(254, 10), "cm": Fraction(10), "mm": Fraction(1)}
_VULGAR = {
    "½": Fraction(1, 2), "⅓": Fraction(1, 3), "⅔": Fraction(2, 3), "¼": Fraction(1, 4), "¾": Fraction(3, 4),
    "⅛": Fraction(1, 8), "⅜": Fraction(3, 8), "⅝": Fraction(5, 8), "⅞": Fraction(7, 8),
}  # fmt: skip
_SYMBOLS: dict[str, Unit] = {**UNITS, '"': INCH, "″": INCH, "°": DEGREE}
_AMOUNT = re.compile(
    r"(?P<sign>[-−+])?\s*"
    r"(?:(?P<decimal>[0-9]{1,6}\.[0-9]{1,6}|\.[0-9]{1,6})"
    r"|(?P<whole>[0-9]{1,6}(?![0-9]*/))?\s*(?:(?P<over>[0-9]{1,4})/(?P<under>[0-9]{1,4})|(?P<vulgar>[½⅓⅔¼¾⅛⅜⅝⅞]))?)"
    r"\s*(?P<unit>[a-z]{1,3}|[%\"″°])?"
)


def parse_quantity(text: str) -> Quantity | None:
    """An amount as written: `36 1/2`, `36 1/2 in`, `36½`, `92.5cm`, `20 deg`, `35%`; None if unreadable.

    Whole numbers, decimals and fractions of at most six figures; no exponents, no decimal commas, no NaN.
    A fraction must be less than one: `36 5/4` is a slip, and so, most likely, is `361/2`.
    """
    match = _AMOUNT.fullmatch(text.strip()) if len(text) <= LONGEST_AMOUNT else None
    if match is None:
        return None
    size = _size(match)
    symbol = match["unit"]
    if size is None or (symbol is not None and symbol not in _SYMBOLS):
        return None
    return Quantity(-size if match["sign"] in ("-", "−") else size, _SYMBOLS[symbol] if symbol else None)


def _size(match: re.Match[str]) -> Fraction | None:
    """The amount without sign and unit, or None if there is no figure or the fraction makes no sense."""
    if match["decimal"]:
        return Fraction(match["decimal"])
    if not (match["over"] or match["vulgar"]):
        return Fraction(int(match["whole"])) if match["whole"] else None
    part = _part(match)
    return part + int(match["whole"] or 0) if part is not None and part < 1 else None


def _part(match: re.Match[str]) -> Fraction | None:
    if match["vulgar"]:
        return _VULGAR[match["vulgar"]]
    if match["over"] and int(match["under"]):
        return Fraction(int(match["over"]), int(match["under"]))
    return None


@lru_cache(2048)  # the same measure stands in many a working of one body
def show_length(mm: float, unit: DisplayUnit, step: Fraction | None = None) -> str:
    """A length (mm) in the maker's unit: `2 5/8 in`, `4.0 cm`, `40 mm`.

    `step` is in that unit; without it sixteenths of an inch, tenths of a centimetre, whole millimetres.
    """
    if not math.isfinite(mm):
        return UNKNOWN
    size, parts = _in_millionths(unit, step)
    whole = (2 * abs(_millionths(mm)) * parts + size) // (2 * size)
    return _written_steps(whole if mm >= 0 else -whole, unit, step)


def on_the_tape(mm: float, unit: DisplayUnit) -> float:
    """A length (mm) moved to the nearest mark of the tape, as `show_length` would write it."""
    size, parts = _in_millionths(unit, None)
    whole = (2 * abs(_millionths(mm)) * parts + size) // (2 * size)
    moved = whole * size / parts / 1_000_000
    return moved if mm >= 0 else -moved


def show_difference(mm: float, unit: DisplayUnit) -> str:
    """A small difference (mm) between two lines: to 1/32 in, or for metric makers to a tenth of a mm."""
    if unit == "in":
        return show_length(mm, "in", FINE_STEP["in"])
    return show_length(mm, "mm", FINE_STEP["mm"])


def show_value(value: float, unit_tag: str, display: DisplayUnit) -> str:
    """Any figure of a draft by its tag: `mm` a length, `rad` an angle, `mm2` an area, `` a plain number."""
    if not math.isfinite(value):
        return UNKNOWN
    match unit_tag:
        case "mm":
            return show_length(value, display)
        case "rad":
            return f"{_trimmed(math.degrees(value), 1)} deg"
        case "mm2":
            area = value / float(_PER_UNIT[display]) ** 2
            return f"{_trimmed(area, 0 if display == 'mm' else 1)} sq {display}"
        case "":
            return _trimmed(value, 3)
        case _:
            raise ValueError(f"no such unit tag: {unit_tag!r}")


def show_quantity(amount: Quantity) -> str:
    """An amount as it was written, with its own unit: `36 1/2 in`, `92.5 cm`, `20 deg`, `3`."""
    if amount.unit is None:
        return _trimmed(float(amount.value), 3)
    if amount.unit in (INCH, UNITS["yd"]):
        return f"{_mixed(amount.value)} {amount.unit.symbol}"
    space = "" if amount.unit.symbol == "%" else " "
    return f"{_trimmed(float(amount.value), 3)}{space}{amount.unit.symbol}"


def spread(values_mm: Sequence[float], unit: DisplayUnit, step: Fraction | None = None) -> list[Fraction]:
    """Figures (mm) rounded together, in `unit`, so that they add to the rounded total.

    Largest remainder: each is taken down to the step, and what is missing from the total goes, a step
    each, to those that lost most; of equals, to those written first. All must be finite.
    """
    each = TAPE_STEP[unit] if step is None else step
    return [count * each for count in _spread_steps(values_mm, unit, step)]


def _spread_steps(values_mm: Sequence[float], unit: DisplayUnit, step: Fraction | None) -> list[int]:
    """The same in steps. All is counted in whole parts of a step, `size` of them, so that nothing is lost."""
    size, over = _in_millionths(unit, step)
    parts = [_millionths(v) * over for v in values_mm]
    down = [part // size for part in parts]
    total = sum(parts)
    nearest = (2 * abs(total) + size) // (2 * size)
    missing = (nearest if total >= 0 else -nearest) - sum(down)
    by_loss = sorted(range(len(parts)), key=lambda i: (down[i] * size - parts[i], i))
    for i in by_loss[:missing]:
        down[i] += 1
    return down


def show_list(values_mm: Sequence[float], unit: DisplayUnit, step: Fraction | None = None) -> list[str]:
    """The figures of a shared list (mm), rounded together; singly if one of them is not known."""
    if not all(math.isfinite(v) for v in values_mm):
        return [show_length(v, unit, step) for v in values_mm]
    return [_written_steps(count, unit, step) for count in _spread_steps(values_mm, unit, step)]


def unit_of(display: DisplayUnit) -> Unit:
    """The unit that a card's `in`, `cm` or `mm` stands for."""
    return {"in": INCH, "cm": CM, "mm": MM}[display]


# How far from the middle between two millionths a figure lies for its product to round as the figure itself,
# and up to how many millionths (a kilometre) the product is that exact.
CLEAR, LARGE = 1e-3, 10**12


def _millionths(mm: float) -> int:
    """How many millionths of a millimetre; of two equally near the even one."""
    near = mm * 1e6
    count = round(near)
    if abs(abs(near - count) - 0.5) > CLEAR and abs(count) < LARGE:
        return count
    over, under = float(mm).as_integer_ratio()
    return _rounded(over * 1_000_000, under)


def _rounded(over: int, under: int) -> int:
    """The nearest whole number to a fraction; of two equally near the even one."""
    count, rest = divmod(over, under)
    up = 2 * rest > under or (2 * rest == under and count % 2 == 1)
    return count + up


# A pattern shows lengths by the hundred, most of them alike: how one is written is worked out once.


@cache
def _in_millionths(unit: DisplayUnit, step: Fraction | None) -> tuple[int, int]:
    """A step in millionths of a millimetre, as a fraction: over and under."""
    size = _PER_UNIT[unit] * (TAPE_STEP[unit] if step is None else step) * 1_000_000
    return size.numerator, size.denominator


@lru_cache(maxsize=16_384)
def _written_steps(count: int, unit: DisplayUnit, step: Fraction | None) -> str:
    each = TAPE_STEP[unit] if step is None else step
    return _written(count * each, unit, each)


def _written(value: Fraction, unit: DisplayUnit, step: Fraction) -> str:
    if unit == "in":
        return f"{_mixed(value)} in"
    return f"{float(value):.{_decimals(step)}f} {unit}" if value else f"{0:.{_decimals(step)}f} {unit}"


def _mixed(value: Fraction) -> str:
    """`2 5/8`, `3/8`, `12`, `-1/4`, `0`."""
    whole, over = divmod(abs(value.numerator), value.denominator)
    parts = [str(whole)] if whole or not over else []
    if over:
        parts.append(f"{over}/{value.denominator}")
    return ("-" if value < 0 else "") + " ".join(parts)


def _decimals(step: Fraction) -> int:
    """How many decimals write every multiple of the step, three at most."""
    return next((d for d in range(3) if (step * 10**d).denominator == 1), 3)


def _trimmed(value: float, places: int) -> str:
    """A decimal without needless noughts, and without a minus before nought."""
    scale, fine = 10**places, 10**9
    over, under = float(value).as_integer_ratio()
    steps = (2 * abs(_rounded(over * fine, under)) * scale + fine) // (2 * fine)
    text = f"{math.copysign(steps / scale, value):.{places}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text
