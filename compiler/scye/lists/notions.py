"""The lists room: findings as they are bought, from the finished pieces of a garment.

Reads the findings of a plan beside the pattern that was drafted by it. Every length is on the stitch line
with darts closed; every count is of channels and edges on both sides of the body, not of pieces. Each line
says in `working` where its figure comes from. Usual amounts that a recipe leaves unsaid (a tenth more binding
and 4 in for joins) are common practice.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from scye.diagnostics.lists import EyeletsFarApart, LaceTooShort, NoRoomForIt, NotReckoned
from scye.diagnostics.model import Diagnostic
from scye.ir import notions as n
from scye.lists.half import Garment, Measured
from scye.lists.marks import row_of
from scye.lists.rounding import HALF, WHOLE, by_the_reel, rounded_up, spare_for, to_tape
from scye.units.tape import show_length, show_list

FARTHEST = 30.0  # mm between eyelets
INCH = 25.4
USUAL_SHARE = 0.10
USUAL_JOINS = 4 * INCH
SQUARE_SEAMS = 0.5 * INCH  # both seams of a square that is cut round and round into one strip


def notions_of(garment: Garment) -> tuple[tuple[n.Notion, ...], tuple[Diagnostic, ...]]:
    """The findings list of a garment, and what is amiss with it."""
    reckoning = _Reckoning(garment)
    notions = [line for plan in garment.plan.notions for line in reckoning.lines(plan)]
    return (*_with_spare_bones(notions), *_tips(notions)), tuple(reckoning.found)


class _Reckoning:
    """Works out the lines of each finding; `found` gathers what is to be said of them."""

    def __init__(self, garment: Garment) -> None:
        self.garment = garment
        self.unit = garment.unit
        self.found: list[Diagnostic] = []

    def lines(self, plan: n.NotionPlan) -> Iterator[n.Notion]:
        match plan:
            case n.BonePlan():
                yield from self._bones(plan)
            case n.BuskPlan():
                yield from self._busk(plan)
            case n.FasteningPlan():
                yield from self._fasteners(plan)
            case n.LacePlan():
                yield from self._lace(plan)
            case n.BindPlan():
                yield from self._binding(plan)
            case n.TapePlan():
                yield from self._tape(plan)
            case n.ZipPlan():
                yield from self._zip(plan)

    def _show(self, mm: float) -> str:
        return show_length(mm, self.unit)

    def _by_tape(self, mm: float) -> float:
        """A length as it is shown, so that a sum on paper is the sum of the figures on paper."""
        return to_tape(mm, self.unit)

    def _along(
        self, edges: tuple[n.EdgeAt, ...], what: str, words: str, plan: n.NotionPlan
    ) -> Sequence[Measured]:
        measured = self.garment.along(edges)
        if measured is None:
            self.found.append(NotReckoned(span=plan.span, what=what, where=words))
        return measured or ()

    def _no_room(self, plan: n.NotionPlan, what: str, where: str, length: float) -> None:
        said = NoRoomForIt(span=plan.span, what=what, where=where, length=self._show(length))
        self.found.append(said)

    # --- bones and busks ---------------------------------------------------------------------

    def _bones(self, plan: n.BonePlan) -> Iterator[n.Notion]:
        kind = f"{plan.steel} bone" if plan.steel else "bone"
        short = self._by_tape(self.garment.figure(plan.short))
        for channel in self._along(plan.channel, f"a {kind}", plan.words, plan):
            where = _on_side(self.garment.spoken(plan.channel), channel.side)
            length = self._by_tape(channel.length) - 2 * short
            if not length > 0.0:
                self._no_room(plan, f"a {kind}", where, channel.length)
                continue
            count = channel.times * plan.each
            working = f"channel {self._show(channel.length)}, less {self._show(short)} at each end; "
            working += f"{_times(channel.times, 'channel')}, {plan.each} in each"
            text = f"{count} of {self._show(length)}"
            yield n.Notion(kind, where, count, length, channel.length, 0, text, working)

    def _busk(self, plan: n.BuskPlan) -> Iterator[n.Notion]:
        short = self._by_tape(self.garment.figure(plan.short))
        measured = self._along((plan.edge,), "a busk", plan.words, plan)
        if not measured:
            return
        edge = min(measured, key=lambda m: m.length)
        length = self._by_tape(edge.length) - short
        where = self.garment.spoken((plan.edge,))
        if not length > 0.0:
            self._no_room(plan, "a busk", where, edge.length)
            return
        working = f"edge {self._show(edge.length)}, less {self._show(short)}; take the next shorter"
        text = f"1 of {self._show(length)} at most"
        yield n.Notion("busk", where, 1, length, edge.length, 0, text, working)

    # --- rows and laces ----------------------------------------------------------------------

    def _row(self, plan: n.FasteningPlan, length: float) -> tuple[int, float]:
        return row_of(length, self.garment.figure(plan.inset), self.garment.figure(plan.every))

    def _fasteners(self, plan: n.FasteningPlan) -> Iterator[n.Notion]:
        where = self.garment.spoken((plan.edge,))
        rows = []
        for edge in self._along((plan.edge,), plan.kind, plan.words, plan):
            count, apart = self._row(plan, edge.length)
            if not count:
                self._no_room(plan, plan.kind, where, edge.length)
                return
            rows.append((edge, count, apart))
        if rows:
            yield from self._fastened(plan, where, rows)

    def _fastened(
        self, plan: n.FasteningPlan, where: str, rows: Sequence[tuple[Measured, int, float]]
    ) -> Iterator[n.Notion]:
        edge, count, apart = max(rows, key=lambda row: row[1])
        self._look_at(plan, where, apart)
        inset = self._show(self.garment.figure(plan.inset))
        working = f"edge {self._show(edge.length)}, less {inset} at each end, "
        working += f"every {self._show(apart)}: {count} a side"
        if plan.kind == "eyelets":
            total = sum(edge.times * each for edge, each, _ in rows)
            text = f"{total} ({count} a side)"
            yield n.Notion("eyelets", where, total, None, edge.length, spare_for(total), text, working)
            one = f"one to each of {total} eyelets"
            yield n.Notion("washers", where, total, None, None, spare_for(total), str(total), one)
        else:
            kind = "hooks and eyes" if plan.kind == "hooks" else plan.kind
            yield n.Notion(kind, where, count, None, edge.length, spare_for(count), str(count), working)

    def _look_at(self, plan: n.FasteningPlan, where: str, apart: float) -> None:
        if plan.kind == "eyelets" and apart > FARTHEST + 0.05:
            self.found.append(EyeletsFarApart(span=plan.span, where=where, apart=self._show(apart)))

    def _lace(self, plan: n.LacePlan) -> Iterator[n.Notion]:
        measured = self._along((plan.row.edge,), "a lace", plan.words, plan)
        counted = [self._row(plan.row, edge.length) for edge in measured]
        pairs, apart = max(counted, default=(0, math.nan))
        if pairs < 2:
            return
        opened, tails = self.garment.figure(plan.opened), self.garment.figure(plan.tails)
        length = lace_length(pairs, apart, opened, tails)
        working = self._crossings(pairs, apart, opened, tails)
        if plan.closed is not None:
            closed = self.garment.figure(plan.closed)
            short = by_the_reel(lace_length(pairs, apart, closed, tails), self.unit)
            working += f"; closed to {self._show(closed)} it would take only {short}"
        text = f"{by_the_reel(length, self.unit)}, to open to {self._show(opened)}"
        bought = self.garment.maybe(plan.bought, math.inf)
        if bought < length:
            self.found.append(
                LaceTooShort(
                    span=plan.span, bought=by_the_reel(bought, self.unit),
                    needed=by_the_reel(length, self.unit), opened=self._show(opened),
                )
            )  # fmt: skip
        bought_mm = rounded_up(length, self.unit, WHOLE[self.unit])
        yield n.Notion("lace", self.garment.spoken((plan.row.edge,)), 1, bought_mm, None, 0, text, working)

    def _crossings(self, pairs: int, apart: float, opened: float, tails: float) -> str:
        crossings = 2 * (pairs - 1)
        parts = [crossings * math.hypot(apart, opened), opened, 2 * tails]
        crossed, straight, both = show_list(parts, self.unit)
        return (
            f"{pairs} pairs {self._show(apart)} apart: {crossings} crossings of the root of "
            f"({self._show(apart)} squared + {self._show(opened)} squared) = {crossed}; one straight run "
            f"{straight}; two tails of {self._show(tails)} = {both}"
        )

    # --- strips, tapes and zips --------------------------------------------------------------

    def _binding(self, plan: n.BindPlan) -> Iterator[n.Notion]:
        lengths = []
        for words, edges in plan.edges:
            each = [self._along((edge,), "binding", words, plan) for edge in edges]
            if not all(each):
                return
            lengths.append((words, math.fsum(m.length * m.times for along in each for m in along)))
        net = math.fsum(length for _, length in lengths)
        share = self.garment.maybe(plan.share, USUAL_SHARE)
        joins = self.garment.maybe(plan.joins, USUAL_JOINS)
        cut = self.garment.figure(plan.cut)
        total = rounded_up(net * (1 + share) + joins, self.unit, WHOLE[self.unit])
        side = rounded_up(math.sqrt(total * cut) + SQUARE_SEAMS, self.unit, HALF[self.unit])
        shown = show_list([length for _, length in lengths], self.unit)
        edges_said = " + ".join(f"{w} {x}" for (w, _), x in zip(lengths, shown, strict=True))
        more, for_joins = self._show(net * share), self._show(joins)
        length = show_length(total, self.unit, WHOLE[self.unit])
        square = show_length(side, self.unit, HALF[self.unit])
        working = (
            f"{edges_said} = {self._show(net)} net, both sides of the body; with {share:.0%} ({more}) and "
            f"{for_joins} for joins; square: the root of {length} times {self._show(cut)}, with "
            f"{self._show(SQUARE_SEAMS)} for its two seams; both rounded up"
        )
        text = f"{length}, cut {self._show(cut)} wide, from a square of {square}"
        yield n.Notion("binding", plan.words, 1, total, net, 0, text, working)

    def _tape(self, plan: n.TapePlan) -> Iterator[n.Notion]:
        girth = self.garment.girth(plan.line, plan.draft)
        if not math.isfinite(girth):
            self.found.append(NotReckoned(span=plan.span, what="tape", where=plan.words))
            return
        extra = self.garment.maybe(plan.extra, 0.0)
        length = self._by_tape(girth) + self._by_tape(extra)
        working = f"the finished pieces across {plan.words} come to {self._show(girth)}"
        working += f", and {self._show(extra)} to turn in" if extra else ""
        yield n.Notion("tape", plan.words, 1, length, girth, 0, self._show(length), working)

    def _zip(self, plan: n.ZipPlan) -> Iterator[n.Notion]:
        measured = self._along((plan.edge,), "a zip", plan.words, plan)
        if not measured:
            return
        whole = max(edge.length for edge in measured)
        opening = self.garment.maybe(plan.opening, whole)
        if plan.ends is not None:
            opening -= self.garment.cut_off(plan.edge, plan.ends)
        where = self.garment.spoken((plan.edge,))
        if not 0.0 < opening <= whole + 0.5:
            self._no_room(plan, "a zip", where, whole)
            return
        loses = self.garment.figure(plan.loses)
        length = self._by_tape(opening) + self._by_tape(loses)
        text = f"1 of {self._show(length)} at least, for an opening of {self._show(opening)}"
        working = f"opening {self._show(opening)}, and {self._show(loses)} that a zip loses when sewn in"
        yield n.Notion("zip", where, 1, length, opening, 0, text, working)


def lace_length(pairs: int, apart: float, gap: float, tails: float) -> float:
    """A crossed lace (mm): two crossings from each pair to the next, one straight run, two tails.

    (pairs - 1) x 2 x root(apart^2 + gap^2), the common sum of the trade.
    """
    return 2 * (pairs - 1) * math.hypot(apart, gap) + gap + 2 * tails


def _on_side(where: str, side: str) -> str:
    return f"{where}, {side} side" if side else where


def _times(count: int, what: str) -> str:
    return f"1 {what}" if count == 1 else f"{count} {what}s, both sides of the body"


def _with_spare_bones(notions: Sequence[n.Notion]) -> Iterator[n.Notion]:
    """One spare of each sort of bone, the longest: a shorter one can be cut from it."""
    longest: dict[str, n.Notion] = {}
    for line in notions:
        best = longest.get(line.kind)
        if line.kind.endswith("bone") and (best is None or (line.length or 0.0) > (best.length or 0.0)):
            longest[line.kind] = line
    for line in notions:
        yield replace(line, spare=1) if longest.get(line.kind) is line else line


def _tips(notions: Sequence[n.Notion]) -> Iterator[n.Notion]:
    """Two to each spiral bone, with those of the spare one."""
    count = sum(line.count for line in notions if line.kind == "spiral bone")
    if count:
        working = f"2 to each of {count} spiral bones"
        yield n.Notion("tips", "spiral bones", 2 * count, None, None, 2, str(2 * count), working)
