"""A run that writes a lesson: the sample drafted, the steps made from its recipe, the sheet drawn."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from scye import __version__
from scye.diagnostics.lesson import SampleNotWhole, StudentDraftsOtherwise
from scye.diagnostics.model import Diagnostic, Severity
from scye.drafting import Compiled, Order, solved
from scye.driver import Compiler, lacking
from scye.ir.lesson import Lesson, LessonRequest
from scye.ir.people import Body
from scye.ir.requests import ExitCode, Outcome, Say
from scye.lesson.drawn import Drawn, rounded_together
from scye.lesson.lesson import Taught, lesson, missing
from scye.lesson.tape import tape_of
from scye.order.graph import inputs
from scye.outputs import OutputFolder
from scye.project import open_card, open_project
from scye.render.lesson import lesson_html, lesson_json

HALF = "The card has measures that differ from side to side; this sheet drafts the right half."
UNFITTED = "The corrections of earlier fittings on the card are left out: the sheet teaches the draft itself."


def run_lesson(request: LessonRequest, say: Say) -> Outcome:
    """Draft the sample, make the steps, write the sheet; nothing is written if anything put in is bad."""
    made = make_lesson(request, say)
    if isinstance(made, Outcome):
        return made
    sheet, found = made
    written = OutputFolder(request.out).write(_files(sheet, say))
    if isinstance(written, Diagnostic):
        return Outcome((*found, written), ExitCode.BAD_INPUT)
    steps = sum(len(stage.steps) for stage in sheet.stages)
    stages = f"{len(sheet.stages)} stages" if len(sheet.stages) != 1 else "1 stage"
    return Outcome(
        found, ExitCode.GOOD, (f"{sheet.recipe}, for {sheet.sample}: {steps} steps in {stages}",), written
    )


def make_lesson(request: LessonRequest, say: Say) -> tuple[Lesson, tuple[Diagnostic, ...]] | Outcome:
    """The lesson itself, with what is to be told of it."""
    say("reading")
    project = open_project(request.recipe)
    found: list[Diagnostic] = list(project.diagnostics)
    bodies: list[Body] = []
    for card in (request.sample, *([request.student] if request.student is not None else [])):
        body, mistakes = open_card(card, project.catalogue)
        found += mistakes
        bodies += [body] if body is not None else []
    if not project.sound or _grave(found):
        return _refused(found)
    compiler = Compiler(project)
    orders = []
    for body in bodies:
        asked, mistakes = compiler.order(replace(body, fittings=()), request.settings)
        found += mistakes
        orders.append(asked)
    if _grave(found):
        return _refused(found)
    if any(asked.settled.structure != orders[0].settled.structure for asked in orders):
        found.append(StudentDraftsOtherwise(span=None, sample=bodies[0].code, student=bodies[1].code))
        return _refused(found)
    compiled = compiler.compiled(orders[0].settled)
    if isinstance(compiled, list):
        return _refused([*found, *compiled])
    found += [d for asked in orders for d in lacking(compiled, asked)]
    if _grave(found):
        return _refused(found)
    say(f"drafting {bodies[0].code}")
    return _made(request, compiler, compiled, orders, bodies, found)


def _made(
    request: LessonRequest,
    compiler: Compiler,
    compiled: Compiled,
    orders: list[Order],
    bodies: list[Body],
    found: list[Diagnostic],
) -> tuple[Lesson, tuple[Diagnostic, ...]] | Outcome:
    rows = [compiler.halves(compiled, asked)[0] for asked in orders]
    equations, solution = compiled.runnable.ordered.equations, solved(compiled, rows)
    tape = tape_of(request.units or bodies[0].unit)
    drawn = [
        Drawn(equations, solution, i, tape, rounded_together(equations, solution, i, tape))
        for i in range(len(rows))
    ]
    lost = missing(drawn[0])
    if lost is not None:
        return _refused([*found, SampleNotWhole(span=None, body=bodies[0].code, first=lost)])
    remarks = (UNFITTED,) * bool(bodies[0].fittings) + (HALF,) * (rows[0].side is not None)
    pattern = compiler.first_half(compiled, orders[0], tape.unit)
    student = bodies[1].code if len(bodies) > 1 else ""
    titles = {m.name: m.title for m in compiler.project.catalogue.measures}
    taught = Taught(
        compiler.program,
        compiled.plan,
        pattern,
        drawn[0],
        drawn[1] if student else None,
        student,
        remarks,
        titles,
    )
    return lesson(taught, inputs), tuple(dict.fromkeys(found))


def _files(sheet: Lesson, say: Say) -> Iterator[tuple[str, bytes]]:
    say("drawing the sheet")
    yield "lesson.html", lesson_html(sheet)
    yield "lesson.json", lesson_json(sheet, __version__)


def _grave(found: list[Diagnostic]) -> bool:
    return any(d.severity is Severity.ERROR for d in found)


def _refused(found: list[Diagnostic]) -> Outcome:
    return Outcome(tuple(dict.fromkeys(found)), ExitCode.BAD_INPUT)
