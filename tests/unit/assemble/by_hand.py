"""Small cutting plans and solutions made by hand, for any number of bodies (amounts in mm)."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from scye.assemble.assemble import assemble
from scye.assemble.materialise import materialise
from scye.assemble.on_paper import pieces_on_paper
from scye.geometry.path import Guide, Path, polyline
from scye.ir.pattern import Pattern, Stroke
from scye.ir.plan import (
    AllowPlan,
    BoundaryPlan,
    CornerPlan,
    CutPlan,
    CuttingPlan,
    DartPlan,
    DrillPlan,
    MatchPlan,
    MovePlan,
    PiecePlan,
    SewPlan,
    SidePlan,
)
from scye.ir.solution import Solution
from scye.prove.prove import prove
from scye.source import Source, Span
from scye.units.quantity import Kind

INCH = 25.4
SPAN = Span(Source("by hand", "recipe"), 0, 6)


class Paper:
    """A solution that is filled as a draft is drawn. Numbers may be one a body or one for all."""

    def __init__(self, count: int = 1) -> None:
        self.count = count
        self.values: list[Any] = []
        self.names: list[str] = []

    def keep(self, value: Any, name: str = "") -> int:
        self.values.append(value)
        self.names.append(name)
        return len(self.values) - 1

    def amount(self, mm: Any) -> int:
        return self.keep(np.atleast_1d(np.asarray(mm, dtype=float)))

    def point(self, x: Any, y: Any, name: str = "") -> int:
        return self.keep(at(x, y), name)

    def direction(self, x: float, y: float) -> int:
        return self.keep(at(x, y) / np.hypot(x, y))

    def level(self, y: Any, name: str = "") -> int:
        return self.keep(Guide(at(0.0, y), at(1.0, 0.0)), name)

    def plumb(self, x: Any, name: str = "") -> int:
        return self.keep(Guide(at(x, 0.0), at(0.0, 1.0)), name)

    def line(self, *points: tuple[Any, Any], name: str = "") -> int:
        return self.keep(polyline([at(x, y) for x, y in points]), name)

    def cubic(self, *points: tuple[Any, Any], name: str = "") -> int:
        rows = np.broadcast_arrays(*(at(x, y) for x, y in points))
        return self.keep(Path(np.stack(rows)[None], (False,)), name)

    def solution(self) -> Solution:
        return Solution(self.count, self.values, self.names)


def at(x: Any, y: Any) -> np.ndarray:
    x, y = np.broadcast_arrays(np.atleast_1d(np.asarray(x, float)), np.atleast_1d(np.asarray(y, float)))
    return np.stack((x, y))


def boundary(*sides: tuple[str, int] | tuple[str, int, int | None]) -> tuple[BoundaryPlan, ...]:
    return tuple(BoundaryPlan(side[0], side[1], SPAN, side[2] if len(side) > 2 else None) for side in sides)


def allow(
    edge: str, width: int | None, start: int | None = None, end: int | None = None, turned: bool = False
) -> AllowPlan:
    return AllowPlan(edge, width, start, end, turned, "", SPAN)


def cut(count: int = 1, how: Any = "plain", fold: str | None = None, layers: Any = ("self",)) -> CutPlan:
    return CutPlan(count, how, fold, tuple(layers), SPAN)


def piece(name: str, sides: Sequence[BoundaryPlan], **more: Any) -> PiecePlan:
    given = {
        "title": name.replace("_", " ").capitalize(), "draft": "front", "cuts": (cut(),),
        "grain": None, "bias": False, "one_way": False,
        "allowances": (), "corners": (), "notches": (), "drills": (), "moves": (), "labels": (),
    }  # fmt: skip
    return PiecePlan(name=name, boundary=tuple(sides), span=SPAN, **{**given, **more})


def dart(name: str, **more: Any) -> DartPlan:
    given = dict.fromkeys(
        ("edge_line", "mouth", "apex", "short", "intake", "angle", "start", "end", "pressed"), None
    )
    return DartPlan(**{"name": name, "draft": "front", "stations": (), "span": SPAN, **given, **more})


def sew(letter: str, first: Any, second: Any, **more: Any) -> SewPlan:
    sides = [tuple(SidePlan(p, e, False, SPAN) for p, e in side) for side in (first, second)]
    given = {"to_pair": False, "easings": (), "matches": ()}
    return SewPlan(letter=letter, first=sides[0], second=sides[1], span=SPAN, **{**given, **more})


def match(name: str, line: int | None = None, **more: Any) -> MatchPlan:
    given = {"first": None, "second": None, "distance": None, "origin": "start", "strokes": 1}
    return MatchPlan(name=name, line=line, span=SPAN, **{**given, **more})


def recipe(pieces: Sequence[PiecePlan], **more: Any) -> CuttingPlan:
    given = {
        "darts": (), "seams": (), "proofs": (), "keeps": (), "reports": (), "cautions": (),
        "seam_warn": None, "seam_fail": None,
    }  # fmt: skip
    return CuttingPlan("By hand", "by_hand", "1", (), tuple(pieces), **{**given, **more})


def skirt_front(count: int = 1, pressed: tuple[float, float] = (-1.0, 0.0)) -> tuple[CuttingPlan, Paper]:
    """A quarter skirt with one waist dart, cut on the fold; each body 5 mm wider than the one before."""
    paper = Paper(count)
    more = 5.0 * np.arange(count)
    cf = paper.plumb(0.0, "front.centre_front")
    waist = paper.cubic((0, 0), (80, 0), (150 + more, -4), (215 + more, -10), name="front.waist_seam")
    side = paper.cubic(
        (215 + more, -10), (235 + more, 60), (245 + more, 130), (245 + more, 200), name="front.side"
    )
    below = paper.line((245 + more, 200), (245 + more, 600))
    joined = paper.keep(
        Path(
            np.concatenate(np.broadcast_arrays(paper.values[side].ctrl, paper.values[below].ctrl)),
            (False, True),
        ),
        "front.side_seam",
    )
    hem = paper.level(600.0, "front.hem_line")
    hip = paper.level(200.0, "front.hip_line")
    mouth = paper.keep(_on(paper.values[waist], 0.5))
    apex = paper.keep(_on(paper.values[waist], 0.5) + np.array([[0.0], [100.0]]))
    darts = (
        dart(
            "front.waist_dart", edge_line=waist, mouth=mouth, apex=apex, short=paper.amount(12.0),
            intake=paper.amount(25.4), pressed=paper.direction(*pressed),
        ),
    )  # fmt: skip
    front = piece(
        "skirt_front",
        boundary(("centre_front", cf), ("waist_seam", waist), ("side_seam", joined), ("hem_line", hem)),
        cuts=(cut(1, "fold", "centre_front"),),
        allowances=(
            allow("side_seam", paper.amount(12.7)),
            allow("waist_seam", paper.amount(9.525)),
            allow("hem_line", paper.amount(50.8), turned=True),
        ),
    )
    del hip
    return recipe([front], darts=darts), paper


def _on(path: Path, t: float) -> np.ndarray:
    one, two, three, four = path.ctrl[0]
    s = 1 - t
    return s**3 * one + 3 * s * s * t * two + 3 * s * t * t * three + t**3 * four


def bodice_front(share: float | None = None, count: int = 1) -> tuple[CuttingPlan, Paper]:
    """Scenario A6: a side dart 5 in long, 1 in wide, is moved to 9 1/2 in from the apex."""
    paper = Paper(count)
    leg = np.sqrt((5 * INCH) ** 2 - (INCH / 2) ** 2)
    apex = paper.point(100.0, 300.0, "front.apex")
    cf, side = paper.plumb(0.0, "front.cf"), paper.plumb(100.0 + leg, "front.side")
    shoulder = paper.line((0.0, 300 - 9.5 * INCH), (100 + leg, 300 - 9.5 * INCH), name="front.shoulder")
    waist = paper.level(480.0, "front.waist_line")
    side_dart = dart(
        "front.side_dart", edge_line=side, mouth=paper.point(100 + leg, 300.0), apex=apex,
        short=paper.amount(INCH), intake=paper.amount(INCH), pressed=paper.direction(0.0, 1.0),
    )  # fmt: skip
    move = MovePlan(
        "front.side_dart", None if share is None else paper.amount(share), "shoulder",
        paper.point(100.0, 300 - 9.5 * INCH), "shoulder_dart", paper.direction(-1.0, 0.0), SPAN,
    )  # fmt: skip
    width = paper.amount(12.7)
    front = piece(
        "front",
        boundary(("cf", cf), ("shoulder", shoulder), ("side", side), ("waist", waist)),
        cuts=(cut(1, "fold", "cf"),),
        allowances=tuple(allow(edge, width) for edge in ("shoulder", "side", "waist")),
        moves=(move,),
        drills=(DrillPlan(apex, "apex", SPAN),),
    )
    return recipe([front], darts=(side_dart,)), paper


def drafted(plan: CuttingPlan, paper: Paper, body: int = 0) -> Pattern:
    """The pattern of one body, without values."""
    solution = paper.solution()
    assembly = assemble(plan, solution)
    proofs = prove(plan, assembly, solution, [Kind.LENGTH] * len(solution.values))
    return materialise(
        plan,
        assembly,
        proofs,
        body,
        body="Wren",
        date="",
        unit="in",
        pieces=pieces_on_paper(assembly, [body], ["in"])[0],
        workings={},
        caution_texts={},
    )


def turns(stroke: Stroke) -> np.ndarray:
    """The corner points of a stroke, (k, 2)."""
    return np.array([stroke.start, *(segment[-1] for segment in stroke.segments)])


def pegged_back(hem: float = 1.5, corners: Sequence[CornerPlan] = (), said: bool = True) -> tuple[Any, Paper]:
    """Scenario A7: a side seam 5 deg off square to the hem, a zip in CB, a vent below it."""
    paper = Paper()
    lean = 500.0 * np.tan(np.radians(5.0))
    cb, waist = paper.line((0.0, 0.0), (0.0, 400.0)), paper.level(0.0)
    side, level = paper.line((200.0, 0.0), (200.0 - lean, 500.0)), paper.level(500.0)
    vent = paper.line((0.0, 400.0), (0.0, 500.0))
    inches = {k: paper.amount(k * INCH) for k in (0.25, 0.375, 0.5, 0.75, hem)}
    allowances = [
        allow("cb", inches[0.75], None, paper.point(0.0, 180.0)),
        allow("cb", inches[0.5]),
        allow("waist", inches[0.375]),
        allow("side", inches[0.5]),
        allow("hem", inches[hem], turned=True),
    ]
    if said:
        allowances.append(allow("vent", None))
    back = piece(
        "back",
        boundary(("cb", cb), ("waist", waist), ("side", side), ("hem", level), ("vent", vent)),
        cuts=(cut(2, "pair"),),
        allowances=tuple(allowances),
        corners=tuple(corners),
    )
    return recipe([back]), paper


def alone(paper: Paper, body: int) -> Paper:
    """The same draft for one body of it."""
    single = Paper(1)
    single.names = paper.names
    for value in paper.values:
        match value:
            case Path():
                single.values.append(Path(_one(value.ctrl, body), value.straight))
            case Guide():
                single.values.append(Guide(_one(value.point, body), _one(value.direction, body)))
            case _:
                single.values.append(_one(value, body))
    return single


def _one(array: np.ndarray, body: int) -> np.ndarray:
    at = body if array.shape[-1] > 1 else 0
    return np.ascontiguousarray(array[..., at : at + 1])
