"""The pipeline: what each command does, one line a phase.

read -> parse -> resolve -> check -> expand -> order -> solve -> assemble -> prove -> place -> render. A phase
that finds errors stops the run at its end, with all of its errors told; findings about one body never stop
another.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import dataclass, replace
from functools import partial
from itertools import islice
from typing import TypedDict

from scye import __version__
from scye.assemble.alike import alike
from scye.assemble.assemble import assemble, lines_alone, unsaid
from scye.assemble.materialise import materialise
from scye.assemble.on_paper import pieces_on_paper
from scye.diagnostics.command import WhichBodies
from scye.diagnostics.drawing import MeasureLacking, PieceHeld
from scye.diagnostics.expansion import TooTangled
from scye.diagnostics.model import Diagnostic, Severity
from scye.diagnostics.names import NotTraceable
from scye.diagnostics.suggest import nearest
from scye.diagnostics.text import first_ones
from scye.drafting import SIDES, Batch, Compiled, Order, Recall, beside, nothing_to_sweep, other_sides, solved
from scye.expand.choices import settle, shaping_names
from scye.expand.expand import expand
from scye.expand.limits import circumstances, wearers_of
from scye.expand.meant import not_meant_for
from scye.explain.held import held_pieces
from scye.explain.proofs import proof_workings
from scye.explain.trace import find_named, names_in, trace
from scye.explain.workings import UNIT_TAGS, Workings, ledger_of, lists_of
from scye.fit.join import joined
from scye.fit.replay import Shape, shape_of, with_fittings
from scye.fit.rested import left_out, rested
from scye.fit.sides import two_sided
from scye.grade.places import named_points, nests_of, points_of
from scye.ir import equations as e
from scye.ir import syntax as s
from scye.ir.choices import Settled
from scye.ir.fitting import Fitting
from scye.ir.pattern import DecisionMade, Finding, Notice, Pattern, Piece, PieceLines
from scye.ir.people import Body, Chart, Decision, DisplayUnit
from scye.ir.requests import BuildRequest, CheckRequest, ExitCode, Outcome, Say, TraceRequest
from scye.ir.solution import Solution
from scye.lists.half import Garment, Joins
from scye.lists.marks import with_marks
from scye.lists.notions import notions_of
from scye.lists.words import cautions_for
from scye.order.graph import inputs, renamed
from scye.order.order import order
from scye.outputs import OutputFolder
from scye.papers import files_of
from scye.place.roll import larger_than_roll
from scye.project import Project, as_choices, open_card, open_chart, open_project, open_rates, sizes_of
from scye.prove.prove import prove
from scye.read.cards import cross_check
from scye.read.readings import is_halved
from scye.sizes import grade_lines, graded
from scye.solve.causes import causes
from scye.solve.solve import prepare
from scye.source import Span
from scye.tolerance.figures import figures_of
from scye.tolerance.tries import tries_of
from scye.units.tape import show_length

# Bodies drafted and assembled at once: enough to hide the cost of each call, few enough that all the arrays
# of their pieces stay within 100 MB.
CHUNK = 192
TOGETHER = 24
SURE_CHUNK = 8  # each with its neighbours, two or four for every measure


class Told(TypedDict):
    """The cautions of a pattern, parted by the sheet they belong to."""

    cautions: tuple[tuple[str, str], ...]
    notices: tuple[Notice, ...]


Structure = tuple[tuple[tuple[str, str | bool | float], ...], tuple[Shape, ...]]


class Compiler:
    """Compiles one project; expansions are kept by structure, since bodies mostly share one."""

    def __init__(self, project: Project, recall: Recall | None = None) -> None:
        """`recall`, for drafting one body again and again, keeps from draft to draft what a change leaves."""
        assert project.program is not None
        self.project = project
        self.program = project.program
        self.recall = recall
        self._kept: dict[Structure, Compiled | list[Diagnostic]] = {}
        self._shaping: Set[str] | None = None

    def compiled(self, settled: Settled, fittings: tuple[Fitting, ...] = ()) -> Compiled | list[Diagnostic]:
        """The recipe for a structure of choices and corrections, or what stands in the way."""
        structure = settled.structure, shape_of(fittings)
        if structure not in self._kept:
            self._kept[structure] = self._compile(settled, fittings)
        return self._kept[structure]

    def _compile(self, settled: Settled, fittings: tuple[Fitting, ...]) -> Compiled | list[Diagnostic]:
        try:
            expanded, found = expand(self.program, settled)
            if expanded is None:
                return found
            fitted = with_fittings(expanded.equations, expanded.plan, fittings, inputs, renamed)
            ordered, found = order(fitted.equations)
            if ordered is None:
                return found
            nodes = ordered.equations.nodes
            return Compiled(
                fitted.plan,
                prepare(ordered),
                Workings(ordered.equations),
                {ref: inputs(node.op) for ref, node in enumerate(nodes)},
                Joins(fitted.plan),
                tuple((node.op, node.span) for node in nodes if isinstance(node.op, e.Taken)),
                named_points(ordered.equations),
                fitted.laid,
            )
        except RecursionError:
            return [TooTangled(span=None)]

    def order(self, body: Body, settings: tuple[tuple[str, str], ...]) -> tuple[Order, list[Diagnostic]]:
        texts = (*body.choices, *as_choices(settings))
        if self._shaping is None:
            self._shaping = shaping_names(self.program)
        settled, found = settle(self.program, texts, self._shaping)
        by_hand = frozenset(text.name for text in texts)
        told, decisions, amiss = circumstances(self.program, body, by_hand)
        settled = replace(settled, amounts=(*settled.amounts, *told))
        remarks: tuple[Diagnostic, ...] = (
            *cross_check(body, self.project.catalogue),
            *not_meant_for(self.program, body),
        )
        doubted = frozenset(name for d in remarks for name in getattr(d, "doubts", ()))
        return Order(body, settled, remarks, doubted, decisions), [*found, *amiss]

    # --- many bodies ------------------------------------------------------------------------

    def patterns(
        self, orders: Sequence[Order], units: DisplayUnit | None, say: Say, *, sure: bool = False
    ) -> Iterator[Pattern]:
        """The pattern of each order, in order; bodies of one structure are drafted together. With `sure` the
        error bars of the measures are carried to the pattern, and rules set beside the tape."""
        size = SURE_CHUNK if sure else CHUNK
        for start, group in _runs(orders):
            compiled = self.compiled(group[0].settled, group[0].body.fittings)
            assert isinstance(compiled, Compiled)
            for i in range(0, len(group), size):
                chunk = group[i : i + size]
                say(f"drafting {chunk[0].body.code}, {start + i + 1} of {len(orders)}")
                yield from self._chunk(compiled, chunk, units, sure)

    def _chunk(
        self, compiled: Compiled, orders: Sequence[Order], units: DisplayUnit | None, sure: bool
    ) -> Iterator[Pattern]:
        """The patterns of a chunk; a body whose sides differ is drafted as two halves, which are joined."""
        halves = [self.halves(compiled, asked) for asked in orders]
        with nothing_to_sweep():
            drafted = self._drafted(compiled, [half for both in halves for half in both], sure)
            reasons = _reasons(compiled, drafted.solution, drafted.rows, units)
        place = 0
        for first in range(0, len(halves), TOGETHER):
            counts = [len(both) for both in halves[first : first + TOGETHER]]
            with nothing_to_sweep():
                patterns = self._whole(drafted, place, counts, units, reasons)
            yield from patterns
            place += sum(counts)

    def _whole(
        self,
        drafted: Batch,
        place: int,
        counts: Sequence[int],
        units: DisplayUnit | None,
        reasons: Mapping[int, list[Finding]],
    ) -> list[Pattern]:
        """The patterns of some bodies, drafted whole (1) or as two halves (2), from this place on."""
        plan = drafted.compiled.plan
        places = range(place, place + sum(counts))
        in_units = [units or drafted.rows[i].body.unit for i in places]
        pieces = pieces_on_paper(drafted.assembly, places, in_units)
        halves = [
            drafted.half(i, self._pattern(drafted, i, its, unit, reasons))
            for i, its, unit in zip(places, pieces, in_units, strict=True)
        ]
        marked = iter(zip(places, with_marks(halves, plan), strict=True))
        patterns = []
        for count in counts:
            (at, right), *others = islice(marked, count)
            sides, pattern = [right, *(left for _, left in others)], right.pattern
            for _, left in others:
                pattern = joined(pattern, left.pattern, alike(drafted.assembly, at, at + 1), plan)
            patterns.append(self._with_notions(pattern, Garment(drafted.compiled.joins, sides, pattern.unit)))
        return patterns

    def _with_notions(self, pattern: Pattern, garment: Garment) -> Pattern:
        """The pattern with its list of findings, and the cautions that go with them."""
        notions, amiss = notions_of(garment)
        told = {notice.name for notice in pattern.notices}
        known = self.project.cautions
        extra = tuple(
            Notice(name, "findings", known[name].text)
            for name in cautions_for(notions)
            if name in known and name not in told
        )
        return replace(
            pattern,
            notions=notions,
            sewing=garment.plan.sewing,
            notices=(*pattern.notices, *extra),
            findings=(*pattern.findings, *_as_findings(amiss, "findings")),
        )

    def _drafted(self, compiled: Compiled, rows: Sequence[Order], sure: bool) -> Batch:
        """Bodies and halves of bodies solved, assembled and proved together; neighbours too, if `sure`."""
        ordered = compiled.runnable.ordered
        bodies, taped = [row.body for row in rows], [row.taped for row in rows]
        tries = tries_of(bodies, taped, self.project.catalogue, ordered, inputs) if sure else ()
        every = [*rows, *beside(rows, tries)]
        solution = solved(compiled, every, self.recall)
        assembly = assemble(compiled.plan, solution, len(rows))
        nodes = ordered.equations.nodes
        kinds = [node.kind for node in nodes]
        proofs = prove(compiled.plan, assembly, solution, kinds, other_sides(rows, len(every)))
        figures = figures_of(compiled.plan, nodes, solution, assembly, proofs) if sure else None
        return Batch(compiled, rows, solution, assembly, proofs, tries, figures)

    def _pattern(
        self,
        drafted: Batch,
        i: int,
        pieces: tuple[Piece, ...],
        unit: DisplayUnit,
        reasons: Mapping[int, list[Finding]],
    ) -> Pattern:
        """The pattern of one body or half with these pieces."""
        compiled, solution, asked = drafted.compiled, drafted.solution, drafted.rows[i]
        equations = drafted.equations
        has = asked.taped.__contains__
        pattern = materialise(
            compiled.plan,
            drafted.assembly,
            drafted.proofs,
            i,
            body=asked.body.code,
            date=asked.body.date,
            unit=unit,
            pieces=pieces,
            workings=proof_workings(compiled.plan, equations, solution, i, unit),
            values=tuple(compiled.workings.values(solution, i, unit, has)),
            lists=tuple(lists_of(equations, solution, i)),
            ledger=tuple(ledger_of(equations, solution, i)),
            caution_texts={name: c.text for name, c in self.project.cautions.items()},
        )
        corrections = tuple(rested(asked.body.fittings, compiled.laid, drafted.placed(i)))
        pattern = replace(
            pattern,
            points=tuple(points_of(compiled.points, solution, i)),
            nests=tuple(nests_of(compiled.plan, solution, i)),
            decisions=tuple(map(_made, asked.decisions)),
            fittings=corrections,
            **self._on_their_sheets(pattern.cautions, asked.body),
        )
        pattern = drafted.with_sureness(pattern, i)
        extra = (
            *_as_findings(asked.remarks, "measure card"),
            *_as_findings(tuple(left_out(corrections)), "fittings"),
            *_held(compiled, asked, pattern),
            *reasons.get(i, ()),
        )
        return replace(pattern, findings=(*extra, *pattern.findings))

    def first_half(self, compiled: Compiled, asked: Order, units: DisplayUnit | None) -> Pattern:
        """The pattern of a body as one half of it is drafted: the right one where its sides differ."""
        drafted = self._drafted(compiled, list(self.halves(compiled, asked)), False)
        reasons = _reasons(compiled, drafted.solution, drafted.rows, units)
        unit = units or asked.body.unit
        [pieces] = pieces_on_paper(drafted.assembly, [0], [unit])
        return self._pattern(drafted, 0, pieces, unit, reasons)

    def lines(self, compiled: Compiled, asked: Order) -> tuple[PieceLines, ...] | None:
        """The lines of a body's pieces, which are worked out sooner than the whole of them; None for one
        whose sides differ, since its pieces are joined of two halves."""
        if len(self.halves(compiled, asked)) > 1:
            return None
        with nothing_to_sweep():
            return lines_alone(compiled.plan, solved(compiled, [asked], self.recall))

    def halves(self, compiled: Compiled, asked: Order) -> tuple[Order, ...]:
        """A body as it is drafted: whole, or its right and its left half where they differ."""
        if not two_sided(asked.body, compiled.laid, compiled.taken):
            return (asked,)
        halved = frozenset(name for name in compiled.taken if is_halved(self.project.catalogue, name))
        return tuple(replace(asked, side=side, halved=halved) for side in SIDES)

    def _on_their_sheets(self, cautions: Sequence[tuple[str, str]], body: Body) -> Told:
        """Each caution once, those that follow from the wearer as well, on the sheet it belongs to."""
        known = self.project.cautions
        names = dict.fromkeys([name for name, _ in cautions] + self._for_wearer(body))
        here = tuple((name, known[name].text) for name in names if known[name].sheet == "proof")
        elsewhere = tuple(
            Notice(name, sheet, known[name].text) for name in names if (sheet := known[name].sheet) != "proof"
        )
        return {"cautions": here, "notices": elsewhere}

    def _for_wearer(self, body: Body) -> list[str]:
        wearers = wearers_of(self.program, body)
        return [name for name, caution in self.project.cautions.items() if caution.wearer in wearers]


def _made(decision: Decision) -> DecisionMade:
    value = decision.value
    return DecisionMade(
        decision.limit, value.inside, UNIT_TAGS.get(value.kind, ""), decision.by, decision.date, decision.why
    )


def _structure(asked: Order) -> Structure:
    return asked.settled.structure, shape_of(asked.body.fittings)


def _runs(orders: Sequence[Order]) -> Iterator[tuple[int, list[Order]]]:
    """Neighbouring orders that share a structure."""
    start = 0
    for i in range(1, len(orders) + 1):
        if i == len(orders) or _structure(orders[i]) != _structure(orders[start]):
            yield start, list(orders[start:i])
            start = i


def _reasons(
    compiled: Compiled, solution: Solution, orders: Sequence[Order], units: DisplayUnit | None
) -> dict[int, list[Finding]]:
    """Why things could not be drawn, by place in the chunk, each body's in its own unit."""
    reasons: dict[int, list[Finding]] = {}
    own = [units or asked.body.unit for asked in orders]
    for unit in dict.fromkeys(own):
        for cause in causes(
            compiled.runnable.ordered, solution, partial(show_length, unit=unit), compiled.sources
        ):
            if cause.body < len(own) and own[cause.body] == unit:
                reasons.setdefault(cause.body, []).extend(_as_findings((cause.diagnostic,), ""))
    return reasons


