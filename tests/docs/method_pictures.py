"""Pictures of the reference: each method drawn by a recipe that uses it, with what it was given and gives."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path as File
from xml.sax.saxutils import escape

from documents import LESSONS, RECIPES, ROOT
from redraw import asked

from scye.driver import Compiler, solved
from scye.geometry.path import Circle, Guide, Line, Path, take
from scye.ir import equations as e
from scye.ir import syntax as s
from scye.ir.program import MethodEntry, Program
from scye.ir.requests import Setting
from scye.ir.solution import Solution
from scye.project import Project, open_card, open_project
from scye.units.quantity import Kind

Point = tuple[float, float]
Box = tuple[float, float, float, float]  # left, top, right, bottom
Settings = tuple[Setting, ...]

LONGEST = 130.0  # mm: the longer side of a picture, without its margin
MARGIN = 12.0
STRAIGHT = 0.999  # of a unit: a guide that is level or plumb
BEYOND = 1.2  # of the lines that were given, as far as a picture goes past them
LETTER = 3.4  # height of the words, mm
CARDS = ROOT / "examples" / "cards"
PENS = {
    "help": 'stroke="#9a9a9a" stroke-width="0.2"',
    "given": 'stroke="#000" stroke-width="0.3" stroke-dasharray="2 1"',
    "gives": 'stroke="#000" stroke-width="0.6"',
}
# Recipes that may show a method: the first that uses it does.
SHOWING = (
    *(folder / f"{folder.name}.scye" for folder in (*RECIPES, *LESSONS)),
    *(path for room in ("stdlib", "scenarios") for path in sorted((ROOT / "tests" / room).glob("*.scye"))),
)


@dataclass(frozen=True)
class Example:
    """A place where a recipe draws by a method, and all that was drafted there."""

    recipe: File
    setting: Settings
    draw: s.Draw
    method: s.Method
    home: str  # the full name of the draft or method that the line stands in, with a point behind
    nodes: Sequence[e.Node]
    solution: Solution

    @property
    def prefix(self) -> str:
        return f"{self.home}{self.draw.name.text}."


@cache
def examples() -> dict[str, Example]:
    """For each method of stdlib the first recipe that draws by it all that it gives, with whatever choice it
    takes; or else the one that draws most. A method that no recipe draws by has none."""
    found: dict[str, Example] = {}
    for recipe in SHOWING:
        project = open_project(recipe)
        if project.program is not None and project.sound and any(text.libraries for text in project.texts):
            _look_in(recipe, project, project.program, found)
    return found


def _look_in(recipe: File, project: Project, program: Program, found: dict[str, Example]) -> None:
    """Note the examples of a recipe, as it stands or with one choice otherwise, while any are wanted."""
    compiler = Compiler(project)
    code = asked(recipe.parent)[0] if (recipe.parent / "README.md").exists() else "wren"
    for setting in ((), *_other_choices(program)):
        methods = {draw.method.text: program.methods[draw.method.text].method for draw, _ in _draws(program)}
        wanted = {name for name, method in methods.items() if _is_wanted(method, found)}
        drafted = _drafted(compiler, code, setting) if wanted else None
        if drafted is None:
            return
        for draw, home in _draws(program):
            example = Example(recipe, setting, draw, methods[draw.method.text], home, *drafted)
            best = found.get(draw.method.text)
            if draw.method.text in wanted and len(drawn(example)) > (len(drawn(best)) if best else 0):
                found[draw.method.text] = example


def _is_wanted(method: s.Method, found: dict[str, Example]) -> bool:
    best = found.get(method.name.text)
    standard = method.span.source.name.startswith("stdlib/")
    return standard and (best is None or drawn(best) != given_back(method))


def _other_choices(program: Program) -> Iterator[Settings]:
    for choice in program.recipe.body:
        if isinstance(choice, s.Choose) and isinstance(choice.default, str):
            words = [word.text for word in choice.words] or ["yes", "no"]
            yield from (((choice.name.text, word),) for word in words if word != choice.default)


def _drafted(compiler: Compiler, code: str, setting: Settings) -> tuple[Sequence[e.Node], Solution] | None:
    body, _ = open_card(CARDS / f"{code}.yaml", compiler.project.catalogue)
    assert body is not None
    order, _ = compiler.order(body, setting)
    compiled = compiler.compiled(order.settled)
    if isinstance(compiled, list):
        return None
    return compiled.runnable.ordered.equations.nodes, solved(compiled, [order])


def drawn(example: Example) -> set[str]:
    """What of all that a method gives was drawn there, by that method."""
    own = {id(statement) for statement in _statements(example.method.body)}
    by_it = any(id(node.statement) in own and node.name.startswith(example.prefix) for node in example.nodes)
    return {thing.name for thing in things(example) if thing.pen == "gives"} if by_it else set()


def given_back(method: s.Method) -> set[str]:
    """The lines and points that a method gives."""
    return {g.name.text for g in method.gives if g.kind in ("line", "point")}


def _statements(body: Iterable[s.Statement]) -> Iterator[s.Statement]:
    for statement in body:
        yield statement
        match statement:
            case s.When(body=inner, otherwise=other):
                yield from _statements((*inner, *other))
            case s.Repeat(body=inner):
                yield from _statements(inner)
            case _:
                pass


def _draws(program: Program) -> Iterator[tuple[s.Draw, str]]:
    """Every line that draws by a method, with the name of what it stands in."""
    for statement in program.recipe.body:
        if isinstance(statement, s.Draft):
            yield from _within(statement.body, f"{statement.name.text}.", program.methods)


def _within(
    body: Iterable[s.Statement], home: str, methods: dict[str, MethodEntry]
) -> Iterator[tuple[s.Draw, str]]:
    for statement in body:
        match statement:
            case s.Draw(name=s.Ident(text=text, index=None), method=method):
                yield statement, home
                yield from _within(methods[method.text].method.body, f"{home}{text}.", methods)
            case s.When(body=inner, otherwise=other):
                yield from _within((*inner, *other), home, methods)
            case _:
                pass


# --- what is drawn --------------------------------------------------------------------------------


@dataclass(frozen=True)
class Thing:
    """A line or point with its name, and whether it is a given, what is given back, or a help."""

    pen: str
    name: str
    line: Line | None
    at: Point | None


def things(example: Example) -> list[Thing]:
    """Helps first, then what was given, then what it gives: so the last lie on top."""
    gives = {g.name.text for g in example.method.gives}
    found: list[Thing] = []
    for ref, node in enumerate(example.nodes):
        if node.name.startswith(example.prefix) and node.kind in (Kind.POINT, Kind.LINE):
            name = node.name.removeprefix(example.prefix)
            found.append(_thing("gives" if name in gives else "help", name, ref, example))
    given = [_given(argument, example) for argument in example.draw.arguments]
    found += [thing for thing in given if thing is not None]
    order = list(PENS)
    return sorted((t for t in found if _whole(t)), key=lambda thing: order.index(thing.pen))


def _thing(pen: str, name: str, ref: e.Ref, example: Example) -> Thing:
    value = example.solution.values[ref]
    if example.nodes[ref].kind is Kind.POINT:
        return Thing(pen, name, None, (float(value[0, 0]), float(value[1, 0])))
    return Thing(pen, name, take(value, 0), None)


def _given(argument: s.Argument, example: Example) -> Thing | None:
    """The point or line that was given, by the name it has there or as it was written; not one of another
    draft, which lies on a paper of its own."""
    words = argument.value.span.text
    draft = example.home.split(".")[0]
    names = (f"{example.home}{words}", f"{draft}.{words}")
    for ref, node in enumerate(example.nodes):
        meant = node.name in names or node.span == argument.value.span
        if meant and node.kind in (Kind.POINT, Kind.LINE) and node.draft == draft:
            return _thing("given", argument.name.text, ref, example)
    return None


def _whole(thing: Thing) -> bool:
    match thing.line:
        case Path(ctrl=ctrl):
            return math.isfinite(float(ctrl.sum()))
        case Guide(point=point, direction=direction):
            return math.isfinite(float((point + direction).sum()))
        case Circle():
            return False  # a sweep is a help for the hand
        case None:
            return thing.at is not None and all(map(math.isfinite, thing.at))


# --- a picture ------------------------------------------------------------------------------------


def size(example: Example) -> tuple[float, float]:
    """How wide and high a method's picture is, mm."""
    frame = _frame(things(example))
    return frame.width, frame.height


