"""One line cut into tokens, and the mistakes that can be seen in the tokens alone."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from scye.diagnostics import reading
from scye.parse.faults import Fault
from scye.parse.numbers import AMOUNT, LARGEST, MOST_FIGURES, number_value, split_amount

MOST_BRACKETS = 40

_TOKEN = re.compile(
    r'(?P<text>"[^"]*")'
    rf"|(?P<amount>{AMOUNT})"
    r"|(?P<word>[^\W\d]\w*)"
    r"|(?P<sign><=|>=|[-+*/=<>(),.\[\]])"
    r"|(?P<space>[ \t]+)"
    r"|(?P<other>[\s\S])"
)
_UNIT_WORDS = {
    "in": ("inch", "inches", "ins", "″", '"', "”", "''"),
    "yd": ("yard", "yards", "yds"),
    "mm": ("millimetre", "millimetres", "millimeter", "millimeters", "MM"),
    "cm": ("centimetre", "centimetres", "centimeter", "centimeters", "cms", "CM", "Cm"),
    "m": ("metre", "metres", "meter", "meters"),
    "deg": ("degree", "degrees", "degs", "°"),
    "%": ("percent", "percentage", "pc"),
}
_UNIT_OF_WORD = {word: unit for unit, words in _UNIT_WORDS.items() for word in words}
_FEET = ("foot", "feet", "ft", "'", "′", "’")
_PLAIN = {
    "“": '"',
    "”": '"',
    "„": '"',
    "–": "-",
    "—": "-",
    "−": "-",
    "×": "*",
    "÷": "/",
    "≤": "<=",
    "≥": ">=",
}
_PARTNER = {"(": ")", "[": "]", ")": "(", "]": "["}
_FIGURES = re.compile("[0-9]+")
_GLUED = re.compile(r"[\w.]+")
_NO_NUMBER = {"nan", "inf", "infinity"}


@dataclass(frozen=True, slots=True)
class Token:
    """`kind` is text, amount, word, sign, space or other; offsets are within the line's code."""

    kind: str
    text: str
    start: int
    end: int


def tokens(code: str) -> Iterator[Token]:
    """The tokens of a line, spaces left out."""
    for found in _TOKEN.finditer(code):
        kind = found.lastgroup or "other"
        if kind != "space":
            yield Token(kind, found.group(), found.start(), found.end())


def scan(code: str) -> Fault | None:
    """The first mistake that the tokens of a line show, or None."""
    open_brackets: list[Token] = []
    before: Token | None = None
    for token in tokens(code):
        fault = _token_fault(code, before, token) or _bracket_fault(token, open_brackets)
        if fault:
            return fault
        before = token
    if open_brackets:
        return _no_partner(open_brackets[-1])
    return None


def _token_fault(code: str, before: Token | None, token: Token) -> Fault | None:
    match token.kind:
        case "amount":
            return _amount_fault(code, before, token)
        case "other":
            return _other_fault(token)
        case "word":
            return _word_fault(before, token)
        case "sign" if token.text == ".":
            return _point_fault(code, token)
    return None


def _amount_fault(code: str, before: Token | None, token: Token) -> Fault | None:
    longest = max((len(run) for run in re.findall("[0-9]+", token.text)), default=0)
    if longest > MOST_FIGURES:
        return Fault(reading.NumberTooLarge, token.start, token.end, {"figures": longest})
    number, unit = split_amount(token.text)
    try:
        value = number_value(number)
    except ZeroDivisionError:
        return Fault(reading.ZeroDenominator, token.start, token.end, {"amount": token.text})
    if value > LARGEST:
        return Fault(reading.NumberTooLarge, token.start, token.end, {"figures": longest})
    if before and before.text == "/" and re.fullmatch("[0-9]+/[0-9]+", number):
        return Fault(reading.DivisionByFraction, before.start, token.end, {"fraction": number})
    return None if unit else _glued_fault(code, token)


def _glued_fault(code: str, token: Token) -> Fault | None:
    """What is written straight after a number that has no unit: `3"`, `3inches`, `1e5`, `1.2.3`."""
    rest = code[token.end :]
    sign = next(
        (s for s in ("''", *_FEET[3:], *_UNIT_OF_WORD, '"') if rest.startswith(s) and not s[0].isalpha()),
        None,
    )
    if sign:
        return _unit_fault(token, sign, token.end + len(sign))
    glued = _GLUED.match(rest)
    if not glued:
        return None
    word, end = glued.group(), token.end + glued.end()
    if word in _UNIT_OF_WORD or word in _FEET:
        return _unit_fault(token, word, end)
    hint = "Write the number in full, without `e`." if re.fullmatch(r"[eE]\d+", word) else ""
    hint = f"Write `{token.text}`." if word == "." else hint
    return Fault(reading.MalformedNumber, token.start, end, {"number": code[token.start : end], "hint": hint})


def _unit_fault(amount: Token, word: str, end: int) -> Fault:
    instead = None
    if word in _UNIT_OF_WORD:
        unit = _UNIT_OF_WORD[word]
        instead = f"{amount.text}%" if unit == "%" else f"{amount.text} {unit}"
    elif amount.text.isdigit():
        instead = f"{int(amount.text) * 12} in"
    return Fault(
        reading.UnknownUnit, amount.start, end, {"amount": amount.text, "unit": word, "instead": instead}
    )


def _word_fault(before: Token | None, token: Token) -> Fault | None:
    if before and before.kind == "amount" and before.text[-1].isnumeric():
        if token.text in _UNIT_OF_WORD or token.text in _FEET:
            return _unit_fault(before, token.text, token.end)
    elif token.text.casefold() in _NO_NUMBER:
        return Fault(reading.MalformedNumber, token.start, token.end, {"number": token.text})
    return None


def _point_fault(code: str, token: Token) -> Fault | None:
    """`.5` without its nought."""
    after = _FIGURES.match(code, token.end)
    if after:
        text = code[token.start : after.end()]
        return Fault(
            reading.MalformedNumber, token.start, after.end(), {"number": text, "hint": f"Write `0{text}`."}
        )
    return None


def _other_fault(token: Token) -> Fault:
    if token.text == '"':
        return Fault(reading.UnclosedQuote, token.start, token.end)
    fields = {"character": token.text, "instead": _PLAIN.get(token.text, "")}
    return Fault(reading.StrangeCharacter, token.start, token.end, fields)


def _bracket_fault(token: Token, open_brackets: list[Token]) -> Fault | None:
    if token.kind != "sign":
        return None
    if token.text in "([":
        open_brackets.append(token)
        if len(open_brackets) > MOST_BRACKETS:
            fields = {"what": "brackets stand", "most": MOST_BRACKETS}
            return Fault(reading.TooDeep, token.start, token.end, fields)
    elif token.text in ")]":
        if not open_brackets or open_brackets[-1].text != _PARTNER[token.text]:
            return _no_partner(open_brackets[-1] if open_brackets else token)
        open_brackets.pop()
    return None


def _no_partner(token: Token) -> Fault:
    fields = {"bracket": token.text, "partner": _PARTNER[token.text]}
    return Fault(reading.UnclosedBracket, token.start, token.end, fields)
