"""Two thousand random edits of recipes: nothing makes the server stumble, or lose its place in a text."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from pathlib import Path

from editor_client import Editor, session, workroom
from lsprotocol import types

from scye.parse.tidy import tidy
from scye.source import Source

TEXTS = ("08-method.scye", "saltmarsh-bodice-scooped.scye", "saltmarsh-bodice.scye", "necks.scye")
EDITS = 2000
# As many edits after which the text is set back, so that it stays near to one that drafts.
SPELL = 25
# Signs, breaks of every kind and characters of two units, within and among the words of the language.
STRANGE = (
    "\n",
    "\r\n",
    "\r",
    "\u2028",
    "\x0c",
    "\t",
    '"',
    "[",
    "]",
    "(",
    ".",
    ",",
    "=",
    "#",
    "1/0 in",
    "😋 ",
)
WORDS = ("mark ", "curve ", "draft x\n", "  ", "repeat i from 1 to 9\n  ", "when yoke\n", "redraw ", "bust ")
Edit = tuple[int, int, str]


def test_two_thousand_edits(tmp_path: Path):
    """With a question after every fifth edit, and the text compared after every spell."""
    chance = random.Random(2026)

    async def script(editor: Editor) -> None:
        for name in (
            "08-method.scye",
            "saltmarsh-bodice-scooped.scye",
            "saltmarsh-bodice.scye",
            "necks.scye",
        ):
            editor.open(name)
            whole = editor.texts[name]
            for spell in _spells(EDITS // len(TEXTS), SPELL):
                for number in spell:
                    editor.change(name, *_edit(editor.texts[name], chance))
                    if number % 5 == 0:
                        await _question(editor, name, chance)
                assert await editor.tidied(name) == _laid_out(editor.texts[name])
                editor.change(name, 0, len(editor.texts[name]), whole)
            assert [code for _, code, _ in await editor.messages(name)] == []
            editor.close(name)
        assert editor.shown == []

    session(workroom(tmp_path), script, {"body": "wren.yaml"})


def _spells(edits: int, spell: int) -> Iterator[range]:
    return (range(start, min(start + spell, edits)) for start in range(0, edits, spell))


def _laid_out(text: str) -> str:
    """As `scye tidy` lays it out."""
    return tidy(Source("x", text.replace("\r\n", "\n").replace("\r", "\n")))


def _edit(text: str, chance: random.Random) -> Edit:
    """A stretch, and what is set in its place: something typed, taken out, copied or swapped."""
    start = chance.randrange(len(text) + 1)
    length = chance.choice((0, 0, 0, 1, 1, 2, 5, 20, 80))
    new = chance.choice((_strange, _word, _copied, _nothing))(text, chance)
    return _apart(text, start), _apart(text, min(start + length, len(text))), new


def _apart(text: str, offset: int) -> int:
    """An offset that is not between the two halves of a line break, where no editor's cursor can be."""
    return offset + 1 if text[offset - 1 : offset + 1] == "\r\n" else offset


def _strange(_text: str, chance: random.Random) -> str:
    return chance.choice(STRANGE)


def _word(_text: str, chance: random.Random) -> str:
    return chance.choice(WORDS)


def _copied(text: str, chance: random.Random) -> str:
    return chance.choice(text.split("\n")) + "\n"


def _nothing(_text: str, _chance: random.Random) -> str:
    return ""


async def _question(editor: Editor, name: str, chance: random.Random) -> None:
    offset = _apart(editor.texts[name], chance.randrange(len(editor.texts[name]) + 1))
    position = editor.at_offset(name, offset)
    asked: tuple[Callable[..., object], ...] = (editor.offered, editor.words, editor.made, editor.used)
    question = chance.choice((*asked, _outlined, _renamed))
    if question in asked:
        await question(name, position)  # type: ignore[misc]
    else:
        await question(editor, name, position)  # type: ignore[misc]


async def _outlined(editor: Editor, name: str, _position: types.Position) -> None:
    await editor.outline(name)


async def _renamed(editor: Editor, name: str, position: types.Position) -> None:
    """Changed everywhere, or refused in words."""
    await editor.either(name, position, "another_name")
