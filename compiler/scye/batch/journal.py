"""The journal of a batch: what it was begun with, and which lines of its table are done.

`batch.journal` is text, a JSON value a line: first what the batch belongs to, then one line for each chunk,
added when all files of the chunk lie in their place. A run may be killed at any moment. What it leaves is a
journal whose last line may be torn, files of a chunk that is not in the journal, and hidden folders that
files were waiting in. The next run takes away the first and the last, and drafts that chunk again into the
same files. Every file is known by its digest, so one that was lost or spoilt since is drafted again as well.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import astuple
from pathlib import Path

from scye.diagnostics.command import CannotWrite
from scye.diagnostics.model import Diagnostic
from scye.diagnostics.people import BatchUnderWay, NotABatch, OtherBatch
from scye.ir.batch import Chunk, Entry, Written
from scye.library import reason, shown_name
from scye.outputs import OutputFolder

try:
    import fcntl
except ImportError:  # a system without locks on folders: two runs at once are then not told of each other
    fcntl = None  # type: ignore[assignment]

JOURNAL, INDEX, BODIES = "batch.journal", "batch.csv", "bodies"
SCHEMA = "urn:scye:batch:1"
WAITING = ".scye-"
Head = dict[str, str | int | bool | list[list[str]]]


class Journal:
    """The journal in one folder, for a batch that belongs to `head`."""

    def __init__(self, folder: Path, head: Head) -> None:
        self.folder = folder
        self.head = {"schema": SCHEMA, **head}

    @property
    def bodies(self) -> Path:
        return self.folder / BODIES

    def begin(self) -> Diagnostic | None:
        """Make the folder and write the head, unless a journal is there already."""
        if os.path.lexists(self.folder / JOURNAL):
            return None
        strange = next((name for name in (INDEX, BODIES) if os.path.lexists(self.folder / name)), None)
        if strange is not None:
            what = f"holds `{strange}`, which no batch is known to have written"
            return NotABatch(span=None, name=shown_name(self.folder), what=what)
        written = OutputFolder(self.folder).write([(JOURNAL, _line(self.head))])
        return written if isinstance(written, Diagnostic) else None

    @contextmanager
    def held(self) -> Iterator[Diagnostic | None]:
        """Keep the folder to this run. The machine lets go of it when the run ends, however it ends."""
        place = os.open(self.folder, os.O_RDONLY) if fcntl is not None else -1
        try:
            yield None if _locked(place) else BatchUnderWay(span=None, name=shown_name(self.folder))
        finally:
            if place >= 0:
                os.close(place)

    def resume(self) -> list[Chunk] | Diagnostic:
        """The chunks that are done and whose files are all as they were written; all else is cleared away."""
        try:
            data = (self.folder / JOURNAL).read_bytes()
        except OSError as trouble:
            return CannotWrite(name=shown_name(self.folder / JOURNAL), why=reason(trouble))
        lines = data.split(b"\n")[:-1]
        head = _read(lines[0]) if lines else None
        if not isinstance(head, dict) or head.get("schema") != SCHEMA:
            what = f"has a `{JOURNAL}` that can't be read"
            return NotABatch(span=None, name=shown_name(self.folder), what=what)
        if head != self.head:
            return OtherBatch(span=None, name=shown_name(self.folder), what=_otherwise(head, self.head))
        self._clear()
        chunks = list(self._sound(lines[1:]))
        whole = b"".join(line + b"\n" for line in lines[: 1 + len(chunks)])
        if whole != data:
            written = OutputFolder(self.folder).write([(JOURNAL, whole)])
            if isinstance(written, Diagnostic):
                return written
        return chunks

    def add(self, chunk: Chunk) -> Diagnostic | None:
        """Put down that a chunk is done."""
        entries = [list(astuple(entry)) for entry in chunk.entries]
        files = [[file.name, file.sha256] for file in chunk.files]
        line = _line({"chunk": chunk.number, "entries": entries, "files": files})
        try:
            with (self.folder / JOURNAL).open("ab") as journal:
                journal.write(line)
                journal.flush()
                os.fsync(journal.fileno())
        except OSError as trouble:
            return CannotWrite(name=shown_name(self.folder / JOURNAL), why=reason(trouble))
        return None

    def _clear(self) -> None:
        """Take away the hidden folders that a killed run left."""
        for folder in (self.folder, self.bodies):
            for left in sorted(folder.glob(f"{WAITING}*")):
                if left.is_dir() and not left.is_symlink():
                    shutil.rmtree(left, ignore_errors=True)

    def _sound(self, lines: list[bytes]) -> Iterator[Chunk]:
        """The chunks from the first on, up to one that is torn or whose files are not all there."""
        for number, line in enumerate(lines):
            chunk = _chunk(line)
            if chunk is None or chunk.number != number or not all(map(self._is_there, chunk.files)):
                return
            yield chunk

    def _is_there(self, file: Written) -> bool:
        path = self.bodies / file.name
        if path.name != file.name or path.is_symlink():
            return False
        try:
            with path.open("rb") as data:
                return hashlib.file_digest(data, "sha256").hexdigest() == file.sha256
        except OSError:
            return False


def _locked(place: int) -> bool:
    """Whether an open folder is this run's now; disks that keep no locks let every run have it."""
    try:
        if fcntl is not None:
            fcntl.flock(place, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    except OSError:
        return True
    return True


def _line(value: object) -> bytes:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":")).encode() + b"\n"


def _read(line: bytes) -> object:
    try:
        return json.loads(line)
    except (ValueError, RecursionError):
        return None


def _chunk(line: bytes) -> Chunk | None:
    match _read(line):
        case {"chunk": int(number), "entries": [*entries], "files": [*files]}:
            try:
                told = tuple(Entry(*entry) for entry in entries)
                return Chunk(number, told, tuple(Written(*file) for file in files))
            except TypeError:
                return None
        case _:
            return None


def _otherwise(had: dict[str, object], has: Head) -> str:
    """How a batch was begun that is not this one: the first difference in words."""
    differ = [name for name in has if had.get(name) != has[name]]
    match differ[0] if differ else "":
        case "scye":
            return f"by another version of Scye, {had.get('scye')}"
        case "recipe":
            return f"with another recipe, `{had.get('recipe')}`"
        case "recipe_sha256":
            return "before its recipe, or something that the recipe uses, was changed"
        case "table":
            return f"with another table, `{had.get('table')}`"
        case "table_sha256":
            return "before its table was changed"
        case "choices":
            return f"with other choices: {_choices(had.get('choices'))}"
        case "units":
            return f"with other units: {had.get('units') or 'those of the table'}"
        case "sheets":
            return "with sheets" if had.get("sheets") else "without sheets"
        case _:
            return "differently"


def _choices(had: object) -> str:
    texts = [f"{pair[0]}={pair[1]}" for pair in had] if isinstance(had, list) else []
    return ", ".join(texts) or "those of the recipe"
