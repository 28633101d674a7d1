"""The grammar at work: one line in, its tree or its one fault out. The only module that knows lark."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from importlib import resources
from typing import TYPE_CHECKING, Any, ClassVar

from scye.diagnostics import reading
from scye.diagnostics.suggest import nearest
from scye.parse.faults import Fault
from scye.parse.numbers import AMOUNT
from scye.parse.scanning import Token as Word
from scye.parse.scanning import scan, tokens
from scye.parse.vocabulary import KINDS, RESERVED, keywords, wanted

if TYPE_CHECKING:
    from lark import Lark, Token, Tree

# A tree deeper than this would outrun the stack of the phases that walk it.
MOST_TREE_LEVELS = 90
_START = re.compile(r"^\??((?:st|arg)_\w+):", re.MULTILINE)


class _Words:
    """Names, texts and amounts are recognised everywhere, so that a wrong one is seen whole."""

    always_accept: ClassVar[tuple[str, ...]] = ("NAME", "TEXT", "AMOUNT")

    def process(self, stream: Iterator[Any]) -> Iterator[Any]:
        return stream


@cache
def _parser() -> Lark:
    from lark import Lark

    text = resources.files("scye.parse").joinpath("grammar.lark").read_text("utf-8")
    return Lark(
        text.replace("%AMOUNT%", AMOUNT),
        parser="lalr",
        start=sorted(set(_START.findall(text))),
        propagate_positions=True,
        maybe_placeholders=True,
        postlex=_Words(),
        lexer_callbacks={"NAME": _reserve},
    )


def _reserve(token: Token) -> Token:
    """Keep the words of the language from being names."""
    return token.update(type="RESERVED") if str(token) in RESERVED else token


@lru_cache(maxsize=8192)
def read_line(rules: tuple[str, ...], code: str) -> Tree[Any] | Fault:
    """The tree of a line by the first of `rules` that fits it, or what is wrong with the line.

    Offsets are within `code`. If no rule fits, the fault is of the one that went furthest.
    """
    fault = scan(code)
    if fault:
        return fault
    faults: list[Fault] = []
    for rule in rules:
        read = _read_by(rule, code)
        if not isinstance(read, Fault):
            return _too_deep(code, read) or read
        faults.append(read)
    return max(faults, key=lambda f: f.start)


def _read_by(rule: str, code: str) -> Tree[Any] | Fault:
    run = _run(rule, code)
    return _fault(rule, code, run) if run.tree is None else run.tree


@dataclass(frozen=True, slots=True)
class _Run:
    """A line parsed as far as it goes: its tree; or the state and the place where it does not go on.

    `last` and `stopped_by` are the kinds of the last token that fitted and of the one that did not.
    """

    tree: Tree[Any] | None
    state: Any
    stop: int
    last: str
    stopped_by: str


def _run(rule: str, code: str) -> _Run:
    parser: Any = _parser().parse_interactive(code, start=rule)
    run = _fed(parser, code)
    if run.stopped_by != "$END" or not _fits(run.state, "$END"):
        return run
    return replace(run, tree=parser.feed_eof(), stopped_by="")


def _fed(parser: Any, code: str) -> _Run:
    """Feed a line token by token, each only after looking whether it fits; stopped by `$END` if all do.

    The table merges states, so a token that does not fit may still reduce what stands before it; looking
    first keeps the state whole, for what was expected and for a keyword that can only be a name here.
    """
    from lark.exceptions import UnexpectedInput

    state, last = parser.parser_state, ""
    try:
        for token in parser.lexer_thread.lex(state):
            fitting = _fitting(state, token)
            if fitting is None:
                return _Run(None, state, token.start_pos, last, token.type)
            state.feed_token(fitting)
            last = fitting.type
    except UnexpectedInput as error:
        return _Run(None, state, error.pos_in_stream or 0, last, "")
    return _Run(None, state, len(code), last, "$END")


def following(rules: tuple[str, ...], code: str) -> set[str]:
    """The kinds of token that may follow the beginning of a line, by any of `rules`; none if it fits none."""
    found: set[str] = set()
    for rule in rules:
        run = _fed(_parser().parse_interactive(code, start=rule), code)
        found |= _acceptable(run.state) if run.stopped_by == "$END" else set()
    return found


@cache
def written() -> dict[str, tuple[str, ...]]:
    """The words that are written for each kind of token that is made of fixed words: `("length of",)`."""
    found: dict[str, tuple[str, ...]] = {}
    for terminal in _parser().terminals:
        pattern = terminal.pattern.value.removesuffix(r"(?!\w)").replace("[ \t]+", " ")
        if re.fullmatch("[a-z_]+( [a-z]+)*", pattern):
            found[terminal.name] = (pattern,)
        elif re.fullmatch(r"\([a-z|]+\)", pattern):
            found[terminal.name] = tuple(pattern[1:-1].split("|"))
    return found


def _fitting(state: Any, token: Token) -> Token | None:
    """The token, as a name if it is a keyword where only a name fits: `along shoulder intake`."""
    if _fits(state, token.type):
        return token
    if (
        token.type != "RESERVED"
        and token.isidentifier()
        and str(token) not in RESERVED
        and _fits(state, "NAME")
    ):
        return token.update(type="NAME")
    return None


def _fits(state: Any, kind: str) -> bool:
    """Whether a token of this kind may come next: the parser's moves on a copy of its stack."""
    table, stack = state.parse_conf.states, state.state_stack
    move = table[stack[-1]].get(kind)
    if move is None or move[0].name == "Shift":
        return move is not None
    stack = list(stack)
    while move is not None and move[0].name != "Shift":
        rule = move[1]
        if rule.expansion:
            del stack[-len(rule.expansion) :]
        stack.append(table[stack[-1]][rule.origin.name][1])
        if kind == "$END" and stack[-1] == state.parse_conf.end_state:
            return True
        move = table[stack[-1]].get(kind)
    return move is not None


