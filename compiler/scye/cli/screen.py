"""What the maker sees: results on standard output; progress and everything wrong on standard error."""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Iterable

from scye.diagnostics.model import Diagnostic
from scye.diagnostics.text import first_ones, plain, show_all
from scye.ir.requests import ExitCode, Outcome


class Screen:
    """The two streams of a command. `quiet` keeps back progress and results, never what is wrong."""

    def __init__(self) -> None:
        self.quiet = False
        self._under_way = False

    def progress(self, text: str) -> None:
        """Say what is being done, over the last such line; only to a terminal."""
        if self.quiet or not sys.stderr.isatty():
            return
        width = shutil.get_terminal_size().columns - 1
        print(f"\r{plain(text)[:width]:<{width}}", end="", file=sys.stderr, flush=True)
        self._under_way = True

    def tell(self, *lines: str) -> None:
        """Print lines of a result."""
        self._wipe()
        if not self.quiet:
            for line in "\n".join(lines).split("\n") if lines else ():
                print(plain(line))

    def hand_over(self, text: str) -> None:
        """Print data that was asked for, quiet or not."""
        self._wipe()
        print(text, end="")

    def complain(self, diagnostics: Iterable[Diagnostic]) -> None:
        """Show what is wrong, after the results so far."""
        self._wipe()
        text = show_all(first_ones(tuple(diagnostics)), colour=_colour_wanted())
        if text:
            sys.stdout.flush()
            print(text, file=sys.stderr)

    def refuse(self, *diagnostics: Diagnostic) -> ExitCode:
        """Show what is wrong with the command or its files, and answer for it."""
        self.complain(diagnostics)
        return ExitCode.BAD_INPUT

    def finish(self, outcome: Outcome) -> ExitCode:
        """Show all that a command brought about."""
        self.complain(outcome.diagnostics)
        self.tell(*outcome.lines)
        return outcome.exit_code

    def _wipe(self) -> None:
        if self._under_way:
            width = shutil.get_terminal_size().columns - 1
            print(f"\r{'':<{width}}\r", end="", file=sys.stderr, flush=True)
            self._under_way = False


def _colour_wanted() -> bool:
    """Colour only on a terminal that has it, and never against NO_COLOR."""
    return sys.stderr.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"
