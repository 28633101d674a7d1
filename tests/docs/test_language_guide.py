"""Every example of the guide to the language is compiled, and no statement is left out of it.

A fragment is set into a context (contexts/HEADING-NUMBER.scye) that makes the names it uses: in place of the
line EXAMPLE, as far in as that stands. METHODS stands for the methods of the same section. Contexts hold
no example themselves: a name that only a fragment makes is not in them.
"""

import re
from pathlib import Path

import pytest
from documents import GUIDE, fences, prose, section, spans, table
from drafting import compiles

from scye.parse.vocabulary import STATEMENTS

CONTEXTS = Path(__file__).parent / "contexts"
FENCES = fences(GUIDE)
WHOLE = [fence for fence in FENCES if fence.language == "scye"]
PARTS = [fence for fence in FENCES if fence.language == "scye-part"]


def in_context(name: str, example: str, methods: str = "") -> str:
    text = (CONTEXTS / f"{name}.scye").read_text(encoding="utf-8")
    place = re.search(r"^(.*?)( *)EXAMPLE", text, re.MULTILINE)
    indent = place[2] if not place[1].strip() else ""
    lines = example.rstrip("\n").split("\n")
    laid = "\n".join(indent + line if i and line else line for i, line in enumerate(lines))
    return text.replace("EXAMPLE", laid).replace("METHODS", methods)


def test_the_guide_has_examples_of_each_sort():
    assert {fence.language for fence in FENCES} == {"scye", "scye-part", "scye-methods"}


@pytest.mark.parametrize("fence", WHOLE, ids=lambda fence: fence.label)
def test_whole_recipes_draft(fence):
    assert compiles(fence.text).pieces


@pytest.mark.parametrize("fence", PARTS, ids=lambda fence: fence.label)
def test_fragments_compile(fence):
    methods = [f.text for f in FENCES if f.language == "scye-methods" and f.heading == fence.heading]
    compiles(in_context(f"{fence.heading}-{fence.number}", fence.text, "".join(methods)))


def test_methods_are_called_where_they_are_shown():
    shown = {f.heading for f in FENCES if f.language == "scye-methods"}
    assert shown <= {fence.heading for fence in PARTS}


def test_every_context_is_used():
    used = {f"{fence.heading}-{fence.number}" for fence in PARTS}
    of_tables = {"points", "amounts", "made_lines", "directions", "operations"}
    assert {path.stem for path in CONTEXTS.glob("*.scye")} == used | of_tables


# --- what stands in tables and in the text ------------------------------------------------------


POINTS = [span for row in table(GUIDE, "points") for span in spans(row[0])]


@pytest.mark.parametrize("written", POINTS)
def test_every_way_to_mark_a_point(written):
    """A row's second ways leave `mark x` out; a name the row makes is not made by the context as well."""
    statement = written if written.startswith("mark ") else f"mark x {written}"
    name = statement.split()[1]
    text = in_context("points", statement)
    lines = text.split("\n")
    context = [line for line in lines if not line.startswith(f"  mark {name} ") or line.strip() == statement]
    compiles("\n".join(context))


AMOUNTS = [span for row in table(GUIDE, "amounts") for span in spans(row[0])]


@pytest.mark.parametrize("written", AMOUNTS)
def test_every_kind_of_amount(written):
    """The other ways of rounding are written without their sum."""
    if written.startswith("rounded"):
        written = f"bust / 6 {written} 1/2 in"
    compiles(in_context("amounts", f"tried[i] = {written}"))


DIRECTIONS = spans(section(GUIDE, "directions"))


@pytest.mark.parametrize("written", DIRECTIONS)
def test_every_direction(written):
    compiles(in_context("directions", written))


OPERATIONS = [
    span
    for row in table(GUIDE, "darts-moved-pieces-slashed")
    for span in spans(row[0])
    if span.split()[0] in STATEMENTS["piece"]
]


@pytest.mark.parametrize("written", OPERATIONS)
def test_every_operation_on_a_piece(written):
    """Each by itself on a piece that has the darts and edges it speaks of."""
    assert compiles(in_context("operations", written)).pieces


def test_every_line_made_in_place():
    """The endless lines and the sweep that may stand unnamed where a line is wanted."""
    (paragraph,) = [
        p for p in section(GUIDE, "lines").split("\n\n") if p.startswith("Where a line is wanted")
    ]
    made = [span for span in spans(paragraph) if span not in ("line", "curve")]
    assert len(made) == 6
    for written in made:
        compiles(in_context("made_lines", " ".join(written.split())))


def test_every_statement_is_in_the_table():
    """The first words of all statements are in the table of statements, and nothing else begins a row."""
    listed = {span.split()[0] for row in table(GUIDE, "every-statement") for span in spans(row[0])}
    words = {word for words in STATEMENTS.values() for word in words}
    assert words - listed == set()
    assert listed - words == {"name"} | {"by", "take", "spring"} & listed


def test_every_statement_is_explained_above_the_table():
    """Each statement stands in an example or in the text, not in the table alone."""
    text = prose(GUIDE).partition("## Every statement")[0]
    code = " ".join([*spans(text), *(fence.text for fence in FENCES)])
    shown = set(re.findall("[a-z_]+", code))
    words = {word for words in STATEMENTS.values() for word in words}
    assert words - shown == set()
