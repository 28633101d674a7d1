"""A workroom in which a recipe is drafted for a body: from its text or its file, to a pattern or to files."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

from scye.diagnostics.model import Diagnostic, Severity
from scye.driver import Compiled, Compiler, run_build, run_check, solved
from scye.explain.trace import find_named
from scye.ir.pattern import Pattern
from scye.ir.people import DisplayUnit
from scye.ir.requests import BuildRequest, CheckRequest, Outcome
from scye.project import open_card, open_project

ROOT = Path(__file__).parents[1]
INCH = 25.4

# A recipe is a file, or its text. A body is a card of examples/cards by its code, or measures of its own.
RecipeLike = Path | str
BodyLike = str | Mapping[str, str]


def recipes() -> list[Path]:
    """Every recipe that is published with the compiler."""
    return sorted((ROOT / "recipes").glob("*/*.scye"))


# Who is drafted where a recipe is for others than women.
OTHERS = {"men": "heron", "child": "wagtail"}


@lru_cache
def wearer_of(recipe: Path) -> str:
    """Whom a recipe is headed for; women where it does not say."""
    program = open_project(recipe).program
    head = program.recipe.head if program else None
    return next((h.value for h in head.headings if h.key == "wearer"), "women") if head else "women"


def client_for(recipe: Path, code: str) -> str:
    """The card of this code, or that of somebody whom the recipe is for."""
    return OTHERS.get(wearer_of(recipe), code)


@dataclass(frozen=True)
class Workroom:
    """Drafts recipes; all that is written goes to `folder`."""

    folder: Path

    def pattern(
        self,
        recipe: RecipeLike,
        body: BodyLike,
        unit: DisplayUnit = "in",
        show: DisplayUnit | None = None,
        **choices: str,
    ) -> Pattern:
        """The pattern of one body. `unit` is that of measures which name none, `show` that of the figures."""
        compiler, _, order = self._ready(recipe, body, unit, choices)
        (pattern,) = compiler.patterns([order], show, lambda _line: None)
        return pattern

    def thing(self, recipe: RecipeLike, body: BodyLike, *names: str, **choices: str) -> Any:
        """Points (x, y), amounts or lines of the draft itself, by name: mm, right and down."""
        _, compiled, order = self._ready(recipe, body, "in", choices)
        solution, equations = solved(compiled, [order]), compiled.runnable.ordered.equations
        found = []
        for name in names:
            ref = find_named(equations, name)
            assert ref is not None, f"nothing is called {name}"
            value = solution.values[ref]
            point = getattr(value, "shape", None) == (2, 1)
            found.append((float(value[0, 0]), float(value[1, 0])) if point else value)
        return tuple(found)

    def build(
        self, recipe: RecipeLike, *cards: str, units: DisplayUnit | None = None, **choices: str
    ) -> tuple[Outcome, Path]:
        """A whole run, as the command line asks for it, and the folder with its files."""
        out = self.folder / "out"
        paths = tuple(ROOT / "examples" / "cards" / f"{card}.yaml" for card in cards)
        settings = tuple(choices.items())
        request = BuildRequest(self.file(recipe), paths, None, (), settings, units, out)
        return run_build(request, lambda _line: None), out

    def check(self, recipe: RecipeLike) -> tuple[Diagnostic, ...]:
        """What is said of a recipe without a body."""
        return run_check(CheckRequest(self.file(recipe))).diagnostics

    def file(self, recipe: RecipeLike) -> Path:
        if isinstance(recipe, Path):
            return recipe
        path = self.folder / "recipe.scye"
        path.write_text(recipe, encoding="utf-8")
        return path

    def _ready(
        self, recipe: RecipeLike, body: BodyLike, unit: DisplayUnit, choices: Mapping[str, str]
    ) -> tuple[Compiler, Compiled, Any]:
        path = self.file(recipe)
        compiler = _compiler(path, path.read_text(encoding="utf-8"))
        card, found = open_card(self._card(body, unit), compiler.project.catalogue)
        assert card is not None, _told(found)
        order, mistakes = compiler.order(card, tuple(choices.items()))
        assert all(d.severity < Severity.ERROR for d in mistakes), _told(mistakes)
        compiled = compiler.compiled(order.settled)
        assert isinstance(compiled, Compiled), _told(compiled)
        return compiler, compiled, order

    def _card(self, body: BodyLike, unit: DisplayUnit) -> Path:
        if isinstance(body, str):
            return ROOT / "examples" / "cards" / f"{body}.yaml"
        path = self.folder / "heron.yaml"
        measures = "".join(f"  {name}: {value}\n" for name, value in body.items())
        path.write_text(f"client: heron\nunit: {unit}\ntimes: 2\nmeasures:\n{measures}", encoding="utf-8")
        return path


@lru_cache(maxsize=64)
def _compiler(path: Path, text: str) -> Compiler:
    """A recipe's compiler, kept while its text is the same."""
    project = open_project(path)
    assert project.sound, _told(project.diagnostics)
    return Compiler(project)


def _told(found: tuple[Diagnostic, ...] | list[Diagnostic]) -> str:
    return "; ".join(f"{d.span and d.span.line}: {d.seen()} ({d.attempt()})" for d in found)
