"""What holds for all envelopes: what is packed is what is opened, and nothing else is opened at all."""

from __future__ import annotations

import string
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scye.diagnostics.model import Diagnostic
from scye.envelope.container import pack, unpack
from scye.envelope.contents import contents_text, hash_of
from scye.envelope.names import amiss_in_place
from scye.ir.envelope import CONTENTS_NAME, Contents, Enclosed, Envelope, Standard
from scye.read.contents import read_contents
from scye.sharing.enclose import packed
from scye.sharing.opening import open_envelope
from scye.source import Source

NAMES = st.from_regex(r"[A-Za-z0-9][A-Za-z0-9_-]{0,20}", fullmatch=True)
PLACES = st.tuples(NAMES, NAMES, st.sampled_from(["md", "txt"])).map(lambda t: f"{t[0]}/{t[1]}.{t[2]}")
TEXTS = st.text(st.characters(exclude_characters="\r\0\ufeff", exclude_categories=("Cs",)), max_size=400)
FILES = st.dictionaries(PLACES.filter(lambda p: not amiss_in_place(p)), TEXTS, max_size=8)
RECIPE = "skirt/skirt.scye"


def alone(files: dict[str, str]) -> dict[str, str]:
    """Files of which no two differ by capitals only, and none is the recipe."""
    folded = {place.casefold(): place for place in files}
    return {place: files[place] for place in folded.values() if place.casefold() != RECIPE}


def envelope(files: dict[str, str], edition: int) -> Envelope:
    texts = sorted({**alone(files), RECIPE: 'recipe "Skirt"\n'}.items())
    data = tuple((place, text.encode()) for place, text in texts)
    enclosed = tuple(
        Enclosed(
            place,
            "recipe" if place == RECIPE else "words",
            edition if place == RECIPE else None,
            len(content),
            hash_of(content),
        )
        for place, content in data
    )
    contents = Contents("skirt", edition, enclosed, (Standard("measures.yaml", hash_of(b"")),))
    return Envelope("x.envelope", contents, data)


@pytest.fixture(scope="module")
def sent(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("sent") / "x.envelope"


@given(FILES, st.integers(0, 999_999_999))
@settings(max_examples=60)
def test_what_is_packed_is_what_is_opened(sent: Path, files: dict[str, str], edition: int) -> None:
    made = envelope(files, edition)
    sent.write_bytes(packed(made))
    opened = open_envelope(sent)
    assert isinstance(opened, Envelope), opened
    assert opened.files == made.files
    assert contents_text(opened.contents) == contents_text(made.contents)
    assert {place: data.decode() for place, data in opened.files} == {
        **alone(files),
        RECIPE: 'recipe "Skirt"\n',
    }


@given(FILES, st.integers(0, 999_999_999))
def test_a_list_reads_back_as_it_is_written(files: dict[str, str], edition: int) -> None:
    contents = envelope(files, edition).contents
    read = read_contents(Source("contents.yaml", contents_text(contents)))
    assert isinstance(read, Contents), read
    assert contents_text(read) == contents_text(contents)


@given(FILES)
def test_the_archive_is_the_same_for_the_same_files(files: dict[str, str]) -> None:
    made = [(place, text.encode()) for place, text in alone(files).items()]
    assert pack(made) == pack(list(made))
    if made:
        assert unpack("x", pack(made)) == tuple(made)


@given(st.data())
@settings(max_examples=300)
def test_a_byte_that_was_changed_is_noticed(sent: Path, data: st.DataObject) -> None:
    good = packed(envelope({"skirt/about.md": "A skirt.\n"}, 1))
    place = data.draw(st.integers(0, len(good) - 1))
    byte = data.draw(st.integers(0, 255).filter(lambda b: b != good[place]))
    sent.write_bytes(good[:place] + bytes([byte]) + good[place + 1 :])
    assert isinstance(open_envelope(sent), list)


@given(st.data())
@settings(max_examples=100)
def test_a_piece_that_was_cut_out_or_put_in_is_noticed(sent: Path, data: st.DataObject) -> None:
    good = packed(envelope({"skirt/about.md": "A skirt.\n"}, 1))
    start = data.draw(st.integers(0, len(good)))
    end = data.draw(st.integers(start, len(good)))
    new = data.draw(st.binary(max_size=40).filter(lambda b: b != good[start:end]))
    sent.write_bytes(good[:start] + new + good[end:])
    assert isinstance(open_envelope(sent), list)


@given(st.binary(max_size=600), st.sampled_from([b"", b"PK\x03\x04", CONTENTS_NAME.encode()]))
def test_any_bytes_are_refused_in_words(data: bytes, start: bytes) -> None:
    found = unpack("x", start + data)
    assert isinstance(found, Diagnostic)
    assert found.seen()


@given(st.text(max_size=80))
@settings(max_examples=400)
def test_a_name_that_is_let_in_is_plain(name: str) -> None:
    if not amiss_in_place(name):
        folder, file = name.split("/")
        assert set(folder) <= set(string.ascii_letters + string.digits + "_-")
        assert set(file) <= set(string.ascii_letters + string.digits + "_-.")
        assert not file.startswith(".")
        assert Path("/base", name).resolve() == Path(f"/base/{folder}/{file}")
