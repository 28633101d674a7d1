"""The maker's own library: what an envelope or a recipe needs, keeping it, and renewing it."""

from __future__ import annotations

import errno
import os
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import replace
from pathlib import Path

from scye.diagnostics.command import CannotWrite
from scye.diagnostics.model import Diagnostic
from scye.diagnostics.sharing import (
    AnotherStudio,
    KeptOtherwise,
    NothingToRenew,
    RenewInstead,
)
from scye.editions import run_compare
from scye.ir.envelope import CONTENTS_NAME, Envelope, InsideRequest, KeepRequest, RenewRequest
from scye.ir.requests import CompareRequest, ExitCode, Outcome, Say
from scye.library import (
    ENVELOPE_ENDING,
    Kept,
    kept_edition,
    kept_editions,
    library_folder,
    read_source,
    reason,
    shown_name,
)
from scye.read.contents import read_contents
from scye.sharing.laid_out import LaidOut, laid_out, look_at
from scye.sharing.needs import licence_of, lines_of, said_of_licences, studio_of
from scye.sharing.opening import open_envelope
from scye.source import Source


def run_inside(request: InsideRequest) -> Outcome:
    """What an envelope or a recipe needs and may not do. Nothing is written."""
    if request.path.suffix != ENVELOPE_ENDING:
        opened = look_at(request.path)
        return _told(opened, tuple(lines_of(opened)) if opened.texts else ())
    envelope = open_envelope(request.path)
    if not isinstance(envelope, Envelope):
        return Outcome(tuple(envelope), ExitCode.BAD_INPUT)
    try:
        with laid_out(envelope) as (_, opened):
            return _told(opened, _lines(opened, envelope))
    except OSError as trouble:
        return _unwritten(Path(tempfile.gettempdir()), trouble)


def _lines(opened: LaidOut, envelope: Envelope) -> tuple[str, ...]:
    return tuple(lines_of(opened, envelope.contents)) if opened.texts and opened.sound else ()


def _told(opened: LaidOut, lines: tuple[str, ...]) -> Outcome:
    code = ExitCode.GOOD if opened.sound else ExitCode.BAD_INPUT
    return Outcome((*opened.found, *(said_of_licences(opened.texts) if opened.sound else ())), code, lines)


# --- keeping ------------------------------------------------------------------------------------


def run_keep(request: KeepRequest) -> Outcome:
    """Put an envelope into the library, as an edition that nothing changes any more."""
    envelope = open_envelope(request.envelope)
    if not isinstance(envelope, Envelope):
        return Outcome(tuple(envelope), ExitCode.BAD_INPUT)
    name, edition = envelope.contents.recipe, envelope.contents.edition
    there = _there(envelope)
    if isinstance(there, Diagnostic):
        return Outcome((there,), ExitCode.BAD_INPUT)
    if there is not None:
        return Outcome((), ExitCode.GOOD, (f"{name}, edition {edition}, is kept already: {_at(there)}",))
    newest = kept_edition(name, None)
    if newest is not None and newest.edition < edition:
        what = f"is edition {edition} of `{name}`, and edition {newest.edition} is kept"
        return Outcome((RenewInstead(name=envelope.name, what=what),), ExitCode.BAD_INPUT)
    return _into_library(envelope)


def _into_library(envelope: Envelope) -> Outcome:
    try:
        with _library() as library, laid_out(envelope, library) as (folder, opened):
            told = _told(opened, _lines(opened, envelope))
            return _put_away(envelope, folder, told) if opened.sound else told
    except OSError as trouble:
        return _unwritten(library_folder(), trouble)


@contextmanager
def _library() -> Iterator[Path]:
    """The library, made if it isn't there; and unmade if nothing is put into it."""
    folder = library_folder()
    if os.path.lexists(folder) and not folder.is_dir():
        raise NotADirectoryError(errno.ENOTDIR, "it is a file, not a folder")
    new = [path for path in (folder, *folder.parents) if not os.path.lexists(path)]
    folder.mkdir(parents=True, exist_ok=True)
    try:
        yield folder
    finally:
        for path in new:
            with suppress(OSError):
                path.rmdir()


def _unwritten(path: Path, trouble: OSError) -> Outcome:
    return Outcome((CannotWrite(name=shown_name(path), why=reason(trouble)),), ExitCode.BAD_INPUT)


