"""What is said of lines that cannot be read."""

from __future__ import annotations

import gc
import re
import time

import pytest

from scye.diagnostics import reading
from scye.diagnostics.model import Diagnostic
from scye.diagnostics.suggest import nearest
from scye.parse.parser import parse_file
from scye.source import Source

BEFORE = {
    "draft": "draft d\n  begin at a\n  ",
    "piece": 'piece p "P"\n  bounded by a\n  ',
    "edge": "choose a = 1 in\n",
}
# Where the line stands, the line, the code, the place shown, what was seen, what was expected, what to try.
FAULTS = [
    (
        "draft",
        "makr snp from nape right 3 in",
        "E101",
        "makr",
        "No line in a draft begins with `makr`.",
        "`mark`, `begin`, `level`, `plumb` or `line`",
        "Did you mean `mark`?",
    ),
    (
        "draft",
        "mark snp from nape rigth 3 in",
        "E103",
        "rigth",
        "`rigth` does not fit after `nape`.",
        "a direction such as `right` or the end of the line",
        "Did you mean `right`?",
    ),
    (
        "draft",
        "mark snp form nape right 3 in",
        "E103",
        "form",
        "`form` does not fit after `snp`.",
        "`from` or a point",
        "Did you mean `from`?",
    ),
    ("draft", "mark snp from nape right", "E102", "t", "The line stops after `right`.", "an amount", ""),
    (
        "draft",
        "mark snp from nape right 3",
        "E104",
        "3",
        "`3` has no unit.",
        "a length with its unit",
        "Write `3 in`, `3 cm` or `3 mm`.",
    ),
    (
        "draft",
        "mark snp from nape right 3 inches",
        "E105",
        "3 inches",
        "`inches` is not written as a unit here.",
        "`in`, `yd`, `mm`, `cm`, `m`, `deg` or `%`",
        "Write `3 in`.",
    ),
    (
        "draft",
        'mark snp from nape right 3"',
        "E105",
        '3"',
        '`"` is not written as a unit here.',
        "`in`, `yd`, `mm`, `cm`, `m`, `deg` or `%`",
        "Write `3 in`.",
    ),
    (
        "draft",
        "mark snp from nape right 3 feet",
        "E105",
        "3 feet",
        "`feet` is not written as a unit here.",
        "`in`, `yd`, `mm`, `cm`, `m`, `deg` or `%`",
        "Write `36 in`.",
    ),
    ("draft", "mark snp", "E102", "p", "The line stops after `snp`.", "`from` or a point", ""),
    (
        "draft",
        "mark x where a meet b",
        "E103",
        "meet",
        "`meet` does not fit after `a`.",
        "`meets`",
        "Did you mean `meets`?",
    ),
    ("draft", "mark x halfway", "E102", "y", "The line stops after `halfway`.", "`from` or `along`", ""),
    ("draft", "mark x 3 in from A", "E102", "A", "The line stops after `A`.", "`to` or `toward`", ""),
    (
        "draft",
        "mark length from a",
        "E118",
        "length",
        "`length` is a word of the language.",
        "a name, or `length of armhole`",
        "Choose a longer name, such as `the_length`.",
    ),
    (
        "draft",
        "mark x from length",
        "E103",
        "length",
        "`length` does not fit after `from`.",
        "a point",
        "`length` is used like this: `length of armhole`.",
    ),
    (
        "draft",
        "mark x from a right (3 in",
        "E111",
        "(",
        "`(` is not closed on its line.",
        "`)`",
        "Write `)` after it where the bracket is to end, or take `(` out.",
    ),
    (
        "draft",
        "mark x from a right 3 in]",
        "E111",
        "]",
        "`]` is not opened on its line.",
        "`[`",
        "Write `[` before it where the bracket is to end, or take `]` out.",
    ),
    (
        "draft",
        "mark x from a right 3,5 cm",
        "E103",
        ",",
        "`,` does not fit after `3`.",
        "a direction such as `right` or the end of the line",
        "Write `3.5 cm`, with a point.",
    ),
    ("draft", "mark q P turned 10 about Q", "E104", "10", "`10` has no unit.", "an angle", "Write `10 deg`."),
    ("draft", "curve neck from snp to", "E102", "o", "The line stops after `to`.", "a point", ""),
    (
        "draft",
        "curve neck from snp",
        "E117",
        "curve neck from snp",
        "The curve neck does not say where it ends.",
        "`to`",
        "Add it on this line or on a line below, further in.",
    ),
    (
        "draft",
        "curve neck from snp to pit leaving foo",
        "E103",
        "foo",
        "`foo` does not fit after `leaving`.",
        "a direction such as `right`",
        "",
    ),
    (
        "draft",
        "curve neck from snp to pit leaving down leaving left",
        "E116",
        "leaving left",
        "The curve neck has `leaving` twice.",
        "`leaving` once",
        "Keep the one that is meant.",
    ),
    (
        "draft",
        "curve neck from snp to pit hollow 1/2 in toward a round 1/4 in away from b",
        "E116",
        "round 1/4 in away from b",
        "The curve neck has both `hollow` and `round`.",
        "`hollow` or `round`, not both",
        "Keep the one that is meant.",
    ),
    (
        "draft",
        "x = bust / 3/4",
        "E109",
        "/ 3/4",
        "`/ 3/4` can be read in two ways.",
        "`/ (3/4)`, divided by the fraction, or `/ 3 / 4`, divided twice",
        "Write the one that is meant.",
    ),
    (
        "draft",
        "x = bust + 1/0 in",
        "E108",
        "1/0 in",
        "`1/0 in` is a fraction over nought.",
        "a fraction such as `1/8`",
        "",
    ),
    (
        "draft",
        "x = bust + 99999999999999999999 in",
        "E107",
        "99999999999999999999 in",
        "A number of 20 figures is out of all measure.",
        "a number of at most 15 figures, not above 1,000,000,000",
        "Look for figures typed twice.",
    ),
    (
        "draft",
        "x = .5 in",
        "E106",
        ".5",
        "`.5` is not a number as numbers are written here.",
        "a number such as `3`, `3/8`, `1 3/8` or `4.5`",
        "Write `0.5`.",
    ),
    (
        "draft",
        "x = 1e5 in",
        "E106",
        "1e5",
        "`1e5` is not a number as numbers are written here.",
        "a number such as `3`, `3/8`, `1 3/8` or `4.5`",
        "Write the number in full, without `e`.",
    ),
    (
        "draft",
        "x = NaN",
        "E106",
        "NaN",
        "`NaN` is not a number as numbers are written here.",
        "a number such as `3`, `3/8`, `1 3/8` or `4.5`",
        "",
    ),
    (
        "draft",
        "x = 15°",
        "E105",
        "15°",
        "`°` is not written as a unit here.",
        "`in`, `yd`, `mm`, `cm`, `m`, `deg` or `%`",
        "Write `15 deg`.",
    ),
    (
        "draft",
        "x = 30 percent",
        "E105",
        "30 percent",
        "`percent` is not written as a unit here.",
        "`in`, `yd`, `mm`, `cm`, `m`, `deg` or `%`",
        "Write `30%`.",
    ),
    (
        "draft",
        "x = 1.2.3 in",
        "E106",
        "1.2.3",
        "`1.2.3` is not a number as numbers are written here.",
        "a number such as `3`, `3/8`, `1 3/8` or `4.5`",
        "",
    ),
    ("draft", "x = “wide”", "E121", "“", "`“` is no sign of the language.", '`"`', 'Write `"`.'),
    (
        "draft",
        'x = "wide',
        "E110",
        '"',
        "This quote is not closed on its line.",
        'a closing `"`',
        'Write `"` at the end of the text, on the same line.',
    ),
    (
        "draft",
        "x = sum widths",
        "E103",
        "sum",
        "`sum` does not fit after `=`.",
        "an amount",
        "`sum` is used like this: `sum of widths`.",
    ),
    ("draft", "x = a if b > 3 in", "E102", "n", "The line stops after `3 in`.", "`otherwise`", ""),
    (
        "draft",
        "length = 3 in",
        "E118",
        "length",
        "`length` is a word of the language.",
        "a name, or `length of armhole`",
        "Choose a longer name, such as `the_length`.",
    ),
    (
        "draft",
        "3 in",
        "E101",
        "3 in",
        "No line in a draft begins with `3 in`.",
        "`begin`, `level`, `plumb`, `mark` or `line`",
        "",
    ),
    (
        "draft",
        "cut pair of self",
        "E114",
        "cut",
        "`cut` cannot stand in a draft.",
        "`cut` stands in a piece",
        "Move the line there, or indent it under the statement that it belongs to.",
    ),
    (
        "draft",
        'recipe "Another"',
        "E114",
        "recipe",
        "`recipe` cannot stand here.",
        "`recipe` stands first in the file, once",
        "Move the line there, or indent it under the statement that it belongs to.",
    ),
    (
        "draft",
        "otherwise",
        "E114",
        "otherwise",
        "`otherwise` cannot stand here.",
        "`otherwise` stands straight under the block of a `when`",
        "Move the line there, or indent it under the statement that it belongs to.",
    ),
    (
        "draft",
        "panel_line p on q",
        "E117",
        "panel_line p on q",
        "The panel line p does not say what is taken in where.",
        "`at waist_line take 1 in`",
        "Add it on this line or on a line below, further in.",
    ),
    (
        "draft",
        "dart d on e at f",
        "E117",
        "dart d on e at f",
        "The dart d does not say which point it goes to.",
        "`to apex`",
        "Add it on this line or on a line below, further in.",
    ),
    (
        "draft",
        "dart d on e at f to g",
        "E117",
        "dart d on e at f to g",
        "The dart d has neither intake nor angle.",
        "`intake 1 in`",
        "Add it on this line or on a line below, further in.",
    ),
    (
        "draft",
        "dart d on e at f to g intake 1 in angle 15 deg",
        "E116",
        "angle 15 deg",
        "The dart d has both `intake` and `angle`.",
        "`intake` or `angle`, not both",
        "Keep the one that is meant.",
    ),
    (
        "draft",
        "dart d from e to f",
        "E117",
        "dart d from e to f",
        "The dart d does not say what it takes in where.",
        "`at waist_line take 1 in`",
        "Add it on this line or on a line below, further in.",
    ),
    (
        "draft",
        "find a from 1 in to 2 in",
        "E117",
        "find a from 1 in to 2 in",
        "The `find` does not say what must come true.",
        "`so that length of cap = cap_length`",
        "Add it on this line or on a line below, further in.",
    ),
    (
        "draft",
        "when",
        "E102",
        "n",
        "The line stops after `when`.",
        "a condition such as `closing is laced`",
        "",
    ),
    (
        "draft",
        "draft sleeve",
        "E114",
        "draft",
        "`draft` cannot stand in a draft.",
        "`draft` stands at the left edge, in no block",
        "Move the line there, or indent it under the statement that it belongs to.",
    ),
    ("piece", "bounded by a b", "E103", "b", "`b` does not fit after `a`.", "`,` or the end of the line", ""),
    (
        "piece",
        "bounded by c",
        "E116",
        "bounded by c",
        "The piece p has `bounded by` twice.",
        "`bounded by` once",
        "Keep the one that is meant.",
    ),
    (
        "piece",
        "cut two of self",
        "E103",
        "two",
        "`two` does not fit after `cut`.",
        "a number, `pair` or `single`",
        "",
    ),
    (
        "piece",
        "cut 2.5 of self",
        "E106",
        "2.5",
        "`2.5` is not a number as numbers are written here.",
        "a number such as `3`, `3/8`, `1 3/8` or `4.5`",
        "Write a whole number without a unit.",
    ),
    (
        "piece",
        "grain",
        "E102",
        "n",
        "The line stops after `grain`.",
        "`on true bias` or a direction such as `right`",
        "",
    ),
    (
        "piece",
        "allow 1/2 on side",
        "E104",
        "1/2",
        "`1/2` has no unit.",
        "a length with its unit",
        "Write `1/2 in`, `1/2 cm` or `1/2 mm`.",
    ),
    (
        "piece",
        "corner a, b mitered",
        "E103",
        "mitered",
        "`mitered` does not fit after `b`.",
        "`blunt`, `extended`, `mirrored`, `mitred` or `stepped`",
        "Did you mean `mitred`?",
    ),
    (
        "piece",
        "mark x from a",
        "E114",
        "mark",
        "`mark` cannot stand in a piece.",
        "`mark` stands in a draft or a method",
        "Move the line there, or indent it under the statement that it belongs to.",
    ),
    ("edge", "piece p", "E102", "p", "The line stops after `p`.", "words in quotes", ""),
    (
        "edge",
        'piece p "P"',
        "E117",
        'piece p "P"',
        "The piece p does not say which lines bound it.",
        "`bounded by side, hem, centre`",
        "Add it on this line or on a line below, further in.",
    ),
    (
        "edge",
        "sew a to b c",
        "E103",
        "c",
        "`c` does not fit after `b`.",
        "`as`, `easing`, `gathering`, `match` or the end of the line",
        "",
    ),
    (
        "edge",
        "sew a to b easing 1/4",
        "E104",
        "1/4",
        "`1/4` has no unit.",
        "a length with its unit",
        "Write `1/4 in`, `1/4 cm` or `1/4 mm`.",
    ),
    (
        "edge",
        "prove girth at a = b",
        "E103",
        "girth",
        "`girth` does not fit after `prove`.",
        "words in quotes",
        "",
    ),
    ("edge", 'prove "a" a < b', "E103", "<", "`<` does not fit here.", "`=`, `at most` or `at least`", ""),
    (
        "edge",
        "needs a b",
        "E103",
        "b",
        "`b` does not fit after `a`.",
        "`,`, `otherwise` or the end of the line",
        "",
    ),
    (
        "edge",
        "draft front",
        "E117",
        "draft front",
        "The draft front has no lines below it.",
        "`begin at nape`",
        "Add it on this line or on a line below, further in.",
    ),
    (
        "edge",
        "given x length",
        "E114",
        "given",
        "`given` cannot stand at the left edge.",
        "`given` stands in a method",
        "Move the line there, or indent it under the statement that it belongs to.",
    ),
    ("edge", "seams warn 1/16 in", "E103", "warn", "`warn` does not fit after `seams`.", "`warn over`", ""),
]


