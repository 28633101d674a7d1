"""The language server: serves one editor over standard input and output."""

from __future__ import annotations

import logging
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from lsprotocol import types
from pygls.exceptions import JsonRpcException

from scye.editor import answers
from scye.editor.attendant import REQUEST_FAILED, Attendant
from scye.editor.desk import absolute
from scye.editor.telling import Pages


def attend(home: Path) -> None:
    """Serve until the editor says goodbye or goes away. `home` is the folder if the editor names none."""
    logging.getLogger("pygls.protocol.json_rpc").addFilter(_is_no_refusal)
    with TemporaryDirectory(prefix="scye-") as folder:
        server_for(Pages(Path(folder)), home).start_io()


def server_for(pages: Pages, home: Path) -> Attendant:
    server = Attendant(pages, absolute(home))
    for feature, handler, options in (*_NOTICES, *_QUESTIONS):
        server.feature(feature, options)(handler)
    server.command(answers.EXPLAIN)(answers.explained)
    return server


def _is_no_refusal(record: logging.LogRecord) -> bool:
    """Whether a record is worth keeping: that a name can't be changed is told to the editor already."""
    trouble = record.exc_info[1] if record.exc_info else None
    return not (isinstance(trouble, JsonRpcException) and trouble.code == REQUEST_FAILED)


_NOTICES: tuple[tuple[str, Callable[..., Any], Any], ...] = (
    (types.INITIALIZE, answers.begun, None),
    (types.TEXT_DOCUMENT_DID_OPEN, answers.opened, None),
    (types.TEXT_DOCUMENT_DID_CHANGE, answers.altered, None),
    (types.TEXT_DOCUMENT_DID_CLOSE, answers.closed, None),
    (types.TEXT_DOCUMENT_DID_SAVE, answers.on_disk, None),
    (types.WORKSPACE_DID_CHANGE_WATCHED_FILES, answers.on_disk, None),
    (types.WORKSPACE_DID_CHANGE_CONFIGURATION, answers.settings, None),
)
_QUESTIONS: tuple[tuple[str, Callable[..., Any], Any], ...] = (
    (
        types.TEXT_DOCUMENT_COMPLETION,
        answers.complete,
        types.CompletionOptions(trigger_characters=[" ", "."]),
    ),
    (types.TEXT_DOCUMENT_HOVER, answers.hover, None),
    (types.TEXT_DOCUMENT_DEFINITION, answers.definition, None),
    (types.TEXT_DOCUMENT_REFERENCES, answers.references, None),
    (types.TEXT_DOCUMENT_PREPARE_RENAME, answers.before_rename, None),
    (types.TEXT_DOCUMENT_RENAME, answers.rename, types.RenameOptions(prepare_provider=True)),
    (types.TEXT_DOCUMENT_FORMATTING, answers.formatting, None),
    (types.TEXT_DOCUMENT_DOCUMENT_SYMBOL, answers.symbols, None),
    (types.TEXT_DOCUMENT_CODE_ACTION, answers.actions, None),
)
