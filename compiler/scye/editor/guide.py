"""What each word of the language is for, as the guide's table of statements says."""

from __future__ import annotations

import re
from functools import lru_cache

from scye.library import find_guide, read_source
from scye.source import Source

_ROW = re.compile(r"^\| (.+?) \| (.+?) \| (.+?) \|$", re.MULTILINE)
_CODE = re.compile("`([^`]+)`")


@lru_cache(maxsize=1)
def statements() -> dict[str, str]:
    """What a line does, by its first words: `mark` -> "mark a point". Nothing if the guide isn't there."""
    guide = read_source(find_guide())
    if not isinstance(guide, Source):
        return {}
    _, _, table = guide.text.partition("## Every statement")
    found: dict[str, str] = {}
    for words, _, use in _ROW.findall(table):
        for phrase in _CODE.findall(words):
            found.setdefault(phrase.split("...")[0].strip(), use.replace("`", ""))
    return found


def use_of(phrase: str) -> str:
    """What a line does that begins with a phrase; empty where the guide doesn't say."""
    known = statements()
    return known.get(phrase) or known.get(phrase.split(maxsplit=1)[0], "")
