"""Run every command that the documents show, and write what it prints now into its place where that changed.

python tests/docs/reprint.py

Where a document leaves the rest of an output out (`...`), as many lines are shown as before. A command that
fails is named and its place left alone. Read every line that changed: the pages follow the program, and what
it prints may be wrong. Wants the Cairo library, so that no page says that a picture was skipped.
"""

from __future__ import annotations

import contextlib
import io
import os
import sys
import tempfile
from collections.abc import Iterator
from itertools import groupby
from pathlib import Path

from documents import DOCUMENTS, ROOT, Fence, Shown, shown_commands

from scye.cli.main import main

REST = "...\n"


def reprint(document: Path) -> Iterator[str]:
    """Write a document's outputs anew; tells what was changed and what failed."""
    lines = document.read_text(encoding="utf-8").splitlines(keepends=True)
    blocks = [(fence, list(shown)) for fence, shown in groupby(shown_commands(document), lambda s: s.fence)]
    for fence, block in reversed(blocks):
        with checkout():
            texts = [_text(shown) for shown in block]
        for shown, text in zip(block, texts, strict=True):
            if text is None:
                yield f"fails: {shown.label}"
            elif text != shown.output:
                yield f"changed: {shown.label}"
        outputs = (shown.output if text is None else text for shown, text in zip(block, texts, strict=True))
        fresh = "".join(f"$ {shown.command}\n{output}" for shown, output in zip(block, outputs, strict=True))
        lines[_inside(fence)] = (_before(fence) + fresh).splitlines(keepends=True)
    document.write_text("".join(lines), encoding="utf-8")


@contextlib.contextmanager
def checkout() -> Iterator[None]:
    """Stand in a folder that looks like the checkout; what a command writes goes with it."""
    before = Path.cwd()
    with tempfile.TemporaryDirectory() as folder:
        for name in ("recipes", "examples", "stdlib"):
            (Path(folder) / name).symlink_to(ROOT / name)
        os.chdir(folder)
        try:
            yield
        finally:
            os.chdir(before)


def _text(shown: Shown) -> str | None:
    """What is to be shown of a command; None if it fails or complains."""
    out, wrong = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(wrong):
        code = main(shown.words[1:])
    if code or wrong.getvalue():
        return None
    start, rest, _ = shown.output.partition(REST)
    printed = out.getvalue().splitlines(keepends=True)
    return "".join(printed[: start.count("\n")]) + REST if rest else "".join(printed)


def _before(fence: Fence) -> str:
    """What stands in a block above its first command."""
    return fence.text[: fence.text.index("$ ")]


def _inside(fence: Fence) -> slice:
    """The lines of a block, counted from 0, without its two fences."""
    return slice(fence.line, fence.line + fence.text.count("\n"))


def everything() -> int:
    told = [line for document in DOCUMENTS for line in reprint(document)]
    for line in told:
        print(line)
    return int(any(line.startswith("fails") for line in told))


if __name__ == "__main__":
    sys.exit(everything())
