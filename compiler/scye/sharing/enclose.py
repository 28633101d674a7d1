"""Putting a recipe in an envelope, with all that it needs and what is to go with it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from scye.diagnostics.model import Diagnostic, Severity
from scye.diagnostics.sharing import (
    CannotEnclose,
    EditionMissing,
    EnvelopeTooLarge,
    NameCannotTravel,
    PeopleStay,
)
from scye.envelope.container import LARGEST, LARGEST_FILE, MOST_FILES, pack
from scye.envelope.contents import contents_text, hash_of
from scye.envelope.names import amiss_in_letters, amiss_in_name, amiss_in_place, written_out
from scye.envelope.pictures import amiss_in_drawing, amiss_in_photograph, drawn_for, without_words
from scye.ir.envelope import CONTENTS_NAME, Contents, Enclosed, EncloseRequest, Envelope, Sort
from scye.ir.requests import ExitCode, Outcome, Say
from scye.library import RECIPE_ENDING, find_stdlib, read_bytes, read_source, shown_name
from scye.outputs import OutputFolder
from scye.project import open_chart, standards
from scye.sharing.laid_out import is_standard, look_at, standard_files
from scye.sharing.needs import lines_of, said_of_licences
from scye.sharing.sorts import is_chart, people_in, too_much
from scye.source import Source
from scye.texts import RecipeText

# As many figures as the list of contents takes.
MOST_EDITION = 999_999_999


@dataclass(slots=True)
class Gathered:
    """What goes into an envelope, as it is gathered: each file at its place, and what is amiss."""

    recipe: str
    agreed: bool
    files: dict[str, tuple[Sort, int | None, bytes]] = field(default_factory=dict)
    found: list[Diagnostic] = field(default_factory=list)
    sizes: set[str] = field(default_factory=set)

    def put(self, place: str, sort: Sort, data: bytes, edition: int | None = None) -> None:
        other = next((there for there in self.files if there.casefold() == place.casefold()), None)
        if other is not None and self.files[other][2] != data:
            self.found.append(NameCannotTravel(name=place, what="is the name of two different files"))
        self.files[other or place] = (sort, edition, data)


def run_enclose(request: EncloseRequest, say: Say) -> Outcome:
    """Write the envelope and say what is in it; nothing is written if anything that was put in is bad."""
    say("reading")
    opened = look_at(request.recipe)
    found = [*opened.found]
    if not opened.sound or not opened.texts:
        return Outcome(tuple(found), ExitCode.BAD_INPUT)
    gathered = Gathered(request.recipe.stem, request.agreed)
    for text in opened.texts:
        _gather_recipe(text, gathered)
    _gather_more(request.more, gathered)
    found += [*gathered.found, *said_of_licences(opened.texts)]
    if _grave(found):
        return Outcome(tuple(found), ExitCode.BAD_INPUT)
    envelope = _envelope(gathered, opened.texts, shown_name(request.out))
    data = packed(envelope)
    amiss = _too_large(envelope, data)
    written = amiss or OutputFolder(request.out.parent).write([(request.out.name, data)])
    if isinstance(written, Diagnostic):
        return Outcome((*found, written), ExitCode.BAD_INPUT)
    lines = (*lines_of(opened, envelope.contents), f"enclosed in {shown_name(request.out)}")
    return Outcome(tuple(found), ExitCode.GOOD, lines, written)


def _grave(found: Sequence[Diagnostic]) -> bool:
    return any(d.severity is Severity.ERROR for d in found)


def packed(envelope: Envelope) -> bytes:
    """The bytes of an envelope: its list, then its files."""
    return pack([(CONTENTS_NAME, contents_text(envelope.contents).encode()), *envelope.files])


def _envelope(gathered: Gathered, texts: Sequence[RecipeText], name: str) -> Envelope:
    """Everything in the order of its places, so that no order of looking it up is left in it."""
    ordered = sorted(gathered.files.items())
    enclosed = tuple(
        Enclosed(place, sort, edition, len(data), hash_of(data)) for place, (sort, edition, data) in ordered
    )
    edition = int(texts[-1].edition)
    contents = Contents(gathered.recipe, edition, enclosed, standard_files(texts))
    return Envelope(name, contents, tuple((place, data) for place, (_, _, data) in ordered))


def _too_large(envelope: Envelope, data: bytes) -> Diagnostic | None:
    if len(data) > LARGEST:
        what = f"would be {len(data) / 1e6:.1f} MB long"
    elif len(envelope.files) >= MOST_FILES:
        what = f"would hold {len(envelope.files) + 1} files"
    elif large := [place for place, content in envelope.files if len(content) > LARGEST_FILE]:
        what = f"would hold `{large[0]}`, larger than {LARGEST_FILE // 1_000_000} MB"
    else:
        return next(too_much(envelope), None)
    return EnvelopeTooLarge(name=envelope.name, what=what)


# --- the recipe ---------------------------------------------------------------------------------


def _gather_recipe(text: RecipeText, gathered: Gathered) -> None:
    """A recipe in a folder of its own, with its methods beside it."""
    name = text.path.stem
    amiss = amiss_in_letters(name) or amiss_in_name(name)
    if amiss:
        gathered.found.append(NameCannotTravel(name=written_out(name), what=amiss))
    edition = int(text.edition or MOST_EDITION + 1)
    if edition > MOST_EDITION:
        gathered.found.append(EditionMissing(name=shown_name(text.path)))
    data = text.file.source.text.encode()
    gathered.put(f"{name}/{name}{RECIPE_ENDING}", "recipe", data, edition)
    for methods in text.methods:
        if not is_standard(methods.path):
            place = f"{name}/{methods.path.name}"
            gathered.put(place, "methods", methods.file.source.text.encode())


# --- what goes with it --------------------------------------------------------------------------


def _gather_more(paths: Sequence[Path], gathered: Gathered) -> None:
    """Charts first, since a drawing of one of their sizes is nobody's own."""
    for path in sorted(paths, key=lambda path: path.suffix != ".yaml"):
        place = f"{gathered.recipe}/{path.name}"
        amiss = amiss_in_letters(path.name) or amiss_in_place(place)
        sort = _sort_and_data(path, gathered) if not amiss else None
        if amiss:
            gathered.found.append(NameCannotTravel(name=written_out(path.name), what=amiss))
        elif sort is not None:
            gathered.put(place, *sort)


