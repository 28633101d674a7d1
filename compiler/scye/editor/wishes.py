"""What an editor's settings say: the body to draft for, choices set for it, and the unit of the figures."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import get_args

from scye.editor.chosen import Chosen
from scye.editor.desk import absolute
from scye.ir.people import DisplayUnit


def chosen_of(wishes: object, folder: Path) -> Chosen | str | None:
    """The chosen body; None where the settings name none, words where they can't be understood.

    Settings are `{"body": "cards/wren.yaml", "set": {"closing": "zipped"}, "units": "cm"}`, by themselves or
    under `scye`. The card is looked for from `folder`.
    """
    if not isinstance(wishes, Mapping):
        return None
    within = wishes.get("scye", wishes)
    if not isinstance(within, Mapping) or within.get("body") in (None, ""):
        return None
    body, settings, units = within["body"], within.get("set") or {}, within.get("units")
    if not isinstance(body, str) or not isinstance(settings, Mapping):
        return 'settings are written like this: {"body": "cards/wren.yaml", "set": {"closing": "zipped"}}'
    if units not in (None, *get_args(DisplayUnit)):
        return f"figures are shown in {', '.join(get_args(DisplayUnit))}; the settings say {units}"
    pairs = tuple((str(name), str(value)) for name, value in settings.items())
    return Chosen(absolute(folder / body), pairs, units)
