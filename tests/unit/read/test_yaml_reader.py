"""Reading YAML safely: scalars stay text, places are kept, and nothing a file holds can hurt."""

from __future__ import annotations

import time
import tracemalloc

import pytest
import yaml

from scye.diagnostics.cards import FileTooLarge, NotOnACard, NotPlainText, WrittenTwice
from scye.read import yaml_reader
from scye.read.yaml_reader import CARD, CHART, Limits, Row, Table, Text, clip, read_source, read_tree
from scye.source import Source


def read(text: str) -> Table:
    node, found = read_tree(Source("card.yaml", text), CARD)
    assert found == []
    assert isinstance(node, Table)
    return node


def codes(text: str, limits: Limits = CARD) -> list[str]:
    return [d.code for d in read_tree(Source("card.yaml", text), limits)[1]]


@pytest.mark.parametrize("written", ["12:30", "No", "yes", "~", "null", "007", "1e3", "2024-03-05", "0x1f"])
def test_single_values_stay_as_they_are_written(written: str) -> None:
    value = read(f"a: {written}\n").get("a")
    assert isinstance(value, Text)
    assert value.text == written
    assert value.span.text == written


def test_keeps_order_nesting_and_places() -> None:
    table = read("b: [1, two words]\na:\n  c: '36 1/2'\n")
    assert [key.text for key, _ in table.entries] == ["b", "a"]
    row, inner = table.get("b"), table.get("a")
    assert isinstance(row, Row)
    assert [item.text for item in row.items if isinstance(item, Text)] == ["1", "two words"]
    assert isinstance(inner, Table)
    value = inner.get("c")
    assert isinstance(value, Text)
    assert (value.text, str(value.span)) == ("36 1/2", "card.yaml:3:6")
    assert table.get("d") is None


@pytest.mark.parametrize("text", ["\ufeffa: 1\na: 2\n", "a: 1\r\na: 2\r\n", "# é ½\na: 1\na: 2\n"])
def test_places_hold_with_byte_order_marks_line_ends_and_accents(text: str) -> None:
    node, found = read_tree(Source("x", text), CARD)
    assert isinstance(node, Table)
    assert isinstance(found[0], WrittenTwice)
    assert found[0].span is not None
    assert (found[0].span.text, found[0].span.column) == ("a", 1)
    assert found[0].labels[0].span.text == "a"


def test_of_a_key_written_twice_the_first_value_is_kept() -> None:
    node, _ = read_tree(Source("x", "a: 1\na: 2\n"), CARD)
    assert isinstance(node, Table)
    value = node.get("a")
    assert isinstance(value, Text)
    assert value.text == "1"


@pytest.mark.parametrize(
    "text",
    [
        "a: &x 1\n",
        "a: *x\n",
        "a: !!int 1\n",
        "a: !thing 1\n",
        "a: {<<: {b: 1}}\n",
        "[a]: 1\n",
        "a: 1\n---\nb: 2\n",
    ],
)
def test_devices_of_yaml_are_refused(text: str) -> None:
    node, found = read_tree(Source("x", text), CARD)
    assert node is None
    assert all(isinstance(d, NotOnACard) for d in found)
    assert found


def test_a_file_with_nothing_in_it_is_an_empty_text() -> None:
    node, found = read_tree(Source("x", "# only a remark\n"), CARD)
    assert isinstance(node, Text)
    assert (node.text, found) == ("", [])


HOSTILE = {
    "brackets": "[" * 20_000,
    "braces": "{a: " * 20_000,
    "dashes": "- " * 20_000,
    "stairs": "\n".join(" " * i + "a:" for i in range(1_200)),
    "laughs": "a: &a [x,x]\n" + "".join(f"b{i}: &b{i} [*a,*a,*a]\n" for i in range(1_000)),
    "many": "- a\n" * 200_000,
    "many keys": "{" + ",".join(f"a{i}" for i in range(100_000)) + "}",
    "quote": '"' + "x\n" * 400_000,
    "plain lines": "a: " + "x\n " * 300_000,
    "signs": "&a " * 100_000,
}


@pytest.mark.parametrize("loader", ["CSafeLoader", "SafeLoader"])
@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_files_are_read_in_bounds(name: str, loader: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(yaml_reader, "_LOADER", getattr(yaml, loader))
    started = time.process_time()
    node, found = read_tree(Source("x", HOSTILE[name]), CARD)
    assert time.process_time() - started < 2
    assert found or isinstance(node, Table)


def test_depth_is_limited_and_eight_is_allowed() -> None:
    assert codes("a: " + "[" * 7 + "]" * 7) == []
    assert codes("a: " + "[" * 8 + "]" * 8) == [FileTooLarge.code]


def test_entries_are_limited() -> None:
    assert codes("- a\n" * 4_990) == []
    assert codes("- a\n" * 5_001) == [FileTooLarge.code]
    assert codes("- a\n" * 5_001, CHART) == []


def test_size_is_limited() -> None:
    assert codes("# " + "x" * 1_000_000) == [FileTooLarge.code]
    assert codes("# " + "x" * 1_000_000, CHART) == []


def test_a_large_chart_takes_little_memory() -> None:
    text = "".join(f"s{i}: {{a: 1}}\n" for i in range(10_000))
    tracemalloc.start()
    node, _ = read_tree(Source("x", text), CHART)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert isinstance(node, Table)
    assert peak < 100_000_000


@pytest.mark.parametrize("character", ["\0", "\x07", "\x7f", "\x85", "\u2028", "\u202e", "\ud800", "\uffff"])
def test_unseen_characters_are_refused(character: str) -> None:
    assert codes(f"a: b{character}\n") == [NotPlainText.code]


def test_bytes_are_read_as_utf_8_only() -> None:
    source, found = read_source("card.yaml", "a: 36½\n".encode())
    assert source is not None
    assert (source.text, found) == ("a: 36½\n", [])
    source, found = read_source("card.yaml", "é: 36½\n".encode("latin-1"))
    assert source is None
    assert isinstance(found[0], NotPlainText)
    assert str(found[0].span) == "card.yaml:1:1"
    source, found = read_source("card.yaml", "è\nb: ".encode() + b"\xff\xfe")
    assert source is None
    assert str(found[0].span) == "card.yaml:2:4"


def test_too_many_bytes_are_not_even_decoded() -> None:
    source, found = read_source("card.yaml", b"\xff" * 4_000_001, CARD)
    assert source is None
    assert isinstance(found[0], FileTooLarge)


def test_text_for_a_sentence_is_short_and_on_one_line() -> None:
    assert clip("two\n  lines") == "two lines"
    assert len(clip("x" * 1_000)) == 41
