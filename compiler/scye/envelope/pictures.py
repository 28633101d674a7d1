"""Pictures that travel: a drawing may only draw, and a photograph says nothing of where it was taken."""

from __future__ import annotations

import re
import struct
import zlib
from collections.abc import Iterator
from xml.etree import ElementTree

_SVG = "{http://www.w3.org/2000/svg}"
_ELEMENTS = frozenset(
    (
        "svg", "g", "defs", "title", "desc", "path", "line", "polyline", "polygon", "rect", "circle",
        "ellipse", "text", "tspan", "clipPath", "style", "use",
    )
)  # fmt: skip
# What a drawing by Scye is headed: recipe, edition, and the body that it was drafted for.
_DRAWN_FOR = re.compile(r", for ([A-Za-z0-9][A-Za-z0-9_-]{0,63})\Z")

_PNG = b"\x89PNG\r\n\x1a\n"
_SHOWN = frozenset(
    (b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"sBIT", b"bKGD", b"pHYs")
)
# Pixels along a side; an A0 sheet at 150 dots an inch has some 7,000.
MOST_PIXELS = 10_000


# --- drawings -----------------------------------------------------------------------------------


def amiss_in_drawing(data: bytes) -> str:
    """What an SVG has that a drawing doesn't need; empty if it only draws."""
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError:
        return "it is not text in UTF-8"
    # Without a declaration of types there are no entities, so nothing in it can grow.
    if "<!" in text.replace("<!--", ""):
        return "it declares types or entities"
    if "<?" in text.removeprefix("<?xml "):
        return "it holds instructions for a program"
    root = _root(text)
    if root is None:
        return "it can't be read as a drawing (SVG)"
    return next(filter(None, map(_amiss, root.iter())), "")


def _root(text: str) -> ElementTree.Element | None:
    """The tree of a text, whatever encoding it claims to be in."""
    try:
        return ElementTree.fromstring(text)
    except (ElementTree.ParseError, ValueError, LookupError):
        return None


def _amiss(element: ElementTree.Element) -> str:
    name = str(element.tag)
    if not name.startswith(_SVG) or name.removeprefix(_SVG) not in _ELEMENTS:
        return f"it holds `{name.rpartition('}')[2][:40]}`, which doesn't draw"
    for key, value in (*element.attrib.items(), ("", element.text or "" if name == f"{_SVG}style" else "")):
        plain = key.rpartition("}")[2].lower()
        if plain.startswith("on"):
            return f"`{plain[:40]}` would run a program"
        if plain in ("href", "src", "base") and not value.startswith("#"):
            return f"`{plain}` leads out of the drawing"
        if re.search(r"url\((?!\s*['\"]?#)|@import|expression|\\", value, re.IGNORECASE):
            return "it loads something from elsewhere"
    return ""


def drawn_for(data: bytes) -> str:
    """The code of the body that Scye drew a picture for, SVG or PNG; empty for other pictures."""
    match = _DRAWN_FOR.search(
        _title_of_photograph(data) if data.startswith(_PNG) else _title_of_drawing(data)
    )
    return match[1] if match else ""


def _title_of_drawing(data: bytes) -> str:
    root = _root(data.decode("utf-8", errors="replace"))
    return (root.findtext(f"{_SVG}title") or "") if root is not None else ""


def _title_of_photograph(data: bytes) -> str:
    titles = (body for kind, body in _chunks(data) if kind == b"iTXt" and body.startswith(b"Title\0"))
    return next(titles, b"").rpartition(b"\0")[2].decode("utf-8", errors="replace")


# --- photographs --------------------------------------------------------------------------------


def amiss_in_photograph(data: bytes) -> str:
    """What is wrong with a PNG, or what it tells besides its picture; empty if nothing."""
    chunks = list(_chunks(data))
    kinds = [kind for kind, _ in chunks]
    if not chunks or kinds[0] != b"IHDR" or kinds[-1] != b"IEND" or len(chunks[0][1]) != 13:
        return "it can't be read as a picture (PNG)"
    if sum(len(body) + 12 for _, body in chunks) + len(_PNG) != len(data):
        return "it has something behind its end"
    if max(struct.unpack(">2I", chunks[0][1][:8])) > MOST_PIXELS:
        return f"it is more than {MOST_PIXELS:,} dots wide or high"
    told = next((kind for kind in kinds if kind not in _SHOWN), None)
    return f"it tells more than its picture (`{told.decode('latin-1')}`)" if told else ""


def without_words(data: bytes) -> bytes:
    """A PNG with its picture alone: when, where and by what it was taken is left out (ISO/IEC 15948)."""
    kept = [_PNG]
    for kind, body in _chunks(data):
        if kind in _SHOWN:
            kept += [struct.pack(">I", len(body)), kind, body, struct.pack(">I", zlib.crc32(kind + body))]
    return b"".join(kept)


def _chunks(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    """The parts of a PNG, each with its kind, up to the first that is broken."""
    at = len(_PNG) if data.startswith(_PNG) else len(data)
    while at + 12 <= len(data):
        (length,) = struct.unpack_from(">I", data, at)
        kind, body = data[at + 4 : at + 8], data[at + 8 : at + 8 + length]
        if len(body) < length or data[at + 8 + length : at + 12 + length] != struct.pack(
            ">I", zlib.crc32(kind + body)
        ):
            return
        yield kind, body
        at += 12 + length
