"""Every recipe of `recipes` tried on sizes and on real bodies, and a table of how they came out.

Run as a program it writes the table into `recipes/BODIES.md`.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "bodies"))
sys.path.insert(0, str(Path(__file__).parents[1]))

import drafted
import survey

from scye.diagnostics.drawing import NotMeantFor
from scye.driver import Compiled, Compiler, Order, lacking
from scye.expand.meant import not_meant_for
from scye.ir.pattern import Pattern
from scye.ir.people import Body
from scye.project import open_chart
from workroom import wearer_of

ROOT = Path(__file__).resolve().parents[2]
RECIPES = tuple(sorted((ROOT / "recipes").glob("*/*.scye")))
TABLE = ROOT / "recipes" / "BODIES.md"

# Twelve women's sizes in two published charts (their sources stand in them); other wearers have their own.
CHARTS: dict[str, tuple[tuple[str, tuple[str, ...]], ...]] = {
    "women": (("us-misses", ()), ("us-women", ("44", "46", "48", "50"))),
    "men": (("men-by-chest", ()),),
    "child": (("children-historic", ()),),
}
SHAPES = ("bust", "waist", "hip", "stature", "nape_to_waist", "biceps")  # what tells two bodies apart
SPREAD = 200
FARTHEST = 60  # of them those that are least like each other; the rest stand at even steps of the bust


@dataclass(slots=True)
class Count:
    """How a recipe came out on some bodies. `wrong` is what must not happen: what is said of it."""

    bodies: int = 0
    good: int = 0  # every piece drawn, every seam and proof within its bounds, no failure
    cautioned: int = 0  # of the good, those with a caution
    within: int = 0  # bodies that the recipe is meant for
    good_within: int = 0
    told: Counter[str] = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Trial:
    recipe: str
    wearer: str
    sizes: Count
    real: Count


def spread(kind: str) -> tuple[Body, ...]:
    """`SPREAD` bodies of the survey, the same on every run: the least alike, and others at even steps."""
    bodies = [body for body in survey.bodies() if body.code.startswith(kind)]
    figures = np.array([[_figure(body, name) for name in SHAPES] for body in bodies])
    scaled = (figures - figures.mean(axis=0)) / figures.std(axis=0)
    picked = [int(np.argmin(np.abs(scaled).sum(axis=1)))]
    away = np.abs(scaled - scaled[picked[0]]).max(axis=1)
    while len(picked) < FARTHEST:
        picked.append(int(np.argmax(away)))
        away = np.minimum(away, np.abs(scaled - scaled[picked[-1]]).max(axis=1))
    rest = [int(i) for i in np.argsort(figures[:, 0], kind="stable") if int(i) not in set(picked)]
    steps = np.linspace(0, len(rest) - 1, SPREAD - FARTHEST).round().astype(int)
    return tuple(bodies[i] for i in [*picked, *(rest[step] for step in steps)])


def _figure(body: Body, measure: str) -> float:
    return next(reading.value for reading in body.readings if reading.name == measure)


def sizes_for(compiler: Compiler, wearer: str) -> tuple[Body, ...]:
    found: list[Body] = []
    for name, wanted in CHARTS[wearer]:
        path = ROOT / "stdlib" / "charts" / f"{name}.yaml"
        chart, mistakes = open_chart(path, compiler.project.catalogue)
        assert chart is not None, mistakes
        found += [size for size in chart.sizes if not wanted or size.code in wanted]
    return tuple(found)


def tried(compiler: Compiler, bodies: Sequence[Body]) -> Count:
    """A recipe drafted for bodies, each with the choices that the recipe has by itself."""
    count, table, outlines = Count(), drafted.Table(), drafted.Outlines()
    meant = {body.code: within(compiler, body) for body in bodies}
    for pattern in drafted.patterns_of(compiler, _orders(compiler, bodies, count)):
        table.add(pattern)
        outlines.add(pattern)
        _counted(count, pattern, meant[pattern.body])
    count.wrong += [*table.wrong, *outlines.wrong()]
    return count


def _orders(compiler: Compiler, bodies: Iterable[Body], count: Count) -> list[Order]:
    """Orders of the bodies that can be drafted; what is said of the others is counted as told."""
    orders = []
    for body in bodies:
        count.bodies += 1
        order, mistakes = compiler.order(body, ())
        compiled = None if mistakes else compiler.compiled(order.settled)
        if isinstance(compiled, Compiled):
            mistakes = lacking(compiled, order)
        if isinstance(compiled, Compiled) and not mistakes:
            orders.append(order)
        else:
            count.told.update(sorted({mistake.code for mistake in mistakes}) or ["E???"])
    return orders


def _counted(count: Count, pattern: Pattern, meant: bool) -> None:
    severe = {f.code for f in pattern.findings if f.severity.word in ("failure", "error")}
    proved = not {"not proved", "not drawn"} & {v.verdict for v in (*pattern.seams, *pattern.proofs)}
    whole = len(pattern.pieces) == max((piece.of for piece in pattern.pieces), default=-1)
    good = whole and proved and not severe
    count.good += good
    count.within += meant
    count.good_within += good and meant
    cautions = {f.code for f in pattern.findings if f.severity.word == "caution"} - {NotMeantFor.code}
    count.cautioned += good and bool(cautions)
    if not good:
        count.told.update(sorted(severe) or ["said nowhere"])
    if meant and not good:
        count.wrong.append(f"{pattern.body} is within the range, and said is {sorted(severe)}")


def within(compiler: Compiler, body: Body) -> bool:
    """Whether the recipe says that it is meant for this body."""
    return bool(compiler.program.meant_for) and not any(not_meant_for(compiler.program, body))


@cache
def trial(recipe: Path) -> Trial:
    compiler = drafted.compiler_for(recipe)
    wearer = wearer_of(recipe)
    kind = {"women": "woman", "men": "man"}.get(wearer)
    real = tried(compiler, spread(kind)) if kind else Count()
    return Trial(recipe.stem, wearer, tried(compiler, sizes_for(compiler, wearer)), real)


def page() -> str:
    return "\n".join(_lines()) + "\n"


def _lines() -> Iterator[str]:
    yield HEAD
    for recipe in RECIPES:
        found = trial(recipe)
        real = found.real
        yield (
            f"| [{found.recipe}]({found.recipe}/README.md) | {found.wearer} "
            f"| {_share(found.sizes.good, found.sizes.bodies)} | {_share(real.good_within, real.within)} "
            f"| {_share(real.good, real.bodies)} | {real.cautioned or ''} | {_told(found)} |"
        )


def _share(some: int, of: int) -> str:
    return f"{some} of {of}" if of else "none tried"


def _told(found: Trial) -> str:
    told = found.sizes.told + found.real.told
    return ", ".join(f"{code} {n}" for code, n in sorted(told.items()))


HEAD = """\
# Which bodies the recipes were tried on

Each recipe as it stands, without a choice changed, on twelve women's sizes (misses' 6 to 20 and women's 44
to 50; for men ten sizes by the chest, for children the three of old lessons) and on 200 real bodies: of the
women or men of the ANSUR II survey the 60 that are least alike, and others at even steps of the bust. No
survey of children is at hand. Good is: every piece drawn, each outline sound, every seam and every proof
within what it may be out. Some of those carry a caution of another kind, such as a dart that takes much.
The others say why not, with the code that `scye code` explains. A recipe's own range is what stands under
`meant for`: within it every body must come out good.

This page is written by `python tests/recipes/wardrobe.py`, and a test compares it.

| recipe | for | sizes | real bodies in its range | all 200 | with a caution | told why not |
|---|---|---|---|---|---|---|"""


if __name__ == "__main__":
    TABLE.write_text(page(), encoding="utf-8")
