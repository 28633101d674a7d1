"""A maker's file of rates: what an hour costs, hours by step, prices, and cloth as it was laid."""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from scye.diagnostics.lists import NotARate
from scye.ir.notions import Price, Rates
from scye.read.fields import Found, as_table, only
from scye.read.yaml_reader import CARD, Node, Table, Text, clip, read_tree
from scye.source import Source
from scye.units.quantity import UNITS, Kind
from scye.units.tape import parse_quantity

KEYS = ("currency", "hour", "hours", "prices", "cloth", "deposit", "fittings", "extra fitting")
_FIGURE = re.compile(r"[0-9]{1,7}(?:\.[0-9]{1,4})?")
_PRICE = re.compile(r"([0-9]{1,7}(?:\.[0-9]{1,4})?)(?:\s*(?:/|an?\b|per\b)\s*([a-z]{1,3}))?")


def read_rates(source: Source) -> tuple[Rates, Found]:
    """The rates of a file, and what is amiss; what can't be read is left blank."""
    tree, found = read_tree(source, CARD)
    table = None if tree is None else as_table(tree, "a file of rates", found)
    if table is None:
        return Rates(), found
    only(table, KEYS, "in a file of rates", found)
    deposit = _said(table, "deposit", found)
    fittings = _figure(table, "fittings", found)
    return Rates(
        currency=_said(table, "currency", found),
        hour=_figure(table, "hour", found),
        hours=tuple((step, _hours(step, text, found)) for step, text in _entries(table, "hours", found)),
        prices=tuple(_prices(table, found)),
        cloth=tuple(_cloth(table, found)),
        deposit=_share(table, deposit, found),
        fittings=None if fittings is None else int(fittings),
        extra_fitting=_figure(table, "extra fitting", found),
    ), found


def _entries(table: Table, key: str, found: Found) -> Iterator[tuple[str, Text]]:
    """The names and values under a key; none where it is left empty."""
    node = table.get(key)
    if node is None or (isinstance(node, Text) and not node.text.strip()):
        return
    below = as_table(node, f"`{key}`", found)
    for name, value in () if below is None else below.entries:
        if isinstance(value, Text):
            yield name.text, value
        else:
            said = f"`{clip(name.text)}` is no single figure"
            _amiss(value, said, "write one figure after its name", found)


def _said(table: Table, key: str, found: Found) -> str:
    node = table.get(key)
    if node is None or isinstance(node, Text):
        return "" if node is None else " ".join(node.text.split())
    _amiss(node, f"`{key}` is no single value", f"write one value after `{key}:`", found)
    return ""


def _figure(table: Table, key: str, found: Found) -> Decimal | None:
    text = _said(table, key, found)
    if not text:
        return None
    if _FIGURE.fullmatch(text):
        return Decimal(text)
    _amiss(table.get(key), f"`{key}` is `{clip(text)}`", "write a plain figure, as 25 or 12.50", found)
    return None


def _share(table: Table, text: str, found: Found) -> Decimal | None:
    figure = text.removesuffix("%").strip()
    if not text:
        return None
    if _FIGURE.fullmatch(figure) and Decimal(figure) <= 100:
        return Decimal(figure)
    _amiss(table.get("deposit"), f"the deposit is `{clip(text)}`", "write a share of the sum: 40%", found)
    return None


def _hours(step: str, text: Text, found: Found) -> Decimal | None:
    """Hours, in quarters or decimals; None where they are left empty."""
    if not text.text.strip():
        return None
    amount = parse_quantity(text.text)
    if amount is None or amount.kind is not Kind.NUMBER or amount.value < 0:
        _amiss(text, f"`{clip(step)}` takes `{clip(text.text)}`", "write hours without a unit: 4 1/2", found)
        return None
    hours: Fraction = amount.value
    return (Decimal(hours.numerator) / Decimal(hours.denominator)).quantize(Decimal("0.0001"))


def _prices(table: Table, found: Found) -> Iterator[tuple[str, Price]]:
    for name, text in _entries(table, "prices", found):
        if not text.text.strip():
            continue
        written = _PRICE.fullmatch(" ".join(text.text.split()))
        unit = UNITS.get(written[2]) if written and written[2] else None
        if written is None or (written[2] and (unit is None or unit.kind is not Kind.LENGTH)):
            hint = "write a figure for one, as 1.20, or for a length, as 1.50 a yd"
            _amiss(text, f"the price of {clip(name)} is `{clip(text.text)}`", hint, found)
            continue
        yield name, Price(Decimal(written[1]), None if unit is None else unit.size, written[2] or "")


def _cloth(table: Table, found: Found) -> Iterator[tuple[str, float, str]]:
    for name, text in _entries(table, "cloth", found):
        if not text.text.strip():
            continue
        amount = parse_quantity(text.text)
        if amount is None or amount.kind is not Kind.LENGTH or amount.value < 0:
            hint = "write what the lay takes, with its unit: 2 1/4 yd"
            _amiss(text, f"the cloth for {clip(name)} is `{clip(text.text)}`", hint, found)
            continue
        yield name, amount.inside, " ".join(text.text.split())


def _amiss(at: Node | None, said: str, hint: str, found: Found) -> None:
    found.append(NotARate(span=None if at is None else at.span, said=said, hint=hint))
