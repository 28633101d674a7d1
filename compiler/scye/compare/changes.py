"""What changed on one piece for one body, as words with a place for the amount."""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import zip_longest

from scye.compare.documents import Dart, Edge, Notch, Outline, Piece, Point, Shown
from scye.compare.shapes import (
    TOLD,
    Shift,
    heading,
    laid_on,
    length_of,
    moved,
    point_along,
    same_shape,
    shifted,
    strayed,
)

# A notch that is 1/32 in from where it was: less comes of a line that is redrawn.
MOVED = 0.79
_STROKES = {1: "notch", 2: "double notch", 3: "triple notch"}


@dataclass(frozen=True, slots=True)
class Change:
    """One change. `{}` in the words stands for the amounts (mm, least and most), with a sign if `signed`.

    `on_paper` is false for what a maker can write on the sheet she has: the number of a piece, a letter.
    """

    words: str
    amounts: tuple[float, ...] = ()
    signed: bool = False
    on_paper: bool = True


def changes(old: Piece, new: Piece) -> list[Change]:
    """Everything that differs between two editions of a piece; nothing where they are the same."""
    by = laid_on(old, new)
    edges = list(_edges(old, new, by))
    found = [*_said(old, new), *edges, *_marks(old, new, by), *_lines_inside(old, new, by, bool(edges))]
    if not any(change.on_paper for change in found) and not _drawn_alike(old, new, by):
        found.append(Change("redrawn by less than 1/64 in"))
    return [*found, *_written(old, new)]


def _drawn_alike(old: Piece, new: Piece, by: Point) -> bool:
    was, now = _drawn(old), _drawn(new)
    return len(was) == len(now) and all(same_shape(a, b, by) for a, b in zip(was, now, strict=True))


def identical(old: Piece, new: Piece) -> bool:
    """Whether both are drawn by the same path data, to the byte."""
    was, now = ([outline.data for outline in _drawn(piece)] for piece in (old, new))
    return was == now


def _drawn(piece: Piece) -> list[Outline]:
    return [piece.net, piece.cutting, *(line.path for line in piece.shown)]


# --- words on the piece -------------------------------------------------------------------------


def _said(old: Piece, new: Piece) -> Iterator[Change]:
    if old.title != new.title:
        yield Change(f"called {new.title} (was {old.title})")
    if old.cuts != new.cuts:
        yield Change(f"{'; '.join(new.cuts) or 'not cut'} (was {'; '.join(old.cuts) or 'not cut'})")
    for label in new.labels:
        if label not in old.labels:
            yield Change(f'now says "{label}"')
    for label in old.labels:
        if label not in new.labels:
            yield Change(f'no longer says "{label}"')
    if old.bias != new.bias:
        yield Change("grain on the true bias" if new.bias else "grain no longer on the bias")
    elif old.one_way != new.one_way:
        yield Change("grain one way" if new.one_way else "grain no longer one way")
    elif new.one_way and _against(old.grain, new.grain):
        yield Change("grain the other way about")
    elif (turn := _turn(old.grain, new.grain)) > math.radians(0.05):
        yield Change(f"grain turned {math.degrees(turn):.1f} deg")


def _against(old: tuple[Point, Point], new: tuple[Point, Point]) -> bool:
    (ax, ay), (bx, by) = ((end[0] - start[0], end[1] - start[1]) for start, end in (old, new))
    return ax * bx + ay * by < 0.0


def _turn(old: tuple[Point, Point], new: tuple[Point, Point]) -> float:
    """The angle between two grain lines (radians), whichever way their arrows point."""
    a, b = (math.atan2(end[1] - start[1], end[0] - start[0]) for start, end in (old, new))
    turn = abs(a - b) % math.pi
    return min(turn, math.pi - turn)


