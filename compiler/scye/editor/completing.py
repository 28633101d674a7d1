"""What may be written next, in the words of the trade: names with what they mean, words, units."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from scye.editor.describing import measure_of, offered, stands, usual
from scye.editor.desk import Looked
from scye.editor.guide import use_of
from scye.editor.things import METHODS, RECIPE, Made, Thing, Things, boundaries, draft_scope, method_scope
from scye.ir import syntax as s
from scye.parse.continuing import Continuation, continuation
from scye.parse.layout import Row
from scye.parse.reader import first_word
from scye.source import Source
from scye.units.quantity import UNITS, Kind

Sort = Literal["name", "measure", "choice", "word", "unit", "method", "given", "file"]
Found = Iterator["Offer"]

_MEMBER = re.compile(r"([^\W\d]\w*(?:\[[^\]]*\])?(?:\.[^\W\d]\w*(?:\[[^\]]*\])?)*)\.$")
_CONDITION = re.compile(r"([^\W\d]\w*) is (?:not )?$")
_PARTS = {Kind.PANEL_LINE: ("left", "right", "centre"), Kind.DART: ("point", "angle", "intake")}
_UNIT_NAMES = {"in": "inches", "cm": "centimetres", "mm": "millimetres", "yd": "yards", "m": "metres"}
_UNIT_NAMES |= {"deg": "degrees", "%": "per cent"}
_SLASHES = "spread|overlap|(box |inverted )?pleat|tuck"
_EDGE_CLAUSES = re.compile(
    rf"(allow .*\bon|net on|corner|notch|cut .*fold at|move [^ ]+ to|blend|({_SLASHES})( .* to)?)( [^ ]+,)* "
)
_AMOUNT_KINDS: set[Kind | None] = {None, Kind.LENGTH, Kind.NUMBER, Kind.ANGLE, Kind.PERCENT}
_ASKED = (Kind.CHOICE, Kind.YESNO)  # these first, since few places take them
_LINES: set[Kind | None] = {Kind.LINE, Kind.PANEL_LINE}
_EDGES: set[Kind | None] = {Kind.PIECE, *_LINES}
# Lines up to where a new name is to be made.
_MAKERS = re.compile(
    r"(redraw )?(draft|begin at|mark|line|curve|panel_line|dart|draw|level|plumb|method|given|gives|piece|"
    r"choose|repeat|find|needs|use|caution|draw .*by|.*\b(called|as)) *"
)


@dataclass(frozen=True, slots=True)
class Offer:
    """One thing to write: `text` is what is put in, `detail` what it is in short, `about` its sentence."""

    text: str
    sort: Sort
    detail: str = ""
    about: str = ""


def offers(source: Source, offset: int, looked: Looked) -> list[Offer]:
    """What may be written at a place, the likeliest first; each text once."""
    place = continuation(source, offset)
    if place is None:
        return []
    found: dict[str, Offer] = {}
    for offer in _Offers(place, looked).all():
        found.setdefault(offer.text, offer)
    return list(found.values())


class _Offers:
    """The offers at one place. A name is sought where the line stands: in a draft, a method, the recipe."""

    def __init__(self, place: Continuation, looked: Looked) -> None:
        self.place = place
        self.looked = looked
        self.things: Things = looked.index.things
        self.scope = _scope(place.owners)

    def all(self) -> Found:
        place = self.place
        member = _MEMBER.search(place.begun)
        if member:
            yield from self._members(member[1])
            return
        if place.context == "draw" and not place.begun:
            yield from self._givens()
            return
        if place.after_number:
            yield from _units(self.looked)
        yield from self._before_names()
        if "NAME" in place.terminals and not self._wants_edge():
            yield from self._names()
        for word in place.words:
            yield Offer(word, "word", use_of(word) if not place.begun else "")

    def _before_names(self) -> Found:
        """What only one kind of line takes: measures, methods, files, words of a choice, edges."""
        place, word = self.place, self.place.begun.split(" ", 1)[0]
        condition = _CONDITION.search(place.begun)
        if word == "needs" and "NAME" in place.terminals and "AMOUNT" not in place.terminals:
            yield from self._measures()
        elif word == "draw" and place.begun.rstrip().endswith(" by"):
            yield from self._methods()
        elif word == "use":
            yield from self._files()
        elif word == "caution" and place.begun.strip() == "caution":
            for name, caution in self.looked.project.cautions.items():
                yield Offer(name, "name", "caution", caution.text)
        elif condition and "CHOICE" in place.terminals:
            yield from self._words_of(condition[1])
        elif self._wants_edge():
            yield from self._edges()

    def _wants_edge(self) -> bool:
        place = self.place
        return place.context in ("piece", "every") and bool(_EDGE_CLAUSES.fullmatch(place.begun))

    # --- one kind of line -----------------------------------------------------------------------

    def _givens(self) -> Found:
        """What the method takes that is not given yet."""
        drawn = re.match(r"(?:redraw +)?draw +.+? +by +(\w+)", self.place.owners[-1].code)
        method = self.things.node(Thing(METHODS, drawn[1]), s.Method) if drawn else None
        for parameter in method.parameters if method else ():
            needed = "needed" if parameter.default is None else f"{parameter.default.span.text} if left out"
            text = f"{parameter.name.text} = "
            yield Offer(text, "given", f"{parameter.kind}, {needed}", _text(parameter.sentence))

    def _measures(self) -> Found:
        for measure in self.looked.project.catalogue.measures:
            yield Offer(measure.name, "measure", f"{measure.title}, {usual(measure)}", measure.where)

    def _methods(self) -> Found:
        for made in self.things.within(METHODS):
            given = ", ".join(p.name.text for p in made.node.parameters)
            yield Offer(made.thing.name, "method", f"takes {given}" if given else "", made.sentence)

    def _files(self) -> Found:
        for file in self.looked.method_files():
            yield Offer(file, "file", "methods")

    def _words_of(self, choice: str) -> Found:
        node = self.things.node(Thing(RECIPE, choice), s.Choose)
        words = [word.text for word in node.words] if node else []
        for word in words or (["yes", "no"] if node else []):
            yield Offer(word, "choice", f"of {choice}", _text(node.sentence))

    def _edges(self) -> Found:
        """The edges of the piece that the line stands in, or of all."""
        name = re.match(r"(?:redraw +)?piece +(\w+)", self.place.owners[0].code)
        made = self.things.made.get(Thing(RECIPE, name[1]), []) if name else self.things.within(RECIPE)
        for boundary in (b for m in made for b in boundaries(m.node)):
            _, at = self.things.line_of(boundary)
            parts = boundary.parts[at:]
            text = boundary.span.text[parts[0].span.start - boundary.span.start :]
            yield Offer(text, "name", "edge")

    # --- names ----------------------------------------------------------------------------------

    def _names(self) -> Found:
        """Names in reach, those of the kind that is wanted here; none where a new name is to be made."""
        kinds = _wanted(self.place.begun, self.place.terminals)
        for made, text in sorted(self._reached(), key=lambda found: found[0].kind not in _ASKED):
            if made.kind in kinds:
                yield self._offer(made, text)

    def _reached(self) -> Iterator[tuple[Made, str]]:
        things = self.things
        yield from ((made, made.thing.name) for made in things.within(self.scope))
        if self.scope.startswith("method "):
            return
        if self.scope != RECIPE:
            yield from ((made, made.thing.name) for made in things.within(RECIPE))
            return
        for draft in [m for m in things.within(RECIPE) if m.kind is Kind.DRAFT]:
            for made in things.within(draft_scope(draft.thing.name)):
                alone = things.reached(RECIPE, made.thing.name) == made.thing
                yield made, made.thing.name if alone else f"{draft.thing.name}.{made.thing.name}"

    def _offer(self, made: Made, text: str) -> Offer:
        about = made.sentence
        measure = measure_of(made.thing.name, self.looked) if isinstance(made.node, s.Need) else None
        if measure is not None:
            about = measure.where
        elif isinstance(made.node, s.Choose):
            about = f"{about}\n\n{offered(made.node)}".strip()
        return Offer(text, "measure" if measure else "name", stands(made), about)

    # --- behind a point -------------------------------------------------------------------------

    def _members(self, written: str) -> Found:
        parts = [re.sub(r"\[.*\]$", "", part) for part in written.split(".")]
        thing = self.things.reached(self.scope, parts[0])
        for part in parts[1:]:
            thing = self._inner(thing, part)
        made = self.things.made.get(thing, []) if thing else []
        if made:
            yield from self._members_of(made[0])

    def _inner(self, thing: Thing | None, part: str) -> Thing | None:
        if thing is None:
            return None
        if self.things.node(thing, s.Draft):
            return self.things.named(draft_scope(thing.name), part)
        edges = self.things.edges(thing.name, part) if self.things.node(thing, s.Piece) else []
        return edges[0] if edges else None

    def _members_of(self, made: Made) -> Found:
        match made.node:
            case s.Draft():
                inner = draft_scope(made.thing.name)
                yield from (self._offer(m, m.thing.name) for m in self.things.within(inner))
            case s.Draw(method=method):
                node = self.things.node(Thing(METHODS, method.text), s.Method)
                for gives in node.gives if node else ():
                    yield Offer(gives.name.text, "name", gives.kind, _text(gives.sentence))
            case s.Piece():
                for name in boundaries(made.node):
                    _, at = self.things.line_of(name)
                    yield Offer(name.parts[at].text, "name", f"edge of {made.thing.name}")
            case _:
                for part in _PARTS.get(made.kind, ()) if made.kind else ():
                    yield Offer(part, "name", f"of the {stands(made)}")


def _scope(owners: tuple[Row, ...]) -> str:
    """The scope of the names in a block."""
    for row in owners:
        name = row.code.split()[1:2]
        if first_word(row) == "draft" and name:
            return draft_scope(name[0])
        if first_word(row) == "method" and name:
            return method_scope(name[0])
    return RECIPE


def _units(looked: Looked) -> Found:
    """The units, that of the chosen body first."""
    first = looked.figures.unit if looked.figures else "in"
    for symbol in sorted(UNITS, key=lambda unit: unit != first):
        yield Offer(symbol, "unit", _UNIT_NAMES[symbol])


# What stands before a name of one kind, where the grammar would take any name.
_BEFORE: tuple[tuple[str, set[Kind | None]], ...] = (
    (r"when (.* )?(not |and |or )?", {Kind.CHOICE, Kind.YESNO, *_AMOUNT_KINDS}),
    (r"sew (.+ )?(to |and )?|bone |bind (.+, )?|(busk|eyelets|hooks|buttons|lace|zip) along ", _EDGES),
    (r"bounded by (.+, )?", {*_LINES, Kind.POINT}),
    (r"move (.+ of )?", {Kind.DART}),
    (r".*\bwidth of ", {Kind.PIECE}),
    (r".*\b(along|meets|square to|mirrored in|length of|start of|end of|on|at) ", _LINES),
    (r".*\b(through each|toward|about|nearest|with) ", {Kind.POINT, *_LINES}),
    (r".*\b(from|to|through) ", {Kind.POINT, *_LINES}),
    (r"(limit|keep|require|.*\bof) ", _AMOUNT_KINDS),
    (r"leave out (.+, )?", set(Kind) | {None}),
)


def _wanted(begun: str, terminals: Iterable[str]) -> set[Kind | None]:
    """The kinds that a name may be of here; none where a new name is to be made."""
    known, found = set(terminals), set[Kind | None]()
    if known >= {"AMOUNT", "LENGTH_OF"}:
        found |= _AMOUNT_KINDS
    if "START_OF" in known:
        found |= {Kind.POINT}
    if "LEVEL_THROUGH" in known:
        found |= _LINES
    if found and not begun.startswith("when"):
        return found
    if _MAKERS.fullmatch(begun):
        return set()
    return next((kinds for words, kinds in _BEFORE if re.fullmatch(words, begun)), found)


def _text(text: s.Text | None) -> str:
    return text.value if text is not None else ""
