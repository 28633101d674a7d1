"""The grammar at work: one line in, its tree or its one fault out. The only module that knows lark."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import cache, lru_cache
from importlib import resources
from typing import TYPE_CHECKING, Any, ClassVar

from scye.diagnostics import reading
from scye.diagnostics.suggest import nearest
from scye.parse.faults import Fault
from scye.parse.numbers import AMOUNT
from scye.parse.scanning import Token as Word
from scye.parse.scanning import scan, tokens
from scye.parse.vocabulary import RESERVED, keywords, wanted

if TYPE_CHECKING:
    from lark import Lark, Tree, UnexpectedInput

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
    )


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
    from lark.exceptions import UnexpectedInput

    try:
        return _parser().parse(code, start=rule, on_error=_as_name)
    except UnexpectedInput as error:
        return _fault(rule, code, error)


def _as_name(error: UnexpectedInput) -> bool:
    """Read a keyword as a name where only a name fits: `along shoulder intake`."""
    from lark import Token, UnexpectedToken

    if not isinstance(error, UnexpectedToken):
        return False
    token = error.token
    state: Any = error.interactive_parser
    if token.type in ("NAME", "$END") or not str(token).isidentifier() or str(token) in RESERVED:
        return False
    if "NAME" not in set(state.accepts()):
        return False
    state.feed_token(Token.new_borrow_pos("NAME", str(token), token))
    return True


def _too_deep(code: str, tree: Tree[Any]) -> Fault | None:
    level: list[Any] = [tree]
    for _ in range(MOST_TREE_LEVELS):
        level = [child for node in level for child in node.children if hasattr(child, "children")]
        if not level:
            return None
    fields = {"what": "amounts stand in amounts", "most": MOST_TREE_LEVELS}
    return Fault(reading.TooDeep, 0, len(code), fields)


# --- explaining a line that does not fit ------------------------------------------------------


def _fault(rule: str, code: str, error: UnexpectedInput) -> Fault:
    words = list(tokens(code))
    index = _where(error, words)
    mistaken = index > 0 and _mistaken_for_name(rule, code, words[index - 1])
    if mistaken:
        index -= 1
    after = words[index - 1].text if index else ""
    if index == len(words):
        fields: dict[str, object] = {"after": after, "wanted": wanted(_acceptable(rule, code))}
        return Fault(reading.UnfinishedLine, max(0, len(code) - 1), len(code), fields)
    word = words[index]
    terminals = _acceptable(rule, code[: word.start])
    if word.text in RESERVED and terminals == {"NAME"}:
        return Fault(reading.LanguageWord, word.start, word.end, {"word": word.text})
    fields = {
        "word": word.text,
        "after": after,
        "wanted": wanted(terminals),
        "near": nearest(word.text, keywords(terminals)) if word.kind == "word" else None,
        "hint": _usage(word.text) if mistaken else _decimal_comma(words, index),
    }
    return Fault(reading.UnexpectedWord, word.start, word.end, fields)


def _where(error: UnexpectedInput, words: Sequence[Word]) -> int:
    """Which word of the line does not fit; one past the last if the line stops too soon."""
    at = error.pos_in_stream
    if at is None or getattr(getattr(error, "token", None), "type", "") == "$END":
        return len(words)
    return next((i for i, w in enumerate(words) if w.end > at), len(words))


def _mistaken_for_name(rule: str, code: str, word: Word) -> bool:
    """Whether a word was read as a name that is a word of the language, or nearly the one needed there."""
    if word.kind != "word" or not _taken_for_name(rule, code, word.end):
        return False
    if word.text in RESERVED:
        return True
    return nearest(word.text, keywords(_acceptable(rule, code[: word.start]))) is not None


def _usage(word: str) -> str:
    usage = RESERVED.get(word)
    return f"`{word}` is used like this: `{usage}`." if usage else ""


def _decimal_comma(words: Sequence[Word], index: int) -> str:
    """What to say of `3,5 cm`."""
    if words[index].text != "," or not 0 < index < len(words) - 1:
        return ""
    before, after = words[index - 1], words[index + 1]
    if before.text.isdigit() and after.kind == "amount" and before.end + 1 == after.start:
        return f"Write `{before.text}.{after.text}`, with a point."
    return ""


def _taken_for_name(rule: str, code: str, end: int) -> bool:
    """Whether the last word before `end` was read as a name."""
    last = _state_after(rule, code[:end]).lexer_thread.state.last_token
    return last is not None and last.type == "NAME"


def _acceptable(rule: str, prefix: str) -> set[str]:
    """The terminals that may follow the beginning of a line."""
    return set(_state_after(rule, prefix).accepts())


def _state_after(rule: str, prefix: str) -> Any:
    from lark.exceptions import UnexpectedInput

    state: Any = _parser().parse_interactive(prefix, start=rule)
    try:
        state.exhaust_lexer()
    except UnexpectedInput as error:
        if _as_name(error):
            return error.interactive_parser
    return state
