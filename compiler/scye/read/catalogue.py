"""The catalogue of measures and that of cautions, which stdlib holds as YAML."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from scye.diagnostics.cards import BadEntry
from scye.diagnostics.model import Diagnostic
from scye.ir.people import Catalogue, CrossCheck, Measure
from scye.read.fields import (
    NAME,
    Found,
    as_table,
    as_texts,
    only,
    required,
    required_text,
    text_field,
)
from scye.read.yaml_reader import CHART, Node, Row, Table, Text, clip, read_tree
from scye.source import Source, Span
from scye.units.quantity import Kind, Quantity
from scye.units.tape import parse_quantity

Sheet = Literal["proof", "findings", "card"]

_MEASURE_KEYS = (
    "title", "where", "kind", "range", "tolerance", "halves", "clause", "clause_note", "also",
)  # fmt: skip
_CHECK_KEYS = ("whole", "parts", "smaller", "larger", "text", "try")
_CAUTION_KEYS = ("title", "text", "sheet")
_WEARERS = ("child", "minor")
_KINDS = {"length": Kind.LENGTH, "angle": Kind.ANGLE}
_SHEETS: tuple[Sheet, ...] = ("proof", "findings", "card")


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution by name: its text is shown once, on the sheet it belongs to. It certifies nothing."""

    name: str
    title: str
    text: str
    sheet: Sheet
    wearer: str = ""  # `child` or `minor`: for whom it is shown without being asked for


def read_catalogue(source: Source) -> tuple[Catalogue, list[Diagnostic]]:
    """The measures and their cross-checks; entries that can't be used are left out and reported.

    A measure taken in halves (`halves: yes`) brings the check that its left and right add to the whole.
    """
    tree, found = read_tree(source, CHART)
    table = as_table(tree, "the catalogue", found) if tree is not None else None
    if table is None:
        return Catalogue((), ()), found
    only(table, ("measures", "checks"), "in the catalogue", found)
    measures, halved = _measures(table, found)
    checks = (*halved, *_checks(table, frozenset(m.name for m in measures), found))
    return Catalogue(measures, checks), found


def read_cautions(source: Source) -> tuple[tuple[Caution, ...], list[Diagnostic]]:
    """The cautions in the order of the file; those that can't be used are left out and reported."""
    tree, found = read_tree(source, CHART)
    table = as_table(tree, "the file", found) if tree is not None else None
    read: list[Caution] = []
    for key, node in table.entries if table else ():
        entry = as_table(node, f"`{clip(key.text)}`", found)
        caution = _caution(key, entry, found) if entry else None
        if caution is not None:
            read.append(caution)
    return tuple(read), found


def _caution(key: Text, entry: Table, found: Found) -> Caution | None:
    only(entry, (*_CAUTION_KEYS, "wearer"), "of a caution", found)
    title, text, sheet = (
        required_text(entry, k, f"caution `{clip(key.text)}`", "...", found) for k in _CAUTION_KEYS
    )
    if sheet not in _SHEETS:
        found.append(_bad(key, f"there is no sheet `{clip(sheet)}`", "proof, findings or card"))
        return None
    wearer = text_field(entry, "wearer", found)
    if wearer and wearer not in _WEARERS:
        found.append(_bad(key, f"there is no wearer `{clip(wearer)}`", "child or minor"))
        return None
    return Caution(key.text, title, text, sheet, wearer) if _is_name(key, found) and title and text else None


def _measures(table: Table, found: Found) -> tuple[tuple[Measure, ...], tuple[CrossCheck, ...]]:
    node = required(table, "measures", "the catalogue", "", found)
    entries = as_table(node, "`measures`", found) if node is not None else None
    measures: list[Measure] = []
    halves: list[CrossCheck] = []
    taken: set[str] = set()
    for key, value in entries.entries if entries else ():
        entry = as_table(value, f"`{clip(key.text)}`", found)
        measure = _measure(key, entry, found) if entry and _is_name(key, found) else None
        if entry is None or measure is None or not _is_new(key, measure, taken, found):
            continue
        measures.append(measure)
        if text_field(entry, "halves", found) == "yes":
            halves.append(_halves(measure))
    return tuple(measures), tuple(halves)


