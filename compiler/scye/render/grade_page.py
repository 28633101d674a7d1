"""grade.html: how the sizes of a recipe grow, in one page: findings, nest, proofs and the grade table."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

from scye.ir.grade import Crossing, Grade, GradeRow, NestPlan
from scye.render.nest_svg import nest_markup
from scye.render.page import page_template
from scye.units.tape import TAPE_STEP, show_length, show_value

LESS_THAN_SHOWN = "0"


def grade_html(grade: Grade, nest: NestPlan) -> bytes:
    """One page in itself; sizes and kinds of lines in the nest are switched on and off without any script."""
    titles = {nested.piece.name: nested.piece.title for nested in nest.pieces}
    page = page_template("grade.html").render(
        grade=grade,
        base=grade.sizes[grade.base],
        units={"in": "inches", "cm": "centimetres", "mm": "millimetres"}[grade.unit],
        steps=[f"{a} to {b}" for a, b in pairwise(grade.sizes)],
        sections=[section for section in _sections(grade, titles) if section.rows],
        points=list(_drafts(grade)),
        crossings=[crossing_words(c, titles) for c in grade.crossings],
        nest=nest_markup(nest, size_of="page"),
    )
    return page.encode()


@dataclass(frozen=True, slots=True)
class Row:
    """A line of the table: the base size's own figure, the moves from it, and the steps."""

    name: str
    way: str
    figure: str
    moves: tuple[str, ...]
    steps: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Section:
    title: str
    note: str
    rows: tuple[Row, ...]


def _sections(grade: Grade, titles: Mapping[str, str]) -> Iterator[Section]:
    def section(title: str, note: str, rows: Sequence[GradeRow]) -> Section:
        return Section(title, note, tuple(row_of(row, grade) for row in rows))

    edges = tuple(row_of(row, grade, _edge_words(row.name, titles)) for row in grade.edges)

    yield section("Measures of the chart", "What the sizes were drafted from.", grade.measures)
    yield section("Girths", "As found on the pieces, darts closed.", grade.girths)
    yield section("Seams", "Each side on the stitch line, darts closed.", grade.seams)
    yield Section("Other edges", "Edges that are in no seam, on the stitch line.", edges)
    yield section("Named amounts", "As the recipe works them out.", grade.amounts)


def _drafts(grade: Grade) -> Iterator[Section]:
    """The points of each draft."""
    places = dict(grade.measured_from)
    for draft, rows in groupby(grade.points, key=lambda row: row.name.partition(".")[0]):
        held = [row_of(row, grade, row.name.partition(".")[2]) for row in rows]
        yield Section(spoken(draft), f"From {places.get(draft, 'the draft’s beginning')}.", tuple(held))


def row_of(row: GradeRow, grade: Grade, name: str | None = None) -> Row:
    figure = show_value(row.values[grade.base], row.unit, grade.unit).removesuffix(f" {grade.unit}")
    return Row(
        spoken(row.name if name is None else name),
        row.axis,
        figure,
        tuple(move_words(move, row, grade) for move in row.moves(grade.base)),
        tuple(move_words(step, row, grade) for step in row.steps()),
    )


def move_words(move: float, row: GradeRow, grade: Grade) -> str:
    """A move with its sign: `+5/8`, `-1/4`, `0`. Each is rounded by itself from the exact figure."""
    if row.unit != "mm":
        shown = show_value(move, row.unit, grade.unit)
    else:
        shown = show_length(move, grade.unit, TAPE_STEP[grade.unit]).removesuffix(f" {grade.unit}")
    if not shown.strip("-0. deg"):
        return LESS_THAN_SHOWN
    return shown if shown.startswith(("-", "—")) else f"+{shown}"


def _edge_words(name: str, titles: Mapping[str, str]) -> str:
    """`front_piece.hem_line` as `Front: hem line`."""
    piece, _, edge = name.partition(".")
    return f"{titles.get(piece, spoken(piece))}: {spoken(edge)}"


def crossing_words(crossing: Crossing, titles: Mapping[str, str]) -> str:
    times = "once" if crossing.times == 1 else f"{crossing.times} times"
    near = f", near {spoken(crossing.near)}" if crossing.near else ""
    why = ": its ends move to opposite sides of it" if crossing.expected else ": see the findings"
    edge = _edge_words(f"{crossing.piece}.{crossing.edge}", titles)
    return f"{edge}: {crossing.smaller} and {crossing.larger} cross {times}{near}{why}"


def spoken(name: str) -> str:
    """A name as it is said: `seam[1].left` is `seam 1 left`."""
    return name.replace("_", " ").replace("[", " ").replace("]", "").replace(".", " ")
