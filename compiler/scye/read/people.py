"""A table of people: the text of a CSV file to bodies, one a line, read only as they are asked for.

The first line names the columns: `client` (or `code`), `date`, `unit`, `times` and `age`, as on a card, and
measures by any name of the catalogue. A unit may stand in a heading, as `bust (cm)` or `bust_cm`. What is
amiss with the headings stops the table; what is amiss with a line is told in the words of a card and stops
that line alone.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from scye.diagnostics.cards import BadDate, BadUnit, NoSuchMeasure, WrittenTwice
from scye.diagnostics.model import Diagnostic, Label, Severity
from scye.diagnostics.people import (
    CellsMiscounted,
    CodeTwice,
    HeadingEmpty,
    MeasureUntaken,
    TableEmpty,
    TableTooLarge,
    UnitUnsaid,
)
from scye.diagnostics.suggest import nearest
from scye.ir.people import Body, Catalogue, DisplayUnit, Measure, Reading
from scye.read.decisions import date_of, read_age
from scye.read.fields import Found, as_text, code_of, unit_field
from scye.read.grid import cells_of, filled_lines, separator_of
from scye.read.readings import Setting, index_of, read_readings, read_times
from scye.read.yaml_reader import Table, Text, clip
from scye.source import Source, Span
from scye.units.quantity import Kind
from scye.units.tape import DISPLAY_UNITS, parse_quantity

MOST_BODIES = 100_000
# In bytes.
LARGEST = 64_000_000
_ABOUT = {"code": "client"} | {name: name for name in ("client", "date", "unit", "times", "age")}
_IN_BRACKETS = re.compile(r"(.*?)\s*[(\[]\s*([^()\[\]]*?)\s*[)\]]")
_AT_THE_END = re.compile(r"(.+)_(in|cm|mm|deg)")
_DEGREES = "deg"
_LINES_TOLD = 3


@dataclass(frozen=True, slots=True)
class Column:
    """A column of one measure, and the unit that its heading says (`deg` for a slope)."""

    place: int
    heading: Text
    measure: Measure
    unit: str | None


@dataclass(frozen=True, slots=True)
class Headings:
    """What the columns hold: those about the body by name, and the measures."""

    about: dict[str, int]
    columns: tuple[Column, ...]
    count: int
    unit: DisplayUnit

    @property
    def measures(self) -> frozenset[str]:
        return frozenset(column.measure.name for column in self.columns)


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the table: its body, or None where an error stands in the way."""

    number: int
    code: str
    body: Body | None
    found: tuple[Diagnostic, ...]


