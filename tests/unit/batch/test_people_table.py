"""Tables of people: every heading and line that is read, and the exact words about every one that isn't."""

from __future__ import annotations

from fractions import Fraction

import pytest

from scye.diagnostics.model import Diagnostic
from scye.diagnostics.text import show, show_all
from scye.ir.people import Body
from scye.project import standards
from scye.read import people as table
from scye.read.people import People, read_people
from scye.source import Source
from scye.units.quantity import CM, DEGREE, INCH

CATALOGUE = standards()[0]


def people(text: str) -> People:
    """A table whose headings must be sound."""
    read, found = read_people(Source("people.csv", text), CATALOGUE)
    assert read is not None, show_all(found)
    return read


def refused(text: str) -> str:
    read, found = read_people(Source("people.csv", text), CATALOGUE)
    assert read is None
    return show_all(found)


def body(text: str, place: int = 0) -> Body:
    line = people(text).read(place)
    assert line.body is not None, show_all(line.found)
    return line.body


def said(text: str, place: int = 0, needed: frozenset[str] = frozenset()) -> str:
    """What is said of a line that can't be drafted."""
    line = people(text).read(place, needed)
    assert line.body is None
    return show_all(line.found)


def figures(one: Body) -> dict[str, float]:
    return {reading.name: reading.value for reading in one.readings}


# --- what is read -----------------------------------------------------------------------------


def test_a_line_is_a_body() -> None:
    text = "client,date,unit,times,age,bust,waist\nwren,2024-03-05,in,2,31,36 1/2,28\n"
    one = body(text)
    assert (one.code, one.date, one.unit, one.age) == ("wren", "2024-03-05", "in", 31)
    assert figures(one) == {"bust": 927.1, "waist": 711.2}
    assert [(r.written.value, r.written.unit, r.times) for r in one.readings] == [
        (Fraction(73, 2), INCH, 2),
        (Fraction(28), INCH, 2),
    ]
    assert (one.span.text, one.readings[0].span.text) == ("wren", "36 1/2")


@pytest.mark.parametrize("heading", ["bust (cm)", "bust_cm", "Bust [cm]", "Full bust (CM)", " bust ( cm ) "])
def test_a_heading_names_a_measure_and_its_unit(heading: str) -> None:
    one = body(f"client,{heading}\nwren,92.5\n")
    assert figures(one) == {"bust": 925.0}
    assert one.unit == "cm"


def test_columns_have_units_of_their_own_and_cells_may_bring_another() -> None:
    one = body("code,bust (in),waist_mm,hip (cm),shoulder_slope (deg)\nwren,36,711.2,38 in,20\n")
    assert figures(one) == {
        "bust": 914.4,
        "waist": 711.2,
        "hip": pytest.approx(965.2),
        "shoulder_slope": pytest.approx(0.3490658503988659),
    }
    assert [r.name for r in one.readings] == ["bust", "waist", "hip", "shoulder_slope"]
    assert one.readings[3].written.unit is DEGREE
    assert one.unit == "in"


def test_a_column_of_units_says_it_for_the_headings_that_dont() -> None:
    text = "client,unit,bust,waist (cm)\nwren,in,36,71\nplover,,,71\n"
    one = body(text)
    assert (one.unit, figures(one)) == ("in", {"bust": 914.4, "waist": 710.0})
    assert "`unit` has no value" in said(text, 1)


def test_an_empty_cell_is_a_measure_not_taken() -> None:
    assert figures(body("client,bust (cm),waist (cm)\nwren,, 71 \n")) == {"waist": 710.0}


def test_without_codes_the_lines_are_the_codes() -> None:
    read = people("bust (cm)\n92\n\n94\n")
    assert [read.read(i).code for i in range(len(read.lines))] == ["line-2", "line-4"]


@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_columns_are_parted_as_the_headings_are(separator: str) -> None:
    cells = (("client", "bust (cm)", "waist_cm"), ("wren", "92.5", '"71"'))
    one = body("\n".join(separator.join(line) for line in cells))
    assert figures(one) == {"bust": 925.0, "waist": 710.0}


def test_quoted_cells_keep_separators_and_quotes() -> None:
    read = people('"client","bust (in)"\n"wren","36"""\n"a,b",36\n')
    first, second = read.read(0), read.read(1)
    assert first.body is not None
    assert figures(first.body) == {"bust": 914.4}
    assert [d.code for d in second.found] == ["E813"]
    assert second.found[0].span is not None
    assert second.found[0].span.text == "a,b"


def test_inches_may_be_marked_in_a_cell_without_quotes() -> None:
    assert figures(body('client,bust (cm)\nwren,36 1/2"\n')) == {"bust": 927.1}


def test_lines_that_hold_nothing_are_no_bodies() -> None:
    read = people("\n\nclient,bust (cm)\n\nwren,92\n,\n  \n")
    assert read.lines == (5,)