def _held(compiled: Compiled, asked: Order, pattern: Pattern) -> Iterator[Finding]:
    """A word for each piece that a doubted measure holds back."""
    if asked.doubted:
        equations = compiled.runnable.ordered.equations
        drawn = {piece.name for piece in pattern.pieces}
        for piece, measures in held_pieces(compiled.plan, equations, asked.doubted, drawn, inputs):
            yield from _as_findings(
                (PieceHeld(span=piece.span, name=piece.title, measures=measures),), piece.name
            )


def _as_findings(diagnostics: Sequence[Diagnostic], where: str) -> Iterator[Finding]:
    for d in diagnostics:
        place = where or getattr(d, "name", "")
        yield Finding(d.code, d.severity, place, d.seen(), d.attempt(), d.span)


# --- commands ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, eq=False)
class Drafted:
    """What was drafted for a request, and what is amiss that does not stand in the way."""

    project: Project
    patterns: list[Pattern]
    chart: Chart | None
    found: list[Diagnostic]


def draft(request: BuildRequest, say: Say) -> Drafted | Outcome:
    """The patterns of all bodies of a request; or why there are none, if anything put in is bad."""
    say("reading")
    project = open_project(request.recipe)
    bodies, chart, found = _bodies(project, request)
    found = [*project.diagnostics, *found]
    if not project.sound or _grave(found):
        return Outcome(_once(found), ExitCode.BAD_INPUT)
    compiler = Compiler(project)
    orders = [_order(compiler, body, request.settings, found) for body in bodies]
    compile_all(compiler, orders, found)
    if _grave(found):
        return Outcome(_once(found), ExitCode.BAD_INPUT)
    patterns = list(compiler.patterns(orders, request.units, say, sure=request.chart is None))
    return Drafted(project, patterns, chart, found)


