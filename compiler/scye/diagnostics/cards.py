"""Mistakes on measure cards, size charts and in the catalogue of measures: E801 to E899."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from scye.diagnostics.model import Diagnostic, Severity

# --- the file as such (E801 to E809) ---------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class FileTooLarge(Diagnostic):
    """A card or chart holds far more than one can need, so it was not read.

    A card may hold 1 MB and 5,000 entries, a chart 4 MB and 50,000, and things may lie eight deep. A card of
    sixty measures takes about 4 kB. Most likely another file was named by mistake.
    """

    code: ClassVar[str] = "E801"
    title: ClassVar[str] = "a file too large to be a card"
    what: str

    def seen(self) -> str:
        return f"this file {self.what}"

    def attempt(self) -> str:
        return "see whether this is the file you meant"


@dataclass(frozen=True, kw_only=True)
class NotPlainText(Diagnostic):
    """A character was found that has no place in a plain text file.

    Cards and charts are plain text, saved as UTF-8. A file from a word processor, a picture or a file saved
    in an old encoding shows this. So do characters that cannot be seen and would turn the order of what
    follows. Save the file again as plain text, UTF-8.
    """

    code: ClassVar[str] = "E802"
    title: ClassVar[str] = "not plain text"
    what: str

    def seen(self) -> str:
        return self.what

    def attempt(self) -> str:
        return "save it as plain text in UTF-8"


@dataclass(frozen=True, kw_only=True)
class BrokenLayout(Diagnostic):
    """The layout of a card or chart can't be followed at this place, so nothing after it was read.

    Each line is a name, a colon, a space and a value. What belongs under a name is set further in, by
    spaces, and all of it equally far:

        measures:
          bust: 36 1/2
          waist: 28

    A value that holds a colon followed by a space, or begins with a bracket, a star or a quote, must stand in
    double quotes.
    """

    code: ClassVar[str] = "E803"
    title: ClassVar[str] = "a layout that can't be followed"
    what: str
    advice: str

    def seen(self) -> str:
        return self.what

    def attempt(self) -> str:
        return self.advice


@dataclass(frozen=True, kw_only=True)
class NotOnACard(Diagnostic):
    """The file uses a device of YAML that cards and charts leave out.

    Names for repeated parts (`&waist`, `*waist`, `<<`), marks of type (`!!float`) and several documents in
    one file are refused: a card must say in plain sight what was measured. Write the value out.
    """

    code: ClassVar[str] = "E804"
    title: ClassVar[str] = "a device that cards leave out"
    what: str
    advice: str

    def seen(self) -> str:
        return f"{self.what} can't be used on a card or chart"

    def attempt(self) -> str:
        return self.advice


@dataclass(frozen=True, kw_only=True)
class WrittenTwice(Diagnostic):
    """The same name stands twice in one list, so it isn't known which figure is meant.

    Neither is preferred. Strike out the wrong one. A measure that has two names in the catalogue, as
    `upper_bust` and `high_bust`, may stand on a card under one of them only.
    """

    code: ClassVar[str] = "E805"
    title: ClassVar[str] = "a name that stands twice"
    name: str
    same_as: str = ""

    def seen(self) -> str:
        if self.same_as:
            return f"`{self.name}` is another name for `{self.same_as}`, which is given too"
        return f"`{self.name}` stands twice"

    def attempt(self) -> str:
        return "strike out the one that is wrong"


@dataclass(frozen=True, kw_only=True)
class WrongShape(Diagnostic):
    """A single value stands where a list of names and values was expected, or the other way round.

    measures:            # a list of names and values
      bust: 36           # a single value
    """

    code: ClassVar[str] = "E806"
    title: ClassVar[str] = "a value of the wrong shape"
    name: str
    found: str
    wanted: str

    def seen(self) -> str:
        return f"{self.name} is {self.found}"

    def expected(self) -> str:
        return self.wanted


# --- keys and single values (E811 to E829) ---------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class UnknownKey(Diagnostic):
    """A name was found that has no meaning at this place.

    A card holds client, date, unit, measured_by, over, times, notes, measures and choices; a chart holds
    chart, source, unit, base, notes and sizes. A single measure may be a value, or hold value, left, right
    and times. Look for a slip of spelling, or for a measure that stands outside `measures`.
    """

    code: ClassVar[str] = "E811"
    title: ClassVar[str] = "a name that isn't known here"
    name: str
    place: str
    near: str | None
    known: tuple[str, ...]

    def seen(self) -> str:
        return f"`{self.name}` isn't known {self.place}"

    def expected(self) -> str:
        return ", ".join(self.known)

    def attempt(self) -> str:
        return f"did you mean `{self.near}`?" if self.near else ""


@dataclass(frozen=True, kw_only=True)
class MissingKey(Diagnostic):
    """Something is left out that every card, chart or catalogue must say.

    A card must say its client (a code), its unit and its measures; a chart its title, its source, its unit
    and its sizes.
    """

    code: ClassVar[str] = "E812"
    title: ClassVar[str] = "something left out"
    name: str
    place: str
    example: str

    def seen(self) -> str:
        return f"{self.place} doesn't say `{self.name}`"

    def attempt(self) -> str:
        return f"write `{self.name}: {self.example}`" if self.example else f"add `{self.name}`"


@dataclass(frozen=True, kw_only=True)
class BadCode(Diagnostic):
    """A client's code or a size can't be used as the name of a file.

    Every sheet and file of a draft is named after the body, so a code may hold only letters a to z, digits,
    - and _, beginning with a letter or digit, 64 characters at most. Use a code and not a client's name:
    body measures are private.
    """

    code: ClassVar[str] = "E813"
    title: ClassVar[str] = "a code that can't name a file"
    name: str
    what: str
    near: str | None

    def seen(self) -> str:
        return f"`{self.name}` can't be {self.what}"

    def expected(self) -> str:
        return "letters a to z, digits, - and _ only, 64 at most, and none of con, prn, aux and nul"

    def attempt(self) -> str:
        return f"`{self.near}`" if self.near else ""


@dataclass(frozen=True, kw_only=True)
class BadDate(Diagnostic):
    """A date must be written year, month, day, as 2024-03-05, so that it means the same day everywhere.

    `3/5/24` is the third of May to some and the fifth of March to others. The date is that of the
    measuring.
    """

    code: ClassVar[str] = "E814"
    title: ClassVar[str] = "a date that can't be read"
    name: str

    def seen(self) -> str:
        return f"`{self.name}` isn't a date"

    def attempt(self) -> str:
        return "write year, month and day: 2024-03-05"


@dataclass(frozen=True, kw_only=True)
class BadUnit(Diagnostic):
    """The unit of a card or chart is that of every value which names none itself: in, cm or mm.

        unit: in
        measures:
          bust: 36 1/2
          waist: 72 cm

    Here the bust is in inches and the waist, which names its own unit, in centimetres.
    """

    code: ClassVar[str] = "E815"
    title: ClassVar[str] = "a unit that isn't known"
    name: str
    near: str | None

    def seen(self) -> str:
        return f"`{self.name}` isn't a unit for a card"

    def expected(self) -> str:
        return "in, cm or mm"

    def attempt(self) -> str:
        return f"did you mean `{self.near}`?" if self.near else ""


@dataclass(frozen=True, kw_only=True)
class NoSuchMeasure(Diagnostic):
    """A measure stands on the card that the catalogue doesn't hold.

    The catalogue says for each measure where the tape goes, so that two people who use a name mean the same
    thing. `scye measures` lists them all. Look for a slip of spelling first.
    """

    code: ClassVar[str] = "E816"
    title: ClassVar[str] = "a measure the catalogue doesn't hold"
    name: str
    near: str | None

    def seen(self) -> str:
        return f"there is no measure `{self.name}`"

    def attempt(self) -> str:
        return f"did you mean `{self.near}`?" if self.near else "`scye measures` lists them all"


@dataclass(frozen=True, kw_only=True)
class UnreadableAmount(Diagnostic):
    """A figure can't be read.

    Write a whole number, a decimal with a point, or a whole number, a space and a fraction: `36`, `92.5`,
    `36 1/2`, `36½`. A unit may follow: `36 1/2 in`, `92 cm`, `925 mm`, `20 deg`.
    """

    code: ClassVar[str] = "E817"
    title: ClassVar[str] = "a figure that can't be read"
    name: str
    written: str
    advice: str

    def seen(self) -> str:
        if not self.written:
            return f"{self.name} has no value"
        return f"{self.name}: `{self.written}` can't be read"

    def attempt(self) -> str:
        return self.advice


@dataclass(frozen=True, kw_only=True)
class WrongKind(Diagnostic):
    """A measure is given in a unit that can't be right for it, as degrees for a girth.

    Girths and lengths are in in, cm or mm; a slope is in degrees and must say so: `20 deg`.
    """

    code: ClassVar[str] = "E818"
    title: ClassVar[str] = "a unit of the wrong kind"
    name: str
    written: str
    found: str
    wanted: str
    example: str

    def seen(self) -> str:
        return f"{self.name} is {self.wanted}, but `{self.written}` is {self.found}"

    def attempt(self) -> str:
        return f"write `{self.example}`"


@dataclass(frozen=True, kw_only=True)
class ImpossibleAmount(Diagnostic):
    """No body can have this measure: it is nought, less than nought, or longer than ten metres.

    Look for a figure typed twice, a decimal point left out, or a measure that was left open with a 0. What
    was not measured is left off the card; a recipe may have a rule for it.
    """

    code: ClassVar[str] = "E819"
    title: ClassVar[str] = "a measure no body can have"
    name: str
    written: str
    why: str

    def seen(self) -> str:
        return f"{self.name} can't be {self.written}"

    def expected(self) -> str:
        return self.why


@dataclass(frozen=True, kw_only=True)
class UnusualAmount(Diagnostic):
    """A measure lies outside what grown people commonly have.

    The range of each measure is wide, wider than any body in the survey it comes from, so a value outside
    it is most often a slip: a misread tape, two figures that changed places, or centimetres written as
    inches. It is used as it stands. Children and dolls lie outside these ranges and may be drafted for all
    the same.
    """

    code: ClassVar[str] = "E820"
    title: ClassVar[str] = "a measure outside the usual range"
    severity: ClassVar[Severity] = Severity.CAUTION
    name: str
    written: str
    usual: str
    instead: tuple[str, ...]

    def seen(self) -> str:
        return f"{self.name} {self.written} is outside the usual {self.usual}"

    def attempt(self) -> str:
        return f"was it {' or '.join(self.instead)}?" if self.instead else "look at the card again"


@dataclass(frozen=True, kw_only=True)
class BadCount(Diagnostic):
    """`times` says how often a measure was taken: a whole number from 1 to 20.

        times: 3

    Measures taken more than once and averaged may be trusted further, so the checks of one measure against
    another are stricter for them.
    """

    code: ClassVar[str] = "E821"
    title: ClassVar[str] = "a count that can't be read"
    written: str

    def seen(self) -> str:
        return f"`{self.written}` isn't how often a measure was taken"

    def expected(self) -> str:
        return "a whole number from 1 to 20"


@dataclass(frozen=True, kw_only=True)
class OneSideOnly(Diagnostic):
    """A measure gives its left side without its right, or the right without the left.

    Nothing is doubled or guessed. Give both sides, or one value for the body.
    """

    code: ClassVar[str] = "E822"
    title: ClassVar[str] = "one side without the other"
    name: str
    side: str
    other: str

    def seen(self) -> str:
        return f"{self.name} gives its {self.side} side only"

    def attempt(self) -> str:
        return f"give the {self.other} side as well, or `value` for the whole"


@dataclass(frozen=True, kw_only=True)
class NoDate(Diagnostic):
    """A card says nothing of when it was measured.

    Bodies change; a dated card shows how old it is, and is printed on the sheets. Write `date: 2024-03-05`.
    The draft is made all the same.
    """

    code: ClassVar[str] = "E823"
    title: ClassVar[str] = "a card without a date"
    severity: ClassVar[Severity] = Severity.NOTE

    def seen(self) -> str:
        return "the card has no date"

    def attempt(self) -> str:
        return "write `date: ` with year, month and day"


# --- measures against each other (E831 to E839) ----------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class MeasuresDisagree(Diagnostic):
    """Two ways to the same figure come further apart than the tape can explain.

    A girth and the sum of its arcs are two readings of one thing. Two careful readings of a large girth may
    differ by 9 mm, of a small girth by 4 mm, of a length by 5 mm (after ISO 20685); twice that for a measure
    that was taken once, or whose card doesn't say how often. More than that is a slip, or arcs taken at
    another level than the girth. Nothing is averaged: the measures in doubt are not drafted with until one
    is measured again, and pieces that don't use them can be cut.
    """

    code: ClassVar[str] = "E831"
    title: ClassVar[str] = "measures that disagree"
    severity: ClassVar[Severity] = Severity.FAILURE
    what: str  # "Bust 38 in but arcs come to 36 in"
    apart: str
    allowed: str
    once: bool
    advice: str
    doubts: tuple[str, ...]
    involved: tuple[str, ...]

    def seen(self) -> str:
        readings = "readings taken once" if self.once else "the two readings"
        return f"{self.what}: {self.apart} apart, more than the {self.allowed} {readings} allow"

    def attempt(self) -> str:
        return self.advice


@dataclass(frozen=True, kw_only=True)
class OutOfOrder(Diagnostic):
    """A measure that is commonly the smaller of two is the larger.

    Many bodies are made so, a waist fuller than the hip for one, and the draft goes on. But it is also what
    two figures that changed places look like, or a tape laid at another level.
    """

    code: ClassVar[str] = "E832"
    title: ClassVar[str] = "measures in an unusual order"
    severity: ClassVar[Severity] = Severity.CAUTION
    what: str
    figures: str
    advice: str
    involved: tuple[str, ...]
    doubts: tuple[str, ...] = ()

    def seen(self) -> str:
        return f"{self.what} ({self.figures})"

    def attempt(self) -> str:
        return self.advice


@dataclass(frozen=True, kw_only=True)
class SidesDiffer(Diagnostic):
    """Left and right differ by more than the tape can explain.

    Few bodies are the same on both sides. A half draft cut as a pair uses the whole measure shared evenly;
    a full draft has its own left and right. This is for you to choose: write `draft: full` on the card for
    right and left pieces of their own. Without a whole measure to share, the draft is full of itself.
    """

    code: ClassVar[str] = "E833"
    title: ClassVar[str] = "left and right differ"
    severity: ClassVar[Severity] = Severity.NOTE
    name: str
    apart: str
    advice: str = ""

    def seen(self) -> str:
        return f"{self.name}: left and right differ {self.apart}: full draft or half?"

    def attempt(self) -> str:
        return self.advice


# --- charts (E841 to E849) and the catalogue (E851 to E859) ----------------------------------------


@dataclass(frozen=True, kw_only=True)
class NoSuchSize(Diagnostic):
    """`base` names a size that the chart doesn't hold.

        base: 12
        sizes:
          10: ...
          14: ...

    The base is the size from which the others are told. Name one of the sizes, exactly as it stands in the
    chart.
    """

    code: ClassVar[str] = "E841"
    title: ClassVar[str] = "a base size the chart doesn't hold"
    name: str
    known: tuple[str, ...]

    def seen(self) -> str:
        return f"the base size `{self.name}` isn't in this chart"

    def expected(self) -> str:
        return ", ".join(self.known)


@dataclass(frozen=True, kw_only=True)
class SizesAlike(Diagnostic):
    """Two sizes differ only in capitals, so on some machines one's files would overwrite the other's.

    `10L` and `10l` are such. Every file is named after its size, so give one of the two another name.
    """

    code: ClassVar[str] = "E842"
    title: ClassVar[str] = "sizes that differ only in capitals"
    name: str
    other: str

    def seen(self) -> str:
        return f"sizes `{self.other}` and `{self.name}` differ only in capitals"

    def attempt(self) -> str:
        return "give one of them another code"


@dataclass(frozen=True, kw_only=True)
class BadEntry(Diagnostic):
    """An entry of the catalogue of measures or cautions can't be used as it is written.

    A measure says its title, kind, where the tape goes, range and tolerance; a check says two sides and the
    words to show; a caution its title, text and sheet.
    """

    code: ClassVar[str] = "E851"
    title: ClassVar[str] = "a catalogue entry that can't be used"
    name: str
    what: str
    wanted: str

    def seen(self) -> str:
        return f"{self.name}: {self.what}"

    def expected(self) -> str:
        return self.wanted
