"""What a live draft answers after any edit, move or choice is what a run from nothing says of the same."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import groupby
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scye.diagnostics.model import Diagnostic, Severity
from scye.driver import Compiler, compile_all
from scye.ir.pattern import Pattern, lines_of
from scye.ir.people import Body, ChoiceText
from scye.live.draft import LiveDraft, with_measures
from scye.project import DEEPEST, open_project
from scye.render.pattern_json import Header, pattern_json
from scye.source import Source, Span
from scye.units.quantity import INCH, Quantity

sys.setrecursionlimit(DEEPEST)  # before hypothesis notes what it was
FILE = Path("wrapper.scye")
HEADER = Header("", "", "")
# An invented small recipe: a front and its waistband, sewn together, and a lining if wanted.
WRAPPER = """\
recipe "Wrapper"
  edition 1

needs waist, hip
needs waist_to_hip otherwise 8 in

choose ease = 1 in from 0 in to 3 in
choose lined = no
choose darted = no

quarter = (hip + ease) / 4

draft front
  begin at top
  plumb centre through top
  level waist_line through top
  level hip_line from waist_line down waist_to_hip
  mark waist_side from top right waist / 4 up 3/8 in
  mark hip_side where centre meets hip_line right quarter
  curve waist_seam from top to waist_side leaving right
  curve side from waist_side to hip_side arriving down
  mark tuck_top from top right waist / 8 down 1 in
  mark tuck_foot from tuck_top down 4 in
  level tuck_level from tuck_top down 2 in
  dart tuck from tuck_top to tuck_foot
    at tuck_level take ease / 8
    pressed toward top
  when darted
    dart pleat on waist_seam at halfway along waist_seam
      to halfway along waist_seam down 1/2 in
      intake 1/4 in
      pressed toward top

draft band
  begin at band_top
  plumb band_centre through band_top
  level band_edge through band_top
  plumb band_end from band_centre right length of front.waist_seam
  level band_foot from band_edge down 2 in

piece front_panel "Front"
  bounded by centre, waist_seam, side, hip_line
  cut 1 of self on fold at centre
  grain along centre
  allow 1/2 in on side
  allow 3/8 in on waist_seam, hip_line
  notch side at hip_side

piece waistband "Waistband"
  bounded by band_centre, band_edge, band_end, band_foot
  cut 1 of self on fold at band_centre
  grain along band_centre
  allow 3/8 in on band_edge, band_end, band_foot

when lined
  piece lining "Lining"
    bounded by centre, waist_seam, side, hip_line
    cut 1 of lining on fold at centre
    grain along centre
    allow 5/8 in on waist_seam, side, hip_line