def test_what_is_unusual_is_told_and_drafted() -> None:
    line = people("client,bust (cm)\nwren,36\n").read(0)
    assert line.body is not None
    assert [show(d) for d in line.found] == [
        "people.csv:2:6: caution E820: Bust 36 cm is outside the usual 60 to 170 cm\n"
        "  2 | wren,36\n"
        "    |      ^^\n"
        "  try: was it 36 in?"
    ]
    assert line.body.readings[0].written.unit is CM


# --- what is amiss with the headings ------------------------------------------------------------

HEADINGS = {
    "": "error E1602: `people.csv` is empty\n"
    "  try: name the columns in the first line, and write one body in each line below it\n\n1 error",
    "client,bust (cm)\n": "people.csv:1:1: error E1602: `people.csv` holds headings and no bodies\n"
    "  1 | client,bust (cm)\n    | ^\n"
    "  try: name the columns in the first line, and write one body in each line below it\n\n1 error",
    "client,date\nwren,\n": "people.csv:1:1: error E1602: `people.csv` has no column with a measure\n"
    "  1 | client,date\n    | ^^^^^^\n"
    "  try: name the columns in the first line, and write one body in each line below it\n\n1 error",
    "client,bust,waist,hip (cm)\nwren,92,71,98\n": "people.csv:1:8: error E1603: the table doesn't say the "
    "unit of `bust`, nor of 1 other column\n"
    "  1 | client,bust,waist,hip (cm)\n    |        ^^^^\n"
    "  try: write `bust (cm)` (or in, or mm), or add a column `unit`\n\n1 error",
    "client,bust (cm),\nwren,92,71\n": "people.csv:1:18: error E1604: column 3 has no heading\n"
    "  1 | client,bust (cm),\n    |                  ^\n"
    "  try: name it in the first line, or take it out\n\n1 error",
    "client,bsut (cm)\nwren,92\n": "people.csv:1:8: error E816: there is no measure `bsut (cm)`\n"
    "  1 | client,bsut (cm)\n    |        ^^^^^^^^^\n"
    "  try: did you mean `bust`?\n\n1 error",
    "client,bust (inches)\nwren,36\n": "people.csv:1:8: error E815: `inches` isn't a unit for a card\n"
    "  1 | client,bust (inches)\n    |        ^^^^^^^^^^^^^\n"
    "  expected: in, cm or mm\n\n1 error",
    "client,bust (cm),full_bust (cm)\nwren,92,92\n": "people.csv:1:18: error E805: `full_bust (cm)` is "
    "another name for `bust (cm)`, which is given too\n"
    "  1 | client,bust (cm),full_bust (cm)\n    |                  ^^^^^^^^^^^^^^\n"
    "  1 | client,bust (cm),full_bust (cm)\n    |        --------- first here\n"
    "  try: strike out the one that is wrong\n\n1 error",
}


@pytest.mark.parametrize(("text", "words"), HEADINGS.items(), ids=[text[:30] for text in HEADINGS])
def test_what_is_said_of_headings(text: str, words: str) -> None:
    assert refused(text) == words


