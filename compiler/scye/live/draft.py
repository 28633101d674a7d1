"""A recipe that is being worked on: its texts as they stand, tried on one body after another.

Both an edit and a moved measure are answered with what a run from nothing would say of the same texts, body
and choices, to the byte. What a change does not reach is kept from the answer before.
"""

from __future__ import annotations

from collections.abc import Mapping, Set
from dataclasses import dataclass, replace
from pathlib import Path

from scye.diagnostics.model import Diagnostic, Severity
from scye.drafting import Compiled, Order, Recall, nothing_to_sweep
from scye.driver import Compiler, compile_all
from scye.geometry.memory import Memory, remembering
from scye.ir.pattern import Pattern, PieceLines
from scye.ir.people import Body, ChoiceText, DisplayUnit, Reading
from scye.library import read_source, shown_name
from scye.live.places import NOWHERE, Places, places_of
from scye.project import Kept, Project, open_project
from scye.source import Source, Span
from scye.texts import ReadText
from scye.units.quantity import Quantity

AS_CHOSEN = "the choices"  # where a choice is said to stand that is on no card


@dataclass(frozen=True, slots=True, eq=False)
class Drawn:
    """What is to be said of a recipe and a body, and what came out of them.

    `diagnostics` are of the texts, the card and the choices, in the order they were found; with an error
    among them there is no pattern, and `places` is empty. What is wrong with the body alone is a finding of
    the pattern. `redrawn` names the pieces that are not as they were in the answer before. `compiled` is
    there as soon as the recipe and the choices are sound, and `order` is what the body was drafted by.
    """

    project: Project
    diagnostics: tuple[Diagnostic, ...]
    pattern: Pattern | None
    places: Places
    redrawn: frozenset[str]
    compiled: Compiled | None = None
    order: Order | None = None

    @property
    def values(self) -> Mapping[str, str]:
        """How each named amount came about, by its full name: `(waist - gap) / 2 = ... = 13 in`."""
        return {v.name: v.working for v in self.pattern.values} if self.pattern is not None else {}