def faults(text: str) -> list[Diagnostic]:
    return parse_file(Source("a.scye", text))[1]


@pytest.mark.parametrize(
    ("where", "line", "code", "place", "seen", "expected", "attempt"), FAULTS, ids=[f[1] for f in FAULTS]
)
def test_one_message_for_one_faulty_line(
    where: str, line: str, code: str, place: str, seen: str, expected: str, attempt: str
) -> None:
    (fault,) = faults(BEFORE[where] + line)
    assert fault.span is not None
    assert (fault.code, fault.span.text) == (code, place)
    assert (fault.seen(), fault.expected(), fault.attempt()) == (seen, expected, attempt)


def test_six_mistakes_give_six_messages_in_order() -> None:
    text = """recipe "A skirt"
  edition one
needs waist hip
draft front
  begin at waist_cf
  marc a from waist_cf down 1 in
  mark b from waist_cf down 1
  mark good from waist_cf down 1 in
  curve c from waist_cf leaving right
piece skirt "Skirt"
  bounded by a, b
  cut pear of self
"""
    file, diagnostics = parse_file(Source("a.scye", text))
    assert [(d.span.line, d.code) for d in diagnostics if d.span] == [
        (2, "E103"),
        (3, "E103"),
        (6, "E101"),
        (7, "E104"),
        (9, "E117"),
        (12, "E103"),
    ]
    assert [type(n).__name__ for n in file.body] == ["Draft"]
    assert [n.name.text for n in file.body[0].body] == ["waist_cf", "good"]  # type: ignore[union-attr]
    assert {"waist", "hip", "marc", "a", "b", "c", "skirt"} == set(file.unread_names)


