"""Diagnostics as data."""

from __future__ import annotations

import json

from scye.diagnostics.command import MissingFile, MissingMethods
from scye.diagnostics.json import as_json
from scye.diagnostics.model import Label
from scye.source import Source, Span


def test_the_data_says_what_the_text_says():
    source = Source("coat.scye", 'recipe "A coat"\nuse sleves\n')
    slip = MissingMethods(
        name="sleves",
        near=("sleeves",),
        span=Span(source, 20, 26),
        labels=(Label(Span(source, 0, 15), "in this recipe"),),
    )
    assert json.loads(as_json([slip])) == [
        {
            "code": "E909",
            "severity": "error",
            "title": "no such file of methods",
            "seen": "there is no file of methods called `sleves`",
            "expected": "`sleves.scye` beside the recipe or among the standard methods",
            "try": "did you mean `sleeves`?",
            "place": {"file": "coat.scye", "line": 2, "column": 5, "end_line": 2, "end_column": 11},
            "labels": [
                {
                    "text": "in this recipe",
                    "place": {"file": "coat.scye", "line": 1, "column": 1, "end_line": 1, "end_column": 16},
                }
            ],
        }
    ]


def test_those_without_a_place_come_first_and_have_none():
    source = Source("coat.scye", "use x\n")
    placed = MissingMethods(name="x", span=Span(source, 4, 5))
    data = json.loads(as_json([placed, MissingFile(name="wren.yaml")]))
    assert [(entry["code"], entry["place"] is None) for entry in data] == [("E901", True), ("E909", False)]


def test_nothing_wrong_is_an_empty_list():
    assert as_json([]) == "[]\n"
