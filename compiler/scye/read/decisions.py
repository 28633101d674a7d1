"""The wearer's age and health, and the decisions that let a limit be passed, as a card has them."""

from __future__ import annotations

import re
from datetime import date

from scye.diagnostics.limits import BadAge, DecisionIncomplete
from scye.ir.people import Decision, DisplayUnit
from scye.read.fields import Found, as_table, as_text, only
from scye.read.yaml_reader import Node, Row, Table, Text, clip
from scye.units.quantity import Kind, Quantity
from scye.units.tape import parse_quantity, unit_of

_PARTS = ("limit", "value", "by", "date", "why")
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_OLDEST = 120


def date_of(text: str) -> date | None:
    """A day written `2024-03-05`."""
    if not _DATE.fullmatch(text):
        return None
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


# --- age and health ---------------------------------------------------------------------------


def read_age(table: Table, day: str, found: Found) -> int | None:
    """Whole years on the date of the card, from `age` or `born`; None if it isn't said or can't be read."""
    age, born = (_text(table, key, found) for key in ("age", "born"))
    if age is not None and born is not None:
        _amiss(born, "the card says both `age` and `born`", "keep the one that is sure", found)
    elif age is not None:
        if age.text.isascii() and age.text.isdigit() and int(age.text[:4]) <= _OLDEST and len(age.text) <= 3:
            return int(age.text)
        _amiss(age, f"`{clip(age.text)}` is no age", "write whole years: age: 15", found)
    elif born is not None:
        return _age_on(born, day, found)
    return None


def _age_on(born: Text, day: str, found: Found) -> int | None:
    birth, today = date_of(born.text), date_of(day)
    if birth is None:
        _amiss(born, f"`{clip(born.text)}` is no day", "write year, month, day: born: 2009-03-05", found)
    elif today is None:
        _amiss(born, "an age can't be counted without the date of the card", "add the card's date", found)
    elif not 0 <= (years := _years(birth, today)) <= _OLDEST:
        _amiss(born, f"born {born.text}, measured {day}: that is no age", "look at both dates", found)
    else:
        return years
    return None


def _years(birth: date, today: date) -> int:
    before_birthday = (today.month, today.day) < (birth.month, birth.day)
    return today.year - birth.year - before_birthday


def _amiss(at: Text, said: str, hint: str, found: Found) -> None:
    found.append(BadAge(span=at.span, said=said, hint=hint))


def read_health(table: Table, found: Found) -> bool:
    """Whether the card notes a condition; what it is stays on the card."""
    return _text(table, "health", found) is not None


def _text(table: Table, key: str, found: Found) -> Text | None:
    node = table.get(key)
    return as_text(node, f"`{key}`", found) if node is not None else None


# --- decisions --------------------------------------------------------------------------------


def read_decisions(node: Node | None, unit: DisplayUnit | None, found: Found) -> tuple[Decision, ...]:
    """The decisions that are whole; what others lack is reported."""
    if node is None:
        return ()
    items = node.items if isinstance(node, Row) else (node,)
    tables = (as_table(item, "a decision", found) for item in items)
    decisions = (_decision(table, unit, found) for table in tables if table is not None)
    return tuple(d for d in decisions if d is not None)


def _decision(table: Table, unit: DisplayUnit | None, found: Found) -> Decision | None:
    only(table, _PARTS, "of a decision", found)
    said = {key: " ".join(text.text.split()) for key in _PARTS if (text := _text(table, key, found))}
    lacking = [key for key in _PARTS if key not in said]
    if lacking:
        _incomplete(table, "a decision says no " + ", no ".join(lacking), "", found)
        return None
    value = _amount(said["value"], unit)
    if value is None:
        hint = "write what was decided with its unit: value: 5 in"
        _incomplete(table, f"`{clip(said['value'])}` is no amount", hint, found)
        return None
    if date_of(said["date"]) is None:
        hint = "write year, month, day: date: 2024-04-10"
        _incomplete(table, f"`{clip(said['date'])}` is no day", hint, found)
        return None
    return Decision(said["limit"].replace("_", " "), value, said["by"], said["date"], said["why"], table.span)


def _amount(text: str, unit: DisplayUnit | None) -> Quantity | None:
    """An amount; one without a unit is in the card's."""
    amount = parse_quantity(text)
    if amount is not None and amount.kind is Kind.NUMBER and unit is not None:
        return Quantity(amount.value, unit_of(unit))
    return amount


def _incomplete(table: Table, said: str, hint: str, found: Found) -> None:
    wanted = hint or "say the limit, the value, by whom, the date and why"
    found.append(DecisionIncomplete(span=table.span, said=said, hint=wanted))