def run_build(request: BuildRequest, say: Say) -> Outcome:
    """Draft, prove, lay out and write; nothing is written if anything that was put in is bad."""
    drafted = draft(request, say)
    if isinstance(drafted, Outcome):
        return drafted
    patterns, chart, found = drafted.patterns, drafted.chart, drafted.found
    patterns = [_on_roll(pattern, request.prints.roll) for pattern in patterns]
    rates = open_rates(request.rates)
    found += rates[1]
    if _grave(found):
        return Outcome(_once(found), ExitCode.BAD_INPUT)
    remarks: list[str] = []
    sizes = graded(patterns, chart, request.nest_at)
    if isinstance(sizes, Diagnostic):
        return Outcome((*_once(found), sizes), ExitCode.BAD_INPUT)
    files = files_of(patterns, __version__, say, remarks, sizes, request.prints, rates[0])
    written = OutputFolder(request.out).write(files)
    if isinstance(written, Diagnostic):
        return Outcome((*_once(found), written), ExitCode.BAD_INPUT)
    failed = any(f.severity >= Severity.FAILURE for p in patterns for f in p.findings)
    lines = [line for pattern in patterns for line in summary(pattern)]
    lines += grade_lines(sizes[0]) if sizes is not None else []
    code = ExitCode.FINDINGS if failed else ExitCode.GOOD
    return Outcome(_once(found), code, (*lines, *remarks), written)


