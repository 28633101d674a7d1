"""The guides as data: their fenced examples, their tables, and the commands that they show."""

from __future__ import annotations

import re
import shlex
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
GUIDE = ROOT / "compiler" / "LANGUAGE.md"
DOCUMENTS = tuple(
    sorted(
        path
        for path in ROOT.rglob("*.md")
        if not any(part.startswith(".") for part in path.relative_to(ROOT).parts)
    )
)
LESSONS = tuple(sorted(path for path in (ROOT / "examples").iterdir() if re.match(r"\d\d-", path.name)))
RECIPES = tuple(sorted(path.parent for path in (ROOT / "recipes").glob("*/*.scye")))


@dataclass(frozen=True)
class Fence:
    """A fenced block: its language, its text, the heading that it stands under and its number there."""

    document: Path
    language: str
    text: str
    line: int
    heading: str
    number: int

    @property
    def label(self) -> str:
        return f"{self.document.relative_to(ROOT).as_posix()}:{self.line}"


_FENCE = re.compile(r"```(\S*)\s*$")


def fences(document: Path) -> list[Fence]:
    """All fenced blocks of a document, in order."""
    found: list[Fence] = []
    heading, language, lines, start = "", None, list[str](), 0
    for number, line in enumerate(document.read_text(encoding="utf-8").splitlines(), 1):
        mark = _FENCE.match(line)
        if language is not None and line.startswith("```"):
            same = sum(f.heading == heading and f.language == language for f in found)
            found.append(Fence(document, language, "\n".join(lines) + "\n", start, heading, same + 1))
            language = None
        elif language is not None:
            lines.append(line)
        elif mark:
            language, lines, start = mark[1], [], number
        elif line.startswith("#"):
            heading = slug(line.lstrip("# "))
    assert language is None, f"{document} ends within a fenced block"
    return found


def prose(document: Path) -> str:
    """A document without its fenced blocks."""
    text = document.read_text(encoding="utf-8")
    return re.sub(r"^```.*?^```$", "", text, flags=re.MULTILINE | re.DOTALL)


def slug(heading: str) -> str:
    """A heading as the end of a link to it."""
    return re.sub(r"[^\w\- ]", "", heading.strip().lower()).replace(" ", "-")


def table(document: Path, heading: str) -> list[list[str]]:
    """The rows of the table under a heading, without its head; each row is its cells."""
    lines = [line for line in section(document, heading).splitlines() if line.startswith("|")]
    rows = [[cell.strip() for cell in line.strip("|").split("|")] for line in lines]
    return rows[2:]


def section(document: Path, heading: str) -> str:
    """The text under a heading, up to the next."""
    under, lines = "", []
    for line in document.read_text(encoding="utf-8").splitlines():
        if line.startswith("#"):
            under = slug(line.lstrip("# "))
        elif under == heading:
            lines.append(line)
    assert lines, f"nothing under {heading}"
    return "\n".join(lines)


def spans(text: str) -> list[str]:
    """What stands between backticks."""
    return [" ".join(span.split()) for span in re.findall(r"`([^`]+)`", text)]


@dataclass(frozen=True)
class Shown:
    """A command of a console block with the output that the block shows for it."""

    fence: Fence
    command: str
    output: str

    @property
    def words(self) -> list[str]:
        return shlex.split(self.command)

    @property
    def label(self) -> str:
        return f"{self.fence.document.relative_to(ROOT).as_posix()}: {self.command}"


def shown_commands(document: Path) -> Iterator[Shown]:
    """The commands of a document's `console` blocks: lines that begin with `$ `, each with what follows."""
    for fence in fences(document):
        if fence.language == "console":
            for part in re.split(r"^\$ ", fence.text, flags=re.MULTILINE)[1:]:
                command, _, output = part.partition("\n")
                yield Shown(fence, command, output)


# --- pictures -----------------------------------------------------------------------------------

NUMBER = re.compile(r"-?\d+\.?\d*")
SAME = 0.05  # mm; the last figure may differ from machine to machine


def same_picture(kept: str, new: str) -> bool:
    """Whether two SVGs show the same, to `SAME`."""
    if NUMBER.sub("#", kept) != NUMBER.sub("#", new):
        return False
    pairs = zip(NUMBER.findall(kept), NUMBER.findall(new), strict=True)
    return all(abs(float(a) - float(b)) < SAME for a, b in pairs)
