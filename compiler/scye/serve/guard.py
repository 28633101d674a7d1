"""Who may ask what of the page's server: this machine's own browser, for this page, and nothing large."""

from __future__ import annotations

import asyncio
import re
import secrets
from collections.abc import Iterable

from starlette.datastructures import Headers
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

# A request for a file may take as long as a large pattern takes to lay out on paper.
LONGEST_ANSWER = 60.0  # seconds
LONGEST_PATH = 300
LONGEST_QUERY = 300
MOST_HEADERS = 16_000  # letters of all their names and values
_PLAIN = re.compile(rb"[A-Za-z0-9_./-]*")

HEADERS = (
    (b"content-security-policy", b"default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; "
     b"connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"cache-control", b"no-store"),
)  # fmt: skip


class Guard:
    """Stands before the app. Lets through what is asked under one of the `hosts` and begins with the `key`.

    The key is drawn for each run: another user of the machine, or a page from elsewhere that finds the port,
    doesn't know it. The checks of host and origin keep out pages that point a name of their own here.
    """

    def __init__(self, app: ASGIApp, key: str, hosts: Iterable[str]) -> None:
        self.app = app
        self.key = key
        self.hosts = frozenset(hosts)
        self.origins = frozenset(f"http://{host}" for host in self.hosts)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        status, why = self.verdict(scope)
        if scope["type"] == "websocket":
            await self._socket(scope, receive, send, status)
        elif status:
            headers = {"allow": "GET, HEAD", "connection": "close"}
            await PlainTextResponse(why + "\n", status, headers)(scope, receive, _dressed(send))
        else:
            await self._timely(scope, receive, _dressed(send))

    def verdict(self, scope: Scope) -> tuple[int, str]:
        """0, or the status to refuse with and a line that says why."""
        headers = Headers(scope=scope)
        origin = headers.get("origin")
        socket = scope["type"] == "websocket"
        raw = bytes(scope.get("raw_path") or b"")
        if not socket and scope["method"] not in ("GET", "HEAD"):
            return 405, "this server only hands out its page and files"
        if headers.getlist("host") != [headers.get("host")] or headers.get("host") not in self.hosts:
            return 421, "this server is for this machine only, under its own name"
        if origin not in self.origins and (socket or origin is not None):
            return 403, "this server answers no other page"
        if headers.get("sec-fetch-site", "none") not in ("none", "same-origin"):
            return 403, "this server answers no other page"
        if headers.get("content-length", "0") != "0" or "transfer-encoding" in headers:
            return 413, "this server takes nothing in"
        if sum(len(name) + len(value) for name, value in headers.raw) > MOST_HEADERS:
            return 431, "that is too much to say"
        if len(raw) > LONGEST_PATH or len(scope["query_string"]) > LONGEST_QUERY:
            return 414, "that address is too long"
        if not _PLAIN.fullmatch(raw) or b".." in raw or b"//" in raw or not self._has_key(scope["path"]):
            return 404, "there is nothing here"
        return 0, ""

    def _has_key(self, path: str) -> bool:
        return secrets.compare_digest(path.encode()[: len(self.key) + 2], f"/{self.key}/".encode())

    async def _socket(self, scope: Scope, receive: Receive, send: Send, status: int) -> None:
        if status:
            await receive()
            await send({"type": "websocket.close", "code": 1008})
        else:
            await self.app(scope, receive, send)

    async def _timely(self, scope: Scope, receive: Receive, send: Send) -> None:
        """The app's answer, or a word that it took too long."""
        begun = False

        async def watched(message: Message) -> None:
            nonlocal begun
            begun = True
            await send(message)

        try:
            await asyncio.wait_for(self.app(scope, receive, watched), LONGEST_ANSWER)
        except TimeoutError:
            if not begun:
                await PlainTextResponse("this took too long\n", 503)(scope, receive, send)


def _dressed(send: Send) -> Send:
    """Sends answers with the headers that keep everything within this page."""

    async def dressed(message: Message) -> None:
        if message["type"] == "http.response.start":
            message = {**message, "headers": [*message["headers"], *HEADERS]}
        await send(message)

    return dressed