def _written(old: Piece, new: Piece) -> Iterator[Change]:
    """What may be written on the sheet by hand."""
    if old.number != new.number:
        (n, of), (m, out) = new.number, old.number
        yield Change(f"now piece {n} of {of} (was {m} of {out})", on_paper=False)
    before = {edge.name: edge.letters for edge in old.edges}
    for edge in new.edges:
        was = before.get(edge.name, edge.letters)
        if was != edge.letters and was and edge.letters:
            words = f"{spoken(edge.name)} is lettered {', '.join(edge.letters)} (was {', '.join(was)})"
            yield Change(words, on_paper=False)


# --- edges --------------------------------------------------------------------------------------


def _edges(old: Piece, new: Piece, by: Point) -> Iterator[Change]:
    before, after = ({edge.name: edge for edge in piece.edges} for piece in (old, new))
    for name in after:
        if name not in before:
            yield Change(f"new edge {side(after[name])}")
    for name in before:
        if name not in after:
            yield Change(f"no edge {side(before[name])} any more")
    ran_on: list[Change] = []
    strayed = False
    for name in before:
        if name in after:
            here = list(_edge(old, before[name], after[name], by))
            strayed = strayed or bool(here)
            yield from here
            ran_on += _ran_on(before[name], after[name])
            yield from _finish(before[name], after[name])
    if not strayed and set(before) == set(after):
        yield from ran_on


def _edge(piece: Piece, old: Edge, new: Edge, by: Point) -> Iterator[Change]:
    """Where an edge has moved."""
    if same_shape(old.path, new.path, by):
        return
    shift = shifted(piece, old.name, moved(new.path.points, by))
    if shift is not None and max(abs(shift.least), abs(shift.most)) >= TOLD:
        yield _shift(shift, side(old))


def _shift(shift: Shift, where: str) -> Change:
    if shift.most - shift.least < TOLD:
        return Change(f"{{}} at {where}", ((shift.least + shift.most) / 2,), signed=True)
    if shift.least < -TOLD and shift.most > TOLD:
        return Change(f"from {{}} at {where}", (shift.least, shift.most), signed=True)
    furthest = max(shift.least, shift.most, key=abs)
    return Change(f"up to {{}} at {where}", (furthest,), signed=True)


def _ran_on(old: Edge, new: Edge) -> Iterator[Change]:
    longer = new.length - old.length
    if abs(longer) >= TOLD:
        yield Change(f"{side(old)} {{}} {'longer' if longer > 0 else 'shorter'}", (abs(longer),))


def _finish(old: Edge, new: Edge) -> Iterator[Change]:
    where = side(old)
    was, now = ([width for width, _, _ in edge.allowances] for edge in (old, new))
    if not _alike(was, now):
        yield Change(f"{{}} allowed at {where}", _range(now))
    if old.turned_back != new.turned_back:
        yield Change(f"{where} {'turned back' if new.turned_back else 'no longer turned back'}")
    if old.on_fold != new.on_fold:
        yield Change(f"{where} {'on the fold' if new.on_fold else 'no longer on the fold'}")
    if old.finish != new.finish:
        yield Change(f"{where} {new.finish or 'with no finish said'} (was {old.finish or 'not said'})")


def _alike(was: Sequence[float], now: Sequence[float]) -> bool:
    return len(was) == len(now) and all(abs(a - b) < 0.05 for a, b in zip(was, now, strict=True))


def _range(widths: Sequence[float]) -> tuple[float, ...]:
    return tuple(sorted({min(widths, default=0.0), max(widths, default=0.0)}))


# --- marks --------------------------------------------------------------------------------------


def _marks(old: Piece, new: Piece, by: Point) -> Iterator[Change]:
    yield from _notches(old, new, by)
    yield from _darts(old.darts, new.darts, by)
    yield from _drills(old, new, by)


