"""Mistakes with the live page: E2101 to E2199."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from scye.diagnostics.command import CommandMistake
from scye.diagnostics.model import Diagnostic


@dataclass(frozen=True, kw_only=True)
class PortTaken(CommandMistake):
    """The live page can't be shown where it was asked to be, since another program is there already.

        scye serve my_skirt --port 8020

    Most likely a page that was opened before is still being shown: look for the terminal it runs in, and
    stop it with Ctrl-C. Or give another number, or none: then one that is free is taken.
    """

    code: ClassVar[str] = "E2101"
    title: ClassVar[str] = "the port is in use"

    port: int
    why: str = ""

    def seen(self) -> str:
        if self.why:
            return f"the page can't be shown at port {self.port}: {self.why}"
        return f"port {self.port} is in use by another program, maybe a page that is still being shown"

    def attempt(self) -> str:
        return "stop the other with Ctrl-C, give another `--port`, or none and a free one is taken"


@dataclass(frozen=True, kw_only=True)
class PortRefused(CommandMistake):
    """A port is a whole number from 1024 to 65535.

        scye serve my_skirt --port 80

    Lower ones are kept for the machine's own use. Without `--port` a free one is taken.
    """

    code: ClassVar[str] = "E2102"
    title: ClassVar[str] = "not a port"

    text: str

    def seen(self) -> str:
        return f"`--port` can't be `{self.text}`"

    def expected(self) -> str:
        return "a whole number from 1024 to 65535"

    def attempt(self) -> str:
        return "`--port 8020`, or leave it out and a free one is taken"


@dataclass(frozen=True, kw_only=True)
class ToolkitMissing(CommandMistake):
    """The live page needs a part of Scye that wasn't set up.

    It is left out unless asked for, since drafting from the command line does without it. Set it up with
    `pip install 'scye[live]'`; in a checkout, `pip install -e '.[live]'`.
    """

    code: ClassVar[str] = "E2103"
    title: ClassVar[str] = "the live page isn't set up"

    missing: str

    def seen(self) -> str:
        return f"the live page isn't set up: `{self.missing}` is not there"

    def attempt(self) -> str:
        return "`pip install 'scye[live]'`, or in a checkout `pip install -e '.[live]'`"


@dataclass(frozen=True, kw_only=True)
class ChangedMeanwhile(Diagnostic):
    """A text was not saved, since the file has changed on the disk after the page read it.

    Saving would have undone what was written there by another editor or another page. Take the file's text
    and make your change in it, or copy yours aside first. Then save again.
    """

    code: ClassVar[str] = "E2104"
    title: ClassVar[str] = "the file changed meanwhile"

    name: str

    def seen(self) -> str:
        return f"not saved: `{self.name}` has changed on the disk since this page read it"

    def attempt(self) -> str:
        return "copy what you wrote, take the file's text, make your change again and save"


@dataclass(frozen=True, kw_only=True)
class MeasureRefused(Diagnostic):
    """What was written for a measure on the page can't be one.

    Write an amount as on a card: `36 1/2`, `92.5 cm`, `20 deg`. Without a unit it is in the page's own. What
    was drawn before stays.
    """

    code: ClassVar[str] = "E2105"
    title: ClassVar[str] = "not a measure"

    measure: str
    text: str
    unit: str

    def seen(self) -> str:
        return f"{self.measure} can't be `{self.text}`"

    def expected(self) -> str:
        return "a length more than nothing, or degrees for a slope"

    def attempt(self) -> str:
        return f"`36 1/2 {self.unit}`" if self.unit == "in" else f"`92.5 {self.unit}`"


@dataclass(frozen=True, kw_only=True)
class BodyGone(Diagnostic):
    """The page was asked to draft for a body that isn't among those it was opened with.

    It may have been renamed on its card while the page was open. Choose another in the list at the top.
    """

    code: ClassVar[str] = "E2106"
    title: ClassVar[str] = "a body that isn't there"

    body: str

    def seen(self) -> str:
        return f"there is no body `{self.body}` on this page"

    def attempt(self) -> str:
        return "choose another at the top of the page"


@dataclass(frozen=True, kw_only=True)
class KeptEdition(Diagnostic):
    """A recipe that is kept in the library was changed on the page, and can't be saved there.

    What is kept came in an envelope and stays as it came, so that everything based on it does too. On the
    page it may be tried out in any way. To keep a change, begin a recipe of your own that is `based on` it
    and states what differs.
    """

    code: ClassVar[str] = "E2107"
    title: ClassVar[str] = "a recipe of the library stays as it is"

    name: str

    def seen(self) -> str:
        return f"not saved: `{self.name}` is kept in your library, and what is kept there never changes"

    def attempt(self) -> str:
        return "begin a recipe of your own that is `based on` it"
