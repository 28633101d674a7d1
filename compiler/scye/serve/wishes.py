"""What the page asks: each message a wish, read strictly, since anybody's page might try to send one."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from scye.ir.people import DisplayUnit
from scye.library import SIZE_LIMIT
from scye.units.tape import DISPLAY_UNITS

MOST_NAMES = 200
LONGEST_WORD = 120


@dataclass(frozen=True, slots=True)
class Draw:
    """Draft a body: `measures` and `choices` are what the page says over its card, as texts with units; a
    measure without a text is left to the recipe's rule. `under` are the bodies to lay under it. While a
    slider is `held` the lines of the pieces are enough."""

    number: int
    body: str
    measures: tuple[tuple[str, str], ...]
    choices: tuple[tuple[str, str], ...]
    under: tuple[str, ...]
    unit: DisplayUnit
    held: bool = False


@dataclass(frozen=True, slots=True)
class Rewrite:
    """The recipe's text as it stands on the page."""

    text: str


@dataclass(frozen=True, slots=True)
class Save:
    """Write the text into the recipe's file."""

    text: str


@dataclass(frozen=True, slots=True)
class TakeFile:
    """Leave the text of the page for that of the file."""


@dataclass(frozen=True, slots=True)
class Tell:
    """Tell what isn't needed while something is dragged: points, figures, workings."""


@dataclass(frozen=True, slots=True)
class Ask:
    """How a thing comes about: an edge of a piece, or (no piece) whatever has the name."""

    piece: str
    name: str


Place = str | tuple[float, float]


@dataclass(frozen=True, slots=True)
class Along:
    """Measure along an edge from one place to another: a station by its name, or a point pointed at (mm)."""

    piece: str
    edge: str
    start: Place
    end: Place


Wish = Draw | Rewrite | Save | TakeFile | Tell | Ask | Along


def read_wish(message: str) -> Wish | None:
    """The wish of a message; None if it is none."""
    try:
        data = json.loads(message)
    except (ValueError, RecursionError):
        return None
    try:
        return _READERS[_word(data["do"])](data)
    except (KeyError, TypeError, ValueError):
        return None


def _draw(data: Mapping[str, Any]) -> Draw:
    number = data["number"]
    if not isinstance(number, int):
        raise TypeError("number")
    return Draw(
        number,
        _word(data["body"]),
        _pairs(data["measures"]),
        _pairs(data["choices"]),
        _words(data["under"]),
        DISPLAY_UNITS[_word(data["unit"])],
        data.get("held") is True,
    )


def _pairs(data: Any) -> tuple[tuple[str, str], ...]:
    if not isinstance(data, dict) or len(data) > MOST_NAMES:
        raise TypeError("no names with texts")
    return tuple((_word(name), _word(text)) for name, text in data.items())


def _words(data: Any) -> tuple[str, ...]:
    if not isinstance(data, list) or len(data) > MOST_NAMES:
        raise TypeError("no list of words")
    return tuple(map(_word, data))


def _word(data: Any) -> str:
    if not isinstance(data, str) or len(data) > LONGEST_WORD:
        raise TypeError("no word")
    return data


def _text(data: Mapping[str, Any]) -> str:
    text = data["text"]
    if not isinstance(text, str) or len(text.encode()) > SIZE_LIMIT or "\0" in text:
        raise TypeError("no text of a recipe")
    return text


def _place(data: Any) -> Place:
    if isinstance(data, list):
        x, y = (float(v) for v in data)
        if not abs(x) + abs(y) < 1e6:
            raise ValueError("off the table")
        return x, y
    return _word(data)


_READERS: dict[str, Callable[[Mapping[str, Any]], Wish]] = {
    "draw": _draw,
    "rewrite": lambda data: Rewrite(_text(data)),
    "save": lambda data: Save(_text(data)),
    "take": lambda _data: TakeFile(),
    "tell": lambda _data: Tell(),
    "ask": lambda data: Ask(_word(data["piece"]), _word(data["name"])),
    "along": lambda data: Along(
        _word(data["piece"]), _word(data["edge"]), _place(data["start"]), _place(data["end"])
    ),
}
