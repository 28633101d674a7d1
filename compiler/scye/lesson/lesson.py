"""A lesson made from a recipe: its measures and sums, its steps in stages, what to check and cut out.

Reads equations, a solution and the pattern that was drafted with it; computes no geometry of the garment.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from scye.ir import equations as e
from scye.ir import plan as p
from scye.ir import syntax as s
from scye.ir.lesson import Check, Lesson, Row, Stage, Step, Sum
from scye.ir.pattern import Pattern
from scye.ir.program import Program
from scye.lesson.checks import drafts_of, edge_checks, measured_checks, proof_check
from scye.lesson.cutting import cut_outs, seam_lines
from scye.lesson.drawn import Drawn
from scye.lesson.phrases import Phrases
from scye.lesson.sequence import DRAWS, Inputs, Order, Tried, Unit
from scye.lesson.sketches import Sketches
from scye.lesson.steps import Steps
from scye.lesson.sums import sum_of
from scye.units.names import plain_name
from scye.units.quantity import Kind

AMOUNTS = (Kind.LENGTH, Kind.AREA, Kind.ANGLE, Kind.NUMBER, Kind.PERCENT)


@dataclass(frozen=True, slots=True, eq=False)
class Taught:
    """What a lesson is made from. `student` is the body whose figures fill the second column, if any."""

    program: Program
    plan: p.CuttingPlan
    pattern: Pattern
    drawn: Drawn
    student: Drawn | None
    student_name: str
    remarks: tuple[str, ...]
    titles: dict[str, str]  # the measures' titles in the catalogue


@dataclass(frozen=True, slots=True)
class _Heading:
    """What a stage stands under: a draft, or a method drawn in it."""

    draft: str
    prefix: str
    method: str


def lesson(taught: Taught, inputs: Inputs) -> Lesson:
    """The whole sheet."""
    darts = {dart.name: dart for dart in taught.plan.darts}
    order = Order(taught.drawn.equations, taught.program, inputs, darts)
    maker = Steps(taught.drawn, taught.student, order, darts)
    items = list(order.ordered())
    steps = [
        (heading, maker.step(item, heading.draft))
        for item, heading in zip(items, _headings(items), strict=True)
    ]
    legs = {d.name: d.legs for piece in taught.pattern.pieces for d in piece.darts}
    sketches = Sketches(taught.drawn, legs, [(h.draft, step) for h, step in steps])
    drawn = [(h, replace(step, sketch=sketches.sketch(h.draft, step))) for h, step in steps]
    pattern, tape = taught.pattern, taught.drawn.tape
    return Lesson(
        recipe=pattern.recipe,
        edition=pattern.edition,
        headings=tuple((n, t) for n, t in pattern.headings if n != "edition"),
        sample=pattern.body,
        student=taught.student_name,
        unit=tape.unit,
        exactness=tape.said,
        remarks=taught.remarks,
        cautions=tuple(text for _, text in pattern.cautions),
        measures=tuple(_measures(taught)),
        choices=tuple(_choices(taught)),
        sums=tuple(_sums(taught, order)),
        rows=tuple(_rows(taught, order)),
        sum_checks=tuple(_sum_checks(taught, order)),
        stages=tuple(_stages(taught, order, drawn)),
        cuts=tuple(cut_outs(taught.plan, pattern, tape)),
        seams=tuple(seam_lines(pattern, tape)),
        strokes=tuple(sorted(sketches.strokes.items())),
    )


# --- before drawing -----------------------------------------------------------------------------


def _row(taught: Taught, ref: e.Ref, name: str = "") -> Sum:
    phrases = Phrases(taught.drawn, "", [])
    return sum_of(ref, taught.drawn, taught.student, phrases.called, name)


def _measures(taught: Taught) -> Iterator[Sum]:
    """Every measure that the recipe takes, with the sample's figure; by its rule where the card has none."""
    for ref, node in enumerate(taught.drawn.equations.nodes):
        if isinstance(node.op, e.Taken):
            row = _row(taught, ref)
            yield replace(row, name=node.op.measure, sentence=taught.titles.get(node.op.measure, ""))


def _choices(taught: Taught) -> Iterator[Sum]:
    for ref, node in enumerate(taught.drawn.equations.nodes):
        if _is_choice(node) and node.kind in AMOUNTS:
            yield _row(taught, ref)


def _is_choice(node: e.Node) -> bool:
    return bool(node.name) and isinstance(node.statement, s.Choose)


def _is_of_dart(node: e.Node) -> bool:
    """An intake or angle of a dart, which is said where the dart is drawn."""
    return isinstance(node.statement, s.Dart)


