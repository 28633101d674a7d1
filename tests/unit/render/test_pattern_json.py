"""pattern.json holds to its published schema, and writes no number that a reader would trip over."""

import json
from dataclasses import replace

import jsonschema
import pytest
import saltmarsh

from scye.ir.pattern import AllowanceRun
from scye.render.pattern_json import Header, pattern_json, pattern_schema

HEADER = Header("0.1.0", "Saltmarsh bodice & skirt", "2")


@pytest.fixture(scope="module")
def read() -> dict:
    return json.loads(pattern_json([saltmarsh.pattern(), saltmarsh.metric()], HEADER))


def test_it_holds_to_the_schema(read):
    schema = json.loads(pattern_schema())
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.Draft202012Validator(schema).validate(read)


def test_the_schema_refuses_what_is_not_in_it(read):
    schema = json.loads(pattern_schema())
    broken = {**read, "bodies": [{**read["bodies"][0], "extra": 1}]}
    with pytest.raises(jsonschema.ValidationError, match="extra"):
        jsonschema.Draft202012Validator(schema).validate(broken)


def test_the_head_and_the_bodies(read):
    head = {key: read[key] for key in ("schema", "scye", "recipe", "edition", "unit")}
    assert head == {
        "schema": "urn:scye:pattern:1",
        "scye": "0.1.0",
        "recipe": "Saltmarsh bodice & skirt",
        "edition": "2",
        "unit": "mm",
    }
    assert [body["body"] for body in read["bodies"]] == ["Wren", 'Plover "1" <3>']


def test_a_net_edge_has_nought_and_a_stepped_edge_has_no_single_allowance():
    piece = saltmarsh.centre_front()
    seam = replace(piece.edges[1], allowances=(AllowanceRun(12.7, 0, 100), AllowanceRun(19.05, 100, 270)))
    pattern = saltmarsh.of_pieces(replace(piece, edges=(piece.edges[0], seam, *piece.edges[2:])))
    edges = json.loads(pattern_json([pattern], HEADER))["bodies"][0]["pieces"][0]["edges"]
    assert edges[0]["allowance"] == 0
    assert edges[1]["allowance"] is None
    assert [run["width"] for run in edges[1]["allowances"]] == [12.7, 19.05]


def test_an_unknown_figure_is_null_and_nought_has_no_sign(read):
    assert read["bodies"][0]["proofs"][1]["found"] is None
    seam = replace(saltmarsh.pattern().seams[1], difference=-0.00001)
    text = pattern_json([replace(saltmarsh.pattern(), seams=(seam,))], HEADER)
    assert b'"difference":0.0,' in text
    assert b"-0.0," not in text


def test_a_finding_says_where_it_stands(read):
    note, caution = read["bodies"][0]["findings"]
    assert (note["file"], note["line"]) == (None, None)
    assert (caution["severity"], caution["file"]) == ("caution", "bodice.scye")
    assert (caution["line"], caution["column"]) == (3, 1)


def test_no_bodies_is_still_a_whole_text():
    assert json.loads(pattern_json([], HEADER))["bodies"] == []
