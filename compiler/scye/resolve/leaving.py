"""What a variant leaves out of its parent, and what goes with it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from scye.diagnostics.model import Diagnostic
from scye.diagnostics.variants import FoundTogether, LeaveOutWithin, LeftOutWithIt, PartOfARow
from scye.ir import syntax as s
from scye.resolve.edits import Edits, Parent
from scye.resolve.joins import but_for, concerned
from scye.resolve.makers import Found, Key, key_of, keys, plain, seam_text
from scye.source import Span


class Leaving:
    """Gathers what is left out: as `edits`, and by name in `left_out`, with the place that says so."""

    def __init__(self, parent: Parent) -> None:
        self.parent = parent
        self.edits = Edits()
        self.left_out: dict[str, Span] = {}
        self.found: list[Diagnostic] = []

    def leave_out(self, written: Iterable[Found]) -> None:
        """Leave out what all the `leave out` of a variant name."""
        named: list[tuple[s.Name | s.Text | s.Sew, str]] = []
        for here in written:
            match here.statement:
                case s.LeaveOut(span=span) if here.path:
                    self.found.append(LeaveOutWithin(span=span))
                case s.LeaveOut(items=items):
                    named += [(item, here.draft) for item in items]
                case _:
                    pass
        # Pieces last: what goes with one is told only if it is not named as well.
        for item, draft in sorted(named, key=lambda pair: isinstance(pair[0], s.Name)):
            self._item(item, draft)

    def _item(self, item: s.Name | s.Text | s.Sew, draft: str) -> None:
        match item:
            case s.Text(value=title, span=span):
                bought = Key("finding", title)
                self._drop(bought if self.parent.makers(bought, "") else Key("title", title), "", span)
            case s.Sew(span=span):
                self._drop(Key("seam", seam_text(item)), "", span)
            case s.Name():
                self._name(item, draft)

    def _name(self, name: s.Name, draft: str) -> None:
        parts = name.parts
        if len(parts) > 1 and not draft and self.parent.drafts(parts[0].text):
            draft, parts = parts[0].text, parts[1:]
        key = key_of(parts[0])
        if len(parts) > 1:
            whole = Key("name", plain(name.span))
            self.found += self.parent.missing(name.span, "leave out", whole, draft)
            return
        for sort in ("name", "method", "caution"):
            if self.parent.row(replace(key, sort=sort), draft):
                self._drop(replace(key, sort=sort), draft, name.span)
                return
        homes = sorted({m.draft for m in self.parent.made if key in keys(m.statement)})
        self._drop(key, homes[0] if len(homes) == 1 and not draft else draft, name.span)

    def _drop(self, key: Key, draft: str, span: Span) -> None:
        """Leave out all that is made by a key; a name without an index is that of a whole row."""
        places = self.parent.makers(key, draft)
        row = self.parent.row(key, draft)
        if not places and not key.index:
            places = row
        if not places and any(m.inner for m in row):
            self.found.append(PartOfARow(span=span, name=key.name))
        elif not places:
            self.found += self.parent.missing(span, "leave out", key, draft)
        for place in places:
            self._place(place, key, span)

    def _place(self, place: Found, key: Key, span: Span) -> None:
        others = tuple(k.name for k in keys(place.statement) if k.text != key.text)
        if others:
            self.found.append(FoundTogether(span=span, name=key.name, others=others))
            return
        self.edits.swapped[id(place.statement)] = ()
        self.left_out.setdefault(key.text, span)
        match place.statement:
            case s.Piece() as piece:
                self._joins(piece, span)
            case s.Draft(name=name):
                within = (m for m in self.parent.made if m.draft == name.text)
                for inner in (k.text for m in within for k in keys(m.statement)):
                    self.left_out.setdefault(inner, span)

    def _joins(self, piece: s.Piece, span: Span) -> None:
        """With a piece go its seams and proofs, and that is said."""
        remaining = [
            m.statement
            for m in self.parent.made
            if isinstance(m.statement, s.Piece) and m.statement is not piece
        ]
        gone: list[str] = []
        for place in self.parent.made:
            rounds = concerned(place, piece, remaining)
            kept = self.edits.swapped.get(id(place.statement), (place.statement,))
            if rounds is None or not kept:
                continue
            self.edits.swapped[id(place.statement)] = (but_for(kept[0], rounds),) if rounds else ()
            where = ", ".join(plain(r.right.span) for r in rounds)
            gone.append(keys(place.statement)[0].shown + (f" for {where}" if where else ""))
        if gone:
            self.found.append(LeftOutWithIt(span=span, name=piece.name.text, others=tuple(gone)))
