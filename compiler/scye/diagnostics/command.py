"""Mistakes of the command line and of files: E901 to E999."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from scye.diagnostics.model import Diagnostic, Severity
from scye.source import Span


def did_you_mean(near: tuple[str, ...]) -> str:
    """Offer the names that are near: nothing, ``did you mean `a`?``, ``did you mean `a`, `b` or `c`?``."""
    if not near:
        return ""
    *most, last = [f"`{name}`" for name in near]
    return f"did you mean {', '.join(most)} or {last}?" if most else f"did you mean {last}?"


@dataclass(frozen=True, kw_only=True)
class CommandMistake(Diagnostic):
    """Base of the mistakes that usually have no place in a text."""

    span: Span | None = None


# --- files that are read ------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class MissingFile(CommandMistake):
    """A file was asked for that isn't there.

    Names of files are read from the folder you stand in, unless they begin with `/`. Capitals count:
    `Wren.yaml` and `wren.yaml` are two files on many machines.

        scye build skirt.scye --body cards/wrn.yaml --out out

    Look at the spelling, and at the folder you stand in. Where a file with a like name lies in the same
    folder, its name is offered.
    """

    code: ClassVar[str] = "E901"
    title: ClassVar[str] = "a file that isn't there"

    name: str
    folder_missing: str = ""
    near: tuple[str, ...] = ()

    def seen(self) -> str:
        folder = f", for there is no folder `{self.folder_missing}`" if self.folder_missing else ""
        return f"there is no file `{self.name}`{folder}"

    def attempt(self) -> str:
        return did_you_mean(self.near)


@dataclass(frozen=True, kw_only=True)
class FolderNotFile(CommandMistake):
    """A folder was named where a file was wanted.

    A recipe may be named by its folder when the folder holds a recipe of the same name:
    `skirt/skirt.scye` may be called `skirt`. Cards and charts are always files.

        scye build skirt --body cards --out out

    Name one file in the folder: `--body cards/wren.yaml`. For several cards repeat `--body`.
    """

    code: ClassVar[str] = "E902"
    title: ClassVar[str] = "a folder instead of a file"

    name: str
    wanted: str
    near: tuple[str, ...] = ()

    def seen(self) -> str:
        return f"`{self.name}` is a folder"

    def expected(self) -> str:
        return self.wanted

    def attempt(self) -> str:
        return did_you_mean(self.near)


@dataclass(frozen=True, kw_only=True)
class NotPlainText(CommandMistake):
    """A file is not plain text in UTF-8, so its letters can't be read for certain.

    Recipes, cards and charts are plain text. A document from a word processor, a picture or a file saved
    in an old encoding is not. The line named is the first that can't be read.

    Open it in a plain text editor and save it again with the encoding UTF-8.
    """

    code: ClassVar[str] = "E903"
    title: ClassVar[str] = "not plain text"

    name: str
    line: int

    def seen(self) -> str:
        return f"`{self.name}` is not plain text in UTF-8: line {self.line} can't be read"

    def attempt(self) -> str:
        return "save it again from a plain text editor with the encoding UTF-8"


@dataclass(frozen=True, kw_only=True)
class FileTooLarge(CommandMistake):
    """A file is far larger than any recipe, card or chart would be, so it was not read.

    The longest recipe anyone has drafted fills a few dozen kilobytes. A file beyond the limit is most
    likely the wrong one: a picture, a PDF or a log.

    Check that the right file was named. A long recipe can be parted: put its methods in a file of their
    own beside it and write `use` with that file's name.
    """

    code: ClassVar[str] = "E904"
    title: ClassVar[str] = "a file too large to be right"

    name: str
    limit: int

    def seen(self) -> str:
        return f"`{self.name}` is too large to be read"

    def expected(self) -> str:
        return f"at most {self.limit // 1000:,} kB of text".replace(",", " ")

    def attempt(self) -> str:
        return "check that this is the right file, or part its methods into files of their own"


@dataclass(frozen=True, kw_only=True)
class CannotRead(CommandMistake):
    """A file is there but the machine won't let it be read.

    Often the file belongs to somebody else, or lies on a disk that has been taken out. Things that are
    not ordinary files (a printer, a pipe) are not read either.

    Look at who may read the file, or copy it into a folder of your own.
    """

    code: ClassVar[str] = "E905"
    title: ClassVar[str] = "a file that can't be read"

    name: str
    why: str

    def seen(self) -> str:
        return f"`{self.name}` can't be read: {self.why}"


@dataclass(frozen=True, kw_only=True)
class MissingRecipe(CommandMistake):
    """No recipe of that name was found.

    A recipe is named in one of three ways: the file itself (`skirt.scye`), a folder that holds a recipe of
    its own name (`skirt` for `skirt/skirt.scye`), or the plain name of one in the folder `recipes` where
    you stand or in your library.

        scye check gored_skrt

    Look at the spelling and at the folder you stand in.
    """

    code: ClassVar[str] = "E906"
    title: ClassVar[str] = "no recipe of that name"

    name: str
    near: tuple[str, ...] = ()

    def seen(self) -> str:
        return f"there is no recipe called `{self.name}`"

    def expected(self) -> str:
        places = "one from ./recipes or your library"
        return f"a file ending in .scye, a folder holding one of the same name, or {places}"

    def attempt(self) -> str:
        return did_you_mean(self.near)


@dataclass(frozen=True, kw_only=True)
class NotARecipe(CommandMistake):
    """A file was given as the recipe whose name doesn't end in `.scye`.

    The recipe comes first, cards and charts after their own words:

        scye build skirt.scye --body wren.yaml --out out

    Give the recipe's file, or rename the file if it is a recipe.
    """

    code: ClassVar[str] = "E907"
    title: ClassVar[str] = "not a recipe"

    name: str

    def seen(self) -> str:
        return f"`{self.name}` is not a recipe"

    def expected(self) -> str:
        return "a file whose name ends in .scye"


@dataclass(frozen=True, kw_only=True)
class MethodsNameRefused(CommandMistake):
    """A file of methods was asked for by something other than a plain name.

    `use` takes the name alone, without folders and without `.scye`. So a recipe that came from somebody
    else can only ever read methods beside itself or from the standard ones.

        use ../other/sleeves      # refused
        use sleeves               # sleeves.scye beside the recipe, or the standard one

    Put the file of methods beside the recipe and use its name, in letters, digits and underscores.
    """

    code: ClassVar[str] = "E908"
    title: ClassVar[str] = "a file of methods is used by its plain name"

    name: str

    def seen(self) -> str:
        return f"`{self.name}` is not the plain name of a file of methods"

    def expected(self) -> str:
        return "a name in letters, digits and underscores, without folders and without .scye"


@dataclass(frozen=True, kw_only=True)
class MissingMethods(CommandMistake):
    """A recipe uses a file of methods that lies neither beside it nor among the standard ones.

        use sleves

    Look at the spelling. Files of methods of your own lie in the same folder as the recipe.
    """

    code: ClassVar[str] = "E909"
    title: ClassVar[str] = "no such file of methods"

    name: str
    near: tuple[str, ...] = ()

    def seen(self) -> str:
        return f"there is no file of methods called `{self.name}`"

    def expected(self) -> str:
        return f"`{self.name}.scye` beside the recipe or among the standard methods"

    def attempt(self) -> str:
        return did_you_mean(self.near)


@dataclass(frozen=True, kw_only=True)
class LeadsOutside(CommandMistake):
    """A file is a link to somewhere outside the folder it was looked for in.

    Files of methods, and recipes called by name, are read only from their own folder, so that a folder of
    recipes from somebody else can't reach the rest of your machine.

    Put a copy of the file itself into the folder.
    """

    code: ClassVar[str] = "E910"
    title: ClassVar[str] = "a link that leads outside its folder"

    name: str

    def seen(self) -> str:
        return f"`{self.name}` is a link that leads outside its folder"

    def attempt(self) -> str:
        return "put a copy of the file itself there"


# --- the command line ---------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class CommandNotUnderstood(CommandMistake):
    """The command as it was typed can't be understood: a word is missing, is one too many, or is unknown.

        scye build skirt.scye --boddy wren.yaml

    `scye --help` lists the commands, and `scye build --help` what `build` takes.
    """

    code: ClassVar[str] = "E920"
    title: ClassVar[str] = "the command was not understood"

    what: str
    wanted: str = ""
    hint: str = ""

    def seen(self) -> str:
        return self.what

    def expected(self) -> str:
        return self.wanted

    def attempt(self) -> str:
        return self.hint


@dataclass(frozen=True, kw_only=True)
class SettingNotUnderstood(CommandMistake):
    """`--set` takes the name of a choice, an equals sign and its value, without spaces round the sign.

        --set closing=zipped
        --set "ease=1 1/2 in"

    Put quotes round the whole when the value has a space in it.
    """

    code: ClassVar[str] = "E921"
    title: ClassVar[str] = "a choice is set as name=value"

    text: str

    def seen(self) -> str:
        return f"`--set {self.text}` does not set a choice"

    def expected(self) -> str:
        return 'the choice\'s name, an equals sign and its value, as in `--set "ease=1 1/2 in"`'


@dataclass(frozen=True, kw_only=True)
class SetTwice(CommandMistake):
    """One choice was set twice in the same command, and it is not for Scye to guess which was meant.

        --set closing=laced --set closing=zipped

    Leave one of them out. To compare two, build twice into two folders.
    """

    code: ClassVar[str] = "E922"
    title: ClassVar[str] = "a choice was set twice"

    name: str

    def seen(self) -> str:
        return f"the choice `{self.name}` is set twice"

    def attempt(self) -> str:
        return "leave one out"


@dataclass(frozen=True, kw_only=True)
class WhichBodies(CommandMistake):
    """A recipe is drafted for bodies, and the command doesn't say which, or says it in two ways.

    Either name one or several cards, or a chart with the sizes wanted:

        scye build skirt.scye --body wren.yaml --body heron.yaml --out out
        scye build skirt.scye --chart misses.yaml --sizes 10,12,14 --out out

    `--sizes` belongs to `--chart`; without it every size of the chart is drafted.
    """

    code: ClassVar[str] = "E923"
    title: ClassVar[str] = "which bodies to draft for"

    what: str

    def seen(self) -> str:
        return self.what

    def expected(self) -> str:
        return "cards, each after its own `--body`, or one chart after `--chart`"


@dataclass(frozen=True, kw_only=True)
class SizesNotUnderstood(CommandMistake):
    """`--sizes` takes the sizes of the chart with commas between them and no spaces.

        --sizes 10,12,14

    A comma at an end, two together, or one size twice is a slip.
    """

    code: ClassVar[str] = "E924"
    title: ClassVar[str] = "sizes are written with commas"

    text: str
    what: str

    def seen(self) -> str:
        return f"`--sizes {self.text}` {self.what}"

    def expected(self) -> str:
        return "sizes with commas between them, as in `--sizes 10,12,14`"


@dataclass(frozen=True, kw_only=True)
class UnknownCode(CommandMistake):
    """`scye code` was asked for a code that no message has.

    Codes are a letter and three figures, and stand in the first line of every message, before the colon:

        scye code E204

    Copy the code from the message.
    """

    code: ClassVar[str] = "E925"
    title: ClassVar[str] = "no message has this code"

    name: str

    def seen(self) -> str:
        return f"no message has the code `{self.name}`"

    def attempt(self) -> str:
        return "copy the code from the message"


@dataclass(frozen=True, kw_only=True)
class MeasureNotFound(CommandMistake):
    """`scye measures` was asked for a measure that the catalogue doesn't have.

        scye measures wast

    `scye measures` alone lists them all with the other names they go by.
    """

    code: ClassVar[str] = "E926"
    title: ClassVar[str] = "no such measure"

    name: str
    near: str | None = None

    def seen(self) -> str:
        return f"there is no measure called `{self.name}`"

    def attempt(self) -> str:
        return f"did you mean `{self.near}`?" if self.near else "`scye measures` lists them all"


# --- files that are written ---------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class AlreadyThere(CommandMistake):
    """`scye new` never writes over anything, and something of that name is there already.

        scye new skirt

    Choose another name, or move the folder that is there out of the way.
    """

    code: ClassVar[str] = "E940"
    title: ClassVar[str] = "something of that name is there already"

    name: str

    def seen(self) -> str:
        return f"`{self.name}` is there already, and nothing was written over it"

    def attempt(self) -> str:
        return "choose another name"


@dataclass(frozen=True, kw_only=True)
class NewNameRefused(CommandMistake):
    """A new recipe's name becomes the name of its folder and of its file.

    So it is written in small letters, digits and underscores, and begins with a letter:

        scye new gored_skirt

    The title printed on the sheets is written in the recipe itself, in whatever words you like.
    """

    code: ClassVar[str] = "E941"
    title: ClassVar[str] = "a name that can't be a recipe's"

    name: str
    near: tuple[str, ...] = ()

    def seen(self) -> str:
        return f"`{self.name}` can't be the name of a recipe"

    def expected(self) -> str:
        return "small letters, digits and underscores, beginning with a letter"

    def attempt(self) -> str:
        return did_you_mean(self.near)


@dataclass(frozen=True, kw_only=True)
class CannotWrite(CommandMistake):
    """A file or folder could not be written.

    Often the folder belongs to somebody else, or the disk is one that can only be read. Nothing half
    written is left: the files that were there before are whole.

    Choose another folder with `--out`.
    """

    code: ClassVar[str] = "E942"
    title: ClassVar[str] = "a place that can't be written to"

    name: str
    why: str

    def seen(self) -> str:
        return f"`{self.name}` can't be written: {self.why}"

    def attempt(self) -> str:
        return "choose another folder"


@dataclass(frozen=True, kw_only=True)
class DiskFull(CommandMistake):
    """The disk was full before every file was written.

    Nothing half written is left: the files that were there before are whole.

    Make room on the disk, or choose a folder on another with `--out`.
    """

    code: ClassVar[str] = "E943"
    title: ClassVar[str] = "the disk is full"

    name: str

    def seen(self) -> str:
        return f"the disk is full: `{self.name}` was not written"

    def attempt(self) -> str:
        return "make room, or choose a folder on another disk"


@dataclass(frozen=True, kw_only=True)
class OutNotAFolder(CommandMistake):
    """`--out` names the folder that the sheets go into, but a file of that name is there.

        scye build skirt.scye --body wren.yaml --out wren.pdf

    Name a folder. It is made if it isn't there yet.
    """

    code: ClassVar[str] = "E944"
    title: ClassVar[str] = "the sheets go into a folder"

    name: str

    def seen(self) -> str:
        return f"`{self.name}` is a file"

    def expected(self) -> str:
        return "a folder for the sheets to go into"


@dataclass(frozen=True, kw_only=True)
class FileNameRefused(CommandMistake):
    """A name can't be given to a file: it is empty, too long, begins with a dot, or has a slash in it.

    Files are named after the recipe and the body's code, so an odd code on a card or in a chart is the
    usual reason:

        client: wren/left

    Use letters, digits, hyphens and underscores in the codes of cards and sizes.
    """

    code: ClassVar[str] = "E945"
    title: ClassVar[str] = "a name that no file can have"

    name: str

    def seen(self) -> str:
        return f"no file can be called `{self.name}`"

    def expected(self) -> str:
        return "a name without slashes, colons or quotes that does not begin with a dot"

    def attempt(self) -> str:
        return "use letters, digits, hyphens and underscores in the codes of cards and sizes"


@dataclass(frozen=True, kw_only=True)
class TwoFilesOneName(CommandMistake):
    """Two files of one run would have the same name, and the second would wipe out the first.

    Files are named after the recipe and the body's code; two cards with one code are the usual reason.
    Capitals don't keep two names apart, for many machines don't tell them apart.

    Give each card a code of its own.
    """

    code: ClassVar[str] = "E946"
    title: ClassVar[str] = "two files of the same name"

    name: str

    def seen(self) -> str:
        return f"two files would be called `{self.name}`"

    def attempt(self) -> str:
        return "give each card a code of its own"


@dataclass(frozen=True, kw_only=True)
class NotTidy(CommandMistake):
    """`scye tidy --check` found a recipe that isn't laid out the usual way.

    The layout changes nothing in the draft. It makes recipes easier to compare and to teach from.

        scye tidy skirt.scye

    Run `scye tidy` on the file without `--check` to lay it out.
    """

    code: ClassVar[str] = "E950"
    title: ClassVar[str] = "not laid out the usual way"
    severity: ClassVar[Severity] = Severity.FAILURE

    name: str

    def seen(self) -> str:
        return f"`{self.name}` is not tidy"

    def attempt(self) -> str:
        return f"run `scye tidy {self.name}`"


@dataclass(frozen=True, kw_only=True)
class EditorLibraryMissing(CommandMistake):
    """`scye attend` speaks with editors through a library that is not installed.

    Drafting doesn't need it, so it comes only when it is asked for: install Scye with its extra called
    `editor`. Editors start the command themselves; by hand there is nothing to see.
    """

    code: ClassVar[str] = "E951"
    title: ClassVar[str] = "the library for editors is missing"

    def seen(self) -> str:
        return "`scye attend` needs the library pygls, which is not installed"

    def attempt(self) -> str:
        return 'install it with `pip install "scye[editor]"`'
