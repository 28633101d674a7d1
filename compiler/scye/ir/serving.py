"""What is asked of the live page when it is opened."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from scye.ir.people import DisplayUnit
from scye.ir.requests import Setting


@dataclass(frozen=True, slots=True)
class ServeRequest:
    """Show a recipe for some bodies: cards, and sizes of a chart; with neither, cards that lie beside the
    recipe, or the sample. `settings` are choices to begin with."""

    recipe: Path
    cards: tuple[Path, ...]
    chart: Path | None
    sizes: tuple[str, ...]
    settings: tuple[Setting, ...]
    units: DisplayUnit | None