def test_lines_under_an_unread_line_are_still_read() -> None:
    file, diagnostics = parse_file(Source("a.scye", "draft front x\n  mark a from b up 1\n  mark c from d\n"))
    assert [d.code for d in diagnostics] == ["E103", "E104"]
    assert {"front", "a", "c"} == set(file.unread_names)


def test_names_called_on_an_unread_line_are_noted() -> None:
    file, _ = parse_file(Source("a.scye", "sew a to b\n  match p called notch_one twice\n"))
    assert "notch_one" in file.unread_names


# --- layout -----------------------------------------------------------------------------------


def test_depth_that_no_block_has() -> None:
    (fault,) = faults("draft d\n    begin at a\n  mark b from a\n  mark c from a\n")
    assert isinstance(fault, reading.BadIndentation)
    assert fault.seen() == "This line begins 2 spaces in, where no block is open."
    assert fault.expected() == "0 spaces or 4 spaces"


def test_first_line_set_in() -> None:
    (fault,) = faults("  x = 1 in\n  y = 2 in\n")
    assert isinstance(fault, reading.BadIndentation)


def test_tabs_are_said_once() -> None:
    (fault,) = faults("draft d\n\tbegin at a\n\tmark b from a\n\tmark c from a\n")
    assert isinstance(fault, reading.TabIndentation)
    assert fault.seen() == "This line is indented with a tab. So are 2 more."


