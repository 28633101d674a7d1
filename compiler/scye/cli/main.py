"""The command `scye`: finds the command asked for, runs it, and never shows the maker a traceback."""

from __future__ import annotations

import os
import sys
from argparse import Namespace
from collections.abc import Sequence
from importlib import import_module
from io import TextIOWrapper
from pathlib import Path
from typing import Protocol, cast

from scye import __version__
from scye.cli.parser import CommandParser, Misunderstood
from scye.cli.screen import Screen
from scye.diagnostics.command import CommandNotUnderstood
from scye.diagnostics.suggest import nearest
from scye.ir.requests import ExitCode
from scye.library import library_at

COMMANDS = {
    "build": "draft a recipe for your bodies and write the pieces, sheets and proofs",
    "batch": "draft a recipe for every body of a table; a run that was stopped goes on",
    "lay": "lay the pieces on cloth and say how much of it to buy",
    "lesson": "write the draft as numbered steps for a class, with a sample's figures",
    "serve": "show a recipe on a live page: pieces redrawn as you drag, edit and save",
    "check": "read a recipe and say what is wrong with it, without a body",
    "chart": "look at a size chart: its steps, and figures out of line with their neighbours",
    "bar": "say what a measured test bar does to the garment, and what to print at",
    "trace": "show how one amount or point of a recipe comes about for a body",
    "compare": "say what changed from one edition to another: which pieces, where, by how much",
    "enclose": "put a recipe, with all it needs, in an envelope for another maker",
    "inside": "say what an envelope or a recipe needs, and what it may not do",
    "keep": "put an envelope into your own library",
    "renew": "say which pieces a newer edition moves, and take it if you like",
    "tidy": "lay recipes out the usual way",
    "new": "begin a recipe of your own that drafts at once",
    "attend": "help your editor with recipes as you write them; the editor starts this itself",
    "measures": "list the measures, or say where the tape goes for one",
    "code": "explain the code of a message",
}

# What a command answers when it could not end by itself.
FAULT_OF_OURS = 3
INTERRUPTED = 130
NOBODY_READING = 141


class Command(Protocol):
    """What the module of each command offers. It is brought in only when its command is asked for."""

    def arguments(self, parser: CommandParser) -> None: ...

    def run(self, given: Namespace, screen: Screen) -> ExitCode: ...


def main(words: Sequence[str] | None = None) -> int:
    """Run `scye` with the words of the command line; answer its exit code.

    0 all well, 1 findings that fail, 2 bad input, 3 a fault of Scye's own, 130 stopped by Ctrl-C,
    141 when whatever read the output went away.
    """
    try:
        return _whole(sys.argv[1:] if words is None else words)
    except KeyboardInterrupt:
        print("\nstopped", file=sys.stderr)
        return INTERRUPTED
    except BrokenPipeError:
        # Python writes out what is left when it ends, and would complain: give it somewhere to write.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return NOBODY_READING
    except Exception as trouble:
        print(apology(trouble), file=sys.stderr)
        return FAULT_OF_OURS


def apology(trouble: Exception) -> str:
    return (
        f"Sorry: something went wrong inside Scye, not in your work ({type(trouble).__name__}).\n"
        "Please report it: say which command you gave, send the recipe if you can, and quote the word in "
        "brackets.\nFiles that were there before are untouched."
    )


def _whole(words: Sequence[str]) -> int:
    for stream in (sys.stdout, sys.stderr):
        # Letters that the terminal doesn't have are shown as question marks rather than stopping the work.
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors="replace")
    code = _dispatch(words)
    sys.stdout.flush()
    return code


def _dispatch(words: Sequence[str]) -> int:
    match words:
        case [] | ["-h" | "--help", *_]:
            print(overview())
        case ["--version", *_]:
            print(f"scye {__version__}")
        case [name, *rest]:
            return _run(name, rest)
    return ExitCode.GOOD


def overview() -> str:
    """The help of `scye` itself."""
    listed = "\n".join(f"  {name:<9} {summary}" for name, summary in COMMANDS.items())
    return (
        "Scye drafts patterns: a recipe is written once and drafted for every body.\n\n"
        "usage: scye COMMAND ...\n\n"
        f"commands:\n{listed}\n\n"
        "scye COMMAND --help says what a command takes; scye --version which Scye this is."
    )


def _run(name: str, rest: Sequence[str]) -> int:
    screen = Screen()
    if name not in COMMANDS:
        return screen.refuse(_unknown(name))
    command = cast(Command, import_module(f"scye.cli.{name}"))
    parser = CommandParser(name, COMMANDS[name])
    command.arguments(parser)
    try:
        given = parser.parse_args(rest)
        with library_at(Path(given.library) if getattr(given, "library", None) else None):
            return command.run(given, screen)
    except Misunderstood as slip:
        return screen.refuse(slip.mistake)
    except SystemExit:
        # argparse ends so after it has printed the help that was asked for.
        return ExitCode.GOOD


def _unknown(name: str) -> CommandNotUnderstood:
    near = nearest(name, COMMANDS)
    hint = f"did you mean `{near}`?" if near else "`scye --help` lists the commands"
    return CommandNotUnderstood(what=f"scye has no command `{name}`", hint=hint)
