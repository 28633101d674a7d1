"""One page at the desk: what it shows, and what it is answered. All of it on the thread that drafts."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import replace
from typing import assert_never

from scye.diagnostics.model import Diagnostic, Severity
from scye.diagnostics.serving import BodyGone, ChangedMeanwhile, KeptEdition
from scye.drafting import Compiled
from scye.driver import Compiler
from scye.expand.choices import settle
from scye.ir.pattern import Pattern, Piece, PieceLines, Stroke, lines_of
from scye.ir.people import Body
from scye.library import kept_folder
from scye.live.draft import Drawn, LiveDraft, with_choices
from scye.outputs import replace_text
from scye.serve import wishes as w
from scye.serve.beside import Beside
from scye.serve.controls import choice_controls, choice_texts, dressed, measure_controls
from scye.serve.desk import Desk
from scye.serve.drawing import (
    Data,
    diagnostic_data,
    finding_data,
    lines_data,
    piece_data,
    proof_data,
    screen_path,
    seam_data,
    summary_of,
    under_data,
)
from scye.serve.measuring import Ruler, read_off, stations
from scye.serve.takeaway import Bundle
from scye.serve.telling import Draft, figures_data, points_data, points_on, ruled_data, working_data
from scye.source import Source
from scye.units.tape import show_length

BEFORE = "before"  # what stands for this body as its card has it, among those laid under


class Seat:
    """What one page has before it. `draft` is the last that came out; it stays when a later one doesn't."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self.draft: Draft | None = None
        self._live = LiveDraft(desk.request.recipe, desk.read)
        self._beneath = LiveDraft(desk.request.recipe, desk.read)
        self._own: str | None = None  # the text on the page, where it isn't the file's
        self._read = ""  # the file's text as the page last had it
        unit = desk.request.units or (desk.first.unit if desk.first else "in")
        self._wish = w.Draw(0, desk.first.code if desk.first else "", (), (), (), unit)
        self._sent: dict[str, Piece] = {}
        self._lines: dict[str, PieceLines] = {}
        self._controlled: tuple[object, ...] = ()
        self._under: dict[str, tuple[object, Pattern]] = {}
        self._shown: Set[str] = frozenset()
        self._beside: tuple[Compiled, Beside] | None = None

    # --- answers ----------------------------------------------------------------------------

    def arrive(self) -> Iterator[Data]:
        """All that a page needs to begin."""
        yield from self._from_file()

    def answer(self, wish: w.Wish) -> Iterator[Data]:
        match wish:
            case w.Draw():
                self._wish = wish
                yield from (self._held() if wish.held else None) or self._drawing()
            case w.Rewrite(text):
                self._own = text
                yield from self._rewritten(text)
            case w.Save(text):
                yield self._save(text)
            case w.TakeFile():
                yield from self._from_file()
            case w.Tell():
                yield from self._told()
            case w.Ask(piece, name):
                if self.draft is not None:
                    yield {"is": "working", "piece": piece, **working_data(self.draft, piece, name)}
            case w.Along():
                yield from self._measured(wish)
            case _:
                assert_never(wish)

    def file_changed(self) -> Iterator[Data]:
        """A file that was read has changed: the page follows, but keeps a text of its own."""
        self._live.look_again()
        self._beneath.look_again()
        source = self.desk.on_file()
        own = self._own
        if own is None or (isinstance(source, Source) and source.text == own):
            yield from self._from_file()
            return
        if isinstance(source, Source) and source.text != self._read:
            yield {"is": "changed", "text": f"{self.desk.name} was saved by another program meanwhile"}
        yield from self._rewritten(own)

    # --- to take away -----------------------------------------------------------------------

    def bundle(self) -> Bundle | tuple[Diagnostic, ...]:
        """What the files of this page are made of; where its text or body has errors, those."""
        project, body = self._live.project, self._body()
        if not project.sound:
            return project.diagnostics
        if isinstance(body, Diagnostic):
            return (body,)
        return Bundle(project, with_choices(body, self._choices()), self._tried(), self._wish.unit)

    @property
    def slug(self) -> str:
        """What files that are taken away are called after: recipe and body, in plain letters."""
        recipe = self.desk.request.recipe.stem
        return re.sub(r"[^A-Za-z0-9_-]+", "-", f"{recipe}-{self._wish.body}")

    # --- the text ---------------------------------------------------------------------------

    def _from_file(self) -> Iterator[Data]:
        source = self.desk.on_file()
        if isinstance(source, Diagnostic):
            yield self._amiss((source,))
            return
        self._own, self._read = None, source.text
        yield {"is": "text", "text": source.text, "file": self.desk.name}
        yield from self._rewritten(source.text)

    def _rewritten(self, text: str) -> Iterator[Data]:
        self._live.write(self.desk.request.recipe, text)
        self._beneath.write(self.desk.request.recipe, text)
        self._under.clear()
        yield from self._drawing()

    def _save(self, text: str) -> Data:
        source = self.desk.on_file()
        if isinstance(source, Diagnostic):
            return self._unsaved(source)
        if source.text not in (self._read, text):
            return self._unsaved(ChangedMeanwhile(span=None, name=self.desk.name))
        if kept_folder(self.desk.request.recipe) is not None:
            return self._unsaved(KeptEdition(span=None, name=self.desk.name))
        trouble = replace_text(self.desk.request.recipe, text)
        if trouble is not None:
            return self._unsaved(trouble)
        self._own, self._read = None, text
        return {"is": "saved", "text": f"saved in {self.desk.name}"}

    def _unsaved(self, why: Diagnostic) -> Data:
        return {"is": "unsaved", **diagnostic_data(why, self.desk.name)}

    # --- drawing ----------------------------------------------------------------------------

    def _drawing(self) -> Iterator[Data]:
        """The drawing as it is wished for; what changed of it alone."""
        body = self._body()
        if isinstance(body, Diagnostic):
            yield self._amiss((body,))
            return
        drawn = self._live.draw(body, self._choices(), self._wish.unit, self._tried())
        yield from self._new_controls(drawn)
        if drawn.pattern is None or drawn.compiled is None or drawn.order is None:
            yield self._amiss(drawn.diagnostics)
            return
        first = Compiler(drawn.project).halves(drawn.compiled, drawn.order)[0]
        self.draft = Draft(drawn.compiled, first, drawn.pattern, self._wish.unit, self.desk.name)
        yield self._drawn(self.draft, drawn.diagnostics)
        yield from self._laid_under()

    def _held(self) -> list[Data] | None:
        """The lines of the pieces that changed, for while a slider is held; None where a drawing must say
        more than that."""
        body = self._body()
        if isinstance(body, Diagnostic):
            return None
        lines, before = self._live.lines(body, self._choices(), self._tried()), self._lines
        if lines is None or list(map(_named, lines)) != list(map(_named, before.values())):
            return None
        changed = {piece.name: lines_data(piece) for piece in lines if before[piece.name] != piece}
        self._lines = {piece.name: piece for piece in lines}
        return [{"is": "lines", "number": self._wish.number, "pieces": changed}]

    def _choices(self) -> dict[str, str]:
        """The choices of the page over those that it was opened with."""
        program = self._live.project.program
        chosen = choice_texts(dict(self._wish.choices), program, self._wish.unit) if program else {}
        return {**dict(self.desk.request.settings), **chosen}

    def _tried(self) -> frozenset[str]:
        """The measures that the page has moved."""
        return frozenset(name.partition(" ")[0] for name, _ in self._wish.measures)

    def _card(self) -> Body | None:
        return self.desk.body(self._wish.body)

    def _body(self) -> Body | Diagnostic:
        """The body with the page's measures over its own; then its sheets say that it was only tried."""
        body = self._card()
        if body is None:
            return self.desk.amiss[0] if self.desk.amiss else BodyGone(span=None, body=self._wish.body)
        if not self._wish.measures:
            return body
        moved = dressed(body, dict(self._wish.measures), self.desk.catalogue, self._wish.unit)
        return moved if isinstance(moved, Diagnostic) else replace(moved, code=f"{body.code} (tried)")

    def _drawn(self, draft: Draft, found: Sequence[Diagnostic]) -> Data:
        pattern, unit, file = draft.pattern, draft.unit, self.desk.name
        nests = {nest.piece: nest for nest in pattern.nests}
        lines = {piece.name: lines_of(piece) for piece in pattern.pieces}
        changed = {
            piece.name: piece_data(piece, nests.get(piece.name), unit)
            for piece in pattern.pieces
            if self._sent.get(piece.name) != piece or self._lines.get(piece.name) != lines[piece.name]
        }
        self._sent, self._lines = {piece.name: piece for piece in pattern.pieces}, lines
        planned = draft.planned()
        beside = self._pieces_beside(draft)
        told = [d for d in (*self.desk.amiss, *found) if d.severity >= Severity.CAUTION]
        return {
            "is": "drawing",
            "number": self._wish.number,
            "pieces": changed,
            "order": planned,
            "missing": [name for name in planned if name not in self._sent],
            "summary": summary_of(pattern, len(planned)),
            "findings": [
                *(diagnostic_data(d, file) for d in told),
                *(finding_data(f, beside.pieces(f), file) for f in pattern.findings),
            ],
            "seams": [seam_data(seam, unit) for seam in pattern.seams],
            "proofs": [proof_data(proof, unit) for proof in pattern.proofs],
            "reports": [list(report) for report in pattern.reports],
            "cautions": [text for _, text in pattern.cautions],
        }

    def _pieces_beside(self, draft: Draft) -> Beside:
        """Kept as long as the recipe and its structure are."""
        if self._beside is None or self._beside[0] is not draft.compiled:
            self._beside = draft.compiled, Beside(draft.compiled)
        return self._beside[1]

    def _amiss(self, found: Sequence[Diagnostic]) -> Data:
        """Nothing could be drafted: the last drawing stays, and this is said."""
        said = [diagnostic_data(d, self.desk.name) for d in dict.fromkeys(found)]
        return {"is": "amiss", "number": self._wish.number, "findings": said}

    def _new_controls(self, drawn: Drawn) -> Iterator[Data]:
        """The controls, when they are for another text, another structure or another body than before."""
        card, compiled, program = self._card(), drawn.compiled, drawn.project.program
        key = (program, compiled, card)
        if card is None or compiled is None or program is None or _same(key, self._controlled):
            return
        self._controlled = key
        settled, _ = settle(program, with_choices(card, dict(self.desk.request.settings)).choices)
        head = program.recipe.head
        yield {
            "is": "controls",
            "title": head.title.value if head is not None else "",
            "headings": [[h.key, h.value] for h in head.headings] if head is not None else [],
            "bodies": [[body.code, body.unit] for body in self.desk.bodies],
            "body": card.code,
            "unit": self._wish.unit,
            "measures": list(measure_controls(compiled, self.desk.catalogue, card)),
            "choices": list(choice_controls(program, settled)),
            "layers": _layers(compiled),
        }

    # --- laid under -------------------------------------------------------------------------

    def _laid_under(self) -> Iterator[Data]:
        """The stitch lines of other bodies, or of this one before anything was moved, to lie under it."""
        opened_with, chosen = dict(self.desk.request.settings), self._choices()
        fresh, shown = False, []
        for code in dict.fromkeys(self._wish.under):
            body = self._card() if code == BEFORE else self.desk.body(code)
            if body is not None and code != self._wish.body:
                shown.append(code)
                fresh |= self._drafted_under(code, body, opened_with if code == BEFORE else chosen)
        if fresh or set(shown) != self._shown:
            self._shown = set(shown)
            patterns = {code: self._under[code][1] for code in shown if code in self._under}
            yield {"is": "under", "bodies": {code: under_data(p) for code, p in patterns.items()}}

    def _drafted_under(self, code: str, body: Body, choices: Mapping[str, str]) -> bool:
        """Draft a body that is laid under, unless it is there already as it should be; whether it was."""
        key = (body, tuple(choices.items()), self._wish.unit)
        if code in self._under and self._under[code][0] == key:
            return False
        self._under.pop(code, None)
        pattern = self._beneath.draw(body, choices, self._wish.unit).pattern
        if pattern is not None:
            self._under[code] = (key, pattern)
        return True

    # --- telling ----------------------------------------------------------------------------

    def _told(self) -> Iterator[Data]:
        if self.draft is not None:
            yield {
                "is": "told",
                "points": points_data(self.draft),
                "figures": figures_data(self.draft),
                "ruled": ruled_data(self.draft),
            }

    def _measured(self, wish: w.Along) -> Iterator[Data]:
        """What the tape reads along an edge, and the places of it that have a name."""
        piece = self.draft.piece(wish.piece) if self.draft is not None else None
        edge = next((e for e in piece.edges if e.name == wish.edge), None) if piece is not None else None
        if self.draft is None or piece is None or edge is None:
            return
        ruler, unit = Ruler(edge, piece), self.draft.unit
        known = stations(edge, piece, ruler, points_on(self.draft, piece))
        reading = read_off(ruler, known, wish.start, wish.end)
        yield {
            "is": "measured",
            "piece": wish.piece,
            "edge": wish.edge,
            "along": show_length(reading.along, unit),
            "straight": "" if reading.straight is None else show_length(reading.straight, unit),
            "from": show_length(reading.ends[0], unit),
            "to": show_length(reading.ends[1], unit),
            "d": screen_path(Stroke(reading.points[0], tuple((p,) for p in reading.points[1:]), False)),
            "stations": [[s.name, s.said, show_length(s.along, unit)] for s in known],
        }


def _named(lines: PieceLines) -> tuple[object, ...]:
    """What a page must have elements for, to show the lines of a piece."""
    return lines.name, [name for name, _ in lines.edges], [name for name, _, _ in lines.darts]


def _same(one: tuple[object, ...], other: tuple[object, ...]) -> bool:
    """Whether two keys hold the very same things."""
    return len(one) == len(other) and all(a is b for a, b in zip(one, other, strict=True))


def _layers(compiled: Compiled) -> list[str]:
    """The layers of cloth that pieces are cut of."""
    cuts = (cut for piece in compiled.plan.pieces for cut in piece.cuts)
    return list(dict.fromkeys(layer for cut in cuts for layer in cut.layers))
