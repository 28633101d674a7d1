"""The DXF files as ezdxf reads them, against pattern.json of the same run.

Reader: ezdxf (MIT licence), which checks a file against Autodesk's DXF reference; R12 is its version AC1009.
What an area and a length should be is worked out here from the paths of pattern.json by Gauss quadrature,
which is exact for the area within a cubic.
"""

from __future__ import annotations

import json
import math
import re
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import ezdxf
import numpy as np
import pytest

from scye.driver import run_build
from scye.ir.requests import BuildRequest, PrintWishes
from workroom import ROOT

NODES, WEIGHTS = np.polynomial.legendre.leggauss(24)
SALTMARSH = ROOT / "recipes" / "saltmarsh-bodice" / "saltmarsh-bodice.scye"
METHOD = ROOT / "examples" / "08-method" / "08-method.scye"
SKIRT = ROOT / "tests" / "scenarios" / "pegged-skirt.scye"
CARD = ROOT / "examples" / "cards" / "wren.yaml"
CHART = ROOT / "stdlib" / "charts" / "us-misses.yaml"


@dataclass(frozen=True)
class Run:
    folder: Path

    def drawing(self, name: str) -> Any:
        return ezdxf.readfile(self.folder / name)

    @property
    def bodies(self) -> list[dict[str, Any]]:
        text = (self.folder / "pattern.json").read_text(encoding="utf-8")
        bodies: list[dict[str, Any]] = json.loads(text)["bodies"]
        return bodies


def built(recipe: Path, folder: Path, *sizes: str) -> Run:
    wishes = PrintWishes(papers=(), dxf=True)
    given = ((), CHART, sizes) if sizes else ((CARD,), None, ())
    request = BuildRequest(recipe, *given, (), None, folder, prints=wishes)
    run_build(request, lambda _line: None)
    return Run(folder)