def test_lines_under_a_line_that_takes_none() -> None:
    (fault,) = faults("draft d\n  begin at a\n    right 3 in\n    up 2 in\n")
    assert fault.seen() == "This line is indented under `begin`, which takes no lines below it."


def test_recipe_only_at_the_head() -> None:
    (fault,) = faults('recipe "One"\nx = 1 in\nrecipe "Two"\n')
    assert isinstance(fault, reading.OutOfPlace)
    assert fault.expected() == "`recipe` stands first in the file, once"


def test_heading_twice() -> None:
    (fault,) = faults('recipe "One"\n  edition 1\n  edition 2\n')
    assert fault.seen() == "The recipe has `edition` twice."


def test_parameters_only_at_the_head_of_a_method() -> None:
    (fault,) = faults("method m\n  gives e line\n  when a\n    given p point\n")
    assert fault.seen() == "`given` cannot stand in a block of a method."


# --- words and numbers from elsewhere ---------------------------------------------------------


@pytest.mark.parametrize(
    ("written", "instead"),
    [
        ("2 inches", "2 in"),
        ("2inch", "2 in"),
        ("2″", "2 in"),
        ("1 1/2''", "1 1/2 in"),
        ("2'", "24 in"),
        ("2 ft", "24 in"),
        ("15°", "15 deg"),
        ("15 degrees", "15 deg"),
        ("20 percent", "20%"),
        ("3 centimetres", "3 cm"),
        ("3 yards", "3 yd"),
        ("3 metres", "3 m"),
    ],
)
def test_unit_written_in_another_way(written: str, instead: str) -> None:
    (fault,) = faults(f"x = {written}")
    assert isinstance(fault, reading.UnknownUnit)
    assert fault.attempt() == f"Write `{instead}`."


