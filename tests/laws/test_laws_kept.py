"""What is kept of a recipe from edit to edit never shows: it is read and checked as from nothing."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scye.diagnostics.model import Diagnostic
from scye.library import read_source
from scye.project import DEEPEST, Kept, Project, open_methods, open_project
from scye.source import Source, Span

sys.setrecursionlimit(DEEPEST)  # before hypothesis notes what it was
RECIPE, PARENT, METHODS = "low.scye", "vest.scye", "edges.scye"
# An invented small recipe, a variant of it and a method: a bit of each sort of statement that asks of others.
TEXTS: Mapping[str, str] = {
    METHODS: """\
method lowered
  about "A line lowered."
  given edge line "the line"
  given depth length = 1 in "how far"
  gives low line "the lowered one"
  twice = depth * 2
  mark left_end from start of edge down depth
  mark right_end from end of edge down twice
  line low from left_end to right_end
""",
    PARENT: """\
recipe "Vest"
  edition 3

use edges

needs bust, waist
needs hip otherwise waist + 10 in

choose ease = 2 in from 0 in to 6 in
choose lined = no
choose neck = round of round, square

quarter = (bust + ease) / 4
step = depth / 2
depth = least of (quarter / 2, 5 in)
parts = share quarter evenly over 3
limit ease at least 1 in

draft front
  begin at top
  plumb centre through top
  level chest from top down depth
  level hem from chest down 14 in
  mark side_top where centre meets chest right quarter
  mark side_foot where centre meets hem right (hip + ease) / 4
  line side from side_top to side_foot
  when neck is round
    curve edge from top to side_top leaving right arriving down
  otherwise
    line edge from top to side_top
  repeat i from 1 to 3
    mark spot[i] from top right parts[i] down step * i
  draw dropped by lowered
    edge = edge
    depth = step
  dart tuck from spot[2] to side_foot
    at hem take 1/2 in
    pressed toward top

every piece
  grain down
  allow 1/2 in on seams

piece panel "Panel"
  bounded by front.centre, front.edge, front.side, front.hem
  cut 1 of self on fold at centre
  notch side at front.side_foot
when lined
  piece facing "Facing"
    bounded by front.centre, front.edge, front.side, front.hem
    cut pair of lining
  sew panel.side to facing.side

prove "hem" width_there = girth at front.chest within 9 in
width_there = girth at front.hem
prove "chest" girth at front.chest = quarter * 2 within 1/4 in
keep "depth" step at most 9 in
""",
    RECIPE: """\
recipe "Low vest"
  edition 1
  based on "vest" edition 3

choose ease = 3 in from 0 in to 6 in
slope = depth / 4
draft front
  redraw level hem from chest down 16 in + slope
  mark low_side from side_foot down slope
leave out "depth"
prove "low" length of front.side = 15 in within 1/4 in
""",
}
POOL = (
    "# a remark",
    "",
    "depth = quarter / 3",
    "quarter = step",
    "step = 20 deg",
    "  mark spot[4] from side_top down step",
    "  plumb top through side_top",
    "choose depth = 3 in",
    "choose neck = narrow of narrow, wide",
    "piece panel",
    "  bounded by front.side, front.hem, front.centre",
    "when lined",
    "otherwise",
    "\tbad = ",
    'prove "more" width_there = quarter within 1 in',
    "use edges",
)


def laid_bare(value: object) -> object:
    """A value with the places in it as they are shown, for comparing what stands in two sources."""
    if isinstance(value, Span):
        return value.source.name, value.source.text, value.start, value.end
    if isinstance(value, Source):
        return value.name, value.text
    if isinstance(value, tuple | list):
        return [laid_bare(item) for item in value]
    if is_dataclass(value):
        return type(value).__name__, [laid_bare(getattr(value, f.name)) for f in fields(value)]
    return value


def answer(project: Project) -> object:
    """All that reading and checking says: statements with their places, and what is wrong in its order."""
    files = [file for text in project.texts for file in (text.file, *text.libraries)]
    merged = project.program.recipe if project.program is not None else None
    return laid_bare((files, merged, project.diagnostics))


def edited(text: str, kind: str, a: int, b: int) -> str:
    lines = text.split("\n")
    here, there = a % len(lines), b % len(lines)
    match kind:
        case "line out":
            return "\n".join(lines[:here] + lines[here + 1 :])
        case "line in":
            return "\n".join([*lines[:here], POOL[b % len(POOL)], *lines[here:]])
        case "line twice":
            return "\n".join([*lines[:there], lines[here], *lines[there:]])
        case "line moved":
            rest = lines[:here] + lines[here + 1 :]
            return "\n".join([*rest[:there], lines[here], *rest[there:]])
        case "lines changed over":
            lines[here], lines[there] = lines[there], lines[here]
            return "\n".join(lines)
        case "word":
            return _word_put(text, lines, here, b)
        case "name":
            words = sorted(set(text.replace(".", " ").split()))
            old = words[a % len(words)]
            return text.replace(old, words[b % len(words)] if a % 3 else f"{old}_new")
        case "indent":
            lines[here] = lines[here].lstrip() if b % 2 else f"  {lines[here]}"
            return "\n".join(lines)
    raise ValueError(kind)


def _word_put(text: str, lines: list[str], here: int, b: int) -> str:
    """A word of a line put in place of another, as it were a slip of the pen."""
    words, others = lines[here].split(" "), text.split()
    if others:
        words[b % len(words)] = others[b % len(others)]
    return "\n".join([*lines[:here], " ".join(words), *lines[here + 1 :]])


KINDS = (
    *("line out", "line in", "line in", "line twice", "line moved", "lines changed over"),
    *("word", "word", "name", "name", "indent"),
    *("back", "back", "back all"),
)
EDITS = st.lists(
    st.tuples(st.sampled_from(KINDS), st.sampled_from(tuple(TEXTS)), *[st.integers(0, 65_535)] * 2),
    min_size=20,
    max_size=20,
)


def test_an_edited_recipe_with_its_parent_and_methods_is_checked_as_from_nothing(tmp_path):
    for name, text in TEXTS.items():
        (tmp_path / name).write_text(text)
    edits_made = sound = parts_kept = 0

    @settings(max_examples=40, suppress_health_check=list(HealthCheck), deadline=None)
    @given(EDITS)
    def law(edits: list[tuple[str, str, int, int]]) -> None:
        nonlocal edits_made, sound, parts_kept
        texts, kept, kept_methods = dict(TEXTS), Kept(), Kept()

        def read(file: Path) -> Source | Diagnostic:
            return Source(file.name, texts[file.name]) if file.name in texts else read_source(file)

        for kind, name, a, b in edits:
            if kind.startswith("back"):
                texts.update(TEXTS if kind == "back all" else {name: TEXTS[name]})
            else:
                texts[name] = edited(texts[name], kind, a, b)
            before = list(kept.checks)
            again = open_project(tmp_path / RECIPE, read, kept)
            assert answer(again) == answer(open_project(tmp_path / RECIPE, read))
            methods = open_methods(tmp_path / METHODS, read, kept_methods)
            assert answer(methods) == answer(open_methods(tmp_path / METHODS, read))
            edits_made += 1
            sound += again.sound
            for then, now in zip(before, kept.checks, strict=False):
                parts_kept += sum(now.parts.get(key) is part for key, part in then.parts.items())

    law()
    assert edits_made >= 800
    assert sound >= 100
    assert parts_kept >= 20 * edits_made