def _on_roll(pattern: Pattern, width: float) -> Pattern:
    """The pattern with a word for each piece that is larger than the roll it is printed on."""
    said = (found for name, d in larger_than_roll(pattern, width) for found in _as_findings((d,), name))
    return replace(pattern, findings=(*pattern.findings, *said))


def run_check(request: CheckRequest) -> Outcome:
    """Everything that can be said of a recipe without a body: with its own choices it is unrolled as well."""
    found = checked(open_project(request.recipe))
    return Outcome(found, ExitCode.BAD_INPUT if _grave(found) else ExitCode.GOOD)


def checked(project: Project) -> tuple[Diagnostic, ...]:
    """What is to be said of a project without a body."""
    found = list(project.diagnostics)
    if project.sound and project.program is not None:
        compiler = Compiler(project)
        settled, mistakes = settle(project.program, ())
        compiled = compiler.compiled(settled)
        found += mistakes
        found += compiled if isinstance(compiled, list) else unsaid(compiled.plan)
    return _once(found)


def run_trace(request: TraceRequest) -> Outcome:
    """Where one value comes from, for one body."""
    project = open_project(request.recipe)
    body, found = open_card(request.card, project.catalogue)
    found = [*project.diagnostics, *found]
    if not project.sound or body is None or _grave(found):
        return Outcome(_once(found), ExitCode.BAD_INPUT)
    compiler = Compiler(project)
    asked = _order(compiler, body, request.settings, found)
    compile_all(compiler, [asked], found)
    if _grave(found):
        return Outcome(_once(found), ExitCode.BAD_INPUT)
    compiled = compiler.compiled(asked.settled, asked.body.fittings)
    assert isinstance(compiled, Compiled)
    equations = compiled.runnable.ordered.equations
    ref = find_named(equations, request.name)
    if ref is None:
        near = nearest(request.name, names_in(equations))
        return Outcome((NotTraceable(span=None, name=request.name, near=near),), ExitCode.BAD_INPUT)
    taken = frozenset(r.name for r in body.readings)
    solution = solved(compiled, compiler.halves(compiled, asked)[:1])
    unit = request.units or body.unit
    lines = trace(equations, ref, solution, unit, taken.__contains__, inputs)
    return Outcome(_once(found), ExitCode.GOOD, tuple(lines))


