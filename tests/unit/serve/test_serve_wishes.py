"""Messages of a page, and of whatever pretends to be one."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scye.serve import wishes as w

DRAW: dict[str, Any] = {
    "do": "draw", "number": 3, "body": "wren", "measures": {"bust": "36 in"}, "choices": {}, "under": ["12"],
    "unit": "cm",
}  # fmt: skip


def test_wishes_are_read():
    expected = w.Draw(3, "wren", (("bust", "36 in"),), (), ("12",), "cm")
    assert w.read_wish(json.dumps(DRAW)) == expected
    assert w.read_wish('{"do": "save", "text": "recipe"}') == w.Save("recipe")
    along = '{"do": "along", "piece": "front", "edge": "side", "start": [1, 2.5], "end": "notch waist"}'
    assert w.read_wish(along) == w.Along("front", "side", (1.0, 2.5), "notch waist")


@pytest.mark.parametrize(
    "changed",
    [
        {"number": "3"},
        {"body": None},
        {"body": "w" * 200},
        {"measures": {"bust": 36}},
        {"measures": [["bust", "36"]]},
        {"measures": {f"m{i}": "1 in" for i in range(500)}},
        {"under": "12"},
        {"unit": "furlong"},
        {"do": "undo"},
        {"do": ["draw"]},
    ],
)
def test_what_is_not_quite_a_wish_is_none(changed):
    assert w.read_wish(json.dumps({**DRAW, **changed})) is None


ENDLESS = '{"do": "along", "piece": "a", "edge": "b", "start": [1e999, 0], "end": "x"}'
LONG, NUL = (json.dumps({"do": "save", "text": text}) for text in ("x" * 1_000_001, "a\0b"))


@pytest.mark.parametrize("message", ["", "null", "[]", "{", "7", ENDLESS, "[" * 100_000, LONG, NUL])
def test_no_message_is_trouble(message):
    assert w.read_wish(message) is None


LEAVES = st.none() | st.booleans() | st.floats() | st.text()


@given(st.recursive(LEAVES, lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner)))
def test_any_data_is_a_wish_or_none(data):
    w.read_wish(json.dumps(data))
    w.read_wish(json.dumps({"do": "draw", **(data if isinstance(data, dict) else {"number": data})}))