@pytest.fixture(scope="module", params=[SALTMARSH, METHOD, SKIRT], ids=lambda path: path.stem)
def one(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Run:
    return built(request.param, tmp_path_factory.mktemp("dxf"))


@pytest.fixture(scope="module")
def sizes(tmp_path_factory: pytest.TempPathFactory) -> Run:
    return built(SALTMARSH, tmp_path_factory.mktemp("nest"), "10", "12", "14")


def blocks(drawing: Any) -> dict[tuple[str, str], Any]:
    """The blocks of pieces by what their texts say: name and size."""
    found = {}
    for block in drawing.blocks:
        texts = dict(e.dxf.text.split(": ", 1) for e in block if e.dxftype() == "TEXT" and e.dxf.layer == "1")
        if "PIECE NAME" in texts:
            found[texts["PIECE NAME"], texts["SIZE"]] = block
    return found


def test_nothing_is_amiss_in_the_files(one: Run, sizes: Run) -> None:
    for drawing in (one.drawing("pieces.dxf"), sizes.drawing("nest.dxf"), sizes.drawing("10-pieces.dxf")):
        audit = drawing.audit()
        assert (audit.errors, audit.fixes) == ([], [])
        assert drawing.dxfversion == "AC1009"


def test_every_block_is_inserted_once(one: Run, sizes: Run) -> None:
    for drawing in (one.drawing("pieces.dxf"), sizes.drawing("nest.dxf")):
        names = [insert.dxf.name for insert in drawing.modelspace().query("INSERT")]
        assert sorted(names) == sorted(block.name for block in blocks(drawing).values())
        assert len(names) == len(set(names))


def test_areas_and_lengths_come_back(one: Run) -> None:
    (body,) = one.bodies
    found = blocks(one.drawing("pieces.dxf"))
    assert len(found) == len(body["pieces"])
    for piece in body["pieces"]:
        block = found[piece["title"], body["body"]]
        for layer, path in (("1", piece["cutting"]), ("14", piece["net"])):
            points = polyline(block, layer)
            length, area = measured(path)
            assert abs(around(points) - length) < 0.01, (piece["name"], layer)
            # The area's line is nowhere off by more than a hundredth of a mm on the whole.
            assert abs(enclosed(points) - area) < 0.01 * length, (piece["name"], layer)


def test_notches_grain_and_drill_holes_come_back(one: Run) -> None:
    (body,) = one.bodies
    found = blocks(one.drawing("pieces.dxf"))
    for piece in body["pieces"]:
        block = found[piece["title"], body["body"]]
        expected = [up(notch["cut"]) for notch in piece["notches"]]
        assert same_places(places(block, "4"), expected)
        holes = [drill["at"] for drill in piece["drills"]]
        holes += [place for mark in piece.get("findings_marked", ()) for place in mark["places"]]
        assert same_places(places(block, "13"), [up(place) for place in holes])
        (grain,) = block.query("LINE[layer=='7']")
        ends = [tuple(grain.dxf.start)[:2], tuple(grain.dxf.end)[:2]]
        assert same_places(ends, [up(piece["grain"]["from"]), up(piece["grain"]["to"])])


def test_notches_lie_on_the_cutting_line(one: Run) -> None:
    for block in blocks(one.drawing("pieces.dxf")).values():
        points = polyline(block, "1")
        for notch in places(block, "4"):
            assert off_line(notch, points) < 0.03


def test_every_vertex_of_the_cutting_line_is_a_turn_or_a_curve_point(one: Run) -> None:
    for block in blocks(one.drawing("pieces.dxf")).values():
        marked = sorted([*places(block, "2"), *places(block, "3")])
        assert marked == sorted(polyline(block, "1"))
        assert len(places(block, "2")) >= 3


def test_a_fold_is_a_mirror_line_and_a_dart_an_internal_line(tmp_path: Path) -> None:
    run = built(ROOT / "examples" / "02-skirt" / "02-skirt.scye", tmp_path)
    (piece,) = run.bodies[0]["pieces"]
    (fold,) = (edge for edge in piece["edges"] if edge["on_fold"])
    (dart,) = piece["darts"]
    (block,) = blocks(run.drawing("pieces.dxf")).values()
    (mirror,) = block.query("LINE[layer=='6']")
    assert math.dist(mirror.dxf.start, mirror.dxf.end) == pytest.approx(fold["drawn"], abs=0.01)
    internal = [polyline_points(e) for e in block.query("POLYLINE[layer=='8']")]
    assert any(same_places([points[1]], [up(dart["point"])]) for points in internal if len(points) == 3)


def test_the_nest_has_a_block_a_size_with_its_own_area(sizes: Run) -> None:
    found = blocks(sizes.drawing("nest.dxf"))
    assert len(found) == sum(len(body["pieces"]) for body in sizes.bodies) == 15
    for body in sizes.bodies:
        for piece in body["pieces"]:
            points = polyline(found[piece["title"], body["body"]], "1")
            length, area = measured(piece["cutting"])
            assert abs(around(points) - length) < 0.01
            assert abs(enclosed(points) - area) < 0.01 * length
            assert len(places(found[piece["title"], body["body"]], "4")) == len(piece["notches"])


def test_the_sizes_of_a_piece_are_laid_at_one_place(sizes: Run) -> None:
    """All three are inserted at the same place, the corner of centre front and waist at (0, 0) in each."""
    drawing = sizes.drawing("nest.dxf")
    by_piece: dict[str, list[Any]] = {}
    for (title, _), block in blocks(drawing).items():
        by_piece.setdefault(title, []).append(block.name)
    inserts = {insert.dxf.name: tuple(insert.dxf.insert) for insert in drawing.modelspace().query("INSERT")}
    for names in by_piece.values():
        assert len(names) == 3
        assert len({inserts[name] for name in names}) == 1
    fronts = [blocks(drawing)["Centre front", size] for size in ("10", "12", "14")]
    assert max(min(abs(y) for _, y in places(front, "4")) for front in fronts) < 0.01


# --- reading ------------------------------------------------------------------------------------


def up(place: list[float]) -> tuple[float, float]:
    return place[0], -place[1]


def places(block: Any, layer: str) -> list[tuple[float, float]]:
    return [tuple(e.dxf.location)[:2] for e in block.query(f"POINT[layer=='{layer}']")]


def polyline(block: Any, layer: str) -> list[tuple[float, float]]:
    (found,) = block.query(f"POLYLINE[layer=='{layer}']")
    assert found.is_closed
    return polyline_points(found)


def polyline_points(entity: Any) -> list[tuple[float, float]]:
    return [tuple(vertex.dxf.location)[:2] for vertex in entity.vertices]


def same_places(one: list[Any], other: list[Any]) -> bool:
    pairs = zip(sorted(one), sorted(other), strict=True)
    return all(math.dist(a, b) < 0.01 for a, b in pairs)


def around(points: list[tuple[float, float]]) -> float:
    return sum(math.dist(a, b) for a, b in zip(points, [*points[1:], points[0]], strict=True))


def enclosed(points: list[tuple[float, float]]) -> float:
    pairs = zip(points, [*points[1:], points[0]], strict=True)
    return abs(sum(ax * by - bx * ay for (ax, ay), (bx, by) in pairs)) / 2


def off_line(place: tuple[float, float], points: list[tuple[float, float]]) -> float:
    return min(off_segment(place, a, b) for a, b in zip(points, [*points[1:], points[0]], strict=True))


def off_segment(p: tuple[float, float], a: tuple[float, float], b: tuple[float, float]) -> float:
    dx, dy = b[0] - a[0], b[1] - a[1]
    share = ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / (dx * dx + dy * dy)
    share = min(1.0, max(0.0, share))
    return math.dist(p, (a[0] + share * dx, a[1] + share * dy))


def measured(path: str) -> tuple[float, float]:
    """Length and area of a closed SVG path of M, L and C."""
    length = area = 0.0
    for controls in segments(path):
        x, y, dx, dy = on_cubic(controls)
        length += float((WEIGHTS * np.hypot(dx, dy)).sum()) / 2
        area += float((WEIGHTS * (x * dy - y * dx)).sum()) / 4
    return length, abs(area)


def segments(path: str) -> list[np.ndarray]:
    """Each segment as the control points (4, 2) of a cubic."""
    rows = []
    start = here = (0.0, 0.0)
    for letter, figures in re.findall(r"([MLCZ])([^MLCZ]*)", path):
        numbers = [float(n) for n in re.findall(r"-?[\d.]+", figures)]
        points = list(zip(numbers[::2], numbers[1::2], strict=True))
        if letter == "M":
            start = here = points[0]
            continue
        ends = points if letter == "C" else [*(points or [start])]
        if letter == "C":
            rows.append(np.array([here, *ends]))
        else:
            for end in ends:
                rows.append(np.array([here, thirds(here, end, 1), thirds(here, end, 2), end]))
                here = end
        here = ends[-1]
    return rows


def thirds(a: tuple[float, float], b: tuple[float, float], k: int) -> tuple[float, float]:
    return a[0] + (b[0] - a[0]) * k / 3, a[1] + (b[1] - a[1]) * k / 3


def on_cubic(controls: np.ndarray) -> tuple[np.ndarray, ...]:
    t = (NODES + 1) / 2
    s = 1 - t
    shares = np.stack([s**3, 3 * s * s * t, 3 * s * t * t, t**3])
    slopes = np.stack([3 * s * s, 6 * s * t, 3 * t * t])
    (x, y), (dx, dy) = controls.T @ shares, np.diff(controls, axis=0).T @ slopes
    return x, y, dx, dy
