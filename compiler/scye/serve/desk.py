"""The desk that all pages share: the files that are read and watched, and the bodies to draft for.

Everything here but `stamps` is done on one thread, the one that drafts.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from scye.diagnostics.model import Diagnostic, Severity
from scye.ir.people import Body, Catalogue
from scye.ir.serving import ServeRequest
from scye.library import find_samples, read_source, shown_name
from scye.live.draft import LiveDraft
from scye.project import open_card, open_chart, sizes_of, standards
from scye.source import Source

Stamps = dict[Path, tuple[int, int]]


class Desk:
    """Reads files as they change."""

    def __init__(self, request: ServeRequest) -> None:
        self.request = request
        self.name = shown_name(request.recipe)
        self.bodies: tuple[Body, ...] = ()
        self.amiss: list[Diagnostic] = []
        self._sample: Path | None = None
        self.base = ""  # the size that a chart is graded from
        self._read: set[Path] = {request.recipe}
        self.refresh()

    @property
    def catalogue(self) -> Catalogue:
        return standards()[0]

    # --- the recipe -------------------------------------------------------------------------

    def on_file(self) -> Source | Diagnostic:
        """The recipe as it stands on the disk."""
        return read_source(self.request.recipe)

    def read(self, path: Path) -> Source | Diagnostic:
        """A text that the recipe uses, which is watched from now on."""
        self._read = {*self._read, path}
        return read_source(path)

    # --- the bodies -------------------------------------------------------------------------

    def refresh(self) -> None:
        """Read the bodies again. Where none can be read, those that were there stay."""
        self.amiss = []
        bodies = list(self._bodies())
        if bodies or not self.bodies:
            self.bodies = tuple({body.code: body for body in bodies}.values())

    @property
    def first(self) -> Body | None:
        """The body that a page begins with: the first card, or of a chart alone its base size."""
        base = None if self.request.cards else self.body(self.base)
        return base or next(iter(self.bodies), None)

    def body(self, code: str) -> Body | None:
        return next((body for body in self.bodies if body.code == code), None)

    def _bodies(self) -> Iterator[Body]:
        asked = self.request
        for card in asked.cards or (() if asked.chart else self._beside()):
            yield from self._card(card)
        if asked.chart is not None:
            self._read = {*self._read, asked.chart}
            chart, found = open_chart(asked.chart, self.catalogue)
            sizes, mistakes = sizes_of(chart, asked.sizes) if chart is not None else ((), [])
            self.amiss += [*found, *mistakes]
            self.base = chart.base if chart is not None else ""
            yield from sizes

    def _card(self, path: Path) -> Iterator[Body]:
        self._read = {*self._read, path}
        body, found = open_card(path, self.catalogue)
        self.amiss += [d for d in found if d.severity is Severity.ERROR]
        if body is not None:
            yield body

    def _beside(self) -> tuple[Path, ...]:
        """The cards that lie beside the recipe; where there are none, a sample that suits it."""
        lying = sorted(self.request.recipe.parent.glob("*.yaml"))
        found = [path for path in lying if open_card(path, self.catalogue)[0] is not None]
        if not found and self._sample is None:
            live = LiveDraft(self.request.recipe, self.read)
            self._sample = min(find_samples(), key=lambda card: self._unsuited(live, card))
        return (self._sample,) if self._sample is not None and not found else tuple(found)

    def _unsuited(self, live: LiveDraft, card: Path) -> int:
        """How much is amiss when the recipe is drafted for a card."""
        body, _ = open_card(card, self.catalogue)
        drawn = live.draw(body) if body is not None else None
        if drawn is None or drawn.pattern is None or drawn.compiled is None:
            return 1000
        missing = max(0, len(drawn.compiled.plan.pieces) - len(drawn.pattern.pieces))
        return 100 * missing + sum(f.severity >= Severity.CAUTION for f in drawn.pattern.findings)

    # --- changes ----------------------------------------------------------------------------

    def stamps(self) -> Stamps:
        """When each file that was read was last written, and how long it is. For any thread."""
        return {path: _stamp(path) for path in self._read}


def _stamp(path: Path) -> tuple[int, int]:
    try:
        found = path.stat()
    except OSError:
        return 0, 0
    return found.st_mtime_ns, found.st_size
