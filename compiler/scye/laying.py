"""A run that lays a garment on cloth: its pieces drafted or read, laid, reckoned and drawn."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import chain

from scye import __version__
from scye.diagnostics.lay import LayNotWhole, ShrinksTooMuch
from scye.diagnostics.model import Diagnostic, Severity
from scye.driver import draft
from scye.ir.lay import Cloth, Garment, LayRequest, LaySheet
from scye.ir.notions import ClothLaid, Rates
from scye.ir.pattern import Pattern
from scye.ir.requests import BuildRequest, ExitCode, Outcome, Say
from scye.lay.garment import garment_of, read_garment
from scye.lay.lay import lay_out
from scye.lay.reckon import reckon
from scye.lay.sheet import sheet_of
from scye.lay.shrink import grown, grown_to_lay, per_cent
from scye.lay.words import told
from scye.library import read_source, shown_name
from scye.lists.sheet import lists_of
from scye.outputs import OutputFolder
from scye.place.paper import A4, LETTER
from scye.place.roll import lay_roll
from scye.place.tiles import tile
from scye.project import open_rates
from scye.render.lay_json import lay_json
from scye.render.lay_page import lay_html
from scye.render.lay_pdf import lay_pdf
from scye.render.lay_svg import lay_svg
from scye.render.lists import lists_html
from scye.render.pdf import sheet_pdf, tiles_pdf

# Bytes of a pattern.json: a long run of sizes comes to some ten million.
PATTERN_LIMIT = 50_000_000
BUILT_IN_AT_MOST = 0.08


def run_lay(request: LayRequest, say: Say) -> Outcome:
    """Lay and write; nothing is written if anything that was put in is bad."""
    if request.recipe is not None:
        return _of_recipe(request, say)
    assert request.pattern is not None
    source = read_source(request.pattern, limit=PATTERN_LIMIT)
    if isinstance(source, Diagnostic):
        return Outcome((source,), ExitCode.BAD_INPUT)
    garment = read_garment(source.text, shown_name(request.pattern), request.body, request.units)
    if isinstance(garment, Diagnostic):
        return Outcome((garment,), ExitCode.BAD_INPUT)
    return _laid(request, garment, None, (), say)


def _of_recipe(request: LayRequest, say: Say) -> Outcome:
    assert request.recipe is not None
    assert request.card is not None
    ordered = BuildRequest(
        request.recipe, (request.card,), None, (), request.settings, request.units, request.out
    )
    rates, slips = open_rates(request.rates)
    if any(slip.severity >= Severity.ERROR for slip in slips):
        return Outcome(tuple(slips), ExitCode.BAD_INPUT)
    drafted = draft(ordered, say)
    if isinstance(drafted, Outcome):
        return drafted
    (pattern,) = drafted.patterns
    costed = _Costed(pattern, None if request.rates is None else rates)
    return _laid(request, garment_of(pattern), costed, (*slips, *drafted.found), say)


@dataclass(frozen=True, slots=True)
class _Costed:
    """The pattern that is laid, and the maker's rates if its lists are wanted with it."""

    pattern: Pattern
    rates: Rates | None


def _laid(
    request: LayRequest, garment: Garment, made: _Costed | None, found: tuple[Diagnostic, ...], say: Say
) -> Outcome:
    say("laying the pieces")
    cloth = request.cloth
    sheet = laid_on(garment, cloth, request.search)
    if isinstance(sheet, tuple):
        return Outcome((*found, *sheet), ExitCode.BAD_INPUT)
    found = (*found, *_remarks(garment, cloth))
    files = lay_files(sheet, None if made is None else made.pattern, say)
    if made is not None and made.rates is not None:
        files = chain(files, [("lists.html", _lists(sheet, made.pattern, made.rates))])
    written = OutputFolder(request.out).write(files)
    if isinstance(written, Diagnostic):
        return Outcome((*found, written), ExitCode.BAD_INPUT)
    failed = any(d.severity >= Severity.FAILURE for d in found)
    code = ExitCode.FINDINGS if failed else ExitCode.GOOD
    return Outcome(found, code, tuple(told(sheet.lay, sheet.reckoning)), written)


def laid_on(garment: Garment, cloth: Cloth, search: int) -> LaySheet | tuple[Diagnostic, ...]:
    """A garment laid on cloth and reckoned, or why it can't be; `search` seconds for a shorter lay."""
    pieces = tuple(grown_to_lay(piece, cloth.shrinkage) for piece in garment.pieces)
    lay = lay_out(replace(garment, pieces=pieces), cloth, search)
    return lay if isinstance(lay, tuple) else sheet_of(lay, reckon(lay))


def _remarks(garment: Garment, cloth: Cloth) -> Iterator[Diagnostic]:
    shares = (cloth.shrinkage.along, "along the grain"), (cloth.shrinkage.across, "across the grain")
    for share, way in shares:
        if share > BUILT_IN_AT_MOST:
            yield ShrinksTooMuch(span=None, amount=per_cent(share), way=way)
    if not garment.whole:
        yield LayNotWhole(span=None, body=garment.body)


def _lists(sheet: LaySheet, pattern: Pattern, rates: Rates) -> bytes:
    """The lists with as much of this cloth as the lay says to buy."""
    reckoning, layer = sheet.reckoning, sheet.lay.cloth.layer
    source = f"the lay: {reckoning.buy.source}, on {sheet.width} of usable width"
    laid = ClothLaid(layer, reckoning.length, reckoning.buy.amount, source)
    return lists_html(pattern, lists_of(pattern, rates, laid))


def lay_files(sheet: LaySheet, pattern: Pattern | None, say: Say) -> Iterator[tuple[str, bytes]]:
    """The files of a lay by name; with shrinkage, also the pattern's pieces grown by it."""
    say("drawing the lay")
    yield "lay.json", lay_json(sheet.lay, sheet.reckoning, __version__)
    yield "lay.svg", lay_svg(sheet)
    yield "lay.pdf", lay_pdf(sheet)
    yield "lay.html", lay_html(sheet)
    shrinkage = sheet.lay.cloth.shrinkage
    if pattern is not None and (shrinkage.along or shrinkage.across):
        say("drawing the pieces with their shrinkage")
        larger = replace(pattern, pieces=tuple(grown(piece, shrinkage) for piece in pattern.pieces))
        roll = lay_roll(larger)
        yield "sheet-with-shrinkage.pdf", sheet_pdf(roll)
        yield "tiles-a4-with-shrinkage.pdf", tiles_pdf(tile(roll, A4))
        yield "tiles-letter-with-shrinkage.pdf", tiles_pdf(tile(roll, LETTER))
