"""The cutting plan: pieces, seams, proofs and limits in terms of nodes."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import TypeVar

from scye.diagnostics.expansion import TooMany
from scye.expand.attempts import noted
from scye.expand.frames import Frame, Stop
from scye.expand.meant import meant_words
from scye.expand.notions import notion_plans, sewing_order
from scye.expand.pieces import Pieces
from scye.expand.proofs import Proofs
from scye.expand.seams import Seams
from scye.expand.store import Scene
from scye.expand.things import Things
from scye.expand.wording import slug
from scye.ir import equations as e
from scye.ir import plan as p
from scye.ir import syntax as s

MOST_PIECES = 200
MOST_SEAMS = 400
MOST_FINDINGS = 400

St = TypeVar(
    "St",
    s.Piece,
    s.EveryPiece,
    s.Sew,
    s.Prove,
    s.Keep,
    s.Limit,
    s.Report,
    s.Caution,
    s.SeamTolerance,
    s.SewingOrder,
)
Plan = TypeVar("Plan")


def cutting_plan(things: Things, root: Frame) -> p.CuttingPlan:
    """The plan of one expanded recipe. Pieces are made before seams, which refer to them."""
    frames = list(things.all_frames(root))
    pieces = Pieces(things, root, list(_stated(frames, s.EveryPiece)))
    _few_enough(things, "pieces", _stated(frames, s.Piece), MOST_PIECES)
    for piece, scene in _stated(frames, s.Piece):
        with noted(things.collector):
            pieces.make(piece, scene)
    sews = list(_stated(frames, s.Sew))
    _few_enough(things, "seams", sews, MOST_SEAMS)
    seams = tuple(Seams(pieces).plans(sews))
    pieces.allow_the_rest(seams)
    proofs = Proofs(pieces)
    head = things.collector.program.recipe.head
    title = head.title.value if head else ""
    headings = tuple((h.key, h.value) for h in head.headings) if head else ()
    meant = meant_words(things.collector.program)
    if meant:
        headings = (*headings, ("meant for", meant))
    warn, fail = _tolerances(things, frames)
    return p.CuttingPlan(
        title=title,
        slug=slug(title),
        edition=dict(headings).get("edition", ""),
        headings=headings,
        pieces=tuple(pieces.plans.values()),
        darts=tuple(things.darts.values()),
        seams=seams,
        proofs=tuple(_each(things, _stated(frames, s.Prove), proofs.prove)),
        keeps=tuple(_each(things, _stated(frames, s.Keep), proofs.keep)),
        reports=tuple(_each(things, _stated(frames, s.Report), proofs.report)),
        cautions=tuple(_each(things, _stated(frames, s.Caution), proofs.caution)),
        seam_warn=warn,
        seam_fail=fail,
        limits=tuple(_each(things, _stated(frames, s.Limit), proofs.limit)),
        notions=notion_plans(pieces, _findings(things, frames)),
        sewing=sewing_order(list(_stated(frames, s.SewingOrder))),
    )


def _stated(frames: Iterable[Frame], kind: type[St]) -> Iterator[tuple[St, Scene]]:
    """The statements of a kind, each where it stands."""
    for frame in frames:
        for statement, env in frame.others:
            if isinstance(statement, kind):
                yield statement, Scene(frame, env, statement)


def _findings(things: Things, frames: list[Frame]) -> list[tuple[s.FindingStatement, Scene]]:
    """What is said of findings, in the order written."""
    stated = [
        (statement, Scene(frame, env, statement))
        for frame in frames
        for statement, env in frame.others
        if isinstance(statement, s.FindingStatement)
    ]
    _few_enough(things, "findings", stated, MOST_FINDINGS)
    return stated


def _few_enough(things: Things, what: str, stated: Iterable[tuple[s.Statement, Scene]], most: int) -> None:
    spans = [statement.span for statement, _ in stated]
    if len(spans) > most:
        said = f"this recipe has {len(spans):,} {what}"
        things.found.append(TooMany(span=spans[most], said=said, limit=f"at most {most} {what}"))
        raise Stop


def _each(
    things: Things, stated: Iterable[tuple[St, Scene]], make: Callable[[St, Scene], Plan]
) -> Iterator[Plan]:
    for statement, scene in stated:
        with noted(things.collector):
            yield make(statement, scene)


def _tolerances(things: Things, frames: list[Frame]) -> tuple[e.Ref | None, e.Ref | None]:
    """What the recipe says of its seams: over which they warn and fail; its first word on it holds."""
    for statement, scene in _stated(frames, s.SeamTolerance):
        return things.amount(statement.warn, scene), things.amount(statement.fail, scene)
    return None, None
