"""What a measured bar says of a print: how large the garment would come out, and what to print at."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from scye.units.quantity import CM, INCH, Quantity
from scye.units.tape import DisplayUnit, show_length, show_quantity

# The bust that an error is shown on.
EXAMPLE: dict[DisplayUnit, Quantity] = {
    "in": Quantity(Fraction(36), INCH),
    "cm": Quantity(Fraction(92), CM),
    "mm": Quantity(Fraction(92), CM),
}
# How near a bar of 100 mm can be read with a ruler, as a share.
READING = Fraction(1, 200)


@dataclass(frozen=True, slots=True)
class Bar:
    """A bar of `measured` mm that should be `of` mm; and a drift of `drift` mm a page over some pages."""

    measured: Fraction
    of: Fraction
    drift: Fraction
    pages: int

    @property
    def share(self) -> Fraction:
        return self.measured / self.of


def bar_words(bar: Bar, unit: DisplayUnit) -> Iterator[str]:
    """What the maker should know, a line each."""
    bust = EXAMPLE[unit]
    came_out = show_length(float(bar.share) * bust.inside, unit)
    if bar.share == 1:
        yield "printed true: what should be 100 is 100"
    else:
        yield f"printed at {_per_cent(bar.share)}: a {show_quantity(bust)} bust would be {came_out}."
        yield f"Reprint at 100 %, or at {_per_cent(1 / bar.share)} if it cannot be changed."
    if bar.share != 1 and abs(bar.share - 1) <= READING:
        yield "A ruler reads a bar no nearer than this: measure it again before you change anything."
    yield (
        f"Over the pages: {_mm(bar.drift)} a page is too little to see on one bar, "
        f"and over {bar.pages} pages it is {_mm(bar.drift * bar.pages)}."
    )
    yield "Join from the middle of the map outwards, by the marks and never by the edge of the paper."


def _per_cent(share: Fraction) -> str:
    return f"{_trimmed(share * 100)} %"


def _mm(length: Fraction) -> str:
    return f"{_trimmed(length)} mm"


def _trimmed(value: Fraction) -> str:
    """To a tenth, without a needless nought."""
    return f"{round(float(value), 1):.1f}".removesuffix(".0")