def _notches(old: Piece, new: Piece, by: Point) -> Iterator[Change]:
    pairs, gone, fresh = _paired(old.notches, new.notches)
    edges = [{edge.name: edge for edge in piece.edges} for piece in (old, new)]
    for was, now in pairs:
        if was.strokes != now.strokes:
            yield Change(f"{_called(was, old)} is now a {_STROKES.get(now.strokes, 'notch')}")
        if was.edge in edges[0] and was.edge in edges[1]:
            yield from _notch(was, now, _called(was, old), edges[0][was.edge], edges[1][was.edge], by)
    for notch in gone:
        yield Change(f"no {_called(notch, old)} any more")
    for notch in fresh:
        yield Change(f"new {_called(notch, new)}")


def _paired(
    old: Sequence[Notch], new: Sequence[Notch]
) -> tuple[list[tuple[Notch, Notch]], list[Notch], list[Notch]]:
    """Notches that are the same one: of one name on an edge, else alike on it; and those left over."""
    pairs: list[tuple[Notch, Notch]] = []
    gone, fresh = list(old), list(new)
    for by_name in (True, False):
        for was in list(gone):
            now = next((n for n in fresh if _mark(n, by_name) == _mark(was, by_name)), None)
            if now is not None:
                pairs.append((was, now))
                gone.remove(was)
                fresh.remove(now)
    return pairs, gone, fresh


def _mark(notch: Notch, by_name: bool) -> tuple[str, str | int]:
    return (notch.edge, notch.name if by_name else notch.strokes)


def _called(notch: Notch, piece: Piece) -> str:
    """A notch as it is spoken of: by its strokes, and by its edge where another looks like it."""
    alike = Counter(n.strokes for n in piece.notches)[notch.strokes]
    words = _STROKES.get(notch.strokes, f"notch of {notch.strokes} strokes")
    if alike == 1:
        return words
    twin = sum(n.edge == notch.edge and n.strokes == notch.strokes for n in piece.notches) > 1
    at = f" at {notch.name}" if twin and notch.name else ""
    edge = next((side(edge) for edge in piece.edges if edge.name == notch.edge), spoken(notch.edge))
    return f"{words}{at} on {edge}"


def _notch(was: Notch, now: Notch, called: str, old: Edge, new: Edge, by: Point) -> Iterator[Change]:
    """A notch is measured from the end of its edge that stayed; from the nearer where both or none did."""
    from_start = now.along - was.along
    from_end = from_start - (new.length - old.length)
    stayed = [math.dist(old.path.points[i], moved(new.path.points, by)[i]) < TOLD for i in (0, -1)]
    choices = [from_start, from_end] if stayed[0] == stayed[1] else [from_start if stayed[0] else from_end]
    amount = min(choices, key=abs)
    if abs(amount) >= MOVED:
        here, before = (point_along(new.path.points, at) for at in (now.along, now.along - amount))
        way = heading((here[0] - before[0], here[1] - before[1]))
        yield Change(f"{called} moved {way} {{}}", (abs(amount),))


def _darts(old: Sequence[Dart], new: Sequence[Dart], by: Point) -> Iterator[Change]:
    before, after = ({dart.name: dart for dart in darts} for darts in (old, new))
    for name, dart in after.items():
        if name not in before:
            yield Change(f"new {spoken(name)}")
            continue
        was = before[name]
        more = dart.intake - was.intake
        if abs(more) >= TOLD:
            yield Change(f"{spoken(name)} takes {{}} {'more' if more > 0 else 'less'}", (abs(more),))
        x, y = dart.point[0] + by[0] - was.point[0], dart.point[1] + by[1] - was.point[1]
        if math.hypot(x, y) >= TOLD:
            yield Change(f"point of {spoken(name)} moved {heading((x, y))} {{}}", (math.hypot(x, y),))
        if dart.pressed != was.pressed:
            yield Change(f"{spoken(name)} pressed {dart.pressed} (was {was.pressed})")
    for name in before:
        if name not in after:
            yield Change(f"no {spoken(name)} any more")


