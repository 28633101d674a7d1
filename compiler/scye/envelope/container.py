"""The envelope as one file: a ZIP archive of one shape only, so that the same files give the same bytes.

Files are stored as they are, without packing: then no small file can grow large, and the bytes do not depend
on the machine's packing library. Whatever isn't, to the byte, what `pack` would write is refused. ZIP: PKWARE
APPNOTE.TXT 6.3.
"""

from __future__ import annotations

import io
import stat
import struct
import zipfile
from collections.abc import Sequence

from scye.diagnostics.model import Diagnostic
from scye.diagnostics.sharing import EntryRefused, EnvelopeTooLarge, NotAnEnvelope, PlaceRefused
from scye.envelope.names import amiss_in_place, written_out
from scye.ir.envelope import CONTENTS_NAME

# In bytes; an envelope of a variant, its parent, two charts and a picture comes to some 300 kB.
LARGEST = 8_000_000
LARGEST_FILE = 2_000_000
MOST_FILES = 64

# The first day that the format has. The rights of a plain file, on a system that has rights.
_DAY = (1980, 1, 1, 0, 0, 0)
_RIGHTS = (stat.S_IFREG | 0o644) << 16
_UNIX = 3
_ENCRYPTED = 0x1
# The end of the archive: its mark, four counts of parts and entries, where the list is, and no remark.
_END = struct.Struct("<4s4H2LH")
_HEAD = 46

# What the archive library raises at what it can't follow; NotImplementedError is a RuntimeError.
_BROKEN = (zipfile.BadZipFile, OSError, ValueError, RuntimeError, EOFError, struct.error)

Files = Sequence[tuple[str, bytes]]


def pack(files: Files) -> bytes:
    """The bytes of an envelope with these files, in this order."""
    into = io.BytesIO()
    with zipfile.ZipFile(into, "w", zipfile.ZIP_STORED, allowZip64=False) as archive:
        for place, data in files:
            info = zipfile.ZipInfo(place, _DAY)
            info.create_system = _UNIX
            info.external_attr = _RIGHTS
            archive.writestr(info, data)
    return into.getvalue()


def unpack(name: str, data: bytes) -> tuple[tuple[str, bytes], ...] | Diagnostic:
    """The files of an envelope called `name`, each within the limits and under a harmless name.

    Nothing is written, and nothing is read that the archive claims to hold beyond its own length.
    """
    amiss = _end_amiss(name, data)
    if amiss is not None:
        return amiss
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            infos = archive.infolist()
            refused = _refused(name, infos, len(data))
            if refused is not None:
                return refused
            files = tuple((info.filename, archive.read(info)) for info in infos)
    except _BROKEN:
        return NotAnEnvelope(name=name, what="is broken, or was changed on its way")
    if pack(files) != data:
        return NotAnEnvelope(name=name, what="holds more than its files, or is laid out in another way")
    return files


def _end_amiss(name: str, data: bytes) -> Diagnostic | None:
    """What is wrong with the end of the archive, looked at before anything else: it says how many files there
    are, so that no list of thousands is ever read."""
    if not data.startswith(b"PK\x03\x04"):
        return NotAnEnvelope(name=name, what="is no envelope")
    if len(data) < _END.size:
        return NotAnEnvelope(name=name, what="breaks off before its end")
    mark, part, first, here, count, size, start, remark = _END.unpack(data[-_END.size :])
    if mark != b"PK\x05\x06" or remark:
        return NotAnEnvelope(name=name, what="breaks off before its end, or has something added behind it")
    if max(here, count) > MOST_FILES or size > MOST_FILES * (_HEAD + 1_000):
        return EnvelopeTooLarge(name=name, what=f"holds more than {MOST_FILES} files")
    if (part, first, here) != (0, 0, count) or start + size + _END.size != len(data):
        return NotAnEnvelope(name=name, what="has a list of files that doesn't fit its length")
    return None


def _refused(name: str, infos: Sequence[zipfile.ZipInfo], length: int) -> Diagnostic | None:
    """The first thing wrong with the list of files."""
    seen: dict[str, str] = {}
    for number, info in enumerate(infos):
        place = info.orig_filename
        amiss = "" if place == CONTENTS_NAME else amiss_in_place(place.removesuffix("/"))
        if amiss:
            return PlaceRefused(name=name, place=written_out(place), what=amiss)
        other = seen.setdefault(place.casefold(), place)
        if len(seen) <= number:
            return EntryRefused(name=name, place=place, what=_twice(place, other))
        what = _not_plain(info)
        if what:
            return EntryRefused(name=name, place=place, what=what)
    return _too_large(name, infos, length)


def _twice(place: str, other: str) -> str:
    return "is there twice" if place == other else f"differs from `{other}` by capitals only"


def _not_plain(info: zipfile.ZipInfo) -> str:
    """What a file is, where it isn't plain."""
    kind = stat.S_IFMT(info.external_attr >> 16)
    if stat.S_ISLNK(kind):
        return "is a link to another file"
    if info.orig_filename.endswith("/") or stat.S_ISDIR(kind):
        return "is a folder by itself"
    if kind not in (0, stat.S_IFREG):
        return "is a device or a pipe, not a file"
    if info.flag_bits & _ENCRYPTED:
        return "is locked with a password"
    if info.compress_type != zipfile.ZIP_STORED:
        return "is packed, so that it could grow when it is opened"
    return "" if info.file_size == info.compress_size else "gives two different lengths"


def _too_large(name: str, infos: Sequence[zipfile.ZipInfo], length: int) -> Diagnostic | None:
    for info in infos:
        if info.file_size > LARGEST_FILE:
            what = f"holds `{info.orig_filename}`, larger than {LARGEST_FILE // 1_000_000} MB"
            return EnvelopeTooLarge(name=name, what=what)
    if sum(info.file_size for info in infos) > length:
        return EnvelopeTooLarge(name=name, what="claims to hold more than it is long")
    return None
