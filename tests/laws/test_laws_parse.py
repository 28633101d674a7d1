"""What holds of every text, whatever is in it."""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from scye.diagnostics.model import Diagnostic
from scye.ir.syntax import File
from scye.parse.numbers import quantity
from scye.parse.parser import parse_file
from scye.parse.tidy import tidy
from scye.source import Source, Span

WORD_TEXT = """mark line curve dart draft piece sew find when otherwise repeat recipe method so that from to
right up along toward square of in on at by is and or not if rounded length sum where meets nearest through
leaving bust a b front.side seam[1] top[i+1] 1 2in 1/2 1½in 3/4 35% 4.5cm 15deg 0 = + - * / ( ) [ ] , < >= .
#remark “ 1e5 ″ """
WORDS = [*WORD_TEXT.split(), '"', '"words"', '"two  words"', "\t", "\0", ""]
INDENTS = st.sampled_from(["", "", "  ", "    ", "      ", " ", "\t"])
LINES = st.builds(
    lambda indent, words: indent + " ".join(words), INDENTS, st.lists(st.sampled_from(WORDS), max_size=9)
)
ANY_TEXT = st.lists(LINES, max_size=12).map("\n".join) | st.text(max_size=60)

AMOUNTS = st.recursive(
    st.sampled_from(
        ["bust", "a", "width_of[2]", "seam[i+1].left", "1in", "3 1/2  in", "35 %", "length  of side", "2"]
    ),
    lambda inner: (
        st.builds(
            lambda left, sign, right, gap: f"({left}{gap}{sign}{gap}{right})",
            inner,
            st.sampled_from("+-*/"),
            inner.filter(lambda t: not t[0].isdigit()),
            st.sampled_from(["", " ", "   "]),
        )
        | inner.map(lambda t: f"-{t}")
        | inner.map(lambda t: f"least of ({t} ,1 in)")
    ),
    max_leaves=5,
)
REMARKS = st.sampled_from(["", "", "# why", "  #why ", '   # "so"'])
LETS = st.builds(
    lambda value, text: f"x  ={value}{text}", AMOUNTS, st.sampled_from(["", ' "a  b"', " by taste"])
)
MARKS = st.builds(lambda a, b: f"mark  p from nape right({a}) up ({b})", AMOUNTS, AMOUNTS)
CURVES = st.builds(
    lambda a, deeper: f"curve c from a  to b\n{deeper}leaving  right\n\n{deeper}# why\n{deeper}length ({a})",
    AMOUNTS,
    st.just("@@"),
)
FAULTY = st.sampled_from(["mark  p form nape", "line  x", "x = (1 in"])


@st.composite
def recipes(draw: st.DrawFn) -> str:
    """A draft with values, marks, curves and now and then a faulty line, oddly spaced."""
    step = " " * draw(st.integers(1, 5))
    written = ["", "# head", "draft   d " + draw(REMARKS)]
    for line in draw(st.lists(LETS | MARKS | CURVES | FAULTY | st.just(""), min_size=1, max_size=6)):
        body = (step + line).replace("@@", step * 2)
        written.append(body + (draw(REMARKS) if line else ""))
    return "\n".join(written) + draw(st.sampled_from(["", "\n", "\n\n# end"]))


def bare(node: Any) -> Any:
    """A node without the places where its parts stand."""
    if isinstance(node, Span | Source):
        return None
    if is_dataclass(node):
        return (type(node).__name__, *(bare(getattr(node, f.name)) for f in fields(node)))
    if isinstance(node, tuple):
        return tuple(bare(part) for part in node)
    return node


def without_places(file: File, diagnostics: list[Diagnostic]) -> Any:
    return bare(file), [(d.code, d.seen(), d.expected(), d.attempt()) for d in diagnostics]


@given(ANY_TEXT)
@settings(max_examples=250, deadline=None)
def test_any_text_is_read_with_at_most_one_message_for_a_line(text: str) -> None:
    source = Source("a.scye", text)
    _, diagnostics = parse_file(source)
    starts = [d.span.start for d in diagnostics if d.span]
    assert len(starts) == len(diagnostics)
    assert starts == sorted(starts)
    # What a statement lacks or says twice is seen only when its lines have been read.
    unread = [
        d.span.line for d in diagnostics if d.span and d.code not in ("E113", "E116", "E117", "E119", "E122")
    ]
    assert len(unread) == len(set(unread))
    for d in diagnostics:
        assert d.seen()
        assert d.expected()
        assert d.span is not None
        assert 0 <= d.span.start <= d.span.end <= len(text) + 1


@given(ANY_TEXT | recipes())
@settings(max_examples=250, deadline=None)
def test_tidy_is_stable(text: str) -> None:
    once = tidy(Source("a.scye", text))
    assert tidy(Source("a.scye", once)) == once


@given(ANY_TEXT | recipes())
@settings(max_examples=250, deadline=None)
def test_tidy_changes_nothing_that_is_said(text: str) -> None:
    before = Source("a.scye", text)
    after = Source("a.scye", tidy(before))
    assert without_places(*parse_file(after)) == without_places(*parse_file(before))


@given(recipes())
@settings(max_examples=100, deadline=None)
def test_reading_twice_says_the_same(text: str) -> None:
    assert without_places(*parse_file(Source("a.scye", text))) == without_places(
        *parse_file(Source("b.scye", text))
    )


@given(st.integers(0, 400), st.sampled_from(["in", "cm", "mm", "deg", "%", ""]))
def test_sixteenths_are_kept_exactly(sixteenths: int, unit: str) -> None:
    whole, rest = divmod(sixteenths, 16)
    read = quantity(f"{whole} {rest}/16 {unit}".strip())
    assert read.value * 16 == sixteenths