@pytest.mark.parametrize("number", ["1e5", "NaN", "inf", ".5", "5.", "1.2.3", "3abc", "-Infinity"])
def test_numbers_that_are_none(number: str) -> None:
    (fault,) = faults(f"x = {number} in")
    assert isinstance(fault, reading.MalformedNumber)


@pytest.mark.parametrize("number", ["1" * 16, "1" * 1900, "0." + "1" * 16, "1000000001", "1/" + "9" * 20])
def test_numbers_out_of_all_measure(number: str) -> None:
    (fault,) = faults(f"x = {number} in")
    assert isinstance(fault, reading.NumberTooLarge)


@pytest.mark.parametrize("character", ["\0", "\x1b", "\u200b", "\u202e", "\xa0", "\ud800", "\r"])
@pytest.mark.parametrize("line", ["x = 1{} in", 'x = 1 in "a{}b"', "x = 1 in # a{}b", "{}"])
def test_characters_that_cannot_be_seen(character: str, line: str) -> None:
    text = f"y = 1 in\n{line.format(character)} \nz = 1 in"
    (fault,) = faults(text)
    assert isinstance(fault, reading.StrangeCharacter)
    assert fault.span is not None
    assert fault.span.text == character


# --- hostile files ----------------------------------------------------------------------------

