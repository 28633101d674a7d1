"""The page on editors says the settings and the command as they are."""

from __future__ import annotations

import json
import re
from pathlib import Path

from documents import ROOT, fences

from scye.cli.main import COMMANDS
from scye.editor.chosen import Chosen
from scye.editor.wishes import chosen_of

PAGE = ROOT / "compiler" / "EDITORS.md"


def test_the_settings_are_understood():
    (shown,) = [fence for fence in fences(PAGE) if fence.language == "json"]
    chosen = Chosen(Path("/room/cards/wren.yaml"), (("closing", "zipped"),), "cm")
    assert chosen_of(json.loads(shown.text), Path("/room")) == chosen
    assert chosen_of({"scye": json.loads(shown.text)}, Path("/room")) == chosen


def test_the_set_ups_start_the_command_with_a_setting_that_there_is():
    for language in ("lua", "elisp"):
        (shown,) = [fence for fence in fences(PAGE) if fence.language == language]
        words = re.findall(r'"([^"]+)"', shown.text)
        at = words.index("attend")
        assert (words[at - 1], words[at] in COMMANDS) == ("scye", True)
        assert re.search(r'\bbody( =)? "cards/wren.yaml"', shown.text)


def test_settings_that_cannot_be_understood_are_said():
    assert chosen_of({"body": 7}, Path()) == (
        'settings are written like this: {"body": "cards/wren.yaml", "set": {"closing": "zipped"}}'
    )
    ells = "figures are shown in in, cm, mm; the settings say ell"
    assert chosen_of({"body": "x", "units": "ell"}, Path()) == ells
    assert chosen_of(None, Path()) is None
    assert chosen_of({"scye": {}}, Path()) is None