prove "hip" width of front_panel at hip_line = quarter within 1/8 in
keep "depth" waist_to_hip at most 11 in
"""
POOL = (
    "# a remark",
    "",
    "  mark spare from top right 2 in",
    "spare = waist / 3",
    "choose spare = 2 in from 0 in to 4 in",
    "  edition 2",
    "  level spare from waist_line down quarter",
    "  curve spare from top to hip_side",
    "nonsense",
)
TEXTS = ("0 in", "3/4 in", "2 in", "3 in", "4 in", "yes", "no", "")


@dataclass(frozen=True)
class State:
    """What is drafted: a text for a body with some choices."""

    text: str
    measures: tuple[tuple[str, int], ...]  # in sixteenths of an inch
    choices: tuple[tuple[str, str], ...]

    def body(self) -> Body:
        return with_measures(BARE, {name: Quantity(Fraction(size, 16), INCH) for name, size in self.measures})


SPAN = Span(Source("card", "wren"), 0, 4)
BARE = Body("wren", "2026-01-05", "in", (), (), SPAN)
FIRST = State(WRAPPER, (("waist", 28 * 16), ("hip", 38 * 16)), ())


def edited(text: str, kind: str, a: int, b: int) -> str:
    """A text after one edit of a sort, at places picked by two numbers."""
    lines = text.split("\n")
    here, there = a % len(lines), b % len(lines)
    match kind:
        case "letter in":
            at = a % (len(text) + 1)
            return text[:at] + 'a 1/"#\n=é'[b % 9] + text[at:]
        case "letter out":
            at = a % max(1, len(text))
            return text[:at] + text[at + 1 :]
        case "line out":
            return "\n".join(lines[:here] + lines[here + 1 :])
        case "line twice":
            return "\n".join(lines[:here] + lines[here : here + 1] + lines[here:])
        case "line moved":
            rest = lines[:here] + lines[here + 1 :]
            return "\n".join(rest[:there] + lines[here : here + 1] + rest[there:])
        case "line in":
            return "\n".join([*lines[:here], POOL[b % len(POOL)], *lines[here:]])
        case "figure":
            figures = [i for i, c in enumerate(text) if c.isdigit()]
            at = figures[a % len(figures)] if figures else 0
            return text[:at] + str(1 + b % 9) + text[at + 1 :]
    raise ValueError(kind)


MOVES = ("waist", "hip", "waist_to_hip")
EDITS = (
    "letter in",
    "letter out",
    "line out",
    "line twice",
    "line moved",
    "line in",
    "figure",
    "figure",
    "figure",
)


def after(state: State, sound: State, kind: str, a: int, b: int) -> State:
    """The state after an edit, a move, a choice, or a step back to one that was sound."""
    match kind:
        case "move":
            sizes = dict(state.measures)
            name = MOVES[a % 3]
            # Mostly a little; now and then to where no body is, or a measure is nought.
            sizes[name] = (b % 16) * 64 if a % 17 == 0 else sizes.get(name, 128) + b % 33 - 16
            return replace(state, measures=tuple(sizes.items()))
        case "choose":
            name = ("ease", "ease", "lined", "darted")[a % 4]
            return replace(state, choices=tuple({**dict(state.choices), name: TEXTS[b % len(TEXTS)]}.items()))
        case "back":
            return replace(sound, measures=state.measures)
    return replace(state, text=edited(state.text, EDITS[a % len(EDITS)], a // 16, b))


Answer = tuple[tuple[object, ...], bytes | None]


def told(found: Sequence[Diagnostic]) -> tuple[object, ...]:
    return tuple((d.code, str(d.span), d.seen(), d.expected(), d.attempt()) for d in dict.fromkeys(found))


def written(pattern: Pattern) -> bytes:
    findings = "".join(f"{f.code} {f.where} {f.text} {f.span}\n" for f in pattern.findings)
    return pattern_json([pattern], HEADER) + findings.encode()


def from_nothing(states: Sequence[State]) -> Iterator[Answer]:
    """The answers for states of one text, by a run that keeps nothing: its bodies are drafted together."""
    text = states[0].text
    project = open_project(FILE, lambda path: Source(str(path), text))
    if not project.sound:
        yield from ((told(project.diagnostics), None) for _ in states)
        return
    compiler, rows = Compiler(project), []
    for state in states:
        found = list(project.diagnostics)
        texts = [(n, t, Source("the choices", f"{n} = {t}")) for n, t in state.choices]
        spans = [(n, t, Span(s, len(s.text) - len(t), len(s.text))) for n, t, s in texts]
        body = replace(state.body(), choices=tuple(ChoiceText(*row) for row in spans))
        asked, mistakes = compiler.order(body, ())
        found += mistakes
        compile_all(compiler, [asked], found)
        rows.append((asked, found, any(d.severity is Severity.ERROR for d in found)))
    patterns = compiler.patterns([asked for asked, _, bad in rows if not bad], None, lambda _line: None)
    for _, found, bad in rows:
        yield told(found), None if bad else written(next(patterns))


@dataclass
class Count:
    """How many edits were really held against a run from nothing, and how many of them came to a pattern."""

    edits: int = 0
    drafted: int = 0
    held: int = 0
    kinds: set[str] = field(default_factory=set)


KINDS = st.sampled_from(["move"] * 13 + ["choose"] * 3 + ["edit"] * 5 + ["back"] * 4)
PLACES = st.integers(0, 65_535)
RUN = 50  # edits of one example


def test_ten_thousand_edits_are_answered_as_from_nothing():
    count = Count()

    @settings(max_examples=200, suppress_health_check=list(HealthCheck))
    @given(st.lists(st.tuples(KINDS, PLACES, PLACES), min_size=RUN, max_size=RUN))
    def law(edits: list[tuple[str, int, int]]) -> None:
        live = LiveDraft(FILE)
        live.write(FILE, FIRST.text)
        state = sound = FIRST
        answers: list[tuple[State, Answer]] = []
        for kind, a, b in edits:
            new = after(state, sound, kind, a, b)
            if new.text != state.text:
                live.write(FILE, new.text)
            state = new
            choices = dict(state.choices)
            lines = live.lines(state.body(), choices) if b % 3 else None
            drawn = live.draw(state.body(), choices)
            if b % 3:
                # What is shown while a slider is held is of what is drawn when it rests.
                whole = drawn.pattern
                assert lines == (None if whole is None else tuple(map(lines_of, whole.pieces)))
                count.held += lines is not None
            answer = told(drawn.diagnostics), None if drawn.pattern is None else written(drawn.pattern)
            answers.append((state, answer))
            sound = state if drawn.pattern is not None else sound
            count.kinds.add(kind)
        for _, group in groupby(answers, key=lambda pair: pair[0].text):
            same = list(group)
            for (_, kept), anew in zip(same, from_nothing([s for s, _ in same]), strict=True):
                assert kept == anew
                count.edits += 1
                count.drafted += kept[1] is not None

    law()
    assert count.edits >= 10_000
    assert count.drafted >= 4_000  # the others are broken on purpose
    assert count.held >= 2_000
    assert count.kinds == {"move", "choose", "edit", "back"}
