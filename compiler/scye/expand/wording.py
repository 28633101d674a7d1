"""Names and titles as they are spoken, printed and given to files."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from scye.expand.frames import Env, key_of
from scye.expand.names import Names
from scye.expand.store import Scene
from scye.ir import syntax as s


def name_words(name: s.Name) -> str:
    return "".join(name.span.text.split())


def words(text: str) -> str:
    """A name as it is spoken: `cap_height` is cap height."""
    return text.replace("_", " ")


def slug(title: str) -> str:
    """A title as a file's name."""
    return re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-") or "recipe"


def letters_in_order(taken: Iterable[str]) -> Iterator[str]:
    """A, B, ... Z, AA, AB, ... without those taken; no I and O, which look like figures."""
    alphabet = list("ABCDEFGHJKLMNPQRSTUVWXYZ")
    used = set(taken)
    for first in ("", *alphabet):
        for letter in alphabet:
            if first + letter not in used:
                yield first + letter


def filled(text: str, env: Env) -> str:
    """A text in which counters in braces stand for their figure: `Side panel {i}`."""
    counters = dict(env)
    return re.sub(r"\{(\w+)\}", lambda m: str(counters.get(m.group(1), m.group(0))), text)


def key_text(names: Names, parts: Iterable[s.NamePart], scene: Scene) -> str:
    """The parts of a name with their indexes worked out: `seam[2].left`."""
    return ".".join(key_of(x.text, None if x.index is None else names.index(x, scene)) for x in parts)
