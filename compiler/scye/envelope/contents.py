"""The list of contents of an envelope, as text. `read.contents` reads it back."""

from __future__ import annotations

from collections.abc import Iterator
from hashlib import sha256

from scye.ir.envelope import LAYOUT, Contents, Enclosed

_HEAD = "# What is enclosed, with its hashes. Written by `scye enclose`; nothing here is changed by hand."


def hash_of(data: bytes) -> str:
    """The SHA-256 of some bytes, in hexadecimal figures (FIPS 180-4)."""
    return sha256(data).hexdigest()


def contents_text(contents: Contents) -> str:
    """The list as it stands in the envelope."""
    return "".join(f"{line}\n" for line in _lines(contents))


def _lines(contents: Contents) -> Iterator[str]:
    yield _HEAD
    yield f"envelope: {LAYOUT}"
    yield f"recipe: {contents.recipe}"
    yield f"edition: {contents.edition}"
    yield "enclosed:"
    for file in contents.enclosed:
        yield from _listed(file)
    yield "standard:"
    for standard in contents.standard:
        yield f"  - file: {standard.name}"
        yield f"    sha256: {standard.hash}"


def _listed(file: Enclosed) -> Iterator[str]:
    yield f"  - file: {file.place}"
    yield f"    holds: {file.sort}"
    if file.edition is not None:
        yield f"    edition: {file.edition}"
    yield f"    bytes: {file.size}"
    yield f"    sha256: {file.hash}"