def _put_away(envelope: Envelope, folder: Path, told: Outcome) -> Outcome:
    """Move an edition that is laid out and sound to its place, whole or not at all."""
    contents = envelope.contents
    place = Kept(contents.recipe, contents.edition, _place(envelope))
    place.folder.parent.mkdir(exist_ok=True)
    os.rename(folder, place.folder)
    kept = f"kept as {contents.recipe}, edition {contents.edition}: {_at(place)}"
    return replace(told, lines=(*told.lines, kept))


def _place(envelope: Envelope) -> Path:
    return library_folder() / envelope.contents.recipe / f"edition-{envelope.contents.edition}"


def _at(kept: Kept) -> str:
    return shown_name(kept.folder)


def _there(envelope: Envelope) -> Kept | Diagnostic | None:
    """The edition of an envelope as it is kept already; a mistake if what is kept is not the same."""
    name, edition = envelope.contents.recipe, envelope.contents.edition
    place = _place(envelope)
    if not os.path.lexists(place):
        return None
    listed = read_source(place / CONTENTS_NAME)
    kept = read_contents(listed) if isinstance(listed, Source) else listed
    before = {} if isinstance(kept, Diagnostic) else {file.place: file.hash for file in kept.enclosed}
    now = {file.place: file.hash for file in envelope.contents.enclosed}
    other = sorted(place for place in before | now if before.get(place) != now.get(place))
    if not other:
        return Kept(name, edition, place)
    return KeptOtherwise(name=f"{name}, edition {edition}", what=f"these differ: {', '.join(other)}")


# --- renewing -----------------------------------------------------------------------------------


def run_renew(request: RenewRequest, say: Say) -> Outcome:
    """Say what a newer edition moves, on the garments of some bodies; take it if that is asked for.

    The edition that was kept before stays beside it.
    """
    envelope = open_envelope(request.envelope)
    if not isinstance(envelope, Envelope):
        return Outcome(tuple(envelope), ExitCode.BAD_INPUT)
    older = kept_edition(envelope.contents.recipe, None)
    amiss = _not_newer(envelope, older)
    if amiss is not None or older is None:
        return Outcome((amiss,) if amiss else (), ExitCode.BAD_INPUT)
    try:
        with _library() as library, laid_out(envelope, library) as (folder, opened):
            told = _told(opened, _lines(opened, envelope))
            told = _compared(request, older, opened, told, say) if opened.sound else told
            if told.exit_code is not ExitCode.GOOD:
                return told
            if not request.take:
                not_yet = f"Nothing is taken yet: edition {older.edition} stays. Say --take to take it."
                return replace(told, lines=(*told.lines, not_yet))
            taken = _put_away(envelope, folder, told)
            stays = f"Edition {older.edition} stays beside it, for the variants that are based on it."
            return replace(taken, lines=(*taken.lines, stays))
    except OSError as trouble:
        return _unwritten(library_folder(), trouble)


def _not_newer(envelope: Envelope, older: Kept | None) -> Diagnostic | None:
    name, edition = envelope.contents.recipe, envelope.contents.edition
    if older is None:
        what, hint = f"is of `{name}`, of which nothing is kept yet", "keep it with `scye keep`"
    elif edition > older.edition:
        return None
    else:
        kept = ", ".join(str(k.edition) for k in kept_editions(name))
        what, hint = f"is edition {edition} of `{name}`; what is kept: edition {kept}", ""
    return NothingToRenew(name=envelope.name, what=what, hint=hint)


def _compared(request: RenewRequest, older: Kept, newer: LaidOut, told: Outcome, say: Say) -> Outcome:
    """What moves between the two, after what the newer one needs."""
    compared = run_compare(
        CompareRequest(
            older.recipe,
            newer.recipe,
            request.cards,
            request.chart,
            request.sizes,
            request.settings,
            request.units,
            None,
        ),
        say,
    )
    before = look_at(older.recipe)
    signed = _signed_otherwise(before, newer, older)
    found = tuple(dict.fromkeys((*told.diagnostics, *signed, *compared.diagnostics)))
    lines = (*told.lines, "", *compared.lines) if compared.lines else told.lines
    return Outcome(found, compared.exit_code, lines)


def _signed_otherwise(before: LaidOut, newer: LaidOut, older: Kept) -> Sequence[Diagnostic]:
    pairs = (
        ("the studio", studio_of(before.texts), studio_of(newer.texts)),
        ("the licence", licence_of(before.texts[-1]), licence_of(newer.texts[-1])),
    )
    return [
        AnotherStudio(
            name=older.name,
            what=f"{what} of `{older.name}` was {was or 'not said'}, and is now {now or 'not said'}",
        )
        for what, was, now in pairs
        if was != now
    ]
