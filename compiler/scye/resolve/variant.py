"""Merging a variant with its parent: two files of syntax -> one that reads as if it had been written whole.

Reads what a recipe based on another states: choices, `redraw`, `leave out`, and what it adds. Changes
nothing but which statements there are and where they stand; each keeps its place in its own text. Guarantees
that no `redraw` and no `leave out` is left.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from scye.diagnostics.kinds import EdgeUnknown
from scye.diagnostics.model import Diagnostic, Label
from scye.diagnostics.names import NameTwice, NotNeeded, UnknownName
from scye.diagnostics.variants import (
    AlreadyInParent,
    AnotherKind,
    ChoiceDiffers,
    FoundTogether,
    MeasureNotNeeded,
    NoParent,
    StillUsed,
    UnderOtherChoices,
)
from scye.ir import syntax as s
from scye.resolve.edits import Edits, Parent
from scye.resolve.leaving import Leaving
from scye.resolve.makers import (
    Block,
    Found,
    Key,
    all_found,
    keys,
    kind,
    name_span,
    needs_used,
    plain,
    split,
    wrapped,
)
from scye.source import Span

# What a variant states for itself; all else under a title is its parent's where it says nothing.
OWN_HEADINGS = frozenset({"edition", "about", "based on"})


@dataclass(frozen=True, slots=True)
class Merged:
    """One recipe of two, what is amiss with the variant, and where names are left out."""

    file: s.File
    diagnostics: list[Diagnostic]
    left_out: dict[str, Span]


def merge(parent: s.File, variant: s.File) -> Merged:
    """A variant as a whole recipe. The parent has been merged with its own parent before."""
    assert parent.head is not None
    assert variant.head is not None
    written = list(all_found(split(variant.body)))
    whole = split(parent.body)
    leaving = Leaving(Parent(whole, parent.unread_names))
    leaving.leave_out(written)
    merging = _Merging(Parent(tuple(leaving.edits.applied(whole)), parent.unread_names))
    body = merging.body(written)
    body, spared = _without_spare_needs(whole, body, variant)
    unread = parent.unread_names | variant.unread_names
    file = s.File(variant.source, _head(parent.head, variant.head), body, unread)
    return Merged(file, [*leaving.found, *merging.found, *spared], leaving.left_out)


def alone(file: s.File) -> Merged:
    """A recipe that is based on none, without the words that only a variant may use."""
    found: list[Diagnostic] = []
    for here in all_found(file.body):
        match here.statement:
            case s.Redraw(span=span):
                found.append(NoParent(span=_word(span, "redraw"), word="redraw"))
            case s.LeaveOut(span=span):
                found.append(NoParent(span=_word(span, "leave out"), word="leave out"))
            case _:
                pass
    body = tuple(_without_words(file.body)) if found else file.body
    return Merged(replace(file, body=body), found, {})


def _word(span: Span, word: str) -> Span:
    return Span(span.source, span.start, span.start + len(word))


def _without_words(body: Iterable[s.Statement]) -> Iterator[s.Statement]:
    """Statements as if they stood in a recipe that is based on none."""
    for statement in body:
        match statement:
            case s.Redraw(statement=inner):
                yield from _without_words((inner,))
            case s.LeaveOut():
                pass
            case s.Draft(body=within) | s.Repeat(body=within):
                yield replace(statement, body=tuple(_without_words(within)))
            case s.When(body=within, otherwise=other):
                arm, other_arm = tuple(_without_words(within)), tuple(_without_words(other))
                yield replace(statement, body=arm, otherwise=other_arm)
            case _:
                yield statement


def still_used(found: Iterable[Diagnostic], left_out: dict[str, Span]) -> list[Diagnostic]:
    """What the checker says of names that are missing because they were left out, said as that."""
    return [told for diagnostic in found for told in _still_used(diagnostic, left_out)]


def _still_used(diagnostic: Diagnostic, left_out: dict[str, Span]) -> Iterator[Diagnostic]:
    match diagnostic:
        case UnknownName(name=name, span=span) | NotNeeded(name=name, span=span) if name in left_out:
            yield StillUsed(span=span, name=name, labels=(Label(left_out[name], "left out here"),))
        case EdgeUnknown(edge=edge) if re.split(r"[.\[]", edge)[0] in left_out:
            pass  # that the piece is bounded by what is left out has been said
        case _:
            yield diagnostic


def _head(parent: s.RecipeHead, variant: s.RecipeHead) -> s.RecipeHead:
    """The variant's own title and headings, with those of the parent that it does not state."""
    based = variant.based_on
    assert based is not None
    own = {heading.key for heading in variant.headings}
    kept = tuple(h for h in parent.headings if h.key not in OWN_HEADINGS | own)
    origin = s.Heading(based.span, "based on", f"{parent.title.value}, edition {based.edition}")
    meant_for = variant.meant_for or parent.meant_for
    return replace(variant, headings=(*variant.headings, origin, *kept), meant_for=meant_for)


