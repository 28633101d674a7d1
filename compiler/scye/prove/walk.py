"""Walking seams: both sides compared on the stitch line, whole and from notch to notch."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from scye.diagnostics.pieces import LookAlikeEdges, SeamDoesNotWalk, SeamNearlyWalks
from scye.geometry.vector import Array, Flags, Ints
from scye.ir.assembly import (
    CAUTION,
    NOT_DRAWN,
    NOT_PROVED,
    WALKS_TRUE,
    BodyFinding,
    PartJudged,
    SeamJudged,
    SeamWalk,
)
from scye.ir.people import DisplayUnit
from scye.ir.plan import EasingPlan, SewPlan
from scye.prove.figures import Amounts, finding, said
from scye.prove.words import remedies, seam_words

SLACK = 1e-6  # mm: equal figures count as within a limit
TOGETHER = 1e-6  # mm: a part that begins at a match's own place begins at the match
ALIKE_LENGTH, ALIKE_NOTCH = 2.0, 3.0  # mm within which edges and notches of two seams look alike


@dataclass(frozen=True, slots=True)
class Tolerance:
    """Differences (n,) mm over which a seam is a caution, and not proved."""

    warn: Array
    fail: Array


def across(walk: SeamWalk, other_side: Ints) -> SeamWalk:
    """A seam from one half of a body to the other: its second side is the other half's first."""
    return replace(walk, length_b=walk.length_a[other_side], matches_b=walk.matches_a[:, other_side])


def judge_seam(
    plan: SewPlan, walk: SeamWalk, amounts: Amounts, tolerance: Tolerance
) -> tuple[SeamJudged, list[BodyFinding]]:
    """A seam's verdict for every body, and a finding for those that do not walk true.

    The first side is longer than the second by the ease, all of it in the parts it was declared for; what
    differs beyond that, as a whole or in any part, counts against the seam.
    """
    with np.errstate(all="ignore"):
        parts, groups = _parts(plan, walk, amounts)
        ease = _total([amounts.amount(e.amount) for e in plan.easings], walk.length_a)
        difference = walk.length_a - walk.length_b - ease
        worst = np.abs(difference)
        for over in (*(part.over for part in parts), *groups):
            worst = np.fmax(worst, np.abs(over))
        standing = _standing(worst, difference, tolerance)
    judged = SeamJudged(
        walk.letter, walk.a, walk.b, walk.length_a, walk.length_b, ease, difference, standing, walk.names,
        tuple(parts),
    )  # fmt: skip
    return judged, list(_findings(plan, walk, judged))


def _standing(worst: Array, difference: Array, tolerance: Tolerance) -> Ints:
    standing = np.where(worst > tolerance.warn + SLACK, CAUTION, WALKS_TRUE)
    standing = np.where(worst > tolerance.fail + SLACK, NOT_PROVED, standing)
    return np.where(np.isfinite(difference), standing, NOT_DRAWN)


def _total(rows: Sequence[Array], like: Array) -> Array:
    total = np.zeros(like.shape)
    for row in rows:
        total = total + row
    return total


# --- from notch to notch -----------------------------------------------------------------------


def _parts(plan: SewPlan, walk: SeamWalk, amounts: Amounts) -> tuple[list[PartJudged], list[Array]]:
    """The parts of a seam in the order of the first side, and what is over in stretches of several parts
    that share an ease."""
    first, last, a, b = _bounds(walk)
    length_a, length_b = np.diff(a, axis=0), np.diff(b, axis=0)
    fixed, low, high = (np.zeros(length_a.shape) for _ in range(3))
    groups = []
    for easing in plan.easings:
        amount = amounts.amount(easing.amount)
        here = _within(plan, walk, easing, a)
        alone = here.sum(axis=0) == 1
        fixed = fixed + np.where(here & alone, amount, 0.0)
        low = low + np.where(here & ~alone, np.minimum(amount, 0.0), 0.0)
        high = high + np.where(here & ~alone, np.maximum(amount, 0.0), 0.0)
        if easing.between is not None:
            spread = _total(list(np.where(here, length_a - length_b, 0.0)), amount) - amount
            groups.append(np.where(here.any(axis=0) & ~alone, spread, 0.0))
    excess = length_a - length_b - fixed
    over = excess - np.clip(excess, low, high)
    rows = [
        PartJudged(first[k], last[k], length_a[k], length_b[k], fixed[k], over[k]) for k in range(len(over))
    ]
    return rows, groups


