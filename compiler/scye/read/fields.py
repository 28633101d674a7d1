"""Taking fields out of a tree: each helper reports what is amiss and gives None, so reading goes on."""

from __future__ import annotations

import re
from collections.abc import Sequence

from scye.diagnostics.cards import BadCode, BadUnit, MissingKey, UnknownKey, UnreadableAmount, WrongShape
from scye.diagnostics.model import Diagnostic
from scye.diagnostics.suggest import nearest
from scye.ir.people import DisplayUnit
from scye.read.yaml_reader import Node, Row, Table, Text, clip
from scye.units.tape import DISPLAY_UNITS

Found = list[Diagnostic]

LONGEST_NAME = 64
NAME = re.compile(r"[a-z][a-z0-9_]{0,63}")
_CODE = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,63}")
# Names that one widespread system keeps for its own devices, whatever their ending.
_RESERVED = re.compile(r"con|prn|aux|nul|com[0-9]|lpt[0-9]", re.IGNORECASE)
_SHAPES = {Text: "a single value", Row: "a list", Table: "a list of names and values"}
_UNIT_WORDS: dict[str, DisplayUnit] = {
    "inch": "in", "inches": "in", '"': "in", "centimetres": "cm", "centimeters": "cm", "millimetres": "mm",
}  # fmt: skip


def as_table(node: Node, name: str, found: Found) -> Table | None:
    if isinstance(node, Table):
        return node
    if isinstance(node, Text) and not node.text:
        found.append(WrongShape(span=node.span, name=name, found="empty", wanted=_SHAPES[Table]))
    else:
        _wrong_shape(node, name, Table, found)
    return None


def as_text(node: Node, name: str, found: Found) -> Text | None:
    """A single value that isn't empty."""
    if not isinstance(node, Text):
        _wrong_shape(node, name, Text, found)
        return None
    if not node.text.strip():
        found.append(
            UnreadableAmount(span=node.span, name=name, written="", advice="write it, or leave the line out")
        )
        return None
    return node


def as_texts(node: Node, name: str, found: Found) -> tuple[Text, ...]:
    """One value, or a list of single values."""
    items: Sequence[Node] = node.items if isinstance(node, Row) else (node,)
    texts = (as_text(item, name, found) for item in items)
    return tuple(t for t in texts if t is not None)


def _wrong_shape(node: Node, name: str, wanted: type[Node], found: Found) -> None:
    found.append(WrongShape(span=node.span, name=name, found=_SHAPES[type(node)], wanted=_SHAPES[wanted]))


def only(table: Table, known: tuple[str, ...], place: str, found: Found) -> None:
    """Report every name in the table that has no meaning there."""
    for key, _ in table.entries:
        if key.text not in known:
            near = nearest(key.text, known)
            found.append(UnknownKey(span=key.span, name=clip(key.text), place=place, near=near, known=known))


def required(table: Table, name: str, place: str, example: str, found: Found) -> Node | None:
    node = table.get(name)
    if node is None:
        found.append(MissingKey(span=table.span, name=name, place=place, example=example))
    return node


def text_field(table: Table, name: str, found: Found) -> str:
    """The text of an optional field, on one line; empty if it isn't there."""
    node = table.get(name)
    text = as_text(node, f"`{name}`", found) if node is not None else None
    return " ".join(text.text.split()) if text else ""


def required_text(table: Table, name: str, place: str, example: str, found: Found) -> str:
    return text_field(table, name, found) if required(table, name, place, example, found) is not None else ""


def unit_field(table: Table, place: str, found: Found) -> DisplayUnit | None:
    """The unit of a card or chart."""
    node = required(table, "unit", place, "in", found)
    text = as_text(node, "`unit`", found) if node is not None else None
    if text is None:
        return None
    unit = DISPLAY_UNITS.get(text.text)
    if unit is None:
        near = _UNIT_WORDS.get(text.text.lower()) or DISPLAY_UNITS.get(text.text.lower())
        found.append(BadUnit(span=text.span, name=clip(text.text), near=near))
    return unit


def code_of(text: Text, what: str, found: Found) -> str | None:
    """A code that may name a file: see `BadCode`."""
    if _CODE.fullmatch(text.text) and not _RESERVED.fullmatch(text.text):
        return text.text
    near = re.sub(r"[^A-Za-z0-9_-]+", "-", text.text[:LONGEST_NAME]).strip("-_")
    usable = _CODE.fullmatch(near) and not _RESERVED.fullmatch(near)
    found.append(BadCode(span=text.span, name=clip(text.text), what=what, near=near if usable else None))
    return None
