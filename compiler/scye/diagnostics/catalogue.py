"""Every code there is, and the long explanation of each."""

from __future__ import annotations

import inspect
from collections.abc import Iterator
from importlib import import_module
from types import ModuleType

from scye.diagnostics.model import Diagnostic

# The modules that hold diagnostics, by rising codes. A test holds the list to the folder.
MODULES = (
    "reading", "names", "kinds", "expansion", "conditions", "drawing", "pieces", "cards", "command",
    "variants", "fitting", "limits", "grading", "lay", "paper", "people", "lesson", "lists", "sharing",
    "serving",
)  # fmt: skip


def explain(code: str) -> str | None:
    """The long explanation of a code, its title first; None if no diagnostic has the code."""
    kind = kinds().get(code.upper())
    if kind is None:
        return None
    return f"{kind.severity.word} {kind.code}: {kind.title}\n\n{inspect.getdoc(kind)}"


def kinds() -> dict[str, type[Diagnostic]]:
    """Every class of diagnostic by its code, codes in order."""
    return {kind.code: kind for kind in sorted(listed(), key=lambda kind: (len(kind.code), kind.code))}


def listed() -> Iterator[type[Diagnostic]]:
    """Every class of diagnostic that has a code, as the modules hold them."""
    for name in MODULES:
        yield from _held_by(import_module(f"scye.diagnostics.{name}"))


def _held_by(module: ModuleType) -> Iterator[type[Diagnostic]]:
    for thing in vars(module).values():
        if isinstance(thing, type) and issubclass(thing, Diagnostic) and _is_own(thing, module):
            yield thing


def _is_own(kind: type[Diagnostic], module: ModuleType) -> bool:
    """Whether the class is written in the module (not brought in) and has a code (is not a mere base)."""
    return kind.__module__ == module.__name__ and hasattr(kind, "code")
