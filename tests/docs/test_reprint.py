"""Pages are brought up to date without touching what stands around the outputs."""

from __future__ import annotations

from pathlib import Path

import documents
import pytest
from reprint import reprint

FIRST = "examples/02-skirt/02-skirt.scye: nothing to put right\n"
PAGE = """\
# A page

```sh
scye check
```

```console
A block may begin with words.
$ scye check examples/02-skirt
what it printed once
$ scye bar 97 --pages 1
...
$ scye check examples/none
left alone
```

The end.
"""


def test_what_changed_is_written_into_its_place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(documents, "ROOT", tmp_path)
    page = tmp_path / "page.md"
    page.write_text(PAGE, encoding="utf-8")
    assert list(reprint(page)) == [
        "changed: page.md: scye check examples/02-skirt",
        "fails: page.md: scye check examples/none",
    ]
    assert page.read_text(encoding="utf-8") == PAGE.replace("what it printed once\n", FIRST)


def test_where_the_rest_is_left_out_as_many_lines_are_shown(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(documents, "ROOT", tmp_path)
    page = tmp_path / "page.md"
    text = "```console\n$ scye measures bust\nbust: Chest\n...\n```\n"
    page.write_text(text, encoding="utf-8")
    assert list(reprint(page)) == ["changed: page.md: scye measures bust"]
    assert page.read_text(encoding="utf-8") == text.replace("Chest", "Bust")
