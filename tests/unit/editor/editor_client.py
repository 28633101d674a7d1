"""A real client over stdio: an editor as the server sees it."""

from __future__ import annotations

import asyncio
import os
import re
import shutil
import sys
from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import Any

import pytest
from lsprotocol import types
from pygls.exceptions import JsonRpcException
from pygls.lsp.client import LanguageClient
from pygls.uris import from_fs_path

import scye

REFUSED = -32803  # the protocol's code for a right request that can't be met
ROOT = Path(__file__).resolve().parents[3]


class Editor(LanguageClient):
    """An editor with some files of a folder open. Keeps what it is told of each, and every word shown."""

    def __init__(self, folder: Path) -> None:
        super().__init__("editor", "1")
        self.folder = folder
        self.texts: dict[str, str] = {}
        self.versions: dict[str, int] = {}
        self.told: dict[str, list[types.Diagnostic]] = {}
        self.shown: list[str] = []
        self.asked = 0  # how many questions were answered
        self.feature(types.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS)(lambda params: self._told(params))
        self.feature(types.WINDOW_SHOW_MESSAGE)(lambda params: self.shown.append(params.message))

    def _told(self, params: types.PublishDiagnosticsParams) -> None:
        self.told[params.uri.rpartition("/")[2]] = list(params.diagnostics)

    def report_server_error(self, error: Exception, source: Any) -> None:
        """Whatever the client itself could not take in fails the test."""
        self.shown.append(f"{error}")

    # --- what an editor does --------------------------------------------------------------------

    async def begin(self, options: object = None) -> types.InitializeResult:
        environment = {**os.environ, "PYTHONPATH": str(Path(scye.__file__).parents[1])}
        command = (sys.executable, "-m", "scye", "attend")
        await self.start_io(*command, cwd=str(self.folder), env=environment)
        answer = await self.initialize_async(
            types.InitializeParams(
                capabilities=types.ClientCapabilities(),
                root_uri=from_fs_path(str(self.folder)),
                initialization_options=options,
            )
        )
        self.initialized(types.InitializedParams())
        return answer

    async def end(self) -> None:
        await self.shutdown_async(None)
        self.exit(None)
        await self.stop()

    def uri(self, name: str) -> str:
        return from_fs_path(str(self.folder / name)) or ""

    def document(self, name: str) -> types.TextDocumentIdentifier:
        return types.TextDocumentIdentifier(self.uri(name))

    def open(self, name: str, text: str | None = None) -> None:
        self.texts[name] = (self.folder / name).read_text(encoding="utf-8") if text is None else text
        self.versions[name] = 1
        item = types.TextDocumentItem(self.uri(name), "scye", 1, self.texts[name])
        self.text_document_did_open(types.DidOpenTextDocumentParams(item))

    def close(self, name: str) -> None:
        self.text_document_did_close(types.DidCloseTextDocumentParams(self.document(name)))

    def put(self, name: str, old: str, new: str, nth: int = 0) -> None:
        """Type over the nth `old` of a text, as an editor says it: the stretch and what stands there now."""
        start = self.offset(name, old, nth)
        self.change(name, start, start + len(old), new)

    def change(self, name: str, start: int, end: int, new: str) -> None:
        """Set `new` in the place of a stretch (offsets in characters)."""
        stretch = types.Range(self.at_offset(name, start), self.at_offset(name, end))
        self.texts[name] = self.texts[name][:start] + new + self.texts[name][end:]
        self.versions[name] += 1
        self.text_document_did_change(
            types.DidChangeTextDocumentParams(
                types.VersionedTextDocumentIdentifier(self.versions[name], self.uri(name)),
                [types.TextDocumentContentChangePartial(stretch, new)],
            )
        )

    def offset(self, name: str, words: str, nth: int = 0) -> int:
        at = -1
        for _ in range(nth + 1):
            at = self.texts[name].index(words, at + 1)
        return at

    def at(self, name: str, words: str, nth: int = 0, into: int = 0) -> types.Position:
        return self.at_offset(name, self.offset(name, words, nth) + into)

    def at_offset(self, name: str, offset: int) -> types.Position:
        """A place as an editor counts it: in lines that end at any kind of break, and in UTF-16."""
        before = re.split("\r\n|\r|\n", self.texts[name][:offset])
        return types.Position(len(before) - 1, len(before[-1].encode("utf-16-le")) // 2)

    def behind(self, name: str, words: str, nth: int = 0) -> types.Position:
        return self.at(name, words, nth, len(words))

    # --- what it asks ---------------------------------------------------------------------------

    async def ask(self, method: str, params: Any) -> Any:
        answer = await self.protocol.send_request_async(method, params)
        self.asked += 1
        return answer

    async def offered(self, name: str, position: types.Position) -> dict[str, types.CompletionItem]:
        params = types.CompletionParams(self.document(name), position)
        answer = await self.ask(types.TEXT_DOCUMENT_COMPLETION, params)
        return {item.label: item for item in answer.items}

    async def words(self, name: str, position: types.Position) -> str:
        """What a hover says, or an empty text."""
        answer = await self.ask(types.TEXT_DOCUMENT_HOVER, types.HoverParams(self.document(name), position))
        return answer.contents.value if answer else ""

    async def made(self, name: str, position: types.Position) -> list[tuple[str, int]]:
        """Where a name is made: file and line, counted from 1."""
        params = types.DefinitionParams(self.document(name), position)
        return _lines(await self.ask(types.TEXT_DOCUMENT_DEFINITION, params))

    async def used(self, name: str, position: types.Position) -> list[tuple[str, int]]:
        params = types.ReferenceParams(types.ReferenceContext(True), self.document(name), position)
        return _lines(await self.ask(types.TEXT_DOCUMENT_REFERENCES, params))

    async def rename(self, name: str, position: types.Position, new: str) -> dict[str, list[int]]:
        """The lines that change in each file."""
        params = types.RenameParams(self.document(name), position, new)
        answer = await self.ask(types.TEXT_DOCUMENT_RENAME, params)
        return {
            uri.rpartition("/")[2]: [edit.range.start.line + 1 for edit in edits]
            for uri, edits in answer.changes.items()
        }

    async def renameable(self, name: str, position: types.Position) -> str:
        """The name that an editor asks for another of."""
        params = types.PrepareRenameParams(self.document(name), position)
        answer = await self.ask(types.TEXT_DOCUMENT_PREPARE_RENAME, params)
        line = self.texts[name].split("\n")[answer.range.start.line]
        assert answer.placeholder == line[answer.range.start.character : answer.range.end.character]
        return str(answer.placeholder)

    async def refused(self, name: str, position: types.Position, new: str) -> str:
        """Why a name can't be changed."""
        with pytest.raises(JsonRpcException) as refusal:
            await self.rename(name, position, new)
        self.asked += 1
        assert refusal.value.code == REFUSED
        return refusal.value.message

    async def either(self, name: str, position: types.Position, new: str) -> None:
        """Change a name, or be told why not."""
        try:
            await self.rename(name, position, new)
        except JsonRpcException as refusal:
            if refusal.code != REFUSED:
                raise

    async def tidied(self, name: str) -> str:
        """The text as the server would lay it out, every line break as `\\n`."""
        params = types.DocumentFormattingParams(self.document(name), types.FormattingOptions(2, True))
        text = re.sub("\r\n|\r", "\n", self.texts[name])
        for edit in await self.ask(types.TEXT_DOCUMENT_FORMATTING, params):
            text = self._with(text, edit)
        return text

    def _with(self, text: str, edit: types.TextEdit) -> str:
        lines = re.split("(?<=\n)", text)

        def offset(position: types.Position) -> int:
            units = lines[position.line].encode("utf-16-le")[: 2 * position.character]
            return sum(map(len, lines[: position.line])) + len(units.decode("utf-16-le"))

        return text[: offset(edit.range.start)] + edit.new_text + text[offset(edit.range.end) :]

    async def outline(self, name: str) -> dict[str, list[str]]:
        params = types.DocumentSymbolParams(self.document(name))
        answer = await self.ask(types.TEXT_DOCUMENT_DOCUMENT_SYMBOL, params)
        return {entry.name: [below.name for below in entry.children] for entry in answer}

    async def messages(self, name: str) -> list[tuple[int, str, str]]:
        """Line, code and words of what is told of a text, once all that was typed has been answered."""
        params = types.CodeActionParams(
            self.document(name), types.Range(_TOP, _TOP), types.CodeActionContext([])
        )
        await self.ask(types.TEXT_DOCUMENT_CODE_ACTION, params)
        return [(d.range.start.line + 1, str(d.code), d.message) for d in self.told.get(name, [])]


_TOP = types.Position(0, 0)


def _lines(answer: Any) -> list[tuple[str, int]]:
    return [(found.uri.rpartition("/")[2], found.range.start.line + 1) for found in answer or []]


def workroom(folder: Path) -> Path:
    """A folder with a recipe, its variant, a lesson with its methods, and a card: as once shipped, so that
    lines stay where they are."""
    shutil.copytree(Path(__file__).parent / "room", folder, dirs_exist_ok=True)
    return folder


def session(folder: Path, script: Callable[[Editor], Awaitable[None]], options: object = None) -> None:
    """Run a script with an editor that has said hello, and end its server decently."""

    async def run() -> None:
        editor = Editor(folder)
        await editor.begin(options)
        try:
            await script(editor)
        finally:
            await editor.end()

    asyncio.run(asyncio.wait_for(run(), 120))
