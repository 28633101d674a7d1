"""Writing the files of a run: all of them whole, in one folder, and nowhere else."""

from __future__ import annotations

import errno
import os
import re
import tempfile
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path

from scye.diagnostics.command import (
    CannotWrite,
    DiskFull,
    FileNameRefused,
    OutNotAFolder,
    TwoFilesOneName,
)
from scye.diagnostics.model import Diagnostic
from scye.library import reason, shown_name

# One plain part of a path: no separators, no leading dot or hyphen, nothing that any system keeps for itself.
_FILE_NAME = re.compile(r"[^\W_][\w .()+,=&-]{0,199}")
_FULL = {errno.ENOSPC, errno.EDQUOT}


class OutputFolder:
    """The folder that takes the files of a run.

    The files are first written to a hidden folder within it, then each is moved into place. So a run that
    is interrupted leaves what was there before, never half a file. The hidden folder lies within and not
    beside, because only there is it certain to be on the same disk and to be allowed.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def write(self, files: Iterable[tuple[str, bytes]]) -> tuple[str, ...] | Diagnostic:
        """Write files given as name and content; answer their names in order.

        `files` may be drawn up as they are asked for. A name must be plain, without any path, and no two
        may be the same. A link in the folder is replaced by the file, never followed.
        """
        made = self._make()
        if isinstance(made, Diagnostic):
            return made
        try:
            with tempfile.TemporaryDirectory(prefix=".scye-", dir=self.folder) as waiting:
                names = self._set_down(files, Path(waiting))
                return names if isinstance(names, Diagnostic) else self._move(names, Path(waiting))
        except OSError as trouble:
            return _trouble(self.folder, trouble)
        finally:
            self._unmake(made)

    def _make(self) -> list[Path] | Diagnostic:
        """Make the folder with those above it; answer the new ones, innermost first."""
        above = (self.folder, *self.folder.parents)
        new = [path for path in above if not os.path.lexists(path)]
        blocked = next((path for path in above if path not in new and not os.path.isdir(path)), None)
        if blocked:
            return OutNotAFolder(name=shown_name(blocked))
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
        except OSError as trouble:
            self._unmake(new)
            return _trouble(self.folder, trouble)
        return new

    def _unmake(self, made: list[Path]) -> None:
        """Take away the folders made for this run that nothing was put into; the others refuse to go."""
        for path in made:
            with suppress(OSError):
                path.rmdir()

    def _set_down(self, files: Iterable[tuple[str, bytes]], waiting: Path) -> tuple[str, ...] | Diagnostic:
        names: dict[str, str] = {}
        for name, content in files:
            if not _FILE_NAME.fullmatch(name) or len(name.encode()) > 200:
                return FileNameRefused(name=name)
            if name.casefold() in names:
                return TwoFilesOneName(name=name)
            names[name.casefold()] = name
            try:
                (waiting / name).write_bytes(content)
            except OSError as trouble:
                return _trouble(self.folder / name, trouble)
        return tuple(names.values())

    def _move(self, names: tuple[str, ...], waiting: Path) -> tuple[str, ...] | Diagnostic:
        for name in names:
            if (self.folder / name).is_dir() and not (self.folder / name).is_symlink():
                return CannotWrite(name=shown_name(self.folder / name), why="a folder of that name is there")
        for name in names:
            try:
                os.replace(waiting / name, self.folder / name)
            except OSError as trouble:
                return _trouble(self.folder / name, trouble)
        return names


def replace_text(path: Path, text: str) -> Diagnostic | None:
    """Put a text in the place of a file's own, whole or not at all. A link is followed to its file."""
    target = path.resolve()
    try:
        mode = target.stat().st_mode
        with tempfile.TemporaryDirectory(prefix=".scye-", dir=target.parent) as waiting:
            fresh = Path(waiting) / target.name
            fresh.write_text(text, encoding="utf-8", newline="\n")
            fresh.chmod(mode)
            os.replace(fresh, target)
    except OSError as trouble:
        return _trouble(path, trouble)
    return None


def _trouble(path: Path, trouble: OSError) -> Diagnostic:
    """A diagnostic for what the machine said."""
    name = shown_name(path)
    if trouble.errno in _FULL:
        return DiskFull(name=name)
    return CannotWrite(name=name, why=reason(trouble))
