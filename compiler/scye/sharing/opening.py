"""Opening an envelope: every file of it read and looked at before anything is written anywhere."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from scye.diagnostics.command import FileTooLarge
from scye.diagnostics.model import Diagnostic
from scye.diagnostics.sharing import (
    ContentsRefused,
    EnvelopeTooLarge,
    NotAsListed,
    NotWhatItSays,
)
from scye.envelope.container import LARGEST, unpack
from scye.envelope.contents import contents_text, hash_of
from scye.envelope.pictures import amiss_in_drawing, amiss_in_photograph
from scye.ir.envelope import CONTENTS_NAME, Contents, Enclosed, Envelope
from scye.library import RECIPE_ENDING, SIZE_LIMIT, read_bytes, shown_name
from scye.project import standards
from scye.read.cards import read_chart
from scye.read.contents import read_contents
from scye.sharing.sorts import ENDINGS, people_in, too_much
from scye.source import Source

_SAID = {
    "recipe": "a recipe",
    "methods": "a file of methods",
    "chart": "a size chart",
    "picture": "a picture",
    "words": "words",
    "people": "measures of people",
}


def open_envelope(path: Path) -> Envelope | list[Diagnostic]:
    """An envelope whose every file is as listed and is what it is listed as; or what is wrong with it.

    Whether its recipe is sound and complete is for whoever lays it out.
    """
    name = shown_name(path)
    data = read_bytes(path, LARGEST)
    if isinstance(data, FileTooLarge):
        return [EnvelopeTooLarge(name=name, what=f"is larger than {LARGEST // 1_000_000} MB")]
    if isinstance(data, Diagnostic):
        return [data]
    files = unpack(name, data)
    if isinstance(files, Diagnostic):
        return [files]
    contents = _contents(name, dict(files[:1]))
    if isinstance(contents, Diagnostic):
        return [contents]
    envelope = Envelope(name, contents, files[1:])
    amiss = [*_not_as_listed(envelope), *too_much(envelope)][:1]
    return amiss or [*_not_what_they_say(envelope)] or envelope


def _contents(name: str, first: dict[str, bytes]) -> Contents | Diagnostic:
    """The list, which is the first file, to the byte as it would be written."""
    data = first.get(CONTENTS_NAME)
    if data is None:
        return ContentsRefused(name=name, what=f"doesn't begin with `{CONTENTS_NAME}`")
    listed = f"{name}/{CONTENTS_NAME}"
    text = _text(data)
    if text is None:
        return ContentsRefused(name=listed, what="is not plain text in UTF-8")
    contents = read_contents(Source(listed, text))
    if isinstance(contents, Contents) and contents_text(contents) != text:
        return ContentsRefused(name=listed, what="says more than a list of contents does")
    return contents


def _text(data: bytes) -> str | None:
    """The text of a file as it is enclosed: UTF-8, with no other line breaks than `\\n`."""
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError:
        return None
    return None if "\r" in text or "\0" in text or text.startswith("\ufeff") else text


def _not_as_listed(envelope: Envelope) -> Iterator[Diagnostic]:
    """Where the list and the files differ."""
    name, contents = envelope.name, envelope.contents
    there = [place for place, _ in envelope.files]
    listed = [file.place for file in contents.enclosed]
    for place in there:
        if place not in listed:
            yield NotAsListed(name=name, what=f"holds `{place}`, which its contents don't list")
    for file in contents.enclosed:
        if file.place not in there:
            what = f"lists `{file.place[:80]}`, which it doesn't hold"
            yield NotAsListed(span=file.span, name=name, what=what)
    if there != listed:
        yield NotAsListed(name=name, what="lists its files in another order than they lie in it")
    for file, (place, data) in zip(contents.enclosed, envelope.files, strict=False):
        if file.size != len(data) or file.hash != hash_of(data):
            seen, wanted = f"{hash_of(data)[:12]} of {len(data):,}", f"{file.hash[:12]} of {file.size:,}"
            what = (
                f"was changed after it was enclosed: its hash is {seen} bytes, and {wanted} bytes is listed"
            )
            yield NotAsListed(span=file.span, name=f"{name}/{place}", what=what)
    main = f"{contents.recipe}/{contents.recipe}{RECIPE_ENDING}", contents.edition
    if main not in [(f.place, f.edition) for f in contents.enclosed if f.sort == "recipe"]:
        what = f"is of the recipe `{contents.recipe[:80]}`, edition {contents.edition}, and doesn't list it"
        yield NotAsListed(name=name, what=what)


def _not_what_they_say(envelope: Envelope) -> Iterator[Diagnostic]:
    for file, (place, data) in zip(envelope.contents.enclosed, envelope.files, strict=True):
        ending = place.rpartition(".")[2]
        if ending not in ENDINGS[file.sort]:
            what = f"its name ends in .{ending}"
        else:
            what = _amiss(file, Source(f"{envelope.name}/{place}", _text(data) or ""), data)
        if what:
            yield NotWhatItSays(name=f"{envelope.name}/{place}", sort=_SAID[file.sort], what=what)


def _amiss(file: Enclosed, source: Source, data: bytes) -> str:
    """What speaks against a file as what it is listed as; empty if nothing does."""
    if file.place.endswith(".png"):
        return amiss_in_photograph(data)
    if not source.text and data:
        return "it is not plain text in UTF-8"
    if len(data) > SIZE_LIMIT:
        return f"it is larger than {SIZE_LIMIT // 1000:,} kB"
    if (file.edition is not None) != (file.sort == "recipe"):
        return "a recipe has an edition, and nothing else has"
    if file.place.endswith(".svg"):
        return amiss_in_drawing(data)
    if file.sort == "chart":
        return _amiss_in_chart(source)
    return ""


def _amiss_in_chart(source: Source) -> str:
    said = people_in(source)
    if said:
        return f"it {said}"
    chart, found = read_chart(source, standards()[0])
    return "" if chart is not None else f"it can't be read as one: {found[0].seen()}"