def _is_name(key: Text, found: Found) -> bool:
    if NAME.fullmatch(key.text):
        return True
    found.append(_bad(key, "can't be a name", "small letters, digits and _, 64 at most"))
    return False


def _is_new(key: Text, measure: Measure, taken: set[str], found: Found) -> bool:
    names = (measure.name, *measure.also)
    twice = [n for n in names if n in taken]
    if twice:
        found.append(_bad(key, f"the name `{twice[0]}` is taken already", "a name of its own"))
    taken.update(names)
    return not twice


def _halves(measure: Measure) -> CrossCheck:
    name = measure.name
    text = f"{measure.title} {{left}} but its halves come to {{right}}"
    again = f"re-measure the {measure.title.lower()} and both halves"
    return CrossCheck((name,), "=", (f"{name}.left", f"{name}.right"), text, again)


def _measure(key: Text, entry: Table, found: Found) -> Measure | None:
    place = f"measure `{key.text}`"
    only(entry, _MEASURE_KEYS, f"of {place}", found)
    kind = _KINDS.get(text_field(entry, "kind", found) or "length")
    title = required_text(entry, "title", place, "Bust", found)
    where = required_text(entry, "where", place, "where the tape goes", found)
    bounds = _range(required_text(entry, "range", place, "60 to 170 cm", found))
    tolerance = parse_quantity(required_text(entry, "tolerance", place, "9 mm", found))
    if (
        kind is None
        or bounds is None
        or tolerance is None
        or {kind} != {q.kind for q in (*bounds, tolerance)}
    ):
        wanted = "range: 60 to 170 cm, tolerance: 9 mm; for an angle kind: angle and deg"
        found.append(_bad(key, "its kind, range and tolerance don't fit together", wanted))
        return None
    measure = Measure(
        key.text, title, kind, where, bounds[0].inside, bounds[1].inside, tolerance.inside, "", "", ()
    )  # fmt: skip
    also = entry.get("also")
    return replace(
        measure,
        clause=text_field(entry, "clause", found),
        clause_note=text_field(entry, "clause_note", found),
        also=tuple(t.text for t in as_texts(also, "`also`", found)) if also is not None else (),
    )


def _range(text: str) -> tuple[Quantity, Quantity] | None:
    """`60 to 170 cm`: the unit is written once, after the higher."""
    low_text, _, high_text = text.partition(" to ")
    low, high = parse_quantity(low_text), parse_quantity(high_text)
    if low is None or high is None:
        return None
    low = Quantity(low.value, low.unit or high.unit)
    return (low, high) if low.inside < high.inside else None


def _checks(table: Table, known: frozenset[str], found: Found) -> list[CrossCheck]:
    node = table.get("checks")
    items: tuple[Node, ...] = node.items if isinstance(node, Row) else ()
    if node is not None and not isinstance(node, Row):
        found.append(
            BadEntry(span=node.span, name="`checks`", what="isn't a list", wanted="entries with `-`")
        )
    entries = [as_table(item, "a check", found) for item in items]
    read = [_check(entry, known, found) for entry in entries if entry is not None]
    return [check for check in read if check is not None]


def _check(entry: Table, known: frozenset[str], found: Found) -> CrossCheck | None:
    """`whole` and `parts` should be equal; `smaller` is not commonly more than `larger`."""
    only(entry, _CHECK_KEYS, "of a check", found)
    equal = entry.get("whole") is not None
    first, second = ("whole", "parts") if equal else ("smaller", "larger")
    left, right = _names(entry, first, known, found), _names(entry, second, known, found)
    text = required_text(entry, "text", "the check", "...", found)
    if not (left and right and text):
        return None
    attempt = text_field(entry, "try", found)
    return CrossCheck(left, "=" if equal else "<=", right, text, attempt)


def _names(entry: Table, side: str, known: frozenset[str], found: Found) -> tuple[str, ...]:
    node = required(entry, side, "the check", "waist", found)
    texts = as_texts(node, f"`{side}`", found) if node is not None else ()
    for text in texts:
        if text.text not in known:
            found.append(_bad(text, "isn't a measure of this catalogue", ""))
    return tuple(t.text for t in texts if t.text in known)


def _bad(text: Text, what: str, wanted: str) -> BadEntry:
    span: Span = text.span
    return BadEntry(span=span, name=f"`{clip(text.text)}`", what=what, wanted=wanted)