def _sort_and_data(path: Path, gathered: Gathered) -> tuple[Sort, bytes] | None:
    """What a file is and what of it travels; None, with the reason told, if it can't."""
    match path.suffix:
        case ".png":
            return _photograph(path, gathered)
        case ".svg" | ".yaml" | ".csv" | ".md" | ".txt":
            source = read_source(path)
        case _:
            what = "is no chart, picture or page of words by its name"
            gathered.found.append(CannotEnclose(name=shown_name(path), what=what))
            return None
    if isinstance(source, Diagnostic):
        gathered.found.append(source)
        return None
    sort = _sort(path, source, gathered)
    return (sort, source.text.encode()) if sort else None


def _photograph(path: Path, gathered: Gathered) -> tuple[Sort, bytes] | None:
    data = read_bytes(path, LARGEST_FILE)
    if isinstance(data, Diagnostic):
        gathered.found.append(data)
        return None
    bare = without_words(data)
    amiss = amiss_in_photograph(bare)
    if amiss:
        gathered.found.append(CannotEnclose(name=shown_name(path), what=f"can't travel: {amiss}"))
        return None
    sort = _of_whom(shown_name(path), drawn_for(data), gathered)
    return (sort, bare) if sort else None


def _sort(path: Path, source: Source, gathered: Gathered) -> Sort | None:
    match path.suffix:
        case ".svg":
            return _drawing(source, gathered)
        case ".yaml" | ".csv":
            return _table(path, source, gathered)
        case _:
            return "words"


def _drawing(source: Source, gathered: Gathered) -> Sort | None:
    data = source.text.encode()
    amiss = amiss_in_drawing(data)
    if amiss:
        gathered.found.append(CannotEnclose(name=source.name, what=f"can't travel: {amiss}"))
        return None
    return _of_whom(source.name, drawn_for(data), gathered)


def _of_whom(name: str, code: str, gathered: Gathered) -> Sort | None:
    """A picture of a size, or of nobody; one of a client is hers."""
    if not code or code in gathered.sizes or code in _standard_sizes():
        return "picture"
    return _people(name, f"was drawn for `{code}`", gathered)


def _standard_sizes() -> Iterator[str]:
    """The sizes of the charts that everybody has."""
    for path in sorted((find_stdlib() / "charts").glob("*.yaml")):
        chart, _ = open_chart(path, standards()[0])
        yield from (body.code for body in chart.sizes) if chart else ()


def _table(path: Path, source: Source, gathered: Gathered) -> Sort | None:
    """A chart; or people, who stay unless they have agreed."""
    said = people_in(source)
    if said:
        return _people(source.name, said, gathered)
    if not is_chart(source):
        gathered.found.append(CannotEnclose(name=source.name, what="is neither a size chart nor a card"))
        return None
    chart, found = open_chart(path, standards()[0])
    gathered.found += found
    gathered.sizes |= {body.code for body in chart.sizes} if chart else set()
    return "chart" if chart else None


def _people(name: str, what: str, gathered: Gathered) -> Sort | None:
    if gathered.agreed:
        return "people"
    gathered.found.append(PeopleStay(name=name, what=what))
    return None