def _frame(shown: list[Thing]) -> _Frame:
    box = _box(shown)
    return _Frame(box, LONGEST / max(box[2] - box[0], box[3] - box[1]))


def picture(example: Example) -> str:
    """The method as SVG, mm: what it gives in a thick line, what it was given dashed, helps fine."""
    shown = things(example)
    frame = _frame(shown)
    width, height = frame.width, frame.height
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_n(width)}mm" height="{_n(height)}mm"'
        f' viewBox="0 0 {_n(width)} {_n(height)}" fill="none" stroke-linecap="round">',
        f"<title>{example.method.name.text}, drawn in {example.recipe.stem}</title>",
        f'<rect width="{_n(width)}" height="{_n(height)}" fill="#fff"/>',
    ]
    lines += [line for thing in shown if (line := frame.line(thing))]
    lines += [frame.dot(thing) for thing in shown if thing.at is not None]
    lines += frame.names(shown)
    return "\n".join([*lines, "</svg>"]) + "\n"


def _box(shown: list[Thing]) -> Box:
    """Round what is given and what the method gives, but not far beyond lines that were given: some run on
    for whoever trims them. Helps may be cut off."""
    whole = _reach(thing for thing in shown if thing.pen != "help")
    lines = [thing for thing in shown if thing.pen == "given" and isinstance(thing.line, Path)]
    if not lines:
        return whole
    near = _reach(lines)
    room = BEYOND * max(near[2] - near[0], near[3] - near[1])
    left, top = max(whole[0], near[0] - room), max(whole[1], near[1] - room)
    return left, top, min(whole[2], near[2] + room), min(whole[3], near[3] + room)


