"""A run that writes a lesson: the sample drafted, the steps made from its recipe, the sheet drawn."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from scye import __version__
from scye.diagnostics.lesson import SampleNotWhole, StudentDraftsOtherwise
from scye.diagnostics.model import Diagnostic, Severity
from scye.drafting import Compiled, Order, solved
from scye.driver import Compiler, lacking
from scye.ir.lesson import Lesson, LessonRequest, LessonUnits
from scye.ir.people import Body
from scye.ir.requests import ExitCode, Outcome, Say, Setting
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
    written = OutputFolder(request.out).write(lesson_files(sheet, say))
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
    say(f"drafting {bodies[0].code}")
    made = taught(Compiler(project), bodies, request.settings, request.units)
    if isinstance(made, list):
        return _refused([*found, *made])
    return made[0], tuple(dict.fromkeys((*found, *made[1])))


def taught(
    compiler: Compiler, bodies: Sequence[Body], settings: tuple[Setting, ...], units: LessonUnits | None
) -> tuple[Lesson, list[Diagnostic]] | list[Diagnostic]:
    """The lesson on the first body, a second filling the student's column, with what is to be told of it; or
    what stands in its way."""
    found: list[Diagnostic] = []
    orders = []
    for body in bodies:
        asked, mistakes = compiler.order(replace(body, fittings=()), settings)
        found += mistakes
        orders.append(asked)
    if _grave(found):
        return found
    if any(asked.settled.structure != orders[0].settled.structure for asked in orders):
        return [*found, StudentDraftsOtherwise(span=None, sample=bodies[0].code, student=bodies[1].code)]
    compiled = compiler.compiled(orders[0].settled)
    if isinstance(compiled, list):
        return [*found, *compiled]
    found += [d for asked in orders for d in lacking(compiled, asked)]
    if _grave(found):
        return found
    made = _made(compiler, compiled, orders, bodies, units)
    return [*found, made] if isinstance(made, Diagnostic) else (made, found)


def _made(
    compiler: Compiler,
    compiled: Compiled,
    orders: Sequence[Order],
    bodies: Sequence[Body],
    units: LessonUnits | None,
) -> Lesson | Diagnostic:
    rows = [compiler.halves(compiled, asked)[0] for asked in orders]
    equations, solution = compiled.runnable.ordered.equations, solved(compiled, rows)
    tape = tape_of(units or bodies[0].unit)
    drawn = [
        Drawn(
            equations, solution, i, tape, rounded_together(equations, solution, i, tape),
            frozenset(reading.name for reading in body.readings),
        )
        for i, body in enumerate(bodies)
    ]  # fmt: skip
    lost = missing(drawn[0])
    if lost is not None:
        return SampleNotWhole(span=None, body=bodies[0].code, first=lost)
    remarks = (UNFITTED,) * bool(bodies[0].fittings) + (HALF,) * (rows[0].side is not None)
    pattern = compiler.first_half(compiled, orders[0], tape.unit)
    student = bodies[1].code if len(bodies) > 1 else ""
    titles = {m.name: m.title for m in compiler.project.catalogue.measures}
    whole = Taught(
        compiler.program,
        compiled.plan,
        pattern,
        drawn[0],
        drawn[1] if student else None,
        student,
        remarks,
        titles,
    )
    return lesson(whole, inputs)


def lesson_files(sheet: Lesson, say: Say) -> Iterator[tuple[str, bytes]]:
    """The files of a lesson by name."""
    say("drawing the sheet")
    yield "lesson.html", lesson_html(sheet)
    yield "lesson.json", lesson_json(sheet, __version__)


def _grave(found: list[Diagnostic]) -> bool:
    return any(d.severity is Severity.ERROR for d in found)


def _refused(found: list[Diagnostic]) -> Outcome:
    return Outcome(tuple(dict.fromkeys(found)), ExitCode.BAD_INPUT)
