"""lay.json: where every cut lies, for machines to read; mm and radians."""

from __future__ import annotations

import json
from collections.abc import Iterable

from scye.ir.lay import Lay, Placement, Reckoning, Stretch
from scye.render.grade_json import Json

SCHEMA = "urn:scye:lay:1"


def lay_json(lay: Lay, reckoning: Reckoning, version: str) -> bytes:
    """One JSON text, a placement to a line. How to lay a piece is told by `ir.lay.Placement`."""
    garment, cloth = lay.garment, lay.cloth
    head: Json = {
        "schema": SCHEMA,
        "scye": version,
        "recipe": garment.recipe,
        "edition": garment.edition,
        "body": garment.body,
        "unit": "mm",
        "cloth": {
            "layer": cloth.layer,
            "width": _number(cloth.width),
            "nap": cloth.nap,
            "folded": cloth.folded,
            "repeat": _number(cloth.repeat),
            "shrinkage": {"along": cloth.shrinkage.along, "across": cloth.shrinkage.across},
            "gap": _number(cloth.gap),
            "ends": _number(cloth.ends),
        },
        "way": lay.way,
        "length": _number(lay.length),
        "area": _number(lay.area),
        "efficiency": round(lay.efficiency, 6),
        "buy": reckoning.buy.amount,
        "figures": [
            {"name": f.name, "amount": f.amount, "from": f.source}
            for f in (*reckoning.lines, reckoning.buy, *reckoning.check, *reckoning.notes)
        ],
    }
    stretches = _lines(_stretch(stretch) for stretch in lay.stretches)
    return (_text(head)[:-1] + ',"stretches":' + stretches + "}\n").encode()


def _stretch(stretch: Stretch) -> str:
    head: Json = {
        "folded": stretch.folded,
        "start": _number(stretch.start),
        "length": _number(stretch.length),
        "width": _number(stretch.width),
    }
    placements = _lines(_text(_placement(p)) for p in stretch.placements)
    return _text(head)[:-1] + ',"placements":' + placements + "}"


def _placement(placement: Placement) -> Json:
    x, y = placement.move
    return {
        "piece": placement.piece,
        "copy": placement.copy,
        "of": placement.of,
        "mirrored": placement.mirrored,
        "opened": placement.opened,
        "on_fold": placement.on_fold,
        "both_layers": placement.double,
        "angle": round(placement.angle, 9) + 0.0,
        "x": _number(x),
        "y": _number(y),
    }


def _lines(rows: Iterable[str]) -> str:
    return "[\n" + ",\n".join(rows) + "\n]"


def _text(value: Json) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"), allow_nan=False)


def _number(value: float) -> float:
    return round(value, 4) + 0.0