HOSTILE = {
    "brackets": ("x = " + "(" * 20_000 + "1" + ")" * 20_000, "E120"),
    "brackets in a line": ("x = " + "(" * 900 + "1" + ")" * 900, "E119"),
    "index in index": ("x = " + "a[" * 600 + "1" + "]" * 600, "E119"),
    "long sum": ("x = " + " + ".join(["a"] * 400), "E119"),
    "minus": ("x = " + "-" * 1_900 + "a", "E119"),
    "not": ("when " + "not " * 480 + "a\n  x = 1 in", "E119"),
    "sines": ("x = " + "sine of " * 240 + "a", "E119"),
    "conditions": ("x = " + "a if b otherwise " * 110 + "a", "E119"),
    "reversed": ("draft d\n  line a = b" + " reversed" * 200, "E119"),
    "steps in": ("\n".join(" " * i + "when a" for i in range(1_000)), "E119"),
    "figures": ("x = " + "1" * 990_000, "E120"),
    "50 MB": ("x = 1 in\n" * 5_600_000, "E120"),
    "lines": ("\n" * 20_001, "E120"),
    "unknown lines": ("\n".join(f"foo{i} bar" for i in range(15_000)), "E122"),
    "faulty lines": ("\n".join(f"x{i} = a b" for i in range(15_000)), "E122"),
    "quotes": ("x = " + '"' * 1_801, "E110"),
    "nothing": ("\0" * 1_900, "E121"),
}


@pytest.mark.parametrize(("text", "code"), HOSTILE.values(), ids=list(HOSTILE))
def test_hostile_text_gets_a_clear_word_soon(text: str, code: str) -> None:
    faults("x = 1 in")
    gc.disable()  # a search through all that other tests have left in memory is no time of the parser's
    try:
        begun = time.process_time()
        found = faults(text)
        assert time.process_time() - begun < 1
    finally:
        gc.enable()
    assert code in {d.code for d in found}
    assert len(found) <= 101 + 1


@pytest.mark.parametrize("text", ["x = " + "(" * 40 + "1 in" + ")" * 40, "x = " + " + ".join(["a"] * 60)])
def test_deep_but_within_bounds(text: str) -> None:
    assert faults(text) == []


# --- the explanations and the suggestions -----------------------------------------------------


def _classes() -> list[type[Diagnostic]]:
    return [c for c in vars(reading).values() if isinstance(c, type) and issubclass(c, Diagnostic)][1:]


def test_codes_are_in_order_and_each_is_explained() -> None:
    classes = _classes()
    assert [c.code for c in classes] == [f"E{n}" for n in range(101, 101 + len(classes))]
    for each in classes:
        assert each.__doc__
        assert len(each.__doc__.split()) > 15


def test_no_machine_words() -> None:
    said = " ".join(" ".join(fault[4:]) for fault in FAULTS)
    assert not re.search(r"token|parse|terminal|lexer|[A-Z]{3,}|_OF|\$", said.replace("1,000,000,000", ""))


@pytest.mark.parametrize(
    ("word", "near"),
    [
        ("makr", "mark"),
        ("Mark", "mark"),
        ("curv", "curve"),
        ("pannel_line", "panel_line"),
        ("zip", None),
        ("", None),
        ("x" * 500, None),
        ("mark", None),
    ],
)
def test_nearest(word: str, near: str | None) -> None:
    assert nearest(word, ["panel_line", "mark", "curve", "line"]) == near


def test_nearest_does_not_hang_on_order() -> None:
    assert nearest("bxt", ["but", "bat"]) == nearest("bxt", ["bat", "but"]) == "bat"