def summary(pattern: Pattern) -> Iterator[str]:
    """A few lines that say how one body came out."""
    true = sum(seam.verdict == "walks true" for seam in pattern.seams)
    proved = sum(proof.verdict == "walks true" for proof in pattern.proofs)
    came_out = ["1 piece" if len(pattern.pieces) == 1 else f"{len(pattern.pieces)} pieces"]
    if pattern.seams:
        came_out.append(f"{true} of {len(pattern.seams)} seams walk true")
    if pattern.proofs:
        came_out.append(f"{proved} of {len(pattern.proofs)} proofs hold")
    yield f"{pattern.body}: {'; '.join(came_out)}"
    for title, text in pattern.reports:
        yield f"  {title}: {text}"
    for finding in pattern.findings:
        place = f" ({finding.span.source.name}, line {finding.span.line})" if finding.span else ""
        yield f"  {finding.severity.word} {finding.code}: {finding.text}{place}"
        if finding.attempt:
            yield f"    try: {finding.attempt}"


def _bodies(project: Project, request: BuildRequest) -> tuple[list[Body], Chart | None, list[Diagnostic]]:
    """The bodies asked for, and the chart that they are sizes of."""
    if request.chart is not None:
        chart, found = open_chart(request.chart, project.catalogue)
        if chart is None:
            return [], None, found
        sizes, mistakes = sizes_of(chart, request.sizes)
        return list(sizes), chart, [*found, *mistakes]
    if not request.cards:
        return _no_body(project, request)
    bodies: list[Body] = []
    found = []
    for card in request.cards:
        body, mistakes = open_card(card, project.catalogue)
        found += mistakes
        if body is not None:
            bodies.append(body)
    return bodies, None, found


