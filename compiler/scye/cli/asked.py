"""Turning the words of a command into what is asked of the compiler, with all mistakes gathered."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

from scye.diagnostics.command import SettingNotUnderstood, SetTwice, SizesNotUnderstood, WhichBodies
from scye.diagnostics.model import Diagnostic
from scye.diagnostics.paper import PaperNotKnown, RollNotUnderstood
from scye.ir.requests import Joints, PrintWishes, Setting
from scye.library import find_recipe
from scye.units.quantity import Kind
from scye.units.tape import parse_quantity

PAPERS = ("a4", "letter", "a3")
# The narrowest and the widest roll, mm: the one has room for the title, the other is wider than any plotter.
ROLLS = (360.0, 2000.0)


class Slips:
    """Gathers the mistakes of a command, so that all are shown at once."""

    def __init__(self) -> None:
        self.found: list[Diagnostic] = []

    def recipe(self, word: str) -> Path:
        found = find_recipe(word)
        if isinstance(found, Diagnostic):
            self.found.append(found)
            return Path(word)
        return found

    def settings(self, words: Iterable[str]) -> tuple[Setting, ...]:
        """`name=value` each; a name may come once."""
        settings: dict[str, str] = {}
        for word in words:
            name, equals, value = (part.strip() for part in word.partition("="))
            if not (name and equals and value):
                self.found.append(SettingNotUnderstood(text=word))
            elif name in settings:
                self.found.append(SetTwice(name=name))
            settings[name] = value
        return tuple(settings.items())

    def sizes(self, text: str | None) -> tuple[str, ...]:
        """Sizes with commas between; nothing said means every size of the chart."""
        if text is None:
            return ()
        sizes = tuple(size.strip() for size in text.split(","))
        if "" in sizes:
            self.found.append(SizesNotUnderstood(text=text, what="has a size missing"))
        elif len(set(sizes)) < len(sizes):
            self.found.append(SizesNotUnderstood(text=text, what="names a size twice"))
        return sizes

    def prints(self, papers: str, joints: Joints, roll: str, projector: bool, dxf: bool) -> PrintWishes:
        """Papers with commas between; the roll with its unit."""
        names = tuple(name.strip().lower() for name in papers.split(","))
        for name in dict.fromkeys(names):
            if name not in PAPERS:
                self.found.append(PaperNotKnown(span=None, name=name, known=PAPERS))
        return PrintWishes(tuple(dict.fromkeys(names)), joints, self._roll(roll), projector, dxf)

    def _roll(self, text: str) -> float:
        """The width of the roll in mm."""
        amount = parse_quantity(text)
        if amount is not None and amount.kind is Kind.LENGTH and ROLLS[0] <= amount.inside <= ROLLS[1]:
            return amount.inside
        self.found.append(RollNotUnderstood(span=None, text=text))
        return PrintWishes().roll

    def bodies(
        self,
        cards: Sequence[str],
        chart: str | None,
        sizes: str | None,
        nest_at: str | None = None,
        wanted: bool = True,
    ) -> None:
        """Either cards or a chart; sizes, and where they are nested, only of a chart.

        Where bodies are not `wanted` before the recipe is read, it may turn out to need none.
        """
        if cards and chart:
            self.found.append(WhichBodies(what="cards and a chart can't be drafted in one go"))
        elif wanted and not cards and not chart:
            self.found.append(WhichBodies(what="the command doesn't say which bodies to draft for"))
        elif sizes is not None and not chart:
            self.found.append(WhichBodies(what="`--sizes` is given without a chart"))
        elif nest_at is not None and not chart:
            self.found.append(WhichBodies(what="`--nest-at` is given without a chart"))