@dataclass(frozen=True, slots=True, eq=False)
class People:
    """A table whose headings are sound. `lines` are the numbers of those that hold a body."""

    source: Source
    catalogue: Catalogue
    headings: Headings
    separator: str
    lines: tuple[int, ...]
    twice: dict[str, tuple[int, ...]]

    def read(self, place: int, needed: frozenset[str] = frozenset()) -> Line:
        """The body of a line, by its place among all bodies, with everything amiss in it.

        It is amiss as well if the cell of a measure that is `needed` is empty.
        """
        number = self.lines[place]
        found: Found = []
        cells = cells_of(self.source, number, self.separator, found)
        if cells is not None and len(cells) != self.headings.count:
            found.append(self._miscounted(cells))
        if cells is None or found:
            return Line(number, self._shown(cells, number), None, tuple(found))
        body = self._body(cells, number, found)
        found += self._untaken(cells, self._shown(cells, number), needed)
        found.sort(key=lambda d: d.span.start if d.span else 0)
        sound = not any(d.severity is Severity.ERROR for d in found)
        return Line(number, self._shown(cells, number), body if sound else None, tuple(found))

    def _miscounted(self, cells: list[Text]) -> Diagnostic:
        span = cells[0].span.to(cells[-1].span)
        count = self.headings.count
        return CellsMiscounted(span=span, cells=len(cells), headings=count, separator=self.separator)

    def _shown(self, cells: list[Text] | None, number: int) -> str:
        """The code of a line as lists show it; nothing where it has none that can be one."""
        place = self.headings.about.get("client")
        if place is None:
            return f"line-{number}"
        if cells is None or place >= len(cells):
            return ""
        return code_of(cells[place], "", []) or ""

    def _untaken(self, cells: list[Text], code: str, needed: frozenset[str]) -> list[Diagnostic]:
        empty = [c for c in self.headings.columns if c.measure.name in needed and not cells[c.place].text]
        return [
            MeasureUntaken(span=cells[c.place].span, name=code or "this body", measure=c.measure.name)
            for c in empty
        ]

    def _body(self, cells: list[Text], number: int, found: Found) -> Body:
        line = cells[0].span.to(cells[-1].span)
        about = {name: cells[place] for name, place in self.headings.about.items()}
        filled = {name: cell for name, cell in about.items() if cell.text}
        code = self._code(cells, number, found)
        day = _date(filled.get("date"), found)
        unit = self._unit(_table(about, line), found)
        times = read_times(filled.get("times"), found)
        age = read_age(_table(filled, line), day, found)
        readings = self._readings(cells, unit, times, found)
        span = cells[self.headings.about.get("client", 0)].span
        return Body(code, day, unit or "mm", readings, (), span, age=age)

    def _code(self, cells: list[Text], number: int, found: Found) -> str:
        place = self.headings.about.get("client")
        if place is None:
            return f"line-{number}"
        text = as_text(cells[place], "`client`", found)
        code = code_of(text, "a client's code", found) if text is not None else None
        lines = self.twice.get(code.casefold(), ()) if code is not None else ()
        if code is not None and text is not None and lines:
            found.append(CodeTwice(span=text.span, name=code, lines=_listed(lines)))
        return code or ""

    def _unit(self, about: Table, found: Found) -> DisplayUnit | None:
        """The unit of the line, or else that of the headings."""
        node = about.get("unit")
        lengths = [c for c in self.headings.columns if c.measure.kind is Kind.LENGTH]
        empty = isinstance(node, Text) and not node.text
        if node is None or (empty and all(column.unit for column in lengths)):
            return self.headings.unit
        return unit_field(about, "the line", found)

    def _readings(
        self, cells: list[Text], unit: DisplayUnit | None, times: int | None, found: Found
    ) -> tuple[Reading, ...]:
        """What the cells of the measures say, in the order of the columns."""
        by_unit: dict[DisplayUnit | None, list[tuple[Text, Text]]] = {}
        for column in self.headings.columns:
            cell = cells[column.place]
            if cell.text:
                own = DISPLAY_UNITS.get(column.unit or "", unit)
                key = Text(column.measure.name, column.heading.span)
                by_unit.setdefault(own, []).append((key, _in_degrees(cell, column)))
        readings: list[Reading] = []
        for own, entries in by_unit.items():
            table = Table(tuple(entries), entries[0][1].span)
            readings += read_readings(table, Setting(self.catalogue, own, times), found)
        return tuple(sorted(readings, key=lambda reading: reading.span.start))


def read_people(source: Source, catalogue: Catalogue) -> tuple[People | None, list[Diagnostic]]:
    """The table of a text, or None with all that is amiss with it as a whole."""
    start = Span(source, 0, 0)
    first = next((line for line in source.text.split("\n") if line.strip()), "")
    separator = separator_of(first)
    lines = filled_lines(source, separator)
    if not lines:
        return None, [TableEmpty(span=None, name=source.name, what="is empty")]
    if len(lines) - 1 > MOST_BODIES:
        return None, [TableTooLarge(span=start, name=source.name, what=f"{len(lines) - 1:,} bodies")]
    found: Found = []
    cells = cells_of(source, lines[0], separator, found)
    headings = _headings(cells, catalogue, found) if cells is not None else None
    if headings is not None and not found and len(lines) == 1:
        found.append(TableEmpty(span=start, name=source.name, what="holds headings and no bodies"))
    if headings is None or found:
        return None, found
    bodies = tuple(lines[1:])
    twice = _twice(source, separator, headings, bodies)
    return People(source, catalogue, headings, separator, bodies, twice), []


# --- headings ---------------------------------------------------------------------------------