def _reach(some: Iterable[Thing]) -> Box:
    """The box round some things. Of a level only the height counts, of a plumb line how far across it is."""
    xs, ys = list[float](), list[float]()
    for thing in some:
        match thing.line:
            case Path() as path:
                xs += [x for x, _ in _corners(path)]
                ys += [y for _, y in _corners(path)]
            case Guide(point=point, direction=direction):
                xs += [float(point[0, 0])] if abs(float(direction[1, 0])) > STRAIGHT else []
                ys += [float(point[1, 0])] if abs(float(direction[0, 0])) > STRAIGHT else []
            case _ if thing.at is not None:
                xs.append(thing.at[0])
                ys.append(thing.at[1])
    return min(xs), min(ys), max(xs), max(ys)


def _corners(path: Path) -> list[Point]:
    return [(float(c[0, 0]), float(c[1, 0])) for segment in path.ctrl for c in segment]


@dataclass
class _Frame:
    """Puts points of the draft on the picture."""

    box: Box
    scale: float
    taken: list[Box] = field(default_factory=list)
    inked: list[Point] = field(default_factory=list)

    @property
    def width(self) -> float:
        return (self.box[2] - self.box[0]) * self.scale + 2 * MARGIN

    @property
    def height(self) -> float:
        return (self.box[3] - self.box[1]) * self.scale + 2 * MARGIN

    def at(self, point: Point) -> Point:
        x = (point[0] - self.box[0]) * self.scale + MARGIN
        return x, (point[1] - self.box[1]) * self.scale + MARGIN

    def line(self, thing: Thing) -> str:
        data = self._data(thing.line)
        return f'<path d="{data}" {PENS[thing.pen]}/>' if data else ""

    def _data(self, line: Line | None) -> str:
        match line:
            case Path(ctrl=ctrl, straight=straight):
                points = [self.at(p) for p in _corners(line)]
                parts = [f"M{_p(points[0])}"]
                for i in range(len(ctrl)):
                    a, b, c = points[4 * i + 1 : 4 * i + 4]
                    parts.append(f"L{_p(c)}" if straight[i] else f"C{_p(a)} {_p(b)} {_p(c)}")
                return "".join(parts)
            case Guide():
                a, b = self._ends(line)
                return f"M{_p(a)}L{_p(b)}"
            case _:
                return ""

    def _ends(self, guide: Guide) -> tuple[Point, Point]:
        """Where an endless line leaves the picture."""
        x, y = self.at((float(guide.point[0, 0]), float(guide.point[1, 0])))
        dx, dy = float(guide.direction[0, 0]), float(guide.direction[1, 0])
        reaches = [
            ((side - start) / way)
            for start, way, sides in ((x, dx, (2.0, self.width - 2)), (y, dy, (2.0, self.height - 2)))
            if abs(way) > 1e-9
            for side in sides
        ]
        behind = max(r for r in reaches if r <= 0) if any(r <= 0 for r in reaches) else 0.0
        ahead = min(r for r in reaches if r > 0) if any(r > 0 for r in reaches) else 0.0
        return (x + behind * dx, y + behind * dy), (x + ahead * dx, y + ahead * dy)

    def dot(self, thing: Thing) -> str:
        assert thing.at is not None
        x, y = self.at(thing.at)
        fill = {"help": "#9a9a9a", "given": "#fff", "gives": "#000"}[thing.pen]
        edge = ' stroke="#000" stroke-width="0.3"' if thing.pen == "given" else ""
        radius = 0.5 if thing.pen == "help" else 0.9
        return f'<circle cx="{_n(x)}" cy="{_n(y)}" r="{radius}" fill="{fill}"{edge}/>'

    # --- names ------------------------------------------------------------------------------------

    def names(self, shown: list[Thing]) -> Iterator[str]:
        """The names of what is given and what it gives, each where there is room; helps have none."""
        self.inked = [p for thing in shown if thing.line is not None for p in self._samples(thing.line)]
        for thing in reversed(shown):
            if thing.pen != "help":
                yield self._name(thing)

    def _samples(self, line: Line) -> Iterator[Point]:
        """Places along a line that a name should not lie on."""
        if isinstance(line, Path):
            corners = _corners(line)
            count = 12 * len(line.ctrl)
            yield from (self.at(_on(corners, i / count)) for i in range(count + 1))
        elif isinstance(line, Guide):
            (ax, ay), (bx, by) = self._ends(line)
            yield from ((ax + (bx - ax) * i / 80, ay + (by - ay) * i / 80) for i in range(81))

    def _name(self, thing: Thing) -> str:
        wide = len(thing.name) * LETTER * 0.58
        best = min(self._places(thing, wide), key=lambda box: self._crowded(box) + 10 * self._outside(box))
        self.taken.append(best)
        slant = ' font-style="italic"' if thing.pen == "given" else ""
        x, y = best[0], best[3] - 0.8
        return (
            f'<text x="{_n(x)}" y="{_n(y)}" font-size="{LETTER}" fill="#000"{slant}'
            f" font-family=\"'DejaVu Sans', Verdana, sans-serif\">{escape(thing.name)}</text>"
        )

    def _places(self, thing: Thing, wide: float) -> Iterator[Box]:
        """Boxes beside a point, or beside places along a line."""
        for x, y in self._anchors(thing):
            for dx, dy in (
                (1.4, -1.4),
                (1.4, LETTER + 0.6),
                (-wide - 1.4, -1.4),
                (-wide - 1.4, LETTER + 0.6),
            ):
                yield x + dx, y + dy - LETTER, x + dx + wide, y + dy

    def _anchors(self, thing: Thing) -> Iterator[Point]:
        match thing.line:
            case Path() as path:
                corners = _corners(path)
                for share in (0.5, 0.35, 0.65, 0.2, 0.8):
                    yield self.at(_on(corners, share))
            case Guide() as guide:
                (ax, ay), (bx, by) = self._ends(guide)
                for share in (0.06, 0.9, 0.3, 0.7, 0.5):
                    yield ax + (bx - ax) * share, ay + (by - ay) * share
            case _:
                assert thing.at is not None
                yield self.at(thing.at)

    def _crowded(self, box: Box) -> float:
        """How much of a name's box lies on other names, and on lines."""
        on_lines = sum(box[0] < x < box[2] and box[1] < y < box[3] for x, y in self.inked)
        return sum(_overlap(box, other) for other in self.taken) + on_lines

    def _outside(self, box: Box) -> float:
        return max(0.0, 1 - box[0], 1 - box[1], box[2] - self.width + 1, box[3] - self.height + 1)


def _on(corners: list[Point], share: float) -> Point:
    """A place on a row of cubics at a share of its segments."""
    count = len(corners) // 4
    number = min(int(share * count), count - 1)
    t = share * count - number
    a, b, c, d = corners[4 * number : 4 * number + 4]
    weights = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t**2 * (1 - t), t**3)
    pairs = list(zip(weights, (a, b, c, d), strict=True))
    return sum(w * p[0] for w, p in pairs), sum(w * p[1] for w, p in pairs)


def _overlap(a: Box, b: Box) -> float:
    wide, high = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
    return wide * high if wide > 0 and high > 0 else 0.0


def _p(point: Point) -> str:
    return f"{_n(point[0])} {_n(point[1])}"


def _n(value: float) -> str:
    return f"{round(value, 2) + 0.0:g}"
