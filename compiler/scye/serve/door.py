"""Where the page is shown: a port of this machine's own, until Ctrl-C."""

from __future__ import annotations

import asyncio
import errno
import logging
import secrets
import signal
import socket
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import h11
import uvicorn
from uvicorn.protocols.http.h11_impl import H11Protocol

from scye.diagnostics.serving import PortTaken
from scye.library import SIZE_LIMIT, reason
from scye.serve.desk import Desk
from scye.serve.site import Site

LOOPBACK = "127.0.0.1"
NAMES = (LOOPBACK, "localhost")
ASKING = 5.0  # seconds within which whoever connects must have asked something
MOST_CONNECTIONS = 256
# A recipe's text with every letter escaped, and a little about it.
LONGEST_MESSAGE = 6 * SIZE_LIMIT + 10_000


class Punctual(H11Protocol):
    """Hangs up on whoever connects and doesn't ask, or never comes to the end of asking."""

    _due: asyncio.TimerHandle | None = None

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        super().connection_made(transport)
        self._wait()

    def data_received(self, data: bytes) -> None:
        super().data_received(data)
        if self.cycle is not None and not self.cycle.response_complete:
            self._heard()

    def on_response_complete(self) -> None:
        self._heard()
        self._wait()
        super().on_response_complete()

    def handle_websocket_upgrade(self, event: h11.Request) -> None:
        self._heard()
        super().handle_websocket_upgrade(event)

    def connection_lost(self, exc: Exception | None) -> None:
        self._heard()
        super().connection_lost(exc)

    def _wait(self) -> None:
        self._due = self.loop.call_later(ASKING, self.transport.close)

    def _heard(self) -> None:
        if self._due is not None:
            self._due.cancel()


def show_page(desk: Desk, port: int, opened: Callable[[str], None]) -> PortTaken | None:
    """Serve the page until it is stopped. `port` 0 takes one that is free; `opened` is told the address."""
    listening = _listen(port)
    if isinstance(listening, PortTaken):
        return listening
    with listening:
        found = listening.getsockname()[1]
        key = secrets.token_urlsafe(16)
        site = Site(desk, key, [f"{name}:{found}" for name in NAMES])
        server = _server(site)
        with _stopped_by_ctrl_c(server):
            opened(f"http://{LOOPBACK}:{found}/{key}/")
            server.run(sockets=[listening])
    return None


@contextmanager
def _stopped_by_ctrl_c(server: uvicorn.Server) -> Iterator[None]:
    """Ctrl-C asks the server to end, from before its address is told: one that came while it was still
    beginning would otherwise be an error, or be lost."""
    before = signal.signal(signal.SIGINT, server.handle_exit)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


def _listen(port: int) -> socket.socket | PortTaken:
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((LOOPBACK, port))
        listening.listen()
    except OSError as trouble:
        listening.close()
        return PortTaken(port=port, why="" if trouble.errno == errno.EADDRINUSE else reason(trouble))
    return listening


def _server(site: Site) -> uvicorn.Server:
    logging.getLogger("uvicorn").setLevel(logging.CRITICAL)
    return uvicorn.Server(
        uvicorn.Config(
            site.app,
            http=Punctual,
            ws="websockets-sansio",
            ws_max_size=LONGEST_MESSAGE,
            lifespan="on",
            limit_concurrency=MOST_CONNECTIONS,
            timeout_graceful_shutdown=2,
            log_config=None,
            access_log=False,
            server_header=False,
        )
    )