def _headings(cells: list[Text], catalogue: Catalogue, found: Found) -> Headings:
    index = index_of(catalogue)
    about: dict[str, int] = {}
    columns: list[Column] = []
    seen: dict[str, Text] = {}
    for place, cell in enumerate(cells):
        name, unit = _named(cell, index, found)
        measure = index.get(name)
        key = _ABOUT.get(name) or (measure.name if measure else "")
        if not cell.text:
            found.append(HeadingEmpty(span=cell.span, number=place + 1))
        elif not key:
            near = nearest(name, (*index, *_ABOUT))
            found.append(NoSuchMeasure(span=cell.span, name=clip(cell.text), near=near))
        elif key in seen:
            found.append(_twice_headed(cell, seen[key]))
        elif measure is not None:
            columns.append(Column(place, cell, measure, unit))
        else:
            about[key] = place
        seen.setdefault(key, cell)
    return _with_unit(about, columns, len(cells), found, cells[0].span)


def _named(cell: Text, index: dict[str, Measure], found: Found) -> tuple[str, str | None]:
    """The name in a heading, as the catalogue writes names, and the unit behind it."""
    bracketed = _IN_BRACKETS.fullmatch(cell.text)
    if bracketed:
        unit = bracketed[2].lower()
        if unit not in DISPLAY_UNITS and unit != _DEGREES:
            found.append(BadUnit(span=cell.span, name=clip(bracketed[2]), near=None))
        return _folded(bracketed[1]), unit
    name = _folded(cell.text)
    ended = _AT_THE_END.fullmatch(name)
    return (ended[1], ended[2]) if ended and name not in index else (name, None)


def _folded(name: str) -> str:
    return re.sub(r"\s+", "_", name.strip().lower())


def _twice_headed(cell: Text, first: Text) -> Diagnostic:
    same_as = "" if _folded(cell.text) == _folded(first.text) else clip(first.text)
    labels = (Label(first.span, "first here"),)
    return WrittenTwice(span=cell.span, labels=labels, name=clip(cell.text), same_as=same_as)


def _with_unit(
    about: dict[str, int], columns: list[Column], count: int, found: Found, start: Span
) -> Headings:
    lengths = [c for c in columns if c.measure.kind is Kind.LENGTH]
    unsaid = [c for c in lengths if c.unit is None]
    if unsaid and "unit" not in about:
        head = unsaid[0].heading
        found.append(UnitUnsaid(span=head.span, heading=clip(head.text), others=len(unsaid) - 1))
    if not columns and not found:
        found.append(TableEmpty(span=start, name=start.source.name, what="has no column with a measure"))
    units = (DISPLAY_UNITS[c.unit] for c in lengths if c.unit in DISPLAY_UNITS)
    return Headings(about, tuple(columns), count, next(units, "cm"))


# --- lines ------------------------------------------------------------------------------------


def _twice(
    source: Source, separator: str, headings: Headings, lines: tuple[int, ...]
) -> dict[str, tuple[int, ...]]:
    """The codes that stand in more than one line, without regard to capitals, with those lines."""
    place = headings.about.get("client")
    if place is None:
        return {}
    seen: dict[str, list[int]] = {}
    for line in lines:
        cells = cells_of(source, line, separator, [])
        if cells is not None and len(cells) == headings.count:
            seen.setdefault(cells[place].text.casefold(), []).append(line)
    return {code: tuple(found) for code, found in seen.items() if len(found) > 1}


def _listed(lines: tuple[int, ...]) -> str:
    """`2 and 5`, `2, 5 and 9`, `2, 5, 9 and 12 others`."""
    if len(lines) > _LINES_TOLD + 1:
        return f"{', '.join(map(str, lines[:_LINES_TOLD]))} and {len(lines) - _LINES_TOLD} others"
    *most, last = map(str, lines)
    return f"{', '.join(most)} and {last}"


def _date(node: Text | None, found: Found) -> str:
    if node is None:
        return ""
    if date_of(node.text) is None:
        found.append(BadDate(span=node.span, name=clip(node.text)))
    return node.text


def _in_degrees(cell: Text, column: Column) -> Text:
    """A plain number under a heading in degrees says so itself, as on a card."""
    amount = parse_quantity(cell.text) if column.unit == _DEGREES else None
    return Text(f"{cell.text} deg", cell.span) if amount is not None and amount.unit is None else cell


def _table(cells: dict[str, Text], line: Span) -> Table:
    return Table(tuple((Text(name, line), cell) for name, cell in cells.items()), line)
