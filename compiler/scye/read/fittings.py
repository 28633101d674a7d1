"""The `fittings` of a card: dated layers of corrections, each as it is written on a fitting sheet."""

from __future__ import annotations

from typing import Literal

from scye.diagnostics.cards import BadDate, UnreadableAmount
from scye.diagnostics.fitting import (
    BadCorrection,
    BadSide,
    HalfOrFull,
    LargeCorrection,
    SeamOrEdge,
    TooManyPlaces,
    WhatToDo,
)
from scye.ir.fitting import Correction, Fitting, Verb
from scye.ir.people import DisplayUnit
from scye.read.decisions import date_of
from scye.read.fields import Found, as_table, as_text, as_texts, only, required, text_field
from scye.read.yaml_reader import Node, Row, Table, Text, clip
from scye.units.quantity import Kind, Quantity
from scye.units.tape import parse_quantity, show_quantity, unit_of

VERBS: dict[str, Verb] = {
    "take_in": "take in", "let_out": "let out", "raise": "raise", "lower": "lower", "drop": "drop",
}  # fmt: skip
SIDES: dict[str, Literal["left", "right", "both"]] = {"left": "left", "right": "right", "both": "both"}
LARGE_MM, LARGEST_MM = 40.0, 100.0
_FITTING = ("date", "by", "over", "corrections")
_CORRECTION = (*VERBS, "seam", "edge", "piece", "at", "nothing_at", "carried_to", "side", "why", "only")
_ALL_ALONG = "all along"


def read_fittings(node: Node | None, unit: DisplayUnit | None, found: Found) -> tuple[Fitting, ...]:
    """Every fitting that can be read, in the order of the file."""
    if node is None:
        return ()
    read = (_fitting(item, unit, found) for item in _items(node))
    return tuple(fitting for fitting in read if fitting is not None)


def read_full(table: Table, found: Found) -> bool:
    """Whether the card asks for a full draft, each side by its own measures: `draft: full`."""
    node = table.get("draft")
    text = as_text(node, "`draft`", found) if node is not None else None
    if text is not None and text.text not in ("half", "full"):
        found.append(HalfOrFull(span=text.span, written=clip(text.text)))
    return text is not None and text.text == "full"


def _items(node: Node) -> tuple[Node, ...]:
    return node.items if isinstance(node, Row) else (node,)


def _fitting(node: Node, unit: DisplayUnit | None, found: Found) -> Fitting | None:
    table = as_table(node, "a fitting", found)
    if table is None:
        return None
    only(table, _FITTING, "of a fitting", found)
    date = _date(table, found)
    rows = required(table, "corrections", "the fitting", "", found)
    corrections = [_correction(item, unit, found) for item in _items(rows)] if rows is not None else []
    kept = tuple(c for c in corrections if c is not None)
    by, over = text_field(table, "by", found), text_field(table, "over", found)
    return Fitting(date, by, over, kept, table.span)


def _date(table: Table, found: Found) -> str:
    node = required(table, "date", "the fitting", "2025-03-03", found)
    text = as_text(node, "`date`", found) if node is not None else None
    if text is None:
        return ""
    if date_of(text.text) is None:
        found.append(BadDate(span=text.span, name=clip(text.text)))
    return text.text


def _correction(node: Node, unit: DisplayUnit | None, found: Found) -> Correction | None:
    table = as_table(node, "a correction", found)
    if table is None:
        return None
    only(table, _CORRECTION, "of a correction", found)
    verb = _verb(table, found)
    amount = _amount(table, verb, unit, found) if verb is not None else None
    seam, at = _seam(table, found), required(table, "at", "the correction", "waist", found)
    place = as_text(at, "`at`", found) if at is not None else None
    nothing, carried = (_places(table, name, place, found) for name in ("nothing_at", "carried_to"))
    side = _side(table.get("side"), found)
    piece, why, recipe = (text_field(table, name, found) for name in ("piece", "why", "only"))
    if verb is None or amount is None or seam is None or place is None or side is None:
        return None
    return Correction(
        VERBS[verb], amount.inside, amount, seam, _words(place), nothing, carried, piece, side, why, recipe,
        table.span,
    )  # fmt: skip


def _words(text: Text) -> str:
    return " ".join(text.text.split())


def _verb(table: Table, found: Found) -> str | None:
    said = [key.text for key, _ in table.entries if key.text in VERBS]
    if len(said) == 1:
        return said[0]
    what = " and ".join(f"`{name}`" for name in said) or "nothing to do"
    found.append(WhatToDo(span=table.span, what=what))
    return None


def _amount(table: Table, verb: str, unit: DisplayUnit | None, found: Found) -> Quantity | None:
    text = as_text(table.get(verb) or Text("", table.span), f"`{verb}`", found)
    amount = parse_quantity(text.text) if text is not None else None
    if text is None:
        return None
    if amount is None:
        advice = "write a figure: 3/8, 1/2 in or 1 cm"
        found.append(
            UnreadableAmount(span=text.span, name=f"`{verb}`", written=clip(text.text), advice=advice)
        )
        return None
    if amount.unit is None and unit is not None:
        amount = Quantity(amount.value, unit_of(unit))
    if amount.unit is None:
        return None
    return amount if _usable(text, amount, found) else None


def _usable(text: Text, amount: Quantity, found: Found) -> bool:
    why = ""
    if amount.kind is not Kind.LENGTH:
        why = "is no length"
    elif amount.value <= 0:
        why = "is nothing to move: the amount is more than nought, and the verb says which way"
    elif amount.inside > LARGEST_MM:
        why = "is more than a fitting corrects"
    if why:
        found.append(BadCorrection(span=text.span, written=clip(text.text), why=why))
    elif amount.inside > LARGE_MM:
        found.append(LargeCorrection(span=text.span, written=show_quantity(amount)))
    return not why


def _seam(table: Table, found: Found) -> str | None:
    seam, edge = (text_field(table, name, found) for name in ("seam", "edge"))
    if bool(seam) != bool(edge):
        return seam or edge
    if table.get("seam") is None and table.get("edge") is None:
        found.append(SeamOrEdge(span=table.span, what="no seam and no edge"))
    elif seam and edge:
        found.append(SeamOrEdge(span=table.span, what="both a seam and an edge"))
    return None


def _places(table: Table, name: str, at: Text | None, found: Found) -> tuple[str, ...]:
    node = table.get(name)
    if node is None:
        return ()
    places = as_texts(node, f"`{name}`", found)
    if len(places) > 2:
        found.append(TooManyPlaces(span=node.span, name=name, why="names more than two places"))
    elif at is not None and _words(at).lower() == _ALL_ALONG:
        found.append(TooManyPlaces(span=node.span, name=name, why="means nothing where `at` is all along"))
    return tuple(_words(place) for place in places)


def _side(node: Node | None, found: Found) -> Literal["left", "right", "both"] | None:
    text = as_text(node, "`side`", found) if node is not None else None
    if node is None:
        return "both"
    if text is not None and text.text in SIDES:
        return SIDES[text.text]
    if text is not None:
        found.append(BadSide(span=text.span, written=clip(text.text)))
    return None
