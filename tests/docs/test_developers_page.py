"""What the page for developers says of the checkout is so."""

from __future__ import annotations

import re

from documents import ROOT, prose, spans, table

PAGE = ROOT / "DEVELOPERS.md"
PACKAGE = ROOT / "compiler" / "scye"


def test_every_room_is_described() -> None:
    """The rooms of the table are the folders and modules of the package."""
    described = {room for row in table(PAGE, "rooms") for room in spans(row[0])}
    rooms = {path.stem for path in PACKAGE.iterdir() if not path.name.startswith("__")}
    assert described == rooms


def test_every_folder_of_tests_is_described() -> None:
    described = {folder for row in table(PAGE, "tests-and-benches") for folder in spans(row[0])}
    folders = {path.parent for path in (ROOT / "tests").rglob("*.py")} - {ROOT / "tests"}
    assert {folder.relative_to(ROOT / "tests").parts[0] for folder in folders} <= described


def test_paths_that_are_named_are_there() -> None:
    """Whatever between backticks has a folder or an ending is a file or folder of the checkout or package."""
    named = [span for span in spans(prose(PAGE)) if re.fullmatch(r"(?!np\.)[\w./-]*[/.][\w.-]+", span)]
    assert len(named) > 8
    for span in named:
        assert (ROOT / span).exists() or (PACKAGE / span).exists(), span
