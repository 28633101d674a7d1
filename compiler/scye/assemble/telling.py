"""The assemble room's findings, in the maker's words."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np

from scye.assemble.figures import edge_words, spoken
from scye.diagnostics import pieces as codes
from scye.diagnostics.model import Diagnostic
from scye.diagnostics.paper import FoldNotStraight
from scye.geometry.vector import Array, Flags
from scye.ir.assembly import BodyFinding, Words
from scye.ir.people import DisplayUnit
from scye.ir.plan import BoundaryPlan, MatchPlan, PiecePlan
from scye.source import Span
from scye.units.tape import show_difference, show_length


def said(text: str) -> Words:
    """The same words for every body."""

    def words(_body: int, _unit: DisplayUnit) -> str:
        return text

    return words


def tell(
    kind: type[Diagnostic], where: str, mask: Flags, text: Words | str, attempt: str, span: Span | None
) -> BodyFinding:
    spoken_text = said(text) if isinstance(text, str) else text
    return BodyFinding(kind.code, kind.severity, where, mask, spoken_text, said(attempt), span)


def meet_twice(plan: PiecePlan, pair: tuple[str, str], mask: Flags, span: Span) -> BodyFinding:
    text = f"{pair[0]} and {pair[1]} meet twice: name the point between them"
    return tell(
        codes.LinesMeetTwice,
        spoken(plan.name),
        mask,
        text,
        "write the point of the corner between them",
        span,
    )


def no_meeting(
    plan: PiecePlan, pair: tuple[str, str], mask: Flags, gap: Array, named: bool, span: Span
) -> BodyFinding:
    def text(body: int, unit: DisplayUnit) -> str:
        if named:
            return f"{pair[0]} and {pair[1]} do not meet at the point named between them"
        away = float(gap[body])
        apart = "" if math.isnan(away) else f": they come within {show_length(away, unit)} of each other"
        return f"{pair[0]} and {pair[1]} do not meet{apart}"

    attempt = (
        "name them in order round the piece; "
        "or draw one of them on to the other, by `extended` where it is drawn"
    )
    return tell(codes.LinesDoNotMeet, spoken(plan.name), mask, text, attempt, span)


def no_length(plan: PiecePlan, boundary: BoundaryPlan, around: tuple[str, str], mask: Flags) -> BodyFinding:
    one, two = (edge_words(name) for name in around)
    text = f"{edge_words(boundary.name)} is met at the same place by both {one} and {two}"
    return tell(
        codes.EdgeOfNoLength, spoken(plan.name), mask, text, "leave the line out, or move one of the others",
        boundary.span,
    )  # fmt: skip


def crosses(
    plan: PiecePlan,
    names: Sequence[str],
    pair: tuple[int, int],
    along: Mapping[int, tuple[float, float]],
    shape: tuple[int, ...],
) -> BodyFinding:
    """Two edges of a piece, by their places among the `names` of all, that cross in the bodies of `along`."""
    mask = np.zeros(shape, dtype=bool)
    mask[list(along)] = True
    one, two = (edge_words(names[edge]) for edge in pair)
    corners = [edge_words(names[edge - 1]) for edge in pair]

    def text(body: int, unit: DisplayUnit) -> str:
        first, second = (show_length(mm, unit) for mm in along[body])
        if pair[0] == pair[1]:
            return f"{one} crosses itself {first} along it from its corner with {corners[0]}"
        return (
            f"{one} crosses {two}, {first} along {one} from its corner with {corners[0]}, "
            f"{second} along {two} from its corner with {corners[1]}"
        )

    attempt = "look at the draft for this body: a measure may be out of reach of the recipe"
    return tell(codes.OutlineCrosses, spoken(plan.name), mask, text, attempt, plan.span)


def fold_bent(plan: PiecePlan, edge: str, mask: Flags, off: Array) -> BodyFinding:
    def found(shown: str) -> FoldNotStraight:
        return FoldNotStraight(span=plan.span, edge=edge_words(edge), off=shown)

    def text(body: int, unit: DisplayUnit) -> str:
        return found(show_difference(float(off[body]), unit)).seen()

    return tell(FoldNotStraight, spoken(plan.name), mask, text, found("").attempt(), plan.span)


def dart_runs_off(plan: PiecePlan, dart: str, edge: str, mask: Flags, span: Span) -> BodyFinding:
    text = f"the mouth of {spoken(dart)} does not fit on {edge_words(edge)}"
    return tell(codes.DartRunsOff, spoken(plan.name), mask, text, "move its mouth, or take in less", span)


def nothing_to_move(plan: PiecePlan, span: Span, text: str, mask: Flags) -> BodyFinding:
    attempt = "check the dart's name and the place"
    return tell(codes.NothingToMove, spoken(plan.name), mask, text, attempt, span)


def cannot_reshape(plan: PiecePlan, span: Span, text: str, attempt: str, mask: Flags) -> BodyFinding:
    return tell(codes.CannotReshape, spoken(plan.name), mask, text, attempt, span)


def beside_dart(plan: PiecePlan, span: Span, edge: str, dart: str, mask: Flags) -> BodyFinding:
    text = f"a slash at {edge_words(edge)} would end in the mouth of {spoken(dart)}, and is cut beside it"
    attempt = f"name places for it that are clear of {spoken(dart)}"
    return tell(codes.ReshapedOtherwise, spoken(plan.name), mask, text, attempt, span)


def joint_evened(plan: PiecePlan, span: Span, edge: str, mask: Flags, apart: Array) -> BodyFinding:
    def text(body: int, unit: DisplayUnit) -> str:
        gap = show_length(float(apart[body]), unit)
        return (
            f"the two sides of {edge_words(edge)} come {gap} apart where they are laid together: evened out"
        )

    attempt = f"look at the joint; `blend {edge}` redraws it"
    return tell(codes.ReshapedOtherwise, spoken(plan.name), mask, text, attempt, span)


def tidied(plan: PiecePlan, mask: Flags, changed: Array) -> BodyFinding:
    def text(body: int, unit: DisplayUnit) -> str:
        return f"a loop of {show_length(float(changed[body]), unit)} was taken out of the cutting line"

    return tell(
        codes.CuttingLineTidied,
        spoken(plan.name),
        mask,
        text,
        "a narrower allowance would fit there",
        plan.span,
    )


def no_allowance(plan: PiecePlan, edge: str) -> Diagnostic:
    return codes.NoAllowance(
        span=plan.span,
        said=f"{spoken(plan.name)}, {edge_words(edge)}: no allowance stated",
        hint=f"say `net on {edge}` if it has none",
    )


def no_allowance_on_part(plan: PiecePlan, edge: str, mask: Flags) -> BodyFinding:
    text = f"{edge_words(edge)}: no allowance stated for a part of it"
    attempt = f"say `allow 1/2 in on {edge}` for the rest of it, or `net on {edge}`"
    return tell(codes.NoAllowance, spoken(plan.name), mask, text, attempt, plan.span)


def match_not_found(letter: str, match: MatchPlan, mask: Flags) -> BodyFinding:
    name = spoken(match.name)
    if match.line is not None:
        text = f"{name or 'the line'} does not cross both edges once, so its notch is left out"
        attempt = "match a point on each edge instead"
    elif match.first is not None:
        text = f"{name or 'what is matched'} does not lie on both edges, so its notch is left out"
        attempt = "match two points, as by `match sp with front.sp`: the first is on the edge named first"
    else:
        text = f"an edge is shorter than the distance of {name or 'a notch'}, so it is left out"
        attempt = "match it nearer to the end"
    where = f"seam {letter}"
    return tell(codes.MatchNotFound, where, mask, f"{where}: {text}", attempt, match.span)


def walked_back(letter: str, edge: str, mask: Flags, span: Span) -> BodyFinding:
    text = f"seam {letter}: {edge} was walked from its end, so that it joins the edge before it"
    return tell(codes.WalkedTheOtherWay, f"seam {letter}", mask, text, f"say `{edge} reversed`", span)
