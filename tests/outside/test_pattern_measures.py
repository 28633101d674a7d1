"""Whole patterns measured again by outside means, to a hundredth of a millimetre.

svgelements reads the path data that is written to pieces.svg and pattern.json and measures lengths; shapely
measures the areas of outlines drawn as short chords, whether they cross themselves, and girths on a level.
"""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import pytest
from shapely.geometry import LineString, Point, Polygon
from svgelements import CubicBezier, Line, Move  # type: ignore[import-untyped]
from svgelements import Path as SvgPath

from scye.geometry.area import signed_area
from scye.geometry.path import Path as DrawnPath
from scye.ir.pattern import DartMark, Edge, Pattern, Stroke
from scye.render.pattern_json import Header, pattern_json
from scye.render.svg import path_data
from workroom import ROOT, Workroom, client_for, recipes

HUNDREDTH = 0.01  # mm
WIDE = 3.0  # widths of its allowance that an edge is long, for its own cutting line to be the nearest
BODIES = ["wren", "plover", "knot"]
SALTMARSH = ROOT / "recipes" / "saltmarsh-bodice" / "saltmarsh-bodice.scye"

every_recipe = pytest.mark.parametrize("recipe", recipes(), ids=lambda path: path.stem)
every_body = pytest.mark.parametrize("body", BODIES)


def segments(data: str) -> list[CubicBezier | Line]:
    return [s for s in SvgPath(data) if not isinstance(s, Move)]


def length(data: str) -> float:
    return float(sum(s.length(error=1e-7) for s in segments(data)))


def chords(data: str) -> list[tuple[float, float]]:
    steps = [i / 200 for i in range(201)]
    return [(x, y) for s in segments(data) for x, y in s.npoint(steps)]


def outline(data: str) -> Polygon:
    return Polygon(chords(data))


def as_drawn(stroke: Stroke) -> DrawnPath:
    """The stroke as the compiler's own kind of path."""
    here, rows = np.array(stroke.start), []
    for segment in stroke.segments:
        end = np.array(segment[-1])
        inner = segment[:2] if len(segment) == 3 else (here + (end - here) / 3, here + (end - here) * 2 / 3)
        rows.append(np.stack([here, *map(np.array, inner), end]))
        here = end
    return DrawnPath(np.stack(rows)[..., None], tuple(len(s) == 1 for s in stroke.segments))


def written(pattern: Pattern) -> dict[str, dict[str, object]]:
    """The pieces of pattern.json by name."""
    header = Header("0", pattern.recipe, pattern.edition)
    (body,) = json.loads(pattern_json([pattern], header))["bodies"]
    return {piece["name"]: piece for piece in body["pieces"]}


@every_recipe
@every_body
def test_lengths_of_edges(room: Workroom, recipe: Path, body: str) -> None:
    """Each edge as it is drawn, and all of them together round the outline."""
    pattern = room.pattern(recipe, client_for(recipe, body))
    pieces = written(pattern)
    for piece in pattern.pieces:
        edges = pieces[piece.name]["edges"]
        assert isinstance(edges, list)
        for edge, shown in zip(piece.edges, edges, strict=True):
            assert length(shown["path"]) == pytest.approx(edge.drawn, abs=HUNDREDTH)
        whole = length(str(pieces[piece.name]["net"]))
        assert whole == pytest.approx(sum(edge.drawn for edge in piece.edges), abs=HUNDREDTH)


@every_recipe
@every_body
def test_areas_of_outlines(room: Workroom, recipe: Path, body: str) -> None:
    """The exact area by Green's theorem and that of the drawn chords differ by less than a hundredth of a
    millimetre all round; what is cut takes in all that is sewn."""
    for piece in room.pattern(recipe, client_for(recipe, body)).pieces:
        for stroke in (piece.net, piece.cutting):
            shape = outline(path_data(stroke))
            assert shape.is_valid
            assert shape.area == pytest.approx(
                abs(float(signed_area(as_drawn(stroke))[0])), abs=HUNDREDTH * shape.length
            )
        net, cutting = outline(path_data(piece.net)), outline(path_data(piece.cutting))
        assert cutting.buffer(0.02).contains(net)


def sewn_place(edge: Edge, darts: Sequence[DartMark], along: float) -> Point:
    """The place that lies `along` mm of the edge when its darts are sewn."""
    line = LineString(chords(path_data(edge.path)))
    own = [dart.legs[0] for dart in darts if dart.edge == edge.name]
    mouths = [sorted(line.project(Point(end)) for end in (legs.start, legs.segments[-1][-1])) for legs in own]
    for begins, ends in sorted(mouths):
        along += ends - begins if along >= begins else 0.0
    return line.interpolate(along)


@every_recipe
@every_body
def test_allowances_are_as_wide_as_they_say(room: Workroom, recipe: Path, body: str) -> None:
    """From within every stretch of an edge, away from its darts, the cutting line is as far off as its
    allowance."""
    for piece in room.pattern(recipe, client_for(recipe, body)).pieces:
        cutting = outline(path_data(piece.cutting)).exterior
        for edge in piece.edges:
            for run in edge.allowances:
                if run.end - run.start < WIDE * run.width:
                    continue  # the allowance of the edge beside it is nearer
                place = sewn_place(edge, piece.darts, run.start + 0.4 * (run.end - run.start))
                assert cutting.distance(place) == pytest.approx(run.width, abs=0.05), (piece.name, edge.name)


@every_body
def test_girths_of_the_saltmarsh_bodice(room: Workroom, body: str) -> None:
    """Every finished piece cut by a level line, twice for the pair: what the proofs found, to a hundredth."""
    pattern = room.pattern(SALTMARSH, body)
    proofs = {proof.name: proof for proof in pattern.proofs}
    shapes = [outline(path_data(piece.net)) for piece in pattern.pieces]
    levels = {"bust": "bust", "underbust": "underbust", "laced waist": "waist", "high hip": "high_hip"}
    for name, level in levels.items():
        (guide,) = room.thing(SALTMARSH, body, f"body.{level}_line")
        cut = LineString([(-2000.0, float(guide.point[1, 0])), (2000.0, float(guide.point[1, 0]))])
        girth = 2 * sum(shape.intersection(cut).length for shape in shapes)
        assert girth == pytest.approx(proofs[name].found, abs=HUNDREDTH)
        assert girth == pytest.approx(proofs[name].expected, abs=proofs[name].within)


@every_recipe
def test_pieces_svg_holds_the_same_lines(room: Workroom, recipe: Path) -> None:
    """The stitch and cutting lines of pieces.svg are those of pattern.json: at true scale, moved but not
    bent."""
    _, out = room.build(recipe, client_for(recipe, "wren"))
    svg = (out / "pieces.svg").read_text(encoding="utf-8")
    (body,) = json.loads((out / "pattern.json").read_text(encoding="utf-8"))["bodies"]
    for pen, key in (("cut", "cutting"), ("stitch", "net")):
        groups = re.findall(
            rf'<g id="([^"]+)"[^>]*>\s*(?:<(?!g)[^>]*>\s*)*?<path class="{pen}" d="([^"]+)"', svg
        )
        found = {name: length(data) for name, data in groups}
        assert found == pytest.approx({p["name"]: length(p[key]) for p in body["pieces"]}, abs=HUNDREDTH)
    width, height = re.findall(r'<svg[^>]* width="([\d.]+)mm" height="([\d.]+)mm"', svg)[0]
    assert re.findall(r'viewBox="([^"]+)"', svg) == [f"0 0 {width} {height}"]
