"""The cost sheet: quantities from the draft, hours and prices from the maker, blanks for the rest."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import ROUND_HALF_UP, Decimal

from scye.ir.notions import ClothLaid, CostLine, CostSheet, Notion, Price, Rates
from scye.ir.pattern import Pattern
from scye.ir.people import DisplayUnit
from scye.units.tape import show_length

CENT = Decimal("0.01")
# Where a figure comes from that the maker gave.
YOURS = "your rates"
# The steps of the work, where the maker names none of her own.
STEPS = ("consult", "measure", "draft", "toile", "fit", "correct", "cut", "make", "fit again", "finish")


def cost_of(pattern: Pattern, rates: Rates, laid: ClothLaid | None = None) -> CostSheet:
    """The sheet of one pattern. Sums are of figures as they are printed, to the cent, so that they add up."""
    hours = tuple(_hours(rates))
    cloth = tuple(_cloth(pattern, rates, laid))
    findings = tuple(_findings(pattern, rates))
    lines = (*hours, *cloth, *findings)
    total = sum((Decimal(line.sum) for line in lines if line.sum), Decimal(0))
    blanks = sum(not line.sum for line in lines)
    shown = f"{_money(total)} {rates.currency}".rstrip() if blanks < len(lines) else ""
    return CostSheet(hours, cloth, findings, shown, blanks, tuple(_terms(rates, total, blanks)))


def _hours(rates: Rates) -> Iterator[CostLine]:
    rate = "" if rates.hour is None else _money(rates.hour)
    for step, hours in rates.hours or tuple((step, None) for step in STEPS):
        known = hours is not None and rates.hour is not None
        spent = "" if hours is None else f"{hours.normalize():f} h"
        total = _money(hours * rates.hour) if known else ""  # type: ignore[operator]
        yield CostLine(step, spent, rate, total, YOURS if spent else "")


def _cloth(pattern: Pattern, rates: Rates, laid: ClothLaid | None) -> Iterator[CostLine]:
    said = {layer: (length, words, YOURS) for layer, length, words in rates.cloth}
    if laid is not None:
        said[laid.layer] = (laid.length, laid.words, laid.source)
    prices = dict(rates.prices)
    layers = dict.fromkeys(x for piece in pattern.pieces for cut in piece.cuts for x in cut.layers)
    for layer in layers:
        length, words, source = said.get(layer, (None, "", ""))
        price = prices.get(layer)
        total = None if price is None or length is None else _priced(price, 1, length)
        paid = "" if total is None else _money(total)
        yield CostLine(layer.replace("_", " "), words, _rate(price), paid, source)


def _findings(pattern: Pattern, rates: Rates) -> Iterator[CostLine]:
    prices = dict(rates.prices)
    for line in pattern.notions:
        price = prices.get(line.kind)
        total = None if price is None else _priced(price, line.buy, line.length)
        name = f"{line.kind}, {line.where}"
        paid = "" if total is None else _money(total)
        source = f"{line.count} and {line.spare} spare" if line.spare else ""
        yield CostLine(name, _quantity(line, pattern.unit), _rate(price), paid, source)


def _quantity(line: Notion, unit: DisplayUnit) -> str:
    length = "" if line.length is None else show_length(line.length, unit)
    if not length or (line.buy == 1 and line.kind in ("lace", "binding", "tape")):
        return length or str(line.buy)
    return f"{line.buy} of {length}"


def _priced(price: Price, count: int, length: float | None) -> Decimal | None:
    """What a number of things cost; a price for a length takes their length. None where it has none."""
    if price.per is None:
        return price.amount * count
    if length is None:
        return None
    return price.amount * count * Decimal(repr(length / price.per))


def _rate(price: Price | None) -> str:
    if price is None:
        return ""
    return _money(price.amount) if price.per is None else f"{_money(price.amount)} a {price.unit}"


def _money(amount: Decimal) -> str:
    return str(amount.quantize(CENT, ROUND_HALF_UP))


def _terms(rates: Rates, total: Decimal, blanks: int) -> Iterator[tuple[str, str]]:
    """What is agreed beside the sum; each is blank where the maker said nothing of it."""
    deposit = "" if rates.deposit is None else f"{rates.deposit.normalize():f} %"
    if rates.deposit is not None and not blanks:
        deposit += f" = {_money(total * rates.deposit / 100)} {rates.currency}".rstrip()
    yield "Deposit", deposit
    yield "Fittings included", "" if rates.fittings is None else str(rates.fittings)
    extra = "" if rates.extra_fitting is None else f"{_money(rates.extra_fitting)} {rates.currency}".rstrip()
    yield "Each further fitting", extra
