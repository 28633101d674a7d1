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


def use_of(words: str) -> str:
    """What a line does that begins with some words; empty where the guide doesn't say."""
    known = statements()
    begun = [phrase for phrase in known if f"{words} ".startswith(f"{phrase} ")]
    longer = [phrase for phrase in known if phrase.startswith(f"{words} ")]
    return known[max(begun, key=len)] if begun else known[longer[0]] if longer else ""
