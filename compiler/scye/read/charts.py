"""Size charts: the text of a chart to a `Chart` whose sizes are bodies, in the order of the file."""

from __future__ import annotations

from scye.diagnostics.cards import NoSuchSize, SizesAlike
from scye.diagnostics.model import Diagnostic, Severity
from scye.ir.people import Body, Catalogue, Chart
from scye.read.fields import (
    Found,
    as_table,
    as_text,
    as_texts,
    code_of,
    only,
    required,
    required_text,
    unit_field,
)
from scye.read.readings import Setting, read_readings
from scye.read.yaml_reader import CHART, Table, Text, clip, read_tree
from scye.source import Source

_KEYS = ("chart", "source", "unit", "base", "notes", "sizes")
# A chart is a statement of sizes, not a tape that may be read again: its figures count as taken with care.
_TIMES = 2


def read_chart(source: Source, catalogue: Catalogue) -> tuple[Chart | None, list[Diagnostic]]:
    """A size chart. Everything amiss is told in one run, in the order of the file."""
    tree, found = read_tree(source, CHART)
    table = as_table(tree, "the chart", found) if tree is not None else None
    chart = _chart(table, catalogue, found) if table is not None else None
    found.sort(key=lambda d: d.span.start if d.span else 0)
    return (None if any(d.severity is Severity.ERROR for d in found) else chart), found


def _chart(table: Table, catalogue: Catalogue, found: Found) -> Chart | None:
    only(table, _KEYS, "on a chart", found)
    title = required_text(table, "chart", "the chart", "Women, 10 to 20", found)
    origin = required_text(table, "source", "the chart", "where its figures come from", found)
    unit = unit_field(table, "the chart", found)
    notes = table.get("notes")
    texts = as_texts(notes, "`notes`", found) if notes is not None else ()
    lines = tuple(" ".join(t.text.split()) for t in texts)
    sizes = _sizes(table, Setting(catalogue, unit, _TIMES), lines, found)
    base = _base(table, sizes, found)
    return Chart(title, origin, unit, base, sizes, table.span) if unit is not None else None


def _sizes(table: Table, setting: Setting, notes: tuple[str, ...], found: Found) -> tuple[Body, ...]:
    node = required(table, "sizes", "the chart", "", found)
    sizes = as_table(node, "`sizes`", found) if node is not None else None
    bodies: list[Body] = []
    alike: dict[str, str] = {}
    for key, value in sizes.entries if sizes else ():
        code = code_of(key, "a size", found)
        measures = as_table(value, f"size `{clip(key.text)}`", found)
        readings = read_readings(measures, setting, found) if measures else ()
        other = alike.setdefault(key.text.lower(), key.text)
        if other != key.text:
            found.append(SizesAlike(span=key.span, name=clip(key.text), other=clip(other)))
        bodies.append(Body(code or "", "", setting.unit or "mm", readings, (), key.span, notes))
    return tuple(bodies)


def _base(table: Table, sizes: tuple[Body, ...], found: Found) -> str:
    """The size that the others are graded from; the first where the chart does not say."""
    node = table.get("base")
    text: Text | None = as_text(node, "`base`", found) if node is not None else None
    codes = tuple(b.code for b in sizes if b.code)
    if text is not None and text.text not in codes:
        found.append(NoSuchSize(span=text.span, name=clip(text.text), known=codes))
        return ""
    return text.text if text is not None else next(iter(codes), "")