def _drills(old: Piece, new: Piece, by: Point) -> Iterator[Change]:
    pairs = zip_longest(old.drills, new.drills)
    for was, now in pairs:
        text = " ".join(filter(None, ("drill hole", f'"{(now or was)[0]}"' if (now or was)[0] else "")))
        if was is None:
            yield Change(f"new {text}")
        elif now is None:
            yield Change(f"no {text} any more")
        else:
            x, y = now[1][0] + by[0] - was[1][0], now[1][1] + by[1] - was[1][1]
            if math.hypot(x, y) >= TOLD:
                yield Change(f"{text} moved {heading((x, y))} {{}}", (math.hypot(x, y),))


# --- lines inside -------------------------------------------------------------------------------


def _lines_inside(old: Piece, new: Piece, by: Point, redrawn: bool) -> Iterator[Change]:
    """Lines shown inside that have come, gone or moved. They end at the outline, so that where its edges are
    `redrawn` one that only runs on is not told."""
    after = _by_words(new.shown)
    before = _by_words(old.shown)
    for words in dict.fromkeys((*before, *after)):
        pairs, gone, fresh = _same_lines(before.get(words, []), after.get(words, []), by)
        for was, now in pairs:
            yield from _line_inside(was, now, by, redrawn)
        for line in gone:
            yield Change(f"no {_line_called(line)} any more")
        for line in fresh:
            yield Change(f"new {_line_called(line)}")


def _by_words(shown: Sequence[Shown]) -> dict[str, list[Shown]]:
    """Lines by their words, figures left out: a pleat that is made deeper is the same pleat."""
    found: dict[str, list[Shown]] = {}
    for line in shown:
        found.setdefault(" ".join(re.sub(r"[\d/]+", "", line.text).split()), []).append(line)
    return found


def _same_lines(
    old: Sequence[Shown], new: Sequence[Shown], by: Point
) -> tuple[list[tuple[Shown, Shown]], list[Shown], list[Shown]]:
    """Lines of the same words that are the same one: in their order if there are as many of them, else those
    that lie nearest to each other; and those left over."""
    if len(old) == len(new):
        return list(zip(old, new, strict=True)), [], []
    apart = sorted((_apart(was, now, by), i, k) for i, was in enumerate(old) for k, now in enumerate(new))
    pairs: dict[int, int] = {}
    for _, i, k in apart:
        if i not in pairs and k not in pairs.values():
            pairs[i] = k
    gone = [line for i, line in enumerate(old) if i not in pairs]
    fresh = [line for k, line in enumerate(new) if k not in pairs.values()]
    return [(old[i], new[k]) for i, k in sorted(pairs.items())], gone, fresh


def _apart(old: Shown, new: Shown, by: Point) -> float:
    move = strayed(old.path.points, moved(new.path.points, by))
    return 0.0 if move is None else math.hypot(*move[1])


def _line_inside(old: Shown, new: Shown, by: Point, redrawn: bool) -> Iterator[Change]:
    called = _line_called(old)
    if old.text != new.text:
        yield Change(f'{called} now says "{new.text}"')
    if same_shape(old.path, new.path, by):
        return
    move = strayed(old.path.points, moved(new.path.points, by))
    if move is not None:
        least, furthest = move
        most = math.hypot(*furthest)
        if most >= TOLD:
            up_to = "" if most - least < TOLD else "up to "
            yield Change(f"{called} moved {heading(furthest)} {up_to}{{}}", (most,))
    elif not redrawn and abs(longer := length_of(new.path.points) - length_of(old.path.points)) >= TOLD:
        yield Change(f"{called} {{}} {'longer' if longer > 0 else 'shorter'}", (abs(longer),))


def _line_called(line: Shown) -> str:
    return f'line "{line.text}"' if line.text else "line inside"


def spoken(name: str) -> str:
    """A name of the recipe as it is spoken of."""
    return re.sub(r"\[\d+\]", "", name).replace("_", " ").replace(".", " ")


def side(edge: Edge) -> str:
    """An edge as it is spoken of; one side of a panel line, or one of a row, by the letter of its seam."""
    row = ("[" in edge.name or "." in edge.name) and len(edge.letters) == 1
    return f"seam {edge.letters[0]}" if row else spoken(edge.name)
