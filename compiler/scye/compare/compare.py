"""Compare: two editions -> the list of what changed, in the maker's words.

Reads two documents of `pattern.json`; draws nothing. Guarantees: a piece that is called identical has the
same SVG path data, to the byte, for every body that both were drafted for.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import cast

from scye.compare.changes import Change, changes, identical, spoken
from scye.compare.documents import BodyPattern, Document, Piece
from scye.compare.lists import bought, sewn
from scye.compare.shapes import laid_on, moved
from scye.ir.comparison import Comparison, Line, Overlay
from scye.ir.people import DisplayUnit
from scye.units.tape import show_difference, show_length, show_value

# Amounts of ease that differ by less are the same to whoever sews.
SAME_EASE = 0.2
INCH = 25.4


def compare(old: Document, new: Document) -> Comparison | None:
    """What changed, for the bodies that both are drafted for; None if there is none of those."""
    bodies = tuple(body for body in old.bodies if body in new.bodies)
    if not bodies:
        return None
    pairs = [(old.bodies[body], new.bodies[body]) for body in bodies]
    told = _Bodies(bodies, any(pair[0].date for pair in pairs))
    unit = cast(DisplayUnit, pairs[0][1].unit)
    found = [_pieces(was, now) for was, now in pairs]
    on_paper = [[f for f in here if f[1].on_paper] for here in found]
    by_hand = [[f for f in here if not f[1].on_paper] for here in found]
    again = {body: _again(here, pair[1]) for body, here, pair in zip(bodies, on_paper, pairs, strict=True)}
    everything = {name: piece.title for _, now in pairs for name, piece in now.pieces.items()}
    changed = [frozenset(piece.name for piece, _ in here) for here in on_paper]
    order = {name: i for i, name in enumerate(everything)}
    return Comparison(
        old=_named(old),
        new=_named(new) if new.recipe != old.recipe else f"edition {new.edition}",
        bodies=bodies,
        only=tuple(b for b in (*old.bodies, *new.bodies) if b not in bodies),
        pieces=tuple(_lines(on_paper, told, unit, order)),
        rest=tuple(_rest(old, new, pairs, told, unit)),
        lists=tuple(_together(pairs, told, lambda was, now: (*bought(was, now), *sewn(was, now)))),
        by_hand=tuple(_lines(by_hand, told, unit, order)),
        to_print=tuple(_to_print(again, everything, told)),
        kept=_kept(pairs, changed, everything, old, new),
        again=again,
        overlays=tuple(_overlays(pairs, again)),
    )


def _named(document: Document) -> str:
    return f"{document.recipe}, edition {document.edition}" if document.edition else document.recipe


@dataclass(frozen=True, slots=True)
class _Bodies:
    """How the bodies are spoken of: sizes of a chart, or clients."""

    all: tuple[str, ...]
    clients: bool

    def words(self, some: Sequence[str]) -> str:
        if len(self.all) == 1:
            return ""
        if len(some) == len(self.all):
            return "for all" if self.clients else "all sizes"
        if self.clients:
            return f"for {_listed(some)}"
        return f"size{'s' if len(some) > 1 else ''} {_listed(some)}"


def _listed(words: Sequence[str]) -> str:
    return " and ".join(filter(None, (", ".join(words[:-1]), words[-1])))


# --- pieces -------------------------------------------------------------------------------------


Told = tuple[Piece, Change]


def _pieces(old: BodyPattern, new: BodyPattern) -> list[Told]:
    """What changed on each piece of one body, those that are new and those that are gone among them."""
    found: list[Told] = []
    for name, piece in new.pieces.items():
        if name not in old.pieces:
            found.append((piece, Change(f"new piece, {'; '.join(piece.cuts)}")))
        else:
            found += [(piece, change) for change in changes(old.pieces[name], piece)]
    gone = [piece for name, piece in old.pieces.items() if name not in new.pieces]
    return found + [(piece, Change("left out")) for piece in gone]


def _again(found: Iterable[Told], new: BodyPattern) -> tuple[str, ...]:
    return tuple(dict.fromkeys(piece.name for piece, _ in found if piece.name in new.pieces))


def _lines(
    found: Sequence[Sequence[Told]], told: _Bodies, unit: DisplayUnit, order: Mapping[str, int]
) -> Iterator[Line]:
    """One line for pieces that changed alike in the same sizes; `order` is that of the pieces by name."""
    by_piece: dict[tuple[str, str], dict[Change, dict[str, tuple[float, ...]]]] = {}
    for body, here in zip(told.all, found, strict=True):
        for piece, change in here:
            kind = replace(change, amounts=_ways(change))
            kinds = by_piece.setdefault((piece.name, piece.title), {})
            kinds.setdefault(kind, {})[body] = change.amounts
    said: dict[tuple[str, str], list[str]] = {}
    for (_, title), kinds in sorted(by_piece.items(), key=lambda item: order.get(item[0][0], len(order))):
        where: dict[str, list[str]] = {}
        for kind, amounts in kinds.items():
            where.setdefault(told.words(list(amounts)), []).append(_words(kind, amounts, unit))
        for bodies, words in where.items():
            said.setdefault((bodies, "; ".join(words)), []).append(title)
    for (bodies, what), titles in said.items():
        yield Line(_listed(titles), bodies, what)


def _ways(change: Change) -> tuple[float, ...]:
    """Whether amounts are over or under: those that are both are not told together with others."""
    return tuple(1.0 if amount > 0 else -1.0 for amount in change.amounts)


def _words(kind: Change, amounts: Mapping[str, tuple[float, ...]], unit: DisplayUnit) -> str:
    every = [amount for one in amounts.values() for amount in one]
    if not every:
        return kind.words
    ends = (
        sorted((min(every), max(every)), key=abs) if min(every) * max(every) > 0 else (min(every), max(every))
    )
    first, last = (_amount(amount, kind.signed, unit) for amount in ends)
    if first == last or kind.words.startswith("up to"):
        return kind.words.replace("{}", last)
    return kind.words.replace("{}", f"{first} to {last}")


def _amount(mm: float, signed: bool, unit: DisplayUnit) -> str:
    """Small amounts are told finely, those of an inch and more as on a tape."""
    text = show_difference(abs(mm), unit) if abs(mm) < INCH else show_length(abs(mm), unit)
    if not signed:
        return text
    return f"+{text}" if mm > 0 else f"\N{MINUS SIGN}{text}"


# --- what stayed --------------------------------------------------------------------------------


def _kept(
    pairs: Sequence[tuple[BodyPattern, BodyPattern]],
    told: Sequence[frozenset[str]],
    titles: Mapping[str, str],
    old: Document,
    new: Document,
) -> str:
    """Which pieces are the same in every body, to the byte of their paths; `told` are those that changed."""
    same = [
        title
        for name, title in titles.items()
        if all(
            name not in here and _drawn_the_same(name, *pair) for here, pair in zip(told, pairs, strict=True)
        )
    ]
    edition = f"edition {old.edition}" if new.recipe == old.recipe and old.edition else _named(old)
    if len(same) == len(titles):
        gone = any(set(was.pieces) - set(now.pieces) for was, now in pairs)
        return f"All {'other ' if gone else ''}pieces are identical to {edition}."
    if not same:
        return f"No piece is identical to {edition}."
    silent = len(titles) - len(frozenset().union(*told) & set(titles)) > len(same)
    return f"{'These' if silent else 'All other'} pieces are identical to {edition}: {_listed(same)}."


def _drawn_the_same(name: str, old: BodyPattern, new: BodyPattern) -> bool:
    if name in old.pieces and name in new.pieces:
        return identical(old.pieces[name], new.pieces[name])
    return name not in old.pieces and name not in new.pieces


def _to_print(
    again: Mapping[str, tuple[str, ...]], titles: Mapping[str, str], told: _Bodies
) -> Iterator[Line]:
    """The pieces to print, those of the same bodies together."""
    found: dict[str, list[str]] = {}
    for name, title in titles.items():
        bodies = [body for body in told.all if name in again[body]]
        if bodies:
            found.setdefault(told.words(bodies), []).append(title)
    for words, names in found.items():
        yield Line(_listed(names), words, "")


def _overlays(
    pairs: Sequence[tuple[BodyPattern, BodyPattern]], again: Mapping[str, tuple[str, ...]]
) -> Iterator[Overlay]:
    """Each piece that changed, for the first body in which it did."""
    shown: set[str] = set()
    for old, new in pairs:
        for name in again[new.body]:
            if name in old.pieces and name not in shown:
                shown.add(name)
                yield _overlay(old.pieces[name], new.pieces[name], new.body)


def _overlay(old: Piece, new: Piece, body: str) -> Overlay:
    shift = laid_on(old, new)
    points = (*old.cutting.points, *moved(new.cutting.points, shift))
    left, top = (min(p[axis] for p in points) for axis in (0, 1))
    width, height = max(p[0] for p in points) - left, max(p[1] for p in points) - top
    before, after = old.net.data + old.cutting.data, new.net.data + new.cutting.data
    return Overlay(new.title, body, before, after, shift, (left, top, width, height))


# --- choices, seams, proofs ---------------------------------------------------------------------


def _rest(
    old: Document,
    new: Document,
    pairs: Sequence[tuple[BodyPattern, BodyPattern]],
    told: _Bodies,
    unit: DisplayUnit,
) -> Iterator[Line]:
    for name, choice in new.choices.items():
        was = old.choices.get(name)
        if was is None:
            yield Line(f"Choice {spoken(name)}", "", f"new, {choice.whole}")
        elif was.offered != choice.offered:
            yield Line(f"Choice {spoken(name)}", "", f"{choice.whole} (was {was.whole})")
        elif was != choice:
            yield Line(f"Choice {spoken(name)}", "", f"{choice.default} (was {was.default})")
    for name in old.choices:
        if name not in new.choices:
            yield Line(f"Choice {spoken(name)}", "", "no longer offered")
    skipped = set(old.choices) | set(new.choices)
    yield from _together(
        pairs, told, lambda was, now: (*_tastes(was, now, skipped, unit), *_joins(was, now, unit))
    )


def _together(
    pairs: Sequence[tuple[BodyPattern, BodyPattern]],
    told: _Bodies,
    lines: Callable[[BodyPattern, BodyPattern], Iterable[tuple[str, str]]],
) -> Iterator[Line]:
    """What is said of each body, once for all bodies of which the same is said."""
    found: dict[tuple[str, str], list[str]] = {}
    for was, now in pairs:
        for line in lines(was, now):
            found.setdefault(line, []).append(now.body)
    for (subject, what), bodies in found.items():
        yield Line(subject, told.words(bodies), what)


def _tastes(
    old: BodyPattern, new: BodyPattern, skipped: set[str], unit: DisplayUnit
) -> Iterator[tuple[str, str]]:
    """Fixed amounts of the recipe that are now others."""
    for name, (value, tag) in new.tastes.items():
        if name not in old.tastes or name.split("[")[0] in skipped:
            continue
        was, now = (show_value(v, tag, unit) for v in (old.tastes[name][0], value))
        if was != now:
            yield (spoken(name).capitalize(), f"{now} (was {was})")


def _joins(old: BodyPattern, new: BodyPattern, unit: DisplayUnit) -> Iterator[tuple[str, str]]:
    for key, seam in new.seams.items():
        sides = f"{seam.a} to {seam.b}"
        if key not in old.seams:
            yield (f"Seam {seam.letter}", f"new: {sides}")
            continue
        was = old.seams[key]
        if abs(seam.ease - was.ease) >= SAME_EASE:
            now_ease, was_ease = (show_length(s.ease, unit) for s in (seam, was))
            yield (f"Seam {seam.letter}, {sides}", f"eased {now_ease} (was {was_ease})")
        if seam.verdict != was.verdict:
            yield (f"Seam {seam.letter}, {sides}", f"{seam.verdict} (was {was.verdict})")
    for key, was in old.seams.items():
        if key not in new.seams:
            yield (f"Seam {was.letter}", f"left out: {was.a} to {was.b}")
    yield from _texts("Proof", old.proofs, new.proofs)
    yield from _texts("Report", old.reports, new.reports)
    for name in new.cautions:
        if name not in old.cautions:
            yield ("Caution", f"now shown: {spoken(name)}")
    for name in old.cautions:
        if name not in new.cautions:
            yield ("Caution", f"no longer shown: {spoken(name)}")


def _texts(word: str, old: Mapping[str, str], new: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    for name, text in new.items():
        if name not in old:
            yield (f'{word} "{name}"', f"new, {text}")
        elif old[name] != text:
            yield (f'{word} "{name}"', f"{text} (was {old[name]})")
    for name in old:
        if name not in new:
            yield (f'{word} "{name}"', "left out")