def _bounds(walk: SeamWalk) -> tuple[Ints, Ints, Array, Array]:
    """For each part which matches bound it, and where the parts part on both sides, (M + 2, n).

    Matches are taken in the order they come on the first side; one that is not found comes last and makes
    a part of NaN.
    """
    count, bodies = walk.matches_a.shape
    order = np.argsort(walk.matches_a, axis=0, kind="stable")
    inner_a = np.take_along_axis(walk.matches_a, order, axis=0)
    inner_b = np.take_along_axis(walk.matches_b, order, axis=0)
    found = np.isfinite(inner_a)
    ends = np.full((1, bodies), count)
    after = np.concatenate((np.where(found, order, count), ends))
    before = np.concatenate((np.full((1, bodies), -1), order))
    # the last part found runs to the end; those after it are nothing
    tail = [
        np.concatenate((x, full[None])) for x, full in ((inner_a, walk.length_a), (inner_b, walk.length_b))
    ]
    ended = np.cumsum(~found, axis=0) >= 2
    a, b = (
        np.concatenate((np.where(found, x[:-1], np.where(ended, np.nan, x[-1])), _last(found, x[-1])[None]))
        for x in tail
    )
    start = np.zeros((1, bodies)) + 0.0 * walk.length_a
    return before, after, np.concatenate((start, a)), np.concatenate((start, b))


def _last(found: Flags, whole: Array) -> Array:
    """The end of the seam as the end of the last part; NaN where an earlier part already ran to it."""
    return np.where(found.all(axis=0), whole, np.nan)


def _within(plan: SewPlan, walk: SeamWalk, easing: EasingPlan, a: Array) -> Flags:
    """Which parts an easing may lie in, (parts, n)."""
    parts: Flags = np.isfinite(np.diff(a, axis=0))
    if easing.between is None:
        return parts
    names = [match.name for match in plan.matches]
    one, two = (walk.matches_a[names.index(name)] for name in easing.between)
    low, high = np.minimum(one, two), np.maximum(one, two)
    between: Flags = parts & (a[:-1] >= low - TOGETHER) & (a[1:] <= high + TOGETHER)
    return between


# --- what is told ------------------------------------------------------------------------------


def _findings(plan: SewPlan, walk: SeamWalk, judged: SeamJudged) -> Iterator[BodyFinding]:
    text, attempt = seam_words(walk, judged), remedies(walk, judged)
    for kind, standing in ((SeamDoesNotWalk, NOT_PROVED), (SeamNearlyWalks, CAUTION)):
        mask = judged.standing == standing
        if mask.any():
            yield finding(kind, f"seam {walk.letter}", mask, text, attempt, plan.span)


def look_alikes(plans: Sequence[SewPlan], walks: Sequence[SeamWalk]) -> list[BodyFinding]:
    """One note for the bodies in which edges of different seams could be joined by mistake."""
    alike: dict[str, Flags] = {}
    for i, (plan, walk) in enumerate(zip(plans, walks, strict=True)):
        for other_plan, other in zip(plans[:i], walks[:i], strict=True):
            if plan.to_pair or other_plan.to_pair:
                continue
            mask = _alike(plan, walk, other_plan, other)
            for letter in (other.letter, walk.letter):
                alike[letter] = alike.get(letter, np.zeros(mask.shape, dtype=bool)) | mask
    anywhere = [mask for mask in alike.values() if mask.any()]
    if not anywhere:
        return []

    def text(body: int, _unit: DisplayUnit) -> str:
        letters = [letter for letter, mask in alike.items() if mask[body]]
        listed = f"{', '.join(letters[:-1])} and {letters[-1]}"
        return f"the edges of seams {listed} are as long as each other and notched alike"

    attempt = said("set the notches of one seam at least 1/2 in otherwise, or make one double")
    mask = np.logical_or.reduce(anywhere)
    return [finding(LookAlikeEdges, "seams", mask, text, attempt, None)]


def _alike(plan: SewPlan, walk: SeamWalk, other_plan: SewPlan, other: SeamWalk) -> Flags:
    same: Flags = np.abs(walk.length_a - other.length_a) <= ALIKE_LENGTH
    if [m.strokes for m in plan.matches] != [m.strokes for m in other_plan.matches]:
        return same & ~same
    for one, two in zip(walk.matches_a, other.matches_a, strict=True):
        same = same & (np.abs(one - two) <= ALIKE_NOTCH)
    return same