def _without_spare_needs(
    parent: tuple[s.Statement, ...], body: tuple[s.Statement, ...], variant: s.File
) -> tuple[tuple[s.Statement, ...], list[Diagnostic]]:
    """The measures that only the parent had a use for are not asked for, and that is said."""
    spare = needs_used(parent) - needs_used(body)
    places = [
        m.statement
        for m in all_found(body)
        if isinstance(m.statement, s.Needs)
        and m.statement.span.source is not variant.source
        and m.statement.items[0].name.text in spare
    ]
    if not places or variant.head is None or variant.head.based_on is None:
        return body, []
    names = tuple(place.items[0].name.text for place in places)
    labels = tuple(Label(place.span, "needed by the parent") for place in places[:3])
    note = MeasureNotNeeded(span=variant.head.based_on.span, names=names, labels=labels)
    return tuple(Edits(swapped={id(place): () for place in places}).applied(body)), [note]


class _Merging:
    """One variant laid over its parent: gathers the edits, and what is amiss."""

    def __init__(self, parent: Parent) -> None:
        self.parent = parent
        self.edits = Edits()
        self.after: list[s.Statement] = []
        self.found: list[Diagnostic] = []
        self.redrawn: dict[tuple[str, Key, tuple[Block, ...]], Span] = {}

    def body(self, written: Iterable[Found]) -> tuple[s.Statement, ...]:
        """The statements of both, the parent's first."""
        for here in written:
            match here.statement:
                case s.LeaveOut():
                    pass
                case s.Redraw(statement=statement):
                    self._redraw(here, next(_without_words((statement,))))
                case s.Draft(name=name) if self.parent.drafts(name.text):
                    pass  # what is in it goes to the parent's
                case _ if here.draft and not self.parent.drafts(here.draft):
                    pass  # it comes with its draft, which is new
                case statement:
                    self._add(here, next(_without_words((statement,))))
        return (*self.edits.applied(self.parent.body), *self.after)

    # --- redrawing --------------------------------------------------------------------------------

    def _redraw(self, here: Found, statement: s.Statement) -> None:
        if self._twice(here, statement) or self._restated(here, statement):
            return
        places: list[Found] = []
        for key in keys(statement):
            makers = self.parent.makers(key, here.draft)
            if not makers:
                self.found += self.parent.missing(name_span(statement), "redraw", key, here.draft)
                return
            places += [m for m in makers if m not in places]
        if places and self._agrees(statement, places):
            self._put(here, statement, places)

    def _twice(self, here: Found, statement: s.Statement) -> bool:
        """Whether the variant itself states the same thing twice, which is said."""
        for key in keys(statement):
            place = (here.draft, key, here.path)
            first = self.redrawn.setdefault(place, name_span(statement))
            if first != name_span(statement):
                label = Label(first, "made here first")
                self.found.append(NameTwice(span=name_span(statement), name=key.name, labels=(label,)))
                return True
        return False

    def _agrees(self, statement: s.Statement, places: list[Found]) -> bool:
        """Whether what is redrawn is of the kind that it was, and whole."""
        made, now = keys(statement), kind(statement)
        for place in places:
            was = kind(place.statement)
            label = Label(name_span(place.statement), "the parent's")
            others = tuple(k.name for k in keys(place.statement) if k not in made)
            span, name = name_span(statement), made[0].name
            if was[0] != now[0]:
                self.found.append(AnotherKind(span=span, name=name, was=was[1], now=now[1], labels=(label,)))
                return False
            if others:
                self.found.append(FoundTogether(span=span, name=name, others=others, labels=(label,)))
                return False
        return True

    def _put(self, here: Found, statement: s.Statement, places: list[Found]) -> None:
        """Set a statement in the place of what the parent has."""
        same = [p for p in places if p.inner == here.within(p.outer)]
        path = here.within(places[0].outer)
        if same:
            for place in same:
                self.edits.swapped[id(place.statement)] = (statement,)
        elif not any(block.is_when for block in path):
            self._put_outright(statement, path, here.blocks, places)
        else:
            self._put_under(here, statement, path, places)

    def _put_outright(
        self,
        statement: s.Statement,
        path: tuple[Block, ...],
        blocks: tuple[s.Statement, ...],
        places: list[Found],
    ) -> None:
        """In place of all that the parent draws by the name, whatever it depends on there."""
        whole = wrapped(statement, path, blocks)
        for place in places:
            self.edits.swapped[id(place.statement)] = ()
        first = places[0]
        if first.inner:
            outermost = first.blocks[len(first.outer)]
            self.edits.before.setdefault(id(outermost), []).append(whole)
        else:
            self.edits.swapped[id(first.statement)] = (whole,)

    def _put_under(
        self, here: Found, statement: s.Statement, path: tuple[Block, ...], places: list[Found]
    ) -> None:
        """Under a condition of the variant's own; where it does not hold, the parent's stays."""
        place, whens = places[0], [i for i, block in enumerate(path) if block.is_when]
        rest = tuple(block for block in path if not block.is_when)
        if len(places) > 1 or len(whens) > 1 or place.inner != rest:
            label, name = Label(name_span(place.statement), "the parent's"), keys(statement)[0].name
            self.found.append(UnderOtherChoices(span=name_span(statement), name=name, labels=(label,)))
            return
        when = here.blocks[len(here.blocks) - len(path) + whens[0]]
        assert isinstance(when, s.When)
        # The other arm may have been redrawn on a line above: then it is in what is kept already.
        kept = self.edits.swapped.get(id(place.statement), (place.statement,))
        arms = (kept, (statement,)) if path[whens[0]].is_otherwise else ((statement,), kept)
        self.edits.swapped[id(place.statement)] = (replace(when, body=arms[0], otherwise=arms[1]),)

    # --- choices ----------------------------------------------------------------------------------

    def _restated(self, here: Found, statement: s.Statement) -> bool:
        """Whether it is a choice that the parent offers; then it is stated anew in its place."""
        if not isinstance(statement, s.Choose) or here.draft or here.inner:
            return False
        places = self.parent.makers(keys(statement)[0], "")
        choices = [p.statement for p in places if isinstance(p.statement, s.Choose)]
        for was in choices:
            stated = _stated(was, statement)
            if stated is None:
                label, name = Label(was.name.span, "the parent's"), statement.name.text
                self.found.append(
                    ChoiceDiffers(span=statement.span, name=name, offered=_offered(was), labels=(label,))
                )
            else:
                self.edits.swapped[id(was)] = (stated,)
        return bool(choices)

    # --- adding -----------------------------------------------------------------------------------

    def _add(self, here: Found, statement: s.Statement) -> None:
        """What the parent has not, at the end of its draft or of the recipe."""
        if isinstance(statement, s.Choose) and self._twice(here, statement):
            return
        if self._restated(here, statement):
            return
        for key in keys(statement):
            clash = next((m for m in self.parent.row(key, here.draft) if _clash(here, m, key)), None)
            if clash is not None:
                if not _in_both(statement, clash.statement):
                    self._already(statement, key, clash)
                return
        if not here.draft:
            self.after.append(wrapped(statement, here.inner, here.blocks))
            return
        drafts = self.parent.drafts(here.draft)
        home = next((d for d in drafts if d.inner == here.outer), drafts[0])
        whole = wrapped(statement, here.within(home.inner), here.blocks)
        self.edits.within.setdefault(id(home.statement), []).append(whole)

    def _already(self, statement: s.Statement, key: Key, clash: Found) -> None:
        label = Label(name_span(clash.statement), "the parent's")
        first = plain(statement.span).split(" ")[0]
        whole = key.sort in ("seam", "seams", "finding")
        start = key.shown if whole else f"`{first} {key.name} ...`"
        if key.sort == "name" and isinstance(statement, s.Let):
            start = f"`{key.name} = ...`"
        redraw = start.strip("`")
        self.found.append(
            AlreadyInParent(span=name_span(statement), name=key.shown, redraw=redraw, labels=(label,))
        )