def _no_body(project: Project, request: BuildRequest) -> tuple[list[Body], None, list[Diagnostic]]:
    """For a bag or a cloth, which asks for no measure: one size, and no card."""
    assert project.program is not None
    if any(isinstance(said, s.Needs) for said in project.program.recipe.body):
        what = "the command doesn't say which bodies to draft for, and the recipe needs measures"
        return [], None, [WhichBodies(what=what)]
    span = Span(project.program.recipe.source, 0, 0)
    return [Body("one size", "", request.units or "in", (), (), span)], None, []


def _order(
    compiler: Compiler, body: Body, settings: tuple[tuple[str, str], ...], found: list[Diagnostic]
) -> Order:
    asked, mistakes = compiler.order(body, settings)
    found += mistakes
    return asked


def compile_all(compiler: Compiler, orders: Sequence[Order], found: list[Diagnostic]) -> None:
    """Compile for every structure asked for, and see that every body has the measures it takes."""
    checked: set[int] = set()
    for asked in orders:
        compiled = compiler.compiled(asked.settled, asked.body.fittings)
        if isinstance(compiled, list):
            found += compiled
            return
        if id(compiled) not in checked:
            checked.add(id(compiled))
            found += unsaid(compiled.plan)
        found += lacking(compiled, asked)


def lacking(compiled: Compiled, asked: Order) -> list[Diagnostic]:
    have = {r.name for r in asked.body.readings}
    return [
        MeasureLacking(span=span, measure=taking.measure, body=asked.body.code)
        for taking, span in compiled.takings
        if taking.otherwise is None and taking.measure not in have
    ]


def _grave(found: Sequence[Diagnostic]) -> bool:
    return any(d.severity is Severity.ERROR for d in found)


def _once(found: Sequence[Diagnostic]) -> tuple[Diagnostic, ...]:
    """Diagnostics without doubles: two bodies may bring up the same one. Of very many, the first."""
    return first_ones(tuple(dict.fromkeys(found)))
