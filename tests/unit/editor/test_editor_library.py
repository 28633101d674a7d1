"""A file of the maker's library in her editor: it is said to be kept, and stays as it came."""

from __future__ import annotations

from pathlib import Path

import pytest
from editor_client import REFUSED, Editor, session
from lsprotocol import types
from pygls.exceptions import JsonRpcException

from scye.cli.main import main

SKIRT = """recipe "Hemline"
  edition 1
  licence CC0-1.0
  studio "Saltmarsh Workroom"

needs waist

draft front
  begin at top
  plumb middle through top
  level hem   from top down 20 in
  level waist_line through top
  plumb side from middle right waist / 4

piece skirt "Skirt"
  bounded by front.middle, front.waist_line, front.side, front.hem
  cut 2 of self on fold at middle
  grain along front.middle
  allow 1/2 in on waist_line, side, hem
"""
LONG = """recipe "Long"
  edition 1
  based on "hemline" edition 1
"""
NAME = "library/hemline/edition-1/hemline/hemline.scye"
OPENED = (
    "`library/hemline/edition-1/hemline/hemline.scye` is kept in your library, and stays as it came\n"
    "try: copy it into a folder of your own to change it, or write a variant"
)
CHANGED = "`library/hemline/edition-1/hemline/hemline.scye` is kept in your library; saved so, nothing more"


@pytest.fixture
def room(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a library that has one recipe, and a variant of it beside that."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("SCYE_LIBRARY", str(tmp_path / "library"))
    (tmp_path / "hemline").mkdir()
    (tmp_path / "hemline" / "hemline.scye").write_text(SKIRT, encoding="utf-8")
    (tmp_path / "long.scye").write_text(LONG, encoding="utf-8")
    assert main(["enclose", "hemline", "--out", "hemline.envelope", "--quiet"]) == 0
    assert main(["keep", "hemline.envelope", "--quiet"]) == 0
    return tmp_path


def test_a_kept_edition_is_said_to_be_kept_and_left_as_it_is(room: Path) -> None:
    async def script(editor: Editor) -> None:
        editor.open(NAME)
        assert await said(editor, NAME) == [("E2037", OPENED)]
        assert await editor.refused(NAME, editor.at(NAME, "hem   from"), "foot") == (
            f"hem is made in {NAME}, which is kept in your library and stays as it came."
        )
        with pytest.raises(JsonRpcException) as refusal:
            await editor.tidied(NAME)
        assert refusal.value.code == REFUSED
        assert refusal.value.message == f"`{NAME}` is kept in your library, and stays as it came"
        editor.put(NAME, "20 in", "22 in")
        ((code, words),) = await said(editor, NAME)
        assert (code, words.startswith(CHANGED)) == ("E2038", True)
        editor.put(NAME, "22 in", "20 in")
        assert await said(editor, NAME) == [("E2037", OPENED)]

    session(room, script)


def test_a_change_that_is_saved_is_told_as_by_the_command(room: Path) -> None:
    async def script(editor: Editor) -> None:
        editor.open(NAME)
        editor.put(NAME, "20 in", "22 in")
        (room / NAME).write_text(editor.texts[NAME], encoding="utf-8")
        document = types.DidSaveTextDocumentParams(editor.document(NAME))
        editor.text_document_did_save(document)
        assert [code for code, _ in await said(editor, NAME)] == ["E2037", "E2043"]

    session(room, script)


def test_a_variant_of_one_s_own_is_not_said_to_be_kept(room: Path) -> None:
    async def script(editor: Editor) -> None:
        editor.open("long.scye")
        assert await said(editor, "long.scye") == []

    session(room, script)


async def said(editor: Editor, name: str) -> list[tuple[str, str]]:
    """What an editor is told of a file, whatever folder it stands in."""
    await editor.messages(name)
    return [(str(d.code), d.message) for d in editor.told.get(name.rpartition("/")[2], [])]
