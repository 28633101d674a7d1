"""The SVG is at true scale, its paths are the pattern's paths, and every word is escaped."""

import json
from dataclasses import replace
from io import BytesIO
from itertools import pairwise
from xml.etree import ElementTree

import pytest
import saltmarsh
import svgelements

from scye.ir.pattern import Stroke
from scye.place.picture import lay_picture
from scye.render.pattern_json import Header, pattern_json
from scye.render.svg import path_data, pieces_svg

SVG = "{http://www.w3.org/2000/svg}"


def tree(pattern):
    return ElementTree.fromstring(pieces_svg(lay_picture(pattern)))


def test_one_unit_is_one_millimetre():
    root = tree(saltmarsh.pattern())
    width, height = root.get("width"), root.get("height")
    assert width.endswith("mm")
    assert root.get("viewBox") == f"0 0 {width[:-2]} {height[:-2]}"


def test_one_group_a_piece_named_after_it():
    groups = tree(saltmarsh.pattern()).findall(f"{SVG}g")
    assert [g.get("id") for g in groups] == ["centre_front", "side_front", "skirt_front", "button_loop"]


def test_words_are_escaped():
    pattern = replace(saltmarsh.metric(), recipe="A & B </text>\x07")
    words = [t.text for t in tree(pattern).iter(f"{SVG}text")]
    assert '1 of 4 · Plover "1" <3>' in words
    assert "A & B </text> , edition 2" in words


def test_the_paths_are_those_of_pattern_json():
    pattern = saltmarsh.pattern()
    pieces = json.loads(pattern_json([pattern], Header("0", "", "")))["bodies"][0]["pieces"]
    groups = tree(pattern).findall(f"{SVG}g")
    for piece, group in zip(pieces, groups, strict=True):
        drawn = {p.get("class"): p.get("d") for p in reversed(group.findall(f"{SVG}path"))}
        assert drawn["cut"] == piece["cutting"]
        assert drawn["stitch"] == piece["net"]


def test_another_reader_measures_the_same_lengths():
    """svgelements, an independent SVG reader: at 25.4 px an inch its pixels are millimetres."""
    text = pieces_svg(lay_picture(saltmarsh.pattern()))
    read = svgelements.SVG.parse(BytesIO(text), ppi=25.4)
    paths = [p for p in read.elements() if isinstance(p, svgelements.Path) and p.values.get("class") == "cut"]
    assert len(paths) == 4
    for path, piece in zip(paths, saltmarsh.pattern().pieces, strict=True):
        assert path.length(error=1e-5) == pytest.approx(exact_length(piece.cutting), abs=0.01)


def exact_length(stroke: Stroke) -> float:
    """By many chords: a rule of its own, not the reader's."""
    total, here = 0.0, complex(*stroke.start)
    for segment in stroke.segments:
        points = [here, *(complex(*p) for p in segment)]
        if len(points) == 2:
            total += abs(points[1] - here)
        else:
            a, b, c, d = points
            run = [
                a * (1 - t) ** 3 + 3 * b * t * (1 - t) ** 2 + 3 * c * t * t * (1 - t) + d * t**3
                for t in (k / 4000 for k in range(4001))
            ]
            total += sum(abs(q - p) for p, q in pairwise(run))
        here = points[-1]
    return total + abs(complex(*stroke.start) - here) * stroke.closed


def test_a_segment_of_no_length_is_dropped_and_nought_has_no_sign():
    stroke = Stroke(
        (-0.00001, 0), (((0.00002, 0),), ((10, 0),), ((10, 0), (10, 0), (10, 0)), ((10, 5.00004),)), True
    )
    assert path_data(stroke) == "M0,0L10,0L10,5Z"
