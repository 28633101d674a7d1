"""Collars, strips, frills and hoods: said in full, and used by recipes whose seams walk for every body."""

from __future__ import annotations

import math
from itertools import pairwise
from pathlib import Path

import pytest

from scye.diagnostics.model import Severity
from scye.ir import syntax as s
from scye.ir.pattern import Pattern, Stroke
from scye.parse.parser import parse_file
from scye.place.outline import flatten
from scye.source import Source
from workroom import INCH, ROOT, Workroom

HERE = Path(__file__).parent
FILES = ("collars", "frills", "hoods", "strips")
METHODS = [
    (path.stem, statement)
    for path in (ROOT / "stdlib" / f"{name}.scye" for name in FILES)
    for statement in parse_file(Source(path.name, path.read_text("utf-8")))[0].body
    if isinstance(statement, s.Method)
]
NECKS = {
    "small": {"neck_base": "10 1/2", "shoulder_length": "3 1/8", "wrist": "4 3/4", "head_girth": "20"},
    "usual": {"neck_base": "14 1/2", "shoulder_length": "4 7/8", "wrist": "6", "head_girth": "22"},
    "large": {"neck_base": "19", "shoulder_length": "6 1/2", "wrist": "9", "head_girth": "25"},
}


def drafted(room: Workroom, recipe: str, body: str, **choices: str) -> Pattern:
    return room.pattern(HERE / f"{recipe}.scye", NECKS[body], **choices)


def edge(pattern: Pattern, piece: str, name: str) -> float:
    (found,) = [e for p in pattern.pieces if p.name == piece for e in p.edges if e.name == name]
    return found.length


@pytest.mark.parametrize(("file", "method"), METHODS, ids=[f"{f}.{m.name.text}" for f, m in METHODS])
def test_a_method_says_what_it_is_and_what_it_takes(file: str, method: s.Method):
    assert method.about is not None
    silent = [given.name.text for given in method.parameters if given.sentence is None]
    assert silent == [], f"{file}.scye, {method.name.text}"


def test_every_method_is_used_by_a_recipe():
    recipes = [*(ROOT / "recipes").glob("*/*.scye"), *HERE.glob("*.scye"), *(ROOT / "stdlib").glob("*.scye")]
    texts = " ".join(path.read_text("utf-8") for path in recipes).split()
    drawn = {word for before, word in pairwise(texts) if before == "by"}
    assert {method.name.text for _, method in METHODS} - drawn == set()


@pytest.mark.parametrize("body", NECKS)
@pytest.mark.parametrize("recipe", ["three-collars", "trimmings"])
def test_every_seam_walks_for_every_body(room: Workroom, recipe: str, body: str):
    pattern = drafted(room, recipe, body)
    assert [f.text for f in pattern.findings if f.severity >= Severity.CAUTION] == []
    assert {seam.verdict for seam in pattern.seams} == {"walks true"}


def test_a_flat_collar_rolls_higher_the_more_its_shoulders_lap(room: Workroom):
    """Its neck keeps its length, but for a hair where it is blended, and its outer edge grows shorter."""
    laps = [drafted(room, "three-collars", "usual", lap=f"{lap} in") for lap in ("0", "1/2", "1", "2")]
    necks = [edge(pattern, "flat_collar", "flat.neck") for pattern in laps]
    outers = [edge(pattern, "flat_collar", "flat.outer") for pattern in laps]
    assert necks == pytest.approx([necks[0]] * 4, abs=0.2)
    assert outers == sorted(outers, reverse=True)
    assert outers[0] - outers[3] > 0.9 * INCH


@pytest.mark.parametrize("body", NECKS)
@pytest.mark.parametrize("lap", ["0", "1/2", "2"])
def test_a_flat_collar_has_no_corner_where_the_shoulders_lap(room: Workroom, body: str, lap: str):
    pattern = drafted(room, "three-collars", body, lap=f"{lap} in")
    collar = next(p for p in pattern.pieces if p.name == "flat_collar")
    neck, outer = (next(e for e in collar.edges if e.name == f"flat.{name}") for name in ("neck", "outer"))
    # The necks of this recipe don't leave the shoulder square, so the drawn corner is more than the lap's.
    assert sharpest(neck.path) < math.radians(0.5)
    assert sharpest(outer.path) < math.radians(0.5)


@pytest.mark.parametrize("body", NECKS)
@pytest.mark.parametrize("lap", ["0", "1/2", "2"])
def test_a_flat_collar_is_as_deep_all_round_as_is_said(room: Workroom, body: str, lap: str):
    pattern = drafted(room, "three-collars", body, lap=f"{lap} in")
    collar = next(p for p in pattern.pieces if p.name == "flat_collar")
    neck, outer = (next(e for e in collar.edges if e.name == f"flat.{name}") for name in ("neck", "outer"))
    beside = flatten(neck.path)
    deep = [min(math.dist(p, q) for q in beside) for p in flatten(outer.path)]
    assert deep == pytest.approx([2.5 * INCH] * len(deep), abs=2.0)


def sharpest(line: Stroke) -> float:
    """How far a line turns at most where one part of it runs on into the next, radians."""
    begins = [line.start, *(segment[-1] for segment in line.segments)]
    turns = [0.0]
    for (begin, one), (middle, two) in pairwise(zip(begins, line.segments, strict=False)):
        before = one[-2] if len(one) > 1 else begin
        (ax, ay), (bx, by) = ((q[0] - p[0], q[1] - p[1]) for p, q in ((before, middle), (middle, two[0])))
        turns.append(abs(math.atan2(ax * by - ay * bx, ax * bx + ay * by)))
    return max(turns)


@pytest.mark.parametrize("part", [20, 50, 75, 90])
def test_a_flounce_is_a_part_of_a_ring(room: Workroom, part: int):
    """The inner edge is that share of 2 pi r, and the outer one of 2 pi (r + depth)."""
    pattern = drafted(room, "trimmings", "usual", ring_part=f"{part}%")
    inner, outer = edge(pattern, "flounce", "ring.inner"), edge(pattern, "flounce", "ring.outer")
    radius = inner / (2 * math.pi * part / 100)
    assert inner == pytest.approx(7 * INCH, abs=1e-3)
    assert outer == pytest.approx(2 * math.pi * (radius + 4 * INCH) * part / 100, rel=1e-5)
    (flounce,) = [p for p in pattern.pieces if p.name == "flounce"]
    ends = [e for e in flounce.edges if e.name.endswith("_end")]
    assert [e.length for e in ends] == pytest.approx([4 * INCH] * 2)


def test_a_frill_says_how_full_it_is(room: Workroom):
    pattern = drafted(room, "trimmings", "usual", fulness="2.5")
    (text,) = [text for title, text in pattern.reports if title.endswith("gathered")]
    assert text == "17 1/2 in into 7 in, 2.5 to 1"
