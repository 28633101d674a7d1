"""Write the reference again: methods and measures with their figures, and the index of recipes.

python tests/docs/reference.py
"""

from __future__ import annotations

import os
import re
import textwrap
from collections.abc import Iterable, Iterator
from pathlib import Path

import method_pictures
import tape_pictures
from documents import RECIPES, ROOT
from method_pictures import Example

from scye.ir import syntax as s
from scye.ir.people import Body, Measure
from scye.ir.program import Program
from scye.library import read_source
from scye.parse.parser import parse_file
from scye.project import open_card, open_project, standards
from scye.source import Source
from scye.units.quantity import Kind
from scye.units.tape import show_value

PAGE = ROOT / "stdlib" / "REFERENCE.md"
INDEX = ROOT / "recipes" / "README.md"
PICTURES = ROOT / "stdlib" / "pictures"
MADE = "<!-- Made by tests/docs/reference.py from what is shipped: change it there, not here. -->"
LARGEST = 440  # dots, of a method's picture on the page
MOST_NAMED = 6  # recipes that ask for a measure


def written() -> dict[Path, str]:
    """Every page and picture of the reference, by its file."""
    shown = method_pictures.examples()
    figure = tape_pictures.figure()
    measures = {m.name: m for m in standards()[0].measures}
    pictures = {
        PICTURES / f"{name}.svg": tape_pictures.picture(measures[name].title, drawn, figure["views"])
        for name, drawn in figure["measures"].items()
    }
    pictures |= {
        PICTURES / f"{name}.svg": method_pictures.picture(example) for name, example in shown.items()
    }
    return {PAGE: _page(shown, measures), INDEX: _index(), **pictures}


# --- the page of stdlib ---------------------------------------------------------------------------


def _page(shown: dict[str, Example], measures: dict[str, Measure]) -> str:
    parts = [
        "# Methods and measures",
        MADE,
        _prose(
            "What stdlib offers to every recipe: [methods](#methods) to draw by, and [measures](#measures) to"
            " ask for. The [guide](../compiler/LANGUAGE.md) says how both are written."
        ),
        "## Methods",
        _prose(
            "In a picture, what the method gives is thick. What it was given is dashed, or an open ring, with"
            " its name in italics. Helps are fine. Each is drawn in a recipe that uses it."
        ),
        *(part for file in method_files() for part in _methods_of(file, shown)),
        "## Measures",
        _prose(
            "Where the tape goes, what is usual for grown people, and how near two careful takings should"
            " agree. The figure is nobody's. `scye measures waist` says the same of one."
        ),
        *_measures(measures),
    ]
    return "\n\n".join(parts) + "\n"


def method_files() -> list[s.File]:
    found = []
    for path in sorted((ROOT / "stdlib").glob("*.scye")):
        source = read_source(path)
        assert isinstance(source, Source)
        found.append(parse_file(source)[0])
    return found


def _methods_of(file: s.File, shown: dict[str, Example]) -> Iterator[str]:
    name = Path(file.source.name).stem
    for method in file.body:
        if isinstance(method, s.Method):
            yield f"### {method.name.text}"
            yield f"{method.about.value if method.about else ''} In a recipe: `use {name}`."
            yield from _method(method, shown.get(method.name.text))


def _method(method: s.Method, example: Example | None) -> Iterator[str]:
    name = method.name.text
    if example is not None:
        wide, high = method_pictures.size(example)
        width = LARGEST * wide / max(wide, high)
        yield f'<img src="pictures/{name}.svg" alt="What {name} draws" width="{width:.0f}">'
    given = [[f"`{p.name.text}`", _kind(p), _default(p), _said(p.sentence)] for p in method.parameters]
    yield _table(["given", "kind", "if left out", "what"], given)
    gives = [[f"`{g.name.text}`", g.kind, _said(g.sentence)] for g in method.gives]
    yield _table(["gives", "kind", "what"], gives)
    if example is not None:
        page = example.recipe.parent / "README.md"
        where = _link(page if page.exists() else example.recipe, example.recipe.stem)
        yield f"As it is drawn in {where}:"
        yield f"```scye-part\n{_lines(example.draw)}\n```"


