"""Measure cards: the text of one client's card to a `Body`. Also the door to charts and catalogues.

A card that has any error gives no body; cautions and notes leave it as it is. Whether the measures agree
with each other is for `cross_check`.
"""

from __future__ import annotations

from dataclasses import replace

from scye.diagnostics.cards import BadDate, NoDate, UnknownKey
from scye.diagnostics.model import Diagnostic, Severity
from scye.ir.people import Body, Catalogue, ChoiceText
from scye.read.catalogue import read_catalogue, read_cautions
from scye.read.charts import read_chart
from scye.read.crosscheck import cross_check
from scye.read.decisions import date_of, read_age, read_decisions, read_health
from scye.read.fields import (
    NAME,
    Found,
    as_table,
    as_text,
    as_texts,
    code_of,
    only,
    required,
    text_field,
    unit_field,
)
from scye.read.fittings import read_fittings, read_full
from scye.read.readings import Setting, read_readings, read_times
from scye.read.yaml_reader import CARD, Table, clip, read_tree
from scye.source import Source

__all__ = ["cross_check", "read_card", "read_catalogue", "read_cautions", "read_chart"]

_KEYS = (
    "client", "date", "unit", "measured_by", "over", "times", "notes", "measures", "choices",
    "age", "born", "health", "decisions", "fittings", "draft",
)  # fmt: skip


def read_card(source: Source, catalogue: Catalogue) -> tuple[Body | None, list[Diagnostic]]:
    """A client's card. Everything amiss is told in one run, in the order of the file."""
    tree, found = read_tree(source, CARD)
    table = as_table(tree, "the card", found) if tree is not None else None
    body = _body(table, catalogue, found) if table is not None else None
    found.sort(key=lambda d: d.span.start if d.span else 0)
    return (None if any(d.severity is Severity.ERROR for d in found) else body), found


def _body(table: Table, catalogue: Catalogue, found: Found) -> Body | None:
    only(table, _KEYS, "on a card", found)
    code = _client(table, found)
    unit = unit_field(table, "the card", found)
    setting = Setting(catalogue, unit, read_times(table.get("times"), found))
    node = required(table, "measures", "the card", "", found)
    measures = as_table(node, "`measures`", found) if node is not None else None
    readings = read_readings(measures, setting, found) if measures is not None else ()
    day = _date(table, found)
    choices = _choices(table, found)
    notes = _notes(table, found)
    age, health = read_age(table, day, found), read_health(table, found)
    decisions = read_decisions(table.get("decisions"), unit, found)
    fittings, full = read_fittings(table.get("fittings"), unit, found), read_full(table, found)
    if code is None or unit is None:
        return None
    body = Body(code, day, unit, readings, choices, table.span, notes)
    return replace(body, age=age, health_noted=health, decisions=decisions, fittings=fittings, full=full)


def _client(table: Table, found: Found) -> str | None:
    node = required(table, "client", "the card", "wren", found)
    text = as_text(node, "`client`", found) if node is not None else None
    return code_of(text, "a client's code", found) if text else None


def _date(table: Table, found: Found) -> str:
    node = table.get("date")
    if node is None:
        found.append(NoDate(span=table.span))
        return ""
    text = as_text(node, "`date`", found)
    if text is None:
        return ""
    if date_of(text.text) is None:
        found.append(BadDate(span=text.span, name=clip(text.text)))
    return text.text


def _choices(table: Table, found: Found) -> tuple[ChoiceText, ...]:
    """Style choices, still as text; whether a recipe has them is for the recipe."""
    node = table.get("choices")
    choices = as_table(node, "`choices`", found) if node is not None else None
    read: list[ChoiceText] = []
    for key, value in choices.entries if choices else ():
        text = as_text(value, f"`{clip(key.text)}`", found)
        if not NAME.fullmatch(key.text):
            known = ("small letters, digits and _",)
            name = clip(key.text)
            found.append(UnknownKey(span=key.span, name=name, place="as a choice", near=None, known=known))
        elif text is not None:
            read.append(ChoiceText(key.text, text.text, text.span))
    return tuple(read)


def _notes(table: Table, found: Found) -> tuple[str, ...]:
    """Who measured, over what, and what else is noted, as sentences to print on the card's sheet."""
    by, over = text_field(table, "measured_by", found), text_field(table, "over", found)
    node = table.get("notes")
    notes = as_texts(node, "`notes`", found) if node is not None else ()
    lead = [f"Measured by {by}" if by else "", f"Measured over {over}" if over else ""]
    return tuple(n for n in lead if n) + tuple(" ".join(t.text.split()) for t in notes)
