"""How a diagnostic reads, to the letter."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import pytest

from scye.diagnostics.model import Diagnostic, Label, Severity
from scye.diagnostics.text import WIDTH, count_line, in_order, show, show_all
from scye.source import Source, Span


@dataclass(frozen=True, kw_only=True)
class Slip(Diagnostic):
    code: ClassVar[str] = "X001"
    title: ClassVar[str] = "a slip"

    what: str = "there is no `waist_ln`"
    wanted: str = ""
    hint: str = ""

    def seen(self) -> str:
        return self.what

    def expected(self) -> str:
        return self.wanted

    def attempt(self) -> str:
        return self.hint


@dataclass(frozen=True, kw_only=True)
class Warned(Slip):
    code: ClassVar[str] = "X002"
    severity: ClassVar[Severity] = Severity.CAUTION


@dataclass(frozen=True, kw_only=True)
class Failed(Slip):
    code: ClassVar[str] = "X003"
    severity: ClassVar[Severity] = Severity.FAILURE


SKIRT = Source(
    "skirt.scye",
    "draft front\n"
    "  begin at waist_cf\n"
    "  level waist_line through waist_cf\n"
    "  level hip_line from waist_ln down waist_to_hip\n",
)
CARD = Source("cards/wren.yaml", "body: wren\nwaist: 28 in\n")


def place(text: str, source: Source = SKIRT, within: str = "") -> Span:
    start = source.text.index(text, source.text.index(within) if within else 0)
    return Span(source, start, start + len(text))


def test_headline_line_and_place():
    assert show(Slip(span=place("waist_ln"))) == (
        "skirt.scye:4:23: error X001: there is no `waist_ln`\n"
        "  4 |   level hip_line from waist_ln down waist_to_hip\n"
        "    |                       ^^^^^^^^"
    )


def test_expected_try_and_a_label_in_the_same_file():
    slip = Slip(
        span=place("waist_ln"),
        labels=(Label(place("waist_line"), "a like name is made here"),),
        wanted="a level or a plumb of this draft",
        hint="did you mean `waist_line`?",
    )
    assert show(slip) == (
        "skirt.scye:4:23: error X001: there is no `waist_ln`\n"
        "  4 |   level hip_line from waist_ln down waist_to_hip\n"
        "    |                       ^^^^^^^^\n"
        "  3 |   level waist_line through waist_cf\n"
        "    |         ---------- a like name is made here\n"
        "  expected: a level or a plumb of this draft\n"
        "  try: did you mean `waist_line`?"
    )


def test_a_label_in_another_file_names_it():
    slip = Warned(span=place("waist_ln"), labels=(Label(place("28 in", CARD), "the card has it"),))
    assert show(slip) == (
        "skirt.scye:4:23: caution X002: there is no `waist_ln`\n"
        "  4 |   level hip_line from waist_ln down waist_to_hip\n"
        "    |                       ^^^^^^^^\n"
        "    in cards/wren.yaml:\n"
        "  2 | waist: 28 in\n"
        "    |        ----- the card has it"
    )


def test_without_a_place_there_is_only_the_headline():
    assert show(Slip(span=None, what="there is no file `a`")) == "error X001: there is no file `a`"


def test_a_place_over_several_lines_is_shown_by_its_first():
    span = Span(SKIRT, SKIRT.text.index("begin"), SKIRT.text.index("level hip"))
    assert show(Slip(span=span)).splitlines()[1:] == [
        "  2 |   begin at waist_cf",
        "    |   ^^^^^^^^^^^^^^^^^ to line 4",
    ]


def test_an_empty_place_at_the_end_of_the_text_has_one_stroke():
    end = len(SKIRT.text)
    assert show(Slip(span=Span(SKIRT, end, end))) == (
        "skirt.scye:5:1: error X001: there is no `waist_ln`\n"  #
        "  5 |\n"
        "    | ^"
    )


def test_line_numbers_keep_one_column():
    source = Source("long.scye", "a\n" * 11 + "b\n")
    slip = Slip(span=place("b", source), labels=(Label(Span(source, 0, 1), "here"),))
    assert show(slip).splitlines()[1:] == ["  12 | b", "     | ^", "   1 | a", "     | - here"]


def test_long_sentences_wrap_and_hang():
    words = "the hip line must lie below the waist line for every body that this recipe can be drafted for"
    shown = show(Slip(span=place("waist_ln"), what=words, wanted=words, hint="x" * 120))
    assert shown.splitlines() == [
        "skirt.scye:4:23: error X001: the hip line must lie below the waist line for every body that this",
        "    recipe can be drafted for",
        "  4 |   level hip_line from waist_ln down waist_to_hip",
        "    |                       ^^^^^^^^",
        "  expected: the hip line must lie below the waist line for every body that this recipe can be",
        "            drafted for",
        "  try:",
        "       " + "x" * 120,
    ]


def test_a_label_too_long_for_the_row_goes_below_it():
    label = Label(place("waist_line"), "so " * 30 + "it is")
    lines = show(Slip(span=place("waist_ln"), labels=(label,))).splitlines()
    assert lines[4] == "    |         ----------"
    assert " ".join(line.removeprefix("    | ") for line in lines[5:]) == label.text
    assert max(map(len, lines)) <= WIDTH


@pytest.mark.parametrize("at", [0, 150, 290])
def test_a_very_long_line_is_cut_round_the_place(at: int):
    source = Source("long.scye", "a" * at + "WRONG" + "b" * (295 - at))
    text, strokes = show(Slip(span=place("WRONG", source))).splitlines()[1:]
    assert len(text) <= WIDTH
    assert text[strokes.index("^") : strokes.rindex("^") + 1] == "WRONG"
    assert (text.startswith("  1 | ..."), text.endswith("...")) == (at > 0, at < 290)


def test_a_place_longer_than_the_row_shows_its_beginning():
    source = Source("long.scye", "x = " + "w" * 300)
    text, strokes = show(Slip(span=place("w" * 300, source))).splitlines()[1:]
    assert text[strokes.index("^") :].startswith("www")
    assert len(strokes) <= WIDTH


def test_tabs_and_terminal_controls_are_made_spaces():
    source = Source("a\nb.scye", "\tx = \x1b[31mred\n")
    shown = show(Slip(span=place("red", source), what="odd \x1b[2J text"))
    assert shown == (
        "a b.scye:1:11: error X001: odd  [2J text\n"  #
        "  1 |  x =  [31mred\n"
        "    |           ^^^"
    )


def test_wide_letters_and_marks_keep_the_strokes_in_place():
    source = Source("wide.scye", 'about "袖 e\u0301" wrong')
    assert show(Slip(span=place("wrong", source))).splitlines()[2] == "    | " + " " * 13 + "^^^^^"


def test_colour_changes_no_letters():
    slip = Warned(span=place("waist_ln"))
    coloured = show(slip, colour=True)
    assert coloured.splitlines()[0] == (
        "skirt.scye:4:23: \x1b[1;33mcaution X002:\x1b[0m\x1b[1m there is no `waist_ln`\x1b[0m"
    )
    for mark in ("\x1b[1;33m", "\x1b[1m", "\x1b[0m"):
        coloured = coloured.replace(mark, "")
    assert coloured == show(slip)


def test_all_are_in_order_of_file_and_place_with_a_count():
    second = Slip(span=place("waist_ln"), what="second")
    first = Warned(span=place("begin"), what="first")
    card = Failed(span=place("waist", CARD), what="card")
    nowhere = Slip(span=None, what="nowhere")
    assert in_order([second, first, card, nowhere]) == [nowhere, card, first, second]
    shown = show_all([second, first, card, nowhere])
    assert [line for line in shown.splitlines() if "X00" in line] == [
        "error X001: nowhere",
        "cards/wren.yaml:2:1: failure X003: card",
        "skirt.scye:2:3: caution X002: first",
        "skirt.scye:4:23: error X001: second",
    ]
    assert shown.splitlines()[-2:] == ["", "2 errors, 1 failure, 1 caution"]


def test_at_one_place_the_order_given_is_kept():
    here = [Slip(span=place("begin"), what=what) for what in ("c", "a", "b")]
    assert in_order(here) == here


def test_nothing_wrong_shows_nothing():
    assert show_all([]) == ""
    assert count_line([]) == ""
