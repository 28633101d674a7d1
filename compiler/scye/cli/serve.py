"""`scye serve`: a recipe on a live page of this machine's own browser."""

from __future__ import annotations

import os
import sys
from argparse import Namespace
from pathlib import Path

from scye.cli.asked import Slips
from scye.cli.parser import CommandParser, add_quiet, add_recipe, add_settings
from scye.cli.screen import Screen
from scye.diagnostics.serving import PortRefused, ToolkitMissing
from scye.ir.requests import ExitCode
from scye.ir.serving import ServeRequest

PORTS = (1024, 65535)


def arguments(parser: CommandParser) -> None:
    add_recipe(parser)
    parser.work.add_argument(
        "--body",
        dest="cards",
        metavar="CARD.yaml",
        action="append",
        default=[],
        help="a client's card; repeat it for several. Otherwise cards beside the recipe, or a sample",
    )
    parser.work.add_argument(
        "--chart", metavar="CHART.yaml", help="a size chart, to lay its sizes over each other"
    )
    parser.work.add_argument(
        "--sizes", metavar="10,12,14", help="the sizes of the chart; otherwise all of them"
    )
    parser.wishes.add_argument(
        "--port", metavar="8020", help="where to show it; otherwise any port that is free"
    )
    parser.wishes.add_argument(
        "--no-open", dest="opens", action="store_false", help="say the address and open no browser"
    )
    add_settings(parser)
    add_quiet(parser)


def run(given: Namespace, screen: Screen) -> ExitCode:
    screen.quiet = given.quiet
    slips = Slips()
    request = _request(given, slips)
    port = _port(given.port, slips)
    if slips.found:
        return screen.refuse(*slips.found)
    try:
        from scye.serve.door import show_page
    except ModuleNotFoundError as lack:
        if lack.name is None or lack.name.startswith("scye"):
            raise
        return screen.refuse(ToolkitMissing(missing=lack.name))

    from scye.serve.desk import Desk

    desk = Desk(request)
    if not desk.bodies:
        return screen.refuse(*desk.amiss)
    trouble = show_page(desk, port, lambda address: _opened(address, given.opens, screen))
    if trouble is not None:
        return screen.refuse(trouble)
    screen.tell("", "stopped")
    return ExitCode.GOOD


def _request(given: Namespace, slips: Slips) -> ServeRequest:
    return ServeRequest(
        recipe=slips.recipe(given.recipe),
        cards=tuple(map(Path, given.cards)),
        chart=Path(given.chart) if given.chart else None,
        sizes=slips.sizes(given.sizes),
        settings=slips.settings(given.settings),
        units=given.units,
    )


def _port(text: str | None, slips: Slips) -> int:
    """The port asked for, or 0 for any."""
    if text is None:
        return 0
    if text.isascii() and text.isdigit() and PORTS[0] <= int(text[:6]) <= PORTS[1]:
        return int(text)
    slips.found.append(PortRefused(text=text))
    return 0


def _opened(address: str, opens: bool, screen: Screen) -> None:
    screen.hand_over(f"the page is at {address}\n")
    screen.tell("Ctrl-C here stops it")
    sys.stdout.flush()
    if opens and _has_windows():
        import webbrowser

        webbrowser.open(address)


def _has_windows() -> bool:
    """Whether a browser would have a window of its own, and not take over this terminal."""
    return sys.platform in ("win32", "darwin") or any(
        os.environ.get(n) for n in ("DISPLAY", "WAYLAND_DISPLAY")
    )
