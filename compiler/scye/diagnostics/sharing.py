"""Mistakes of envelopes and of the maker's library: E2001 to E2059."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from scye.diagnostics.model import Diagnostic, Severity
from scye.source import Span

ASK_AGAIN = "ask whoever sent it to enclose it again, with `scye enclose`"


@dataclass(frozen=True, kw_only=True)
class _Sharing(Diagnostic):
    """Base of the mistakes of sharing: `name` is what they are about, `what` is what was seen of it."""

    span: Span | None = None
    name: str
    what: str = ""

    def seen(self) -> str:
        return f"`{self.name}` {self.what}"


@dataclass(frozen=True, kw_only=True)
class _Refused(_Sharing):
    """Base of what is refused when an envelope is opened."""

    def attempt(self) -> str:
        return ASK_AGAIN


# --- opening (E2001 to E2019) -------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class NotAnEnvelope(_Refused):
    """A file was to be opened as an envelope, and it isn't one, or isn't whole.

    An envelope is written by `scye enclose`, always in the same way to the byte. One that was changed on its
    way, made by another program, cut short, or given something behind its end is refused, since what two
    programs read from such a file may differ.

        scye inside saltmarsh-bodice.envelope

    Nothing was read from it and nothing was written.
    """

    code: ClassVar[str] = "E2001"
    title: ClassVar[str] = "not an envelope"

    def expected(self) -> str:
        return "an envelope as `scye enclose` writes it"


@dataclass(frozen=True, kw_only=True)
class EnvelopeTooLarge(_Refused):
    """An envelope is larger than any recipe needs, or claims to become so when it is opened.

    An envelope may be 8 MB long and hold 64 files of 2 MB each. Its recipes and methods together may come to
    250 kB, and so may its charts, so that it is read in a few seconds; a variant with its parent, its methods
    and two charts comes to some 50 kB.
    """

    code: ClassVar[str] = "E2002"
    title: ClassVar[str] = "an envelope too large to be right"

    def expected(self) -> str:
        return "at most 8 MB and 64 files, none of them over 2 MB"


@dataclass(frozen=True, kw_only=True)
class PlaceRefused(_Refused):
    """A file in an envelope has a name that could lead out of it, or that could be taken for another.

    Each file is in one folder, and both are named in the letters a to z, digits, hyphens and underscores:
    `saltmarsh-bodice/saltmarsh-bodice.scye`. Names that climb out with `..`, begin at the top of the machine,
    hold letters that look like others, turn the order of reading, end in a dot or space, or are kept by some
    machine for a device are refused. Such a name is never an accident: don't trust the sender's other files.
    """

    code: ClassVar[str] = "E2003"
    title: ClassVar[str] = "a name that leads astray"
    place: str

    def seen(self) -> str:
        return f"`{self.name}` holds a file named `{self.place}`, which {self.what}"

    def expected(self) -> str:
        return "a folder and a file, in letters a to z, digits, hyphens and underscores"

    def attempt(self) -> str:
        return "don't open it in any other way; ask whoever sent it what it is"


@dataclass(frozen=True, kw_only=True)
class EntryRefused(_Refused):
    """A file in an envelope is no plain file, or shares its name with another.

    Envelopes hold plain files, each once, stored as they are. Links, folders by themselves, devices, files
    that are packed or locked, and two of one name are refused.
    """

    code: ClassVar[str] = "E2004"
    title: ClassVar[str] = "not a plain file"
    place: str

    def seen(self) -> str:
        return f"in `{self.name}` the file `{self.place}` {self.what}"

    def expected(self) -> str:
        return "plain files, each once, stored as they are"


@dataclass(frozen=True, kw_only=True)
class ContentsRefused(_Refused):
    """The list of contents of an envelope is missing, or doesn't read as `scye enclose` writes it.

    The first file of an envelope is `contents.yaml`: the recipe and its edition, every file with its length
    and hash, and what the recipe takes from Scye itself. It isn't written by hand.
    """

    code: ClassVar[str] = "E2005"
    title: ClassVar[str] = "contents that can't be read"

    def expected(self) -> str:
        return "a list of contents as `scye enclose` writes it"


@dataclass(frozen=True, kw_only=True)
class NotAsListed(_Refused):
    """What is in an envelope, and what its contents list, differ.

    Every file must be listed, in the same order, with its length in bytes and its hash (SHA-256), and
    everything listed must be there. A hash that differs means that the file was changed after it was
    enclosed. A hash that agrees says that nothing was changed on the way; it doesn't say who made it.
    """

    code: ClassVar[str] = "E2006"
    title: ClassVar[str] = "not as listed"

    def expected(self) -> str:
        return "exactly the files that the contents list, unchanged"


@dataclass(frozen=True, kw_only=True)
class NotWhatItSays(_Refused):
    """A file in an envelope isn't what the contents say it is.

    A chart is read as a chart, a picture looked through for anything that isn't a drawing, a recipe read as a
    recipe. A card of measures that is listed as a chart, or a picture that can run, load or link to
    something, is refused.
    """

    code: ClassVar[str] = "E2007"
    title: ClassVar[str] = "not what it says it is"
    sort: str

    def seen(self) -> str:
        return f"`{self.name}` is listed as {self.sort}, and {self.what}"


@dataclass(frozen=True, kw_only=True)
class NotSelfContained(_Refused):
    """An envelope holds too little or too much: its recipe reaches for a file that isn't enclosed, or a file
    is enclosed that its recipe doesn't use.

    All that a recipe is based on travels with it, as do its methods, except for those of Scye itself. So it
    drafts the same for everybody, and never draws on a file that happens to lie in the opener's folder.
    """

    code: ClassVar[str] = "E2008"
    title: ClassVar[str] = "an envelope that isn't complete by itself"

    def expected(self) -> str:
        return "every recipe and file of methods that it uses, and no other"


@dataclass(frozen=True, kw_only=True)
class LaterLayout(_Refused):
    """An envelope was written by a later Scye, in a layout that this one doesn't know.

    Nothing is guessed of it. Bring your Scye up to date, or ask for the recipe to be enclosed by the Scye
    that you have; `scye --version` says which that is.
    """

    code: ClassVar[str] = "E2009"
    title: ClassVar[str] = "an envelope of a later Scye"

    def attempt(self) -> str:
        return "bring your Scye up to date"


# --- enclosing (E2020 to E2029) -----------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class PeopleStay(_Sharing):
    """A file with the measures of a person was to be enclosed, and it stays where it is.

    A card or a table of people says what somebody's body is like, often with her age and notes. Whoever opens
    the envelope has it for good, and can hand it on. So only recipes, methods, size charts and pictures
    travel; a chart speaks of sizes, not of people. A picture that Scye drew for a client counts as hers too:
    at full size it is her measures. Other pictures Scye can't judge: look at them yourself.

    Enclose a size chart for others to try the recipe with. If the people themselves have agreed that these
    measures travel, say so with `--people-agreed`.
    """

    code: ClassVar[str] = "E2020"
    title: ClassVar[str] = "measures of people don't travel"

    def seen(self) -> str:
        return f"`{self.name}` {self.what}, and was not enclosed: whoever opens the envelope would have it"

    def attempt(self) -> str:
        return "enclose a size chart instead; or say `--people-agreed` if the people themselves have agreed"


@dataclass(frozen=True, kw_only=True)
class CannotEnclose(_Sharing):
    """A file was to be enclosed that is none of the kinds that travel.

    With a recipe travel size charts (.yaml), drawings (.svg), pictures (.png) and words such as a licence or
    a page about it (.md, .txt). A drawing may only draw: nothing in it may run, load or link. Photographs as
    cameras write them (.jpg) carry the place and time of their taking; save them as .png.
    """

    code: ClassVar[str] = "E2021"
    title: ClassVar[str] = "a file that can't be enclosed"

    def expected(self) -> str:
        return "a size chart (.yaml), a drawing (.svg), a picture (.png) or words (.md, .txt)"


@dataclass(frozen=True, kw_only=True)
class EditionMissing(_Sharing):
    """A recipe is to be shared, and doesn't say which edition it is.

        recipe "Saltmarsh bodice"
          edition 1

    Others base their variants on an edition, and are told what moves when the next one comes out. So each
    recipe that travels has the number of its edition under its title.
    """

    code: ClassVar[str] = "E2022"
    title: ClassVar[str] = "a recipe without an edition"

    def seen(self) -> str:
        return f"`{self.name}` doesn't say which edition it is, in at most nine figures"

    def attempt(self) -> str:
        return "write `edition 1` under its title"


@dataclass(frozen=True, kw_only=True)
class NameCannotTravel(_Sharing):
    """The name of a file can't be that of a file in an envelope.

    Machines differ in how they write accents, capitals and signs in the names of files, so what travels is
    named in the letters a to z, digits, hyphens and underscores. The title of a recipe may have any letters.
    """

    code: ClassVar[str] = "E2023"
    title: ClassVar[str] = "a name that can't travel"

    def expected(self) -> str:
        return "letters a to z, digits, hyphens and underscores"

    def attempt(self) -> str:
        return "give the file such a name; the title in the recipe may stay"


@dataclass(frozen=True, kw_only=True)
class WordsOfSharing(_Sharing):
    """The licence of a variant is laid beside that of the recipe that it is based on.

    Some licences ask that what is made from a recipe be shared alike, or not be sold, or not be changed.
    Their short names say so: SA, NC, ND. Scye shows where such words stand and the two licences differ; it
    doesn't judge whether that is allowed. Read both, and ask the parent's maker if in doubt.
    """

    code: ClassVar[str] = "E2024"
    title: ClassVar[str] = "licences laid side by side"
    severity: ClassVar[Severity] = Severity.NOTE

    def seen(self) -> str:
        return self.what

    def attempt(self) -> str:
        return "read both licences before you share it"


@dataclass(frozen=True, kw_only=True)
class LicenceUnsaid(_Sharing):
    """A recipe is to be shared, and neither it nor what it is based on says under which licence.

        licence CC-BY-4.0

    Without one, most laws let others look but not build on it. Choose one and write it under the title.
    """

    code: ClassVar[str] = "E2025"
    title: ClassVar[str] = "no licence is said"
    severity: ClassVar[Severity] = Severity.NOTE

    def seen(self) -> str:
        return f"`{self.name}` says no licence: others may look at it, but hardly build on it"

    def attempt(self) -> str:
        return "write one under its title, as `licence CC-BY-4.0`"


# --- keeping and renewing (E2030 to E2039) ------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class KeptOtherwise(_Sharing):
    """An edition is kept already, and the one in the envelope has the same number and is not the same.

    An edition that has been given out doesn't change any more: whoever builds on it counts on that. What is
    kept stays as it is.
    """

    code: ClassVar[str] = "E2030"
    title: ClassVar[str] = "the same edition, and not the same"

    def seen(self) -> str:
        return f"`{self.name}` is kept already, and in the envelope {self.what}"

    def attempt(self) -> str:
        return "ask its maker to give the change an edition of its own"


@dataclass(frozen=True, kw_only=True)
class RenewInstead(_Sharing):
    """A newer edition than the one that is kept was to be kept.

    A newer edition may change the garment. `scye renew` first says which pieces and sizes move, and takes the
    edition only then; the older one stays beside it.

        scye renew saltmarsh-bodice.envelope --chart sizes.yaml
        scye renew saltmarsh-bodice.envelope --chart sizes.yaml --take
    """

    code: ClassVar[str] = "E2031"
    title: ClassVar[str] = "a newer edition is taken by renewing"

    def attempt(self) -> str:
        return "see what moves: `scye renew` with this envelope and `--body` or `--chart`"


@dataclass(frozen=True, kw_only=True)
class NothingToRenew(_Sharing):
    """`scye renew` was given an envelope that renews nothing in your library.

    Either no edition of its recipe is kept yet, which `scye keep` puts right, or what is kept is as new as
    the envelope or newer.
    """

    code: ClassVar[str] = "E2032"
    title: ClassVar[str] = "nothing to renew"
    hint: str = ""

    def attempt(self) -> str:
        return self.hint


@dataclass(frozen=True, kw_only=True)
class AnotherStudio(_Sharing):
    """The new edition names another studio, or another licence, than the one that is kept.

    Hashes say that nothing was changed on the way, not who sent it. Anybody can write any studio's name into
    a recipe. If you don't know why it changed, ask before you take it.
    """

    code: ClassVar[str] = "E2033"
    title: ClassVar[str] = "a studio or licence that changed"
    severity: ClassVar[Severity] = Severity.CAUTION

    def seen(self) -> str:
        return self.what

    def attempt(self) -> str:
        return "ask its maker before you take it, if you don't know why"


@dataclass(frozen=True, kw_only=True)
class EditionNotKept(_Sharing):
    """An edition was asked for by number, as `saltmarsh-bodice@2`, and it isn't in your library.

    `scye inside saltmarsh-bodice` says what is kept under a name.
    """

    code: ClassVar[str] = "E2034"
    title: ClassVar[str] = "an edition that isn't kept"
    kept: tuple[int, ...] = ()

    def seen(self) -> str:
        return f"your library has no `{self.name}`"

    def attempt(self) -> str:
        return f"what is kept: edition {', '.join(map(str, self.kept))}" if self.kept else ""


@dataclass(frozen=True, kw_only=True)
class EnvelopeIsClosed(_Sharing):
    """An envelope was given where a recipe was wanted.

        scye inside saltmarsh-bodice.envelope
        scye keep saltmarsh-bodice.envelope
        scye build saltmarsh-bodice --body wren.yaml --out out

    Look inside, keep it, and draft the recipe by its name.
    """

    code: ClassVar[str] = "E2035"
    title: ClassVar[str] = "an envelope is kept first"

    def seen(self) -> str:
        return f"`{self.name}` is an envelope, not a recipe"

    def attempt(self) -> str:
        return f"look inside with `scye inside {self.name}`, then put it in your library with `scye keep`"


@dataclass(frozen=True, kw_only=True)
class KeptAsItCame(_Sharing):
    """`scye tidy`, or an editor, was to lay out a recipe that is kept in your library.

    What is kept is an edition as its maker gave it out, and others may build on it, so nothing in it is
    changed, not even its layout. Copy it into a folder of your own to change it.
    """

    code: ClassVar[str] = "E2036"
    title: ClassVar[str] = "what is kept stays as it came"

    def seen(self) -> str:
        return f"`{self.name}` is kept in your library, and stays as it came"

    def attempt(self) -> str:
        return "copy it into a folder of your own to change it, or write a variant"


@dataclass(frozen=True, kw_only=True)
class OpenedFromLibrary(_Sharing):
    """A file that is kept in your library is open in your editor.

    Read in it as you like. What is kept is an edition as its maker gave it out, and stays that; to make
    something of your own of it, write a variant, `based on` it, or copy it into a folder of your own.
    """

    code: ClassVar[str] = "E2037"
    title: ClassVar[str] = "a file of the library is open"
    severity: ClassVar[Severity] = Severity.NOTE

    def seen(self) -> str:
        return f"`{self.name}` is kept in your library, and stays as it came"

    def attempt(self) -> str:
        return "copy it into a folder of your own to change it, or write a variant"


@dataclass(frozen=True, kw_only=True)
class AlteredFromLibrary(_Sharing):
    """A file that is kept in your library was changed in your editor, and isn't saved yet.

    It may be tried out so. Once it is saved, nothing is drafted from that edition any more, nor from what is
    based on it, since it isn't as it was kept. Undo the change, and write a variant that states it instead.
    """

    code: ClassVar[str] = "E2038"
    title: ClassVar[str] = "a file of the library was changed"
    severity: ClassVar[Severity] = Severity.CAUTION

    def seen(self) -> str:
        return (
            f"`{self.name}` is kept in your library; saved so, nothing more would be drafted of it"
        )

    def attempt(self) -> str:
        return "undo the change, and write a variant, or copy it into a folder of your own to change it"


# --- finding (E2040 to E2049) -------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class TwoRecipes(_Sharing):
    """A name means two recipes that differ: one where you stand, and one in your library.

    Neither is taken in silence. Name the one where you stand by its path, and the one in the library by its
    edition:

        scye build recipes/saltmarsh-bodice ...
        scye build saltmarsh-bodice@1 ...
    """

    code: ClassVar[str] = "E2040"
    title: ClassVar[str] = "two recipes of one name"
    here: str
    edition: int

    def seen(self) -> str:
        return f"two recipes are called `{self.name}`: `{self.here}` and one in your library, and they differ"

    def attempt(self) -> str:
        here = self.here if "/" in self.here else f"./{self.here}"
        return f"say `{here}` for the one here, `{self.name}@{self.edition}` for the one in your library"


@dataclass(frozen=True, kw_only=True)
class TwoMethods(_Sharing):
    """A recipe uses a file of methods by a name that two files have: a standard one, and one in your library.

    A recipe's own folder comes first and is nobody else's business. But a file in your library would stand in
    the place of a standard one for all recipes, so neither is taken.
    """

    code: ClassVar[str] = "E2041"
    title: ClassVar[str] = "two files of methods of one name"

    def seen(self) -> str:
        return f"two files of methods are called `{self.name}`: a standard one, and `{self.what}`"

    def attempt(self) -> str:
        return "give the one in your library another name, or put it beside the recipe"


@dataclass(frozen=True, kw_only=True)
class ParentAlsoKept(_Sharing):
    """The recipe that a variant is based on was found in more than one place, and they differ.

    What lies near the variant goes before what is in the library, unless it is of another edition than the
    variant wants. Nothing is wrong: this only says which was taken.
    """

    code: ClassVar[str] = "E2042"
    title: ClassVar[str] = "a parent in two places"
    severity: ClassVar[Severity] = Severity.NOTE

    def seen(self) -> str:
        return self.what


@dataclass(frozen=True, kw_only=True)
class ChangedSinceKept(_Sharing):
    """A file in your library isn't as it was kept, so nothing is drafted from it.

    What is kept is an edition as its maker gave it out, and stays that: the hashes beside it are looked at
    each time. To make something of your own of it, write a variant, or copy it into a folder of your own.
    """

    code: ClassVar[str] = "E2043"
    title: ClassVar[str] = "changed since it was kept"

    def seen(self) -> str:
        return f"`{self.name}` {self.what}"

    def attempt(self) -> str:
        return "move its folder out of the library and keep the envelope again; write a variant to change it"


@dataclass(frozen=True, kw_only=True)
class StandardOtherwise(_Sharing):
    """A recipe was enclosed with another edition of Scye's own methods, measures or cautions than yours.

    What is drawn by a standard method may come out otherwise than its maker saw it. Build it, and look at its
    proofs and at a toile, as with any new draft.
    """

    code: ClassVar[str] = "E2044"
    title: ClassVar[str] = "standard methods that are not the sender's"
    severity: ClassVar[Severity] = Severity.NOTE

    def seen(self) -> str:
        return f"when `{self.name}` was enclosed, {self.what} of Scye itself read otherwise than here"

    def attempt(self) -> str:
        return "look at the proofs and make a toile, as with any new draft"
