"""Corrections in the maker's words."""

from __future__ import annotations

from datetime import date

from scye.fit.names import EdgeOf
from scye.ir.fitting import Correction
from scye.units.names import edge_name
from scye.units.tape import show_quantity

_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
    "November", "December",
)  # fmt: skip


def seam_words(seam: str) -> str:
    """`seam C`, or the name of an edge as it was written."""
    return f"seam {seam}" if len(seam) == 1 else seam.replace("_", " ")


def edge_words(edge: EdgeOf) -> str:
    """An edge with its piece: `Side back: seam 3, right edge`."""
    names = [boundary.name for boundary in edge.piece.boundary]
    return f"{edge.piece.title}: {edge_name(edge.boundary.name, names)}"


def edge_said(edge: EdgeOf, share: float, at: str) -> str:
    """An edge that a correction is on, the place, and whether it has half the amount."""
    place = at if at in ("all along", "upper end", "lower end") else f"at {at}"
    return f"{edge_words(edge)}, {place}" + (", half of it" if share == 0.5 else "")


def correction_words(correction: Correction) -> str:
    """`take in 3/8 in at waist on seam C, nothing at underarm, both sides`."""
    place = "all along" if correction.at.lower() == "all along" else f"at {correction.at}"
    said = [f"{correction.verb} {show_quantity(correction.written)} {place} on {seam_words(correction.seam)}"]
    if correction.piece:
        said[0] += f" of {correction.piece}"
    if correction.nothing_at:
        said.append(f"nothing at {' and '.join(correction.nothing_at)}")
    if correction.carried_to:
        said.append(f"carried to {' and '.join(correction.carried_to)}")
    said.append("both sides" if correction.side == "both" else f"{correction.side} only")
    return ", ".join(said)


def day_words(day: str) -> str:
    """`3 March 2025` for `2025-03-03`."""
    try:
        at = date.fromisoformat(day)
    except ValueError:
        return day
    return f"{at.day} {_MONTHS[at.month - 1]} {at.year}"