def _acceptable(state: Any) -> set[str]:
    """The kinds of token that may come next."""
    candidates = state.parse_conf.states[state.state_stack[-1]]
    return {kind for kind in candidates if kind.isupper() or kind == "$END" if _fits(state, kind)}


def _too_deep(code: str, tree: Tree[Any]) -> Fault | None:
    level: list[Any] = [tree]
    for _ in range(MOST_TREE_LEVELS):
        level = [child for node in level for child in node.children if hasattr(child, "children")]
        if not level:
            return None
    fields = {"what": "amounts stand in amounts", "most": MOST_TREE_LEVELS}
    return Fault(reading.TooDeep, 0, len(code), fields)


# --- explaining a line that does not fit ------------------------------------------------------


def _fault(rule: str, code: str, run: _Run) -> Fault:
    words = list(tokens(code))
    index = next((i for i, w in enumerate(words) if w.end > run.stop), len(words))
    if index and run.last == "NAME":
        before = _run(rule, code[: words[index - 1].start])
        if nearest(words[index - 1].text, keywords(_acceptable(before.state))):
            index, run = index - 1, before
    after = words[index - 1].text if index else ""
    terminals = _acceptable(run.state)
    expected = wanted(terminals)
    if index == len(words):
        return Fault(
            reading.UnfinishedLine, max(0, len(code) - 1), len(code), {"after": after, "wanted": expected}
        )
    word = words[index]
    if word.text in RESERVED and terminals == {"NAME"}:
        fields = {"word": word.text, "usage": RESERVED[word.text]}
        return Fault(reading.LanguageWord, word.start, word.end, fields)
    usage = run.stopped_by == "RESERVED" and KINDS & set(expected)
    meant = _share_of(words, index) or _misspelt_of(rule, code, words, index)
    details: dict[str, object] = {
        "word": word.text,
        "after": after,
        "wanted": expected,
        "near": nearest(word.text, keywords(terminals)) if word.kind == "word" and not meant else None,
        "hint": meant or (_hint(word.text) if usage else _decimal_comma(words, index)),
    }
    return Fault(reading.UnexpectedWord, word.start, word.end, details)


def _hint(word: str) -> str:
    usage = RESERVED.get(word)
    return f"`{word}` is used like this: `{usage}`." if usage else ""


def _misspelt_of(rule: str, code: str, words: Sequence[Word], index: int) -> str:
    """What to say of `lenght of`: the words before `of` are one with it."""
    if words[index].text != "of" or not index:
        return ""
    word = words[index - 1]
    possible = _acceptable(_run(rule, code[: word.start]).state)
    near = nearest(word.text, [t.removesuffix("_OF").lower() for t in possible if t.endswith("_OF")])
    return f"Did you mean `{near} of`?" if near else ""


def _share_of(words: Sequence[Word], index: int) -> str:
    """What to say of `35% of waist` where an amount stands."""
    if words[index].text != "of" or not 0 < index < len(words) - 1 or not words[index - 1].text.endswith("%"):
        return ""
    return f"A share of an amount is multiplied: `{words[index + 1].text} * {words[index - 1].text}`."


def _decimal_comma(words: Sequence[Word], index: int) -> str:
    """What to say of `3,5 cm`."""
    if words[index].text != "," or not 0 < index < len(words) - 1:
        return ""
    before, after = words[index - 1], words[index + 1]
    if before.text.isdigit() and after.kind == "amount" and before.end + 1 == after.start:
        return f"Write `{before.text}.{after.text}`, with a point."
    return ""
