"""What an editor asks or tells, each thing taken to the module that answers it."""

from __future__ import annotations

from lsprotocol import types

from scye.diagnostics.catalogue import explain
from scye.diagnostics.sharing import KeptAsItCame
from scye.editor.attendant import Attendant, path_of, refusal
from scye.editor.completing import Offer, offers
from scye.editor.describing import described, described_word
from scye.editor.finding import made_at
from scye.editor.outline import as_symbols, outline
from scye.editor.positions import as_position, as_range, changed
from scye.editor.renaming import Refused, renameable, renamed
from scye.library import kept_folder
from scye.parse.continuing import words_at
from scye.parse.tidy import tidy

EXPLAIN = "scye.code"

_KINDS = {
    "name": types.CompletionItemKind.Variable,
    "measure": types.CompletionItemKind.Field,
    "choice": types.CompletionItemKind.EnumMember,
    "word": types.CompletionItemKind.Keyword,
    "unit": types.CompletionItemKind.Unit,
    "method": types.CompletionItemKind.Function,
    "given": types.CompletionItemKind.Property,
    "file": types.CompletionItemKind.File,
}


def begun(ls: Attendant, params: types.InitializeParams) -> None:
    folders = params.workspace_folders or []
    uri = folders[0].uri if folders else params.root_uri
    if uri is not None:
        ls.desk.folder = path_of(uri)
    ls.wish(params.initialization_options)


def opened(ls: Attendant, params: types.DidOpenTextDocumentParams) -> None:
    ls.put(path_of(params.text_document.uri), params.text_document.text)


def altered(ls: Attendant, params: types.DidChangeTextDocumentParams) -> None:
    path = path_of(params.text_document.uri)
    text = ls.raw.get(path, "")
    for change in params.content_changes:
        text = changed(text, change, ls.codec)
    ls.put(path, text)


def closed(ls: Attendant, params: types.DidCloseTextDocumentParams) -> None:
    ls.take(path_of(params.text_document.uri))


def on_disk(
    ls: Attendant, _params: types.DidSaveTextDocumentParams | types.DidChangeWatchedFilesParams
) -> None:
    ls.desk.forget()
    ls.tell()


def settings(ls: Attendant, params: types.DidChangeConfigurationParams) -> None:
    ls.wish(params.settings)


def complete(ls: Attendant, params: types.CompletionParams) -> types.CompletionList:
    path, source, offset = ls.place(params.text_document, params.position)
    looked = ls.desk.without_line(path, source.position(offset)[0])
    found = offers(source, offset, looked)
    return types.CompletionList(False, [_item(offer, at) for at, offer in enumerate(found)])


def _item(offer: Offer, at: int) -> types.CompletionItem:
    return types.CompletionItem(
        label=offer.text.removesuffix(" = "),
        kind=_KINDS[offer.sort],
        detail=offer.detail or None,
        documentation=offer.about or None,
        sort_text=f"{at:04}",
        insert_text=offer.text,
    )


def hover(ls: Attendant, params: types.HoverParams) -> types.Hover | None:
    path, source, offset = ls.place(params.text_document, params.position)
    looked = ls.desk.looked(path)
    use = looked.index.at(source.name, offset)
    if use is not None:
        text, span = described(use, looked), use.span
    else:
        word, rest, span = words_at(source, offset)
        text = described_word(word, rest)
    if not text:
        return None
    return types.Hover(types.MarkupContent(types.MarkupKind.Markdown, text), as_range(span, ls.codec))


def definition(ls: Attendant, params: types.DefinitionParams) -> list[types.Location]:
    path, source, offset = ls.place(params.text_document, params.position)
    looked = ls.desk.looked(path)
    use = looked.index.at(source.name, offset)
    found = made_at(ls.desk, path, looked, use) if use else []
    return [ls.location(file, span) for file, span in found]


def references(ls: Attendant, params: types.ReferenceParams) -> list[types.Location]:
    path, source, offset = ls.place(params.text_document, params.position)
    looked = ls.desk.looked(path)
    use = looked.index.at(source.name, offset)
    uses = looked.index.of(use.thing) if use else []
    wanted = [u for u in uses if params.context.include_declaration or not u.makes]
    return [ls.location(looked.paths[u.span.source.name], u.span) for u in wanted]


def before_rename(ls: Attendant, params: types.PrepareRenameParams) -> types.PrepareRenamePlaceholder:
    path, _, offset = ls.place(params.text_document, params.position)
    use = renameable(ls.desk, path, offset)
    if isinstance(use, Refused):
        raise refusal(use.why)
    return types.PrepareRenamePlaceholder(as_range(use.span, ls.codec), use.thing.name)


def rename(ls: Attendant, params: types.RenameParams) -> types.WorkspaceEdit:
    path, _, offset = ls.place(params.text_document, params.position)
    spans = renamed(ls.desk, path, offset, params.new_name)
    if isinstance(spans, Refused):
        raise refusal(spans.why)
    return ls.edits(spans, params.new_name)


def formatting(ls: Attendant, params: types.DocumentFormattingParams) -> list[types.TextEdit]:
    """One edit for the lines from the first that tidying changes to the last."""
    path = path_of(params.text_document.uri)
    source = ls.source(path)
    if kept_folder(path) is not None:
        raise refusal(KeptAsItCame(name=source.name).seen())
    was, now = source.text.splitlines(keepends=True), tidy(source).splitlines(keepends=True)
    first = _alike(was, now)
    last = _alike(was[first:][::-1], now[first:][::-1])
    if first == len(was) == len(now):
        return []
    start = len("".join(was[:first]))
    end = len(source.text) - len("".join(was[len(was) - last :]))
    there = types.Range(as_position(source, start, ls.codec), as_position(source, end, ls.codec))
    return [types.TextEdit(there, "".join(now[first : len(now) - last]))]


def _alike(a: list[str], b: list[str]) -> int:
    """How many lines at the beginning of two texts are the same."""
    pairs = zip(a, b, strict=False)
    return next((i for i, (one, other) in enumerate(pairs) if one != other), min(len(a), len(b)))


def symbols(ls: Attendant, params: types.DocumentSymbolParams) -> list[types.DocumentSymbol]:
    path = path_of(params.text_document.uri)
    texts = ls.desk.looked(path).project.texts
    return as_symbols(outline(texts[-1].file), ls.codec) if texts and texts[-1].path == path else []


def actions(_: Attendant, params: types.CodeActionParams) -> list[types.CodeAction | types.Command]:
    """For each message in reach: to write what was most likely meant, and what its code means."""
    ours = [d for d in params.context.diagnostics if d.source == "scye" and d.code]
    uri = params.text_document.uri
    meant = [_meant(told, uri, told.data) for told in ours if isinstance(told.data, str)]
    codes = dict.fromkeys(str(told.code) for told in ours)
    return [*meant, *(types.Command(f"What {code} means", EXPLAIN, arguments=[code]) for code in codes)]


def _meant(told: types.Diagnostic, uri: str, word: str) -> types.CodeAction:
    return types.CodeAction(
        title=f"Write {word}",
        kind=types.CodeActionKind.QuickFix,
        diagnostics=[told],
        edit=types.WorkspaceEdit(changes={uri: [types.TextEdit(told.range, word)]}),
    )


def explained(ls: Attendant, code: str) -> str:
    """What `scye code` says of a code, shown and handed back."""
    text = explain(str(code))
    if text is None:
        raise refusal(f"There is no message with the code {code}.")
    ls.window_show_message(types.ShowMessageParams(types.MessageType.Info, text))
    return text
