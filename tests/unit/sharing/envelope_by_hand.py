"""Envelopes made by hand: sound ones from texts, and such as no Scye would write."""

from __future__ import annotations

import io
import stat
import struct
import zipfile
import zlib
from collections.abc import Iterable, Mapping
from dataclasses import replace
from pathlib import Path

from scye.envelope.container import pack
from scye.envelope.contents import contents_text, hash_of
from scye.ir.envelope import CONTENTS_NAME, Contents, Enclosed, Sort, Standard
from scye.library import find_stdlib

SKIRT = """\
recipe "Hemline"
  edition 1
  licence CC-BY-4.0
  studio "Saltmarsh Workroom"

needs waist

draft front
  begin at waist_cf
  plumb centre_front through waist_cf
  level waist_line through waist_cf
  level hem_line from waist_line down 24 in
  mark waist_side from waist_cf right waist / 4
  plumb side through waist_side

piece front_piece "Front"
  bounded by centre_front, waist_line, side, hem_line
  cut pair of self
  grain down
  net on centre_front, waist_line, side, hem_line
"""
CHART = """\
chart: Two sizes
source: invented
unit: cm
sizes:
  s: {waist: 68}
  m: {waist: 72}
"""
DRAWING = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9">{}<path d="M0,0L9,9"/></svg>\n'

Listed = Mapping[str, tuple[Sort, bytes]]


def listed(files: Listed, recipe: str = "hemline", edition: int = 1) -> Contents:
    """A true list of some files."""
    enclosed = tuple(
        Enclosed(place, sort, edition if sort == "recipe" else None, len(data), hash_of(data))
        for place, (sort, data) in files.items()
    )
    names = ("cautions.yaml", "measures.yaml")
    texts = {name: (find_stdlib() / name).read_text(encoding="utf-8") for name in names}
    standard = tuple(Standard(name, hash_of(text.encode())) for name, text in texts.items())
    return Contents(recipe, edition, enclosed, standard)


def entries(files: Listed, contents: Contents | str | None = None) -> list[tuple[str, bytes]]:
    """The list and the files, as they go into an envelope."""
    told = contents if isinstance(contents, str) else contents_text(contents or listed(files))
    return [(CONTENTS_NAME, told.encode()), *((place, data) for place, (_, data) in files.items())]


def recipe(text: str = SKIRT, name: str = "hemline") -> dict[str, tuple[Sort, bytes]]:
    return {f"{name}/{name}.scye": ("recipe", text.encode())}


def sealed(files: Listed, contents: Contents | str | None = None) -> bytes:
    """An envelope as `scye enclose` would lay it out, whatever is in it."""
    return pack(entries(files, contents))


def sound() -> dict[str, tuple[Sort, bytes]]:
    return {**recipe(), "hemline/sizes.yaml": ("chart", CHART.encode())}


def falsely(contents: Contents, number: int, **changes: object) -> Contents:
    """A list with one of its lines changed."""
    lines = list(contents.enclosed)
    lines[number] = replace(lines[number], **changes)  # type: ignore[arg-type]
    return replace(contents, enclosed=tuple(lines))


# --- archives that no Scye would write ----------------------------------------------------------


def archive(
    files: Iterable[tuple[str, bytes]], *, mode: int = stat.S_IFREG | 0o644, packed: bool = False
) -> bytes:
    """An archive of files whose last has the mode, all of them packed if that is asked for."""
    into = io.BytesIO()
    how = zipfile.ZIP_DEFLATED if packed else zipfile.ZIP_STORED
    every = list(files)
    with zipfile.ZipFile(into, "w", how) as made:
        for number, (place, data) in enumerate(every):
            info = zipfile.ZipInfo("x", (1980, 1, 1, 0, 0, 0))
            info.filename = place  # past the constructor, which would make the name plain
            info.create_system, info.compress_type = 3, how
            info.external_attr = (mode if number == len(every) - 1 else stat.S_IFREG | 0o644) << 16
            with made.open(info, "w") as entry:
                entry.write(data)
    return into.getvalue()


def with_one_more(place: str, data: bytes = b"x", mode: int = stat.S_IFREG | 0o644) -> bytes:
    return archive([*entries(sound()), (place, data)], mode=mode)


def patched(data: bytes, mark: bytes, offset: int, new: bytes) -> bytes:
    """Bytes changed at an offset from the last place where a mark stands."""
    at = data.rindex(mark) + offset
    return data[:at] + new + data[at + len(new) :]


def with_files_on_top_of_each_other(count: int, size: int) -> bytes:
    """An archive whose list names one stored file many times over: each is within the limits, all together
    they are far more than the archive is long."""
    data = b"x" * size
    local = b"PK\x03\x04" + struct.pack("<5H3L2H", 20, 0, 0, 0, 33, zlib.crc32(data), size, size, 5, 0)
    body = local + b"a/b.c" + data
    lines = b""
    for number in range(count):
        place = f"a/{number:04}.md".encode()
        lines += b"PK\x01\x02" + struct.pack(
            "<6H3L5H2L", 0x0314, 20, 0, 0, 0, 33, zlib.crc32(data), size, size, len(place),
            0, 0, 0, 0, (stat.S_IFREG | 0o644) << 16, 0,
        ) + place  # fmt: skip
    end = struct.pack("<4s4H2LH", b"PK\x05\x06", 0, 0, count, count, len(lines), len(body), 0)
    return body + lines + end


def picture(*more: tuple[bytes, bytes], width: int = 1) -> bytes:
    """A PNG with further parts before its picture."""
    head = (b"IHDR", struct.pack(">2I5B", width, 1, 8, 0, 0, 0, 0))
    parts = (head, *more, (b"IDAT", zlib.compress(b"\0\0")), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))
        for kind, body in parts
    )


def put(folder: Path, files: Mapping[str, str]) -> None:
    """Write texts into a folder."""
    for name, text in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
