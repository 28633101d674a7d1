"""A parent and its variants in a folder of a test's own, laid over each other."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from scye.diagnostics.model import Diagnostic
from scye.ir import syntax as s
from scye.project import Project, open_project

PARENT = """recipe "Parent"
  edition 1
  about "What all come from."
  licence CC-BY-4.0
  studio "Saltmarsh Workroom"
  wearer child

needs bust, waist, hip
choose ease = 1 in from 0 in to 3 in "round the bust"
choose closing = laced of laced, zipped "how the back closes"
choose yoke = yes
half = (bust + ease) / 2
half_waist = waist / 2
half_hip = hip / 2

draft front
  begin at cf
  plumb centre through cf
  level waist_line from cf down 8 in
  level top_line through cf
  mark side_top where centre meets top_line right half
  mark side_waist where centre meets waist_line right half_waist
  line side from side_top to side_waist
  repeat i from 1 to 3
    mark dot[i] from cf right i * 1 in
  when yoke
    mark low from cf down 1 in
  otherwise
    mark low from cf down 2 in
  find a from 0 in to 9 in, b from 0 in to 9 in
    so that a = half / 4
    so that b = a / 2

piece front_piece "Front"
  bounded by centre, top_line, side, waist_line
  cut pair of self
  grain down
  allow 1/2 in on side
  allow 1/2 in on centre
  net on top_line, waist_line
piece other "Other"
  bounded by centre, top_line, side, waist_line
  cut pair of self
  grain down
  allow 1/2 in on side
  allow 1/2 in on centre
  net on top_line, waist_line
sew front_piece.side to other.side
prove "half" width of other at waist_line = half_waist
report "half hip" half_hip
"""


@dataclass(frozen=True)
class Room:
    """A folder with a parent; variants of it are written beside."""

    folder: Path

    def write(self, name: str, text: str) -> Path:
        path = self.folder / f"{name}.scye"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
        return path

    def variant(self, states: str, name: str = "variant", of: str = "parent", edition: int = 1) -> Project:
        """A variant that states some lines, read with its parents."""
        head = f'recipe "Variant"\n  edition 2\n  based on "{of}" edition {edition}\n'
        return open_project(self.write(name, head + states))


def told(project: Project) -> list[tuple[str, str, str]]:
    """What is said of a recipe: code, place as file and line, and the words."""
    return [(d.code, place(d), d.seen()) for d in project.diagnostics]


def place(diagnostic: Diagnostic) -> str:
    span = diagnostic.span
    return f"{Path(span.source.name).stem}:{span.line}" if span else ""


def stated(project: Project, name: str) -> list[str]:
    """The lines that make a name in the merged recipe, in order, with the draft they stand in."""
    assert project.program is not None
    return list(_stated(project.program.recipe.body, name, ""))


def _stated(body: tuple[s.Statement, ...], name: str, where: str) -> list[str]:
    found: list[str] = []
    for statement in body:
        match statement:
            case s.Draft(body=inner, name=draft):
                found += _stated(inner, name, f"{draft.text}: ")
            case s.Repeat(body=inner, span=span):
                found += _stated(inner, name, f"{where}{span.text}: ")
            case s.When(condition=condition, body=inner, otherwise=other):
                found += _stated(inner, name, f"{where}when {condition.span.text}: ")
                found += _stated(other, name, f"{where}not when {condition.span.text}: ")
            case _:
                ident = getattr(statement, "name", None)
                if isinstance(ident, s.Ident) and ident.text == name:
                    found.append(where + statement.span.text)
    return found