def _kind(parameter: s.Parameter) -> str:
    return f"{parameter.kind}s" if parameter.many else parameter.kind


def _default(parameter: s.Parameter) -> str:
    return f"`{parameter.default.span.text}`" if parameter.default else "needed"


def _said(text: s.Text | None) -> str:
    return text.value if text is not None else ""


def _lines(draw: s.Draw) -> str:
    """The lines of a `draw` as they stand, without what they are all in by."""
    source = draw.span.source
    last = max(draw.span.line, *(argument.span.line for argument in draw.arguments))
    lines = [source.line_text(line) for line in range(draw.span.line, last + 1)]
    inset = len(lines[0]) - len(lines[0].lstrip())
    return "\n".join(line[inset:] for line in lines)


# --- measures -------------------------------------------------------------------------------------


def _measures(measures: dict[str, Measure]) -> Iterator[str]:
    """A table for each group of the catalogue, in its order."""
    cards, asked = _cards(), _asked()
    for title, names in _groups():
        yield f"### {title}"
        rows = [_measure(measures[name], cards, asked.get(name, [])) for name in names]
        yield _table(["", "measure"], rows)


def _groups() -> list[tuple[str, list[str]]]:
    text = (ROOT / "stdlib" / "measures.yaml").read_text(encoding="utf-8").partition("\nchecks:")[0]
    found: list[tuple[str, list[str]]] = []
    for title, name in re.findall(r"^  # -+ (.+?) -+$|^  (\w+):$", text, re.MULTILINE):
        if title:
            found.append((title.partition(":")[0], []))
        else:
            found[-1][1].append(name)
    return found


def _measure(measure: Measure, cards: list[Body], recipes: list[Path]) -> list[str]:
    picture = f'<img src="pictures/{measure.name}.svg" alt="{measure.title} on the figure" width="150">'
    words = [
        f"**{measure.title}** `{measure.name}`",
        measure.where,
        f"Usual: {_amount(measure, measure.low)} to {_amount(measure, measure.high)}.",
        f"Two takings agree within {_amount(measure, measure.tolerance)}.",
        *([f"ISO 8559-1:2017, {measure.clause}."] if measure.clause else []),
        *(
            [f"Also called {', '.join(name.replace('_', ' ') for name in measure.also)}."]
            if measure.also
            else []
        ),
        f"On a card: {_on_a_card(measure, cards)}",
        *([f"Asked for by {_named(recipes)}."] if recipes else []),
    ]
    return [picture, "<br>".join(words)]


def _amount(measure: Measure, value: float) -> str:
    if measure.kind is Kind.ANGLE:
        return show_value(value, "rad", "cm")
    return f"{value:g} mm" if value < 100 else f"{value / 10:g} cm"


def _on_a_card(measure: Measure, cards: list[Body]) -> str:
    """As the first card has it that has it; else the middle of what is usual."""
    for body in cards:
        for reading in body.readings:
            if reading.name == measure.name and reading.side is None:
                return f"`{measure.name}: {_written(reading.span.text)}` ({body.code})."
    middle = (measure.low + measure.high) / 2
    return f"`{measure.name}: {_amount(measure, round(middle, -1))}`."


def _written(text: str) -> str:
    return " ".join(text.split())


def _cards() -> list[Body]:
    """The example cards, wren's first."""
    paths = sorted((ROOT / "examples" / "cards").glob("*.yaml"), key=lambda path: (path.stem != "wren", path))
    bodies = [open_card(path, standards()[0])[0] for path in paths]
    return [body for body in bodies if body is not None]


def _asked() -> dict[str, list[Path]]:
    """The recipes that ask for each measure, with those that a variant has from its parent."""
    found: dict[str, list[Path]] = {}
    for folder in RECIPES:
        project = open_project(folder / f"{folder.name}.scye")
        assert project.program is not None, folder
        for statement in project.program.recipe.body:
            if isinstance(statement, s.Needs):
                for need in statement.items:
                    found.setdefault(need.name.text, []).append(folder)
    return found