def _sums(taught: Taught, order: Order) -> Iterator[Sum]:
    """The amounts that need no draft, in an order in which each can be worked out."""
    equations = taught.drawn.equations
    listed = {ref for _, refs in equations.lists for ref in refs}
    for ref, node in enumerate(equations.nodes):
        elsewhere = ref in order.drawn or ref in listed or ref in order.unit_of
        asked = isinstance(node.op, e.Taken) or _is_choice(node) or _is_of_dart(node)
        if node.name and node.kind in AMOUNTS and not elsewhere and not asked:
            yield _row(taught, ref)


def _rows(taught: Taught, order: Order) -> Iterator[Row]:
    for name, refs in taught.drawn.equations.lists:
        if refs and not any(ref in order.drawn for ref in refs):
            sums = tuple(_row(taught, ref) for ref in refs)
            yield Row(name, sums, _total(taught, refs), _spread_words(taught, name, refs, sums))


def _total(taught: Taught, refs: Sequence[e.Ref]) -> str:
    if taught.drawn.node(refs[0]).kind is not Kind.LENGTH:
        return ""
    return taught.drawn.tape.length(sum(taught.drawn.number(ref) for ref in refs)).text


def _spread_words(taught: Taught, name: str, refs: Sequence[e.Ref], sums: Sequence[Sum]) -> str:
    """That rounding was spread, where rounding one by one would come to another total."""
    if taught.drawn.node(refs[0]).kind is not Kind.LENGTH:
        return ""
    tape = taught.drawn.tape
    singly = tape.length(sum(tape.length(taught.drawn.number(ref)).printed for ref in refs)).text
    total = _total(taught, refs)
    if singly == total and all(tape.length(s.figure.exact).text == s.figure.text for s in sums):
        return ""
    counted = Counter(s.figure.text for s in sums)
    said = " and ".join(f"{count} of {text}" for text, count in counted.most_common())
    return (
        f"Rounding was spread over {plain_name(name)}: {said}, together {total}. "
        f"Each rounded by itself, they would come to {singly}."
    )


def _sum_checks(taught: Taught, order: Order) -> Iterator[Check]:
    found = {proof.name: proof for proof in taught.pattern.proofs}
    for proof in taught.plan.proofs:
        if not drafts_of(proof, order) and proof.title in found:
            yield proof_check(proof, found, taught.drawn)


# --- stages -------------------------------------------------------------------------------------


def _headings(items: Sequence[Unit | Tried]) -> Iterator[_Heading]:
    """The heading of each step; what belongs to no draft stands with the step after it, or the last."""
    own = [_Heading(i.draft, i.prefix, i.method) for i in items]
    for at, heading in enumerate(own):
        if heading.draft:
            yield heading
            continue
        after = (h for h in own[at:] if h.draft)
        before = (h for h in reversed(own[:at]) if h.draft)
        yield next(after, None) or next(before, None) or heading


def _stages(taught: Taught, order: Order, steps: Sequence[tuple[_Heading, Step]]) -> Iterator[Stage]:
    groups = [(h, [step for _, step in some]) for h, some in groupby(steps, key=lambda pair: pair[0])]
    last = {h.draft: i for i, (h, _) in enumerate(groups)}
    seen: set[_Heading] = set()
    for i, (heading, some) in enumerate(groups):
        title = _title(heading) + (", continued" if heading in seen else "")
        seen.add(heading)
        checks = (
            list(_proofs_at(i, last, taught, order))
            or list(measured_checks(some, taught.drawn, heading.draft))
            or list(edge_checks(taught.plan, taught.pattern, heading.draft, taught.drawn))
        )
        about = _about(taught, heading)
        yield Stage(title, about, tuple(some), tuple(checks))


def _title(heading: _Heading) -> str:
    draft = plain_name(heading.draft) or "the draft"
    if heading.method:
        drawn = plain_name(heading.prefix.removeprefix(f"{heading.draft}."))
        return f"Draft of {draft}: {drawn}, by the method {plain_name(heading.method)}"
    return f"Draft of {draft}"


def _about(taught: Taught, heading: _Heading) -> str:
    entry = taught.program.methods.get(heading.method)
    return entry.method.about.value if entry is not None and entry.method.about is not None else ""


def _proofs_at(i: int, last: dict[str, int], taught: Taught, order: Order) -> Iterator[Check]:
    """The proofs that can be looked at when a stage is done, and could not before."""
    found = {proof.name: proof for proof in taught.pattern.proofs}
    for proof in taught.plan.proofs:
        drafts = drafts_of(proof, order)
        if drafts and proof.title in found and max(last.get(d, 0) for d in drafts) == i:
            yield proof_check(proof, found, taught.drawn)


def missing(drawn: Drawn) -> str | None:
    """The first named thing of a body's draft that could not be drawn."""
    named = ((ref, node) for ref, node in enumerate(drawn.equations.nodes) if node.name)
    lost = (node.name for ref, node in named if node.kind in (*DRAWS, *AMOUNTS) and not drawn.whole(ref))
    return next(lost, None)
