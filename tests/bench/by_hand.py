"""The Saltmarsh draft by hand: plain numpy over all bodies, with the geometry room for its curves."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from scye.geometry.fair import fair_curve
from scye.geometry.intersect import meet
from scye.geometry.path import Guide, Path, nearest, tangent
from scye.solve.kernels import panel_edge

INCH = 25.4
WIDTHS = np.array([3.5, 4.0, 3.5, 3.25, 2.75])
SHARES = (0.35, 0.2, 0.2, 0.2, 0.05)

Arrays = Mapping[str, np.ndarray]


def draft(m: Arrays, c: Arrays) -> dict[str, Path]:
    """The lines of the five panels, by their names in the recipe, from measures and choices (n,) in mm."""
    with np.errstate(all="ignore"):
        gap = c["lacing_gap"]
        half_bust, half_underbust = (m["bust"] - gap) / 2, (m["underbust"] - gap) / 2
        half_waist, half_high_hip = (m["waist"] - c["reduction"] - gap) / 2, (m["high_hip"] - gap) / 2
        panels = [half_bust * share for share in WIDTHS / WIDTHS.sum()]
        suppression, under = half_bust - half_waist, half_bust - half_underbust
        spring = (half_high_hip - half_waist) / 9
        rule = m["bust"] / 12 + 4.25 * INCH
        underbust = _or_rule(m, "bust_to_underbust", 3 * INCH)
        waist = _or_rule(m, "bust_to_waist", rule)
        high_hip = waist + _or_rule(m, "waist_to_high_hip", 4 * INCH)
        levels = (-(c["top_rise"] + INCH / 2), 0 * gap, underbust, waist, high_hip)
        lines: dict[str, Path] = {}
        places = []
        at = 0 * half_bust
        for i in range(4):
            at = at + panels[i]
            places.append(at)
            takes = (
                0 * gap,
                0 * gap,
                under * SHARES[i],
                suppression * SHARES[i],
                suppression * SHARES[i] - 2 * spring,
            )
            lines[f"body.seam[{i + 1}].left"] = _edge(at, levels, takes, -0.5)
            lines[f"body.seam[{i + 1}].right"] = _edge(at, levels, takes, 0.5)
        takes = (
            0 * gap,
            0 * gap,
            under * SHARES[4],
            suppression * SHARES[4],
            suppression * SHARES[4] - spring,
        )
        lines["body.back.left"] = _edge(half_bust, levels, takes, -1.0)
        lines["body.top_edge"] = _top_edge(places, half_bust, c["top_rise"])
        return lines | _hems(lines, high_hip, c["front_point"])


def _or_rule(m: Arrays, name: str, rule: np.ndarray | float) -> np.ndarray:
    return np.where(np.isnan(m[name]), rule, m[name])


def _point(x: np.ndarray | float, y: np.ndarray | float) -> np.ndarray:
    return np.stack(np.broadcast_arrays(x, y))


DOWN, RIGHT = np.array([[0.0], [1.0]]), np.array([[1.0], [0.0]])


def _edge(
    at: np.ndarray, levels: tuple[np.ndarray, ...], takes: tuple[np.ndarray, ...], share: float
) -> Path:
    stations = [_point(at, level) for level in levels]
    return panel_edge(Guide(stations[0], DOWN), stations, [take * share for take in takes])


def _top_edge(places: list[np.ndarray], back: np.ndarray, rise: np.ndarray) -> Path:
    fall = rise - INCH
    points = [
        _point(0.0, -(rise - INCH / 2)),
        _point(places[0], -rise),
        _point(places[1], -(INCH + fall * 0.4)),
        _point(places[2], -(INCH + fall * 0.1)),
        _point(back, -INCH),
    ]
    return fair_curve(points, (RIGHT, None, None, None, RIGHT))


def _hems(lines: dict[str, Path], high_hip: np.ndarray, front_point: np.ndarray) -> dict[str, Path]:
    """Between the points where the panels' edges cross their levels, square to the edges."""
    drops = (front_point / 2, 0.375 * INCH, 0.25 * INCH, 0.375 * INCH)
    hems = {}
    start, leaving = _point(0.0, high_hip + front_point), None
    for i, drop in enumerate(drops):
        finish, arriving = _crossing(lines[f"body.seam[{i + 1}].left"], high_hip + drop)
        hems[f"body.hem[{i + 1}]"] = fair_curve((start, finish), (leaving, arriving))
        start, leaving = _crossing(lines[f"body.seam[{i + 1}].right"], high_hip + drop)
    finish, arriving = _crossing(lines["body.back.left"], high_hip + INCH / 2)
    hems["body.hem[5]"] = fair_curve((start, finish), (leaving, arriving))
    return hems


def _crossing(edge: Path, level: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Where an edge crosses a level, and the direction square to it there, to the right."""
    point = meet(edge, Guide(_point(0.0, level), RIGHT)).point[0]
    along = tangent(edge, nearest(edge, point)[0])
    square = np.stack((-along[1], along[0]))
    return point, np.where(square[0] < 0, -square, square)