class LiveDraft:
    """Answers edits of one recipe and changes of one body quickly. Not for several threads at once.

    `recipe` is the file of the recipe, which need not be saved yet; `read` gives the text of a file that was
    not written to, from the disk unless said otherwise.
    """

    def __init__(self, recipe: Path, read: ReadText = read_source) -> None:
        self.recipe = recipe
        self._read = read
        self._written: dict[Path, Source] = {}
        self._kept = Kept()
        self._project: Project | None = None
        self._compiler: Compiler | None = None
        self._pattern: Pattern | None = None
        self._recall = Recall()
        self._memory = Memory()

    # --- texts ------------------------------------------------------------------------------

    def write(self, path: Path, text: str | None) -> None:
        """The whole text of a file as it stands in an editor: the recipe, a parent or a file of methods.
        None: as it is on the disk again. Line breaks are single `\\n`."""
        if text is None:
            self._written.pop(path, None)
        else:
            self._written[path] = Source(shown_name(path), text)
        self._project = self._compiler = None

    def look_again(self) -> None:
        """Files may have changed on the disk."""
        self._project = self._compiler = None

    def _text(self, path: Path) -> Source | Diagnostic:
        return self._written.get(path) or self._read(path)

    @property
    def project(self) -> Project:
        """The recipe as it stands, read and checked, with all that is wrong with it."""
        if self._project is None:
            self._project = open_project(self.recipe, self._text, self._kept)
        return self._project

    # --- bodies -----------------------------------------------------------------------------

    def draw(
        self,
        body: Body,
        choices: Mapping[str, str] | None = None,
        units: DisplayUnit | None = None,
        tried: Set[str] = frozenset(),
    ) -> Drawn:
        """The recipe drafted for a body. `choices` are texts, as `2 in` or `yes`, and go before the card's;
        `units` are those of the figures that are told, the card's unless said otherwise.

        The pattern is as `scye build` makes it, without the error bars of the measures; but the measures that
        are only `tried` are not held against the others of the card, so that no piece is kept back for them.
        """
        project = self.project
        found = list(project.diagnostics)
        ready = self._ready(body, choices or {}, tried, found)
        if ready is None:
            return self._answer(project, found, None, NOWHERE)
        compiler, compiled, asked = ready
        if any(d.severity is Severity.ERROR for d in found):
            return replace(self._answer(project, found, None, NOWHERE), compiled=compiled, order=asked)
        with remembering(self._memory), nothing_to_sweep():
            (pattern,) = compiler.patterns([asked], units, lambda _line: None)
        answer = self._answer(project, found, pattern, places_of(compiled))
        return replace(answer, compiled=compiled, order=asked)

    def lines(
        self, body: Body, choices: Mapping[str, str] | None = None, tried: Set[str] = frozenset()
    ) -> tuple[PieceLines, ...] | None:
        """The lines of the pieces that `draw` would draw, sooner: for while a slider is held. None where
        there is more to say than lines can, as of a mistake: then `draw` says it."""
        found = list(self.project.diagnostics)
        ready = self._ready(body, choices or {}, tried, found)
        if ready is None or any(d.severity is Severity.ERROR for d in found):
            return None
        compiler, compiled, asked = ready
        with remembering(self._memory):
            return compiler.lines(compiled, asked)

    def _ready(
        self, body: Body, choices: Mapping[str, str], tried: Set[str], found: list[Diagnostic]
    ) -> tuple[Compiler, Compiled, Order] | None:
        """The recipe made ready for a body and its choices; None if it can't be. What is wrong is added."""
        if not self.project.sound:
            return None
        if self._compiler is None:
            self._compiler = Compiler(self.project, self._recall)
        compiler = self._compiler
        asked, mistakes = compiler.order(with_choices(body, choices), ())
        asked = trusted(asked, tried)
        found += mistakes
        compile_all(compiler, [asked], found)
        compiled = compiler.compiled(asked.settled, asked.body.fittings)
        return None if isinstance(compiled, list) else (compiler, compiled, asked)

    def _answer(
        self, project: Project, found: list[Diagnostic], pattern: Pattern | None, places: Places
    ) -> Drawn:
        redrawn = _redrawn(self._pattern, pattern)
        self._pattern = pattern
        return Drawn(project, tuple(dict.fromkeys(found)), pattern, places, redrawn)


def trusted(order: Order, tried: Set[str]) -> Order:
    """An order without the remarks and doubts that come of measures which are only tried."""
    remarks = tuple(d for d in order.remarks if tried.isdisjoint(getattr(d, "doubts", ())))
    doubted = frozenset(name for d in remarks for name in getattr(d, "doubts", ()))
    return replace(order, remarks=remarks, doubted=doubted)


def with_measures(body: Body, measures: Mapping[str, Quantity]) -> Body:
    """A body with some of its measures moved, or taken that were not. One that was taken left and right is
    moved on both sides."""
    known = {reading.name for reading in body.readings}
    moved = [_moved(r, measures[r.name]) if r.name in measures else r for r in body.readings]
    new = [Reading(name, q.inside, q, body.span) for name, q in measures.items() if name not in known]
    return replace(body, readings=(*moved, *new))


def _moved(reading: Reading, to: Quantity) -> Reading:
    return replace(reading, value=to.inside, written=to)


def with_choices(body: Body, choices: Mapping[str, str]) -> Body:
    """A body with choices that go before those of its card, as texts: `2 in`, `yes`."""
    texts = []
    for name, text in choices.items():
        line = f"{name} = {text}"
        source = Source(AS_CHOSEN, line)
        texts.append(ChoiceText(name, text, Span(source, len(line) - len(text), len(line))))
    return replace(body, choices=(*body.choices, *texts))


def _redrawn(before: Pattern | None, now: Pattern | None) -> frozenset[str]:
    old = {piece.name: piece for piece in before.pieces} if before is not None else {}
    new = {piece.name: piece for piece in now.pieces} if now is not None else {}
    return frozenset(name for name in (*old, *new) if old.get(name) != new.get(name))