def _in_both(statement: s.Statement, other: s.Statement) -> bool:
    """Whether both may say it: where a draft begins; that a measure is needed, without a rule for it."""
    match statement, other:
        case s.Begin(), s.Begin():
            return True
        case s.Needs(items=(s.Need(otherwise=None),)), s.Needs():
            return True
        case _:
            return False


def _stated(was: s.Choose, now: s.Choose) -> s.Choose | None:
    """A choice with a new default; what is not said of it is as it was. None if it is of another kind."""
    stated = replace(now, sentence=now.sentence or was.sentence)
    if now.low is not None or now.words:
        return stated
    match now.default, was:
        case str(), s.Choose(default=str(), words=()):
            return stated
        case s.Name(parts=(s.NamePart(index=None) as word,)), s.Choose(words=words) if words:
            return replace(stated, default=word.text, words=words)
        case s.Amount(quantity=q), s.Choose(default=s.Amount(quantity=p)) if q.kind is p.kind:
            return replace(stated, low=was.low, high=was.high)
        case _:
            return None


def _offered(choice: s.Choose) -> str:
    if choice.words:
        return "of " + ", ".join(word.text for word in choice.words)
    if isinstance(choice.default, str):
        return "of yes or no"
    if choice.low is not None and choice.high is not None:
        return f"from {plain(choice.low.span)} to {plain(choice.high.span)}"
    return f"such as {plain(choice.default.span)}"


def _clash(here: Found, made: Found, key: Key) -> bool:
    """Whether both would surely be made: the same name, and neither under conditions of its own."""
    alike = [k for k in keys(made.statement) if (k.sort, k.text) == (key.sort, key.text)]
    same = any(k.index == key.index or not k.index or not key.index for k in alike)
    shorter, longer = sorted((here.path, made.path), key=len)
    return same and longer[: len(shorter)] == shorter