def test_a_table_of_too_many_is_not_begun(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(table, "MOST_BODIES", 3)
    rows = "".join(f"b{i},92\n" for i in range(4))
    assert people("client,bust (cm)\n" + rows[: -len("b3,92\n")]).lines == (2, 3, 4)
    assert refused("client,bust (cm)\n" + rows).splitlines()[0] == (
        "people.csv:1:1: error E1601: `people.csv` holds 4 bodies"
    )


# --- what is amiss with a line --------------------------------------------------------------------

LINES = {
    "../x,92.5,28": "people.csv:2:1: error E813: `../x` can't be a client's code\n"
    "  2 | ../x,92.5,28\n    | ^^^^\n"
    "  expected: letters a to z, digits, - and _ only, 64 at most, and none of con, prn, aux and nul\n"
    "  try: `x`\n\n1 error",
    "NUL,92.5,28": "people.csv:2:1: error E813: `NUL` can't be a client's code\n"
    "  2 | NUL,92.5,28\n    | ^^^\n"
    "  expected: letters a to z, digits, - and _ only, 64 at most, and none of con, prn, aux and nul\n"
    "\n1 error",
    ",92.5,28": "people.csv:2:1: error E817: `client` has no value\n"
    "  2 | ,92.5,28\n    | ^\n"
    "  try: write it, or leave the line out\n\n1 error",
    "wren,nan,28": "people.csv:2:6: error E817: Bust: `nan` can't be read\n"
    "  2 | wren,nan,28\n    |      ^^^\n"
    "  try: write a figure: 36, 92.5 or 36 1/2, with a unit if it isn't the card's\n\n1 error",
    "wren,92,-inf": "people.csv:2:9: error E817: Waist: `-inf` can't be read\n"
    "  2 | wren,92,-inf\n    |         ^^^^\n"
    "  try: write a figure: 36, 92.5 or 36 1/2, with a unit if it isn't the card's\n\n1 error",
    "wren,1e3,28": "people.csv:2:6: error E817: Bust: `1e3` can't be read\n"
    "  2 | wren,1e3,28\n    |      ^^^\n"
    "  try: write a figure: 36, 92.5 or 36 1/2, with a unit if it isn't the card's\n\n1 error",
    'wren,"92,5",28': "people.csv:2:7: error E817: Bust: `92,5` can't be read\n"
    '  2 | wren,"92,5",28\n    |       ^^^^\n'
    "  try: write the decimal with a point: 92.5\n\n1 error",
    "wren,0,28": "people.csv:2:6: error E819: Bust can't be 0 cm\n"
    "  2 | wren,0,28\n    |      ^\n"
    "  expected: more than nought\n\n1 error",
    "wren,20 deg,28": "people.csv:2:6: error E818: Bust is a length, but `20 deg` is an angle\n"
    "  2 | wren,20 deg,28\n    |      ^^^^^^\n"
    "  try: write `20 in` or `20 cm`\n\n1 error",
    "wren,92,5,28": "people.csv:2:1: error E1606: this line has 4 cells under 3 headings\n"
    "  2 | wren,92,5,28\n    | ^^^^^^^^^^^^\n"
    "  try: write decimals with a point: 92.5\n\n1 error",
    "wren": "people.csv:2:1: error E1606: this line has 1 cell under 3 headings\n"
    "  2 | wren\n    | ^^^^\n"
    "  try: leave a cell empty where nothing was measured\n\n1 error",
    'wren,"92,28': "people.csv:2:6: error E1607: this cell begins with a double quote and doesn't end with "
    "one\n"
    '  2 | wren,"92,28\n    |      ^^^\n'
    "  try: leave the quotes out, or close them at the end of the cell\n\n1 error",
    'wren,"92" cm,28': "people.csv:2:6: error E1607: this cell begins with a double quote and doesn't end "
    "with one\n"
    '  2 | wren,"92" cm,28\n    |      ^^^^^\n'
    "  try: leave the quotes out, or close them at the end of the cell\n\n1 error",
    "wr\u202een,92,28": "people.csv:2:3: error E802: there is an unseen character (U+202E) in the text\n"
    "  2 | wr en,92,28\n    |   ^\n"
    "  try: save it as plain text in UTF-8\n\n1 error",
}


@pytest.mark.parametrize(("line", "words"), LINES.items(), ids=[ascii(line) for line in LINES])
def test_what_is_said_of_a_line(line: str, words: str) -> None:
    """And of that line alone: the one below is a body."""
    text = f"client,bust (cm),waist (in)\n{line}\nplover,104,34\n"
    assert said(text) == words
    assert figures(body(text, 1)) == {"bust": 1040.0, "waist": pytest.approx(863.6)}


def test_all_that_is_amiss_with_a_line_is_told_in_its_order() -> None:
    line = people("client,date,times,age,unit,bust\n-,5/3/24,no,old,ell,wide\n").read(0)
    assert [d.span.text for d in line.found if d.span] == ["-", "5/3/24", "no", "old", "ell", "wide"]
    assert line.code == ""


def test_codes_that_stand_twice_are_told_of_in_each_line_and_none_is_preferred() -> None:
    text = "client,bust (cm)\nwren,92\nplover,104\nWren,93\n" + "knot,99\n" * 6
    assert said(text) == (
        "people.csv:2:1: error E1608: `wren` is the code of several bodies, in lines 2 and 4\n"
        "  2 | wren,92\n    | ^^^^\n"
        "  try: give each a code of its own; until then none of them is drafted\n\n1 error"
    )
    assert "`Wren` is the code of several bodies, in lines 2 and 4" in said(text, 2)
    assert "`knot` is the code of several bodies, in lines 5, 6, 7 and 3 others" in said(text, 5)
    assert body(text, 1).code == "plover"


def test_a_measure_that_is_needed_must_be_there() -> None:
    text = "client,bust (cm),waist (cm)\nwren,92,\n"
    assert figures(body(text)) == {"bust": 920.0}
    assert said(text, needed=frozenset({"waist"})) == (
        "people.csv:2:9: error E1609: wren has no `waist`, which the recipe needs\n"
        "  2 | wren,92,\n    |         ^\n"
        "  try: take it and fill in the cell; `scye measures waist` says how\n\n1 error"
    )


def test_nothing_is_said_twice() -> None:
    found: tuple[Diagnostic, ...] = people("client,bust (cm)\nwren,92,\n").read(0, frozenset({"bust"})).found
    assert [d.code for d in found] == ["E1606"]
