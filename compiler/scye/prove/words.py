"""What is said of a seam that does not walk: which edge is long, by how much and where, and what to do."""

from __future__ import annotations

import re

import numpy as np

from scye.ir.assembly import NOT_PROVED, PartJudged, SeamJudged, SeamWalk, Words
from scye.ir.people import DisplayUnit
from scye.units.tape import show_difference

NOTHING = 0.01  # mm
SAME = 0.25  # mm between a part and the whole that are out by the same


def seam_words(walk: SeamWalk, judged: SeamJudged) -> Words:
    """`seam A: side front is long by 3/8 in; 1/4 in is declared; 1/8 in over, above the apex notch. Not
    proved.` and the lengths from notch to notch."""

    def words(body: int, unit: DisplayUnit) -> str:
        part, over = _worst(judged, body), _over(judged, body)
        raw = float(judged.length_a[body] - judged.length_b[body])
        ease = float(judged.ease[body])
        declared = (
            "no ease is declared" if abs(ease) < NOTHING else f"{show_difference(ease, unit)} is declared"
        )
        amount = f"{show_difference(abs(over), unit)} {'over' if over > 0 else 'short'}"
        where = "" if part is None else _most(part, over, body) + _where(walk, part, body)
        verdict = "Not proved" if judged.standing[body] == NOT_PROVED else "Look at it"
        head = f"seam {walk.letter}: {_long(walk, raw, unit)}; {declared}; {amount}{where}. {verdict}."
        there = [p for p in judged.parts if _is_there(p, body)]
        if len(there) < 2:
            return head
        lengths = "; ".join(_lengths(walk, p, body, unit) for p in there)
        return f"{head} {lengths[0].upper()}{lengths[1:]}."

    return words


def _long(walk: SeamWalk, raw: float, unit: DisplayUnit) -> str:
    if abs(raw) < NOTHING:
        return "the edges are as long as each other"
    return f"{walk.short_a if raw > 0 else walk.short_b} is long by {show_difference(abs(raw), unit)}"


def _is_there(part: PartJudged, body: int) -> bool:
    return bool(np.isfinite(part.length_a[body]))


def _worst(judged: SeamJudged, body: int) -> PartJudged | None:
    """The part with most over or short; None if the seam has no notches, or no part is out by itself."""
    there = [part for part in judged.parts if _is_there(part, body)]
    if len(there) < 2:
        return None
    worst = max(there, key=lambda part: _outness(float(part.over[body])))
    return worst if abs(float(worst.over[body])) >= NOTHING else None


def _outness(over: float) -> tuple[float, bool]:
    """How far out a part is; of two equally far out, the one with cloth over comes first."""
    return round(abs(over), 6), over > 0.0


def _over(judged: SeamJudged, body: int) -> float:
    """What the seam is out: as a whole, or in its worst part where that is more."""
    part, whole = _worst(judged, body), float(judged.difference[body])
    inner = 0.0 if part is None else float(part.over[body])
    return whole if abs(whole) >= abs(inner) - SAME else inner


def _most(part: PartJudged, over: float, body: int) -> str:
    return ", most of it" if abs(over - float(part.over[body])) > SAME else ""


def _where(walk: SeamWalk, part: PartJudged, body: int) -> str:
    """`, above the apex notch`: up and down as the first side lies on the paper, else before and after."""
    first, last = int(part.first[body]), int(part.last[body])
    before, after = {1: ("above", "below"), -1: ("below", "above")}.get(
        int(walk.lie[body]), ("before", "after")
    )
    if first < 0:
        return f", {before} {_notch(walk, last)}"
    if last >= len(walk.names):
        return f", {after} {_notch(walk, first)}"
    return f", between {_notch(walk, first)} and {_notch(walk, last)}"


def _notch(walk: SeamWalk, i: int) -> str:
    """`the apex notch`; without a name of its own `notch 2`, or `the notch` where it is the only one."""
    name = walk.names[i]
    if re.fullmatch(r"notch \d+", name):
        return name
    return "the notch" if name == "notch" else f"the {name} notch"


def _lengths(walk: SeamWalk, part: PartJudged, body: int, unit: DisplayUnit) -> str:
    """`above the apex notch side front 5 1/8 in, centre front 5 in`."""
    where = _where(walk, part, body).removeprefix(", ")
    one, two = (show_difference(float(x[body]), unit) for x in (part.length_a, part.length_b))
    return f"{where} {walk.short_a} {one}, {walk.short_b} {two}"


def remedies(walk: SeamWalk, judged: SeamJudged) -> Words:
    """Three ways out, in trade words; two where the whole is right and only a notch is not."""

    def words(body: int, unit: DisplayUnit) -> str:
        part, over = _worst(judged, body), _over(judged, body)
        if part is not None and abs(float(judged.difference[body])) <= SAME:
            moved = show_difference(abs(over), unit)
            return (
                f"move one of the two notches by {moved}; "
                "or write `reversed` after an edge that is walked from the wrong end"
            )
        longer, shorter = (walk.short_a, walk.short_b) if over > 0 else (walk.short_b, walk.short_a)
        held = float((judged.ease if part is None else part.ease)[body])
        amount, ease = show_difference(abs(over), unit), held + over
        declare = f"declare {show_difference(abs(ease), unit)} of ease"
        if abs(ease) < NOTHING:
            declare = "declare no ease"
        elif ease < 0:
            declare = f"name {longer} first and {declare}"
        where = "" if part is None else " there"
        return (
            f"flatten {_of(longer)} curve by {amount}; put {amount} into the {shorter} edge; "
            f"or {declare}{where}"
        )

    return words


def _of(name: str) -> str:
    return f"{name}'" if name.endswith("s") else f"{name}'s"