def _named(recipes: list[Path]) -> str:
    links = [_link(folder / "README.md", folder.name) for folder in recipes[:MOST_NAMED]]
    more = len(recipes) - len(links)
    return f"{', '.join(links)} and {more} more" if more else ", ".join(links)


# --- the index of recipes -------------------------------------------------------------------------


def _index() -> str:
    """Recipes that stand by themselves, each with its variants behind it."""
    heads = {folder: _head(folder) for folder in RECIPES}
    first = [folder for folder in RECIPES if heads[folder].based_on is None]
    rows = [row for folder in first for row in _with_variants(folder, heads)]
    parts = [
        "# Recipes",
        MADE,
        _prose(
            "Each is drafted as it stands, or is where a recipe of your own begins. The page of each has the"
            " command that drafts it, its measures, its choices and its limits. [How they came"
            " out](BODIES.md) on sizes and on real bodies is counted."
        ),
        _table(["", "recipe"], rows),
    ]
    return "\n\n".join(parts) + "\n"


def _head(folder: Path) -> s.RecipeHead:
    source = read_source(folder / f"{folder.name}.scye")
    assert isinstance(source, Source)
    head = parse_file(source)[0].head
    assert head is not None, folder
    return head


def _with_variants(folder: Path, heads: dict[Path, s.RecipeHead]) -> Iterator[list[str]]:
    yield _recipe(folder, heads[folder], heads)
    for other, head in heads.items():
        if head.based_on is not None and head.based_on.recipe.value == folder.name:
            yield from _with_variants(other, heads)


def _recipe(folder: Path, head: s.RecipeHead, heads: dict[Path, s.RecipeHead]) -> list[str]:
    page = folder / "README.md"
    about = next((h.value for h in head.headings if h.key == "about"), "")
    parents = {other.name: other for other in heads}
    based = parents[head.based_on.recipe.value] if head.based_on is not None else None
    program = open_project(folder / f"{folder.name}.scye").program
    assert program is not None
    meant = ", ".join(" ".join(m.span.text.split()).replace("_", " ") for m in program.meant_for)
    words = [
        f"**{_link(page, head.title.value, INDEX)}**",
        about,
        *([f"A variant of {_link(based / 'README.md', heads[based].title.value, INDEX)}."] if based else []),
        *([f"Meant for {meant}."] if meant else []),
        *_needed(program),
    ]
    return [_picture(folder, head.title.value), "<br>".join(word for word in words if word)]


def _picture(folder: Path, title: str) -> str:
    """The picture that a recipe's page shows first."""
    shown = re.search(r'<img src="([^"]+)"', (folder / "README.md").read_text(encoding="utf-8"))
    if shown is None:
        return ""
    path = Path(os.path.relpath(folder / shown[1], INDEX.parent)).as_posix()
    return f'<img src="{path}" alt="Pieces of {title}" width="240">'


def _needed(program: Program) -> Iterator[str]:
    """The measures without which it can't be drafted."""
    needs = [need for said in program.recipe.body if isinstance(said, s.Needs) for need in said.items]
    names = [need.name.text.replace("_", " ") for need in needs if need.otherwise is None]
    yield f"Needs {', '.join(names)}." if names else "Needs no measure."


# --- Markdown -------------------------------------------------------------------------------------


def _prose(text: str) -> str:
    return textwrap.fill(text, 112, break_long_words=False, break_on_hyphens=False)


def _link(target: Path, words: str, page: Path = PAGE) -> str:
    return f"[{words}]({Path(os.path.relpath(target, page.parent)).as_posix()})"


def _table(heads: list[str], rows: Iterable[list[str]]) -> str:
    lines = [heads, ["---"] * len(heads), *rows]
    return "\n".join(f"| {' | '.join(cell.replace('|', chr(92) + '|') for cell in line)} |" for line in lines)


if __name__ == "__main__":
    made = written()
    PICTURES.mkdir(exist_ok=True)
    for old in sorted(PICTURES.glob("*.svg")):
        if old not in made:
            old.unlink()
    for path, text in made.items():
        path.write_text(text, encoding="utf-8")
    print(f"{len(made)} pages and pictures")
