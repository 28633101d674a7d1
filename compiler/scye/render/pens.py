"""The lines of a sheet: how wide each pen is and how it is dashed (mm). Black on white only.

A projector of 1,280 by 720 dots thrown 36 in wide has dots of 0.7 mm, so its pens are two to four times as
wide: none is thinner than a dot.
"""

from __future__ import annotations

from dataclasses import dataclass

from scye.ir.sheets import Pen


@dataclass(frozen=True, slots=True)
class Nib:
    width: float
    dash: tuple[float, ...] = ()


NIBS: dict[Pen, Nib] = {
    "cut": Nib(0.5),
    "stitch": Nib(0.25, (3.0, 1.5)),
    "press": Nib(0.2, (6.0, 1.2, 0.6, 1.2)),
    "grain": Nib(0.35),
    "notch": Nib(0.5),
    "level": Nib(0.18),
    "mark": Nib(0.3),
    "fine": Nib(0.15),
    "frame": Nib(0.25),
    "joint": Nib(0.2, (0.6, 1.6)),
}

PROJECTED: dict[Pen, Nib] = {
    "cut": Nib(2.2),
    "stitch": Nib(1.0, (8.0, 5.0)),
    "press": Nib(0.9, (14.0, 4.0, 2.0, 4.0)),
    "grain": Nib(1.4),
    "notch": Nib(2.2),
    "level": Nib(0.8),
    "mark": Nib(1.2),
    "fine": Nib(0.8),
    "frame": Nib(1.0),
    "joint": Nib(0.9, (3.0, 6.0)),
}
