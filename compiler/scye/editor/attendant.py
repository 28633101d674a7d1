"""One editor's server: its desk of texts, and what it was told of each file."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from lsprotocol import types
from pygls.exceptions import JsonRpcException
from pygls.lsp.server import LanguageServer
from pygls.protocol.language_server import LanguageServerProtocol, lsp_method
from pygls.uris import to_fs_path
from pygls.workspace import PositionCodec

from scye import __version__
from scye.diagnostics.model import Diagnostic
from scye.editor.desk import Desk, absolute
from scye.editor.positions import as_offset, as_range, plain_breaks
from scye.editor.telling import Pages, Telling, uri_of
from scye.editor.wishes import chosen_of
from scye.library import RECIPE_ENDING
from scye.source import Source, Span

REQUEST_FAILED = -32803  # of the protocol: the request was right but can't be met


class OwnTexts(LanguageServerProtocol):
    """The protocol without the library's own copy of each text: it breaks lines at characters that the
    protocol takes for ordinary ones, and moves places behind the end of a line. The desk has the texts."""

    @lsp_method(types.TEXT_DOCUMENT_DID_OPEN)
    def lsp_text_document__did_open(self, params: types.DidOpenTextDocumentParams) -> Iterator[Any]:
        yield self.fm.features[types.TEXT_DOCUMENT_DID_OPEN], (params,), None

    @lsp_method(types.TEXT_DOCUMENT_DID_CHANGE)
    def lsp_text_document__did_change(self, params: types.DidChangeTextDocumentParams) -> Iterator[Any]:
        yield self.fm.features[types.TEXT_DOCUMENT_DID_CHANGE], (params,), None

    @lsp_method(types.TEXT_DOCUMENT_DID_CLOSE)
    def lsp_text_document__did_close(self, params: types.DidCloseTextDocumentParams) -> Iterator[Any]:
        yield self.fm.features[types.TEXT_DOCUMENT_DID_CLOSE], (params,), None


class Attendant(LanguageServer):
    """One editor's server: its desk of texts, and what it was told of each file."""

    def __init__(self, pages: Pages, home: Path) -> None:
        super().__init__("scye", __version__, protocol_cls=OwnTexts)
        self.desk = Desk(home)
        self.pages = pages
        self.raw: dict[Path, str] = {}
        self.told: dict[Path, dict[Path, list[types.Diagnostic]]] = {}

    @property
    def codec(self) -> PositionCodec:
        codec: PositionCodec = self.workspace.position_codec
        return codec

    # --- texts ----------------------------------------------------------------------------------

    def put(self, path: Path, text: str) -> None:
        self.raw[path] = text
        self.desk.put(path, plain_breaks(text))
        self.tell(path)

    def take(self, path: Path) -> None:
        self.raw.pop(path, None)
        self.desk.take(path)
        self.tell()

    def wish(self, wishes: object) -> None:
        """Another body, or none, was chosen in the editor's settings."""
        chosen = chosen_of(wishes, self.desk.folder)
        if isinstance(chosen, str):
            self._warn(chosen)
            return
        self.desk.chosen = chosen
        self.desk.forget()
        self.tell()

    def _warn(self, text: str) -> None:
        self.window_show_message(types.ShowMessageParams(types.MessageType.Warning, text))

    # --- telling --------------------------------------------------------------------------------

    def tell(self, edited: Path | None = None) -> None:
        """Tell what is amiss in every recipe and file of methods that is open, where it has changed; of the
        file that was edited in any case, since an editor shifts what it was told as the text shifts."""
        open_now = [path for path in sorted(self.raw) if path.suffix == RECIPE_ENDING]
        told = {path: self._telling(path).by_file() for path in open_now}
        before, self.told = self.told, told
        for file in sorted({file for by_file in (*before.values(), *told.values()) for file in by_file}):
            now = _of_file(told, file)
            if now != _of_file(before, file) or file == edited:
                self.text_document_publish_diagnostics(types.PublishDiagnosticsParams(uri_of(file), now))

    def _telling(self, path: Path) -> Telling:
        return Telling(path, self.desk.looked(path), self.codec, self.pages)

    # --- places ---------------------------------------------------------------------------------

    def place(
        self, document: types.TextDocumentIdentifier, position: types.Position
    ) -> tuple[Path, Source, int]:
        """A file, its text as it is now, and an offset in it."""
        path = path_of(document.uri)
        source = self.source(path)
        return path, source, as_offset(source, position, self.codec)

    def source(self, path: Path) -> Source:
        source = self.desk.read(path)
        if isinstance(source, Diagnostic):
            raise refusal(source.seen())
        return source

    def location(self, file: Path, span: Span) -> types.Location:
        return types.Location(uri_of(file), as_range(span, self.codec))

    def edits(self, spans: dict[Path, list[Span]], text: str) -> types.WorkspaceEdit:
        return types.WorkspaceEdit(
            changes={
                uri_of(file): [types.TextEdit(as_range(span, self.codec), text) for span in places]
                for file, places in spans.items()
            }
        )


def path_of(uri: str) -> Path:
    """The file of a document; of one that was never saved its name, as if it stood in this folder."""
    path = to_fs_path(uri) if uri.startswith("file:") else uri.rpartition(":")[2]
    return absolute(Path(path or "untitled"))


def refusal(why: str) -> JsonRpcException:
    return JsonRpcException(message=why, code=REQUEST_FAILED)


def _of_file(told: dict[Path, dict[Path, list[types.Diagnostic]]], file: Path) -> list[types.Diagnostic]:
    """What all recipes have to say of one file, each thing once."""
    found: list[types.Diagnostic] = []
    for by_file in told.values():
        found += [diagnostic for diagnostic in by_file.get(file, []) if diagnostic not in found]
    return found
