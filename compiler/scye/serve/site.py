"""The page's server: its files, one socket a page, and the files that are taken away."""

from __future__ import annotations

import asyncio
import json
import secrets
from collections.abc import AsyncIterator, Callable, Iterable
from concurrent.futures import ThreadPoolExecutor
from contextlib import asynccontextmanager, suppress
from pathlib import Path

from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response
from starlette.routing import Route, WebSocketRoute
from starlette.websockets import WebSocket, WebSocketDisconnect

from scye.diagnostics.text import show_all
from scye.serve.desk import Desk
from scye.serve.drawing import Data
from scye.serve.guard import Guard
from scye.serve.seat import Seat
from scye.serve.takeaway import NAMES, OFFERED, LayWish, NotMade, file_of
from scye.serve.wishes import Wish, read_wish

PAGE = Path(__file__).parent / "page"
KINDS = {
    ".html": "text/html; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".svg": "image/svg+xml",
    ".pdf": "application/pdf",
    ".dxf": "application/dxf",
}
MOST_SEATS = 64
LOOK_EVERY = 0.02  # seconds between looks at the files
SETTLE = 0.01  # seconds for a program to write out a file it has begun to
TOO_MANY = 1013  # what a socket is closed with: try again later


class Place:
    """A seat that is taken: the page's socket, and what it has asked and not been answered yet.

    Of wishes of one kind only the last is kept: while a slider is dragged, what it passed is of no use.
    """

    def __init__(self, socket: WebSocket, seat: Seat) -> None:
        self.socket = socket
        self.seat = seat
        self.waiting: dict[type | str, Callable[[], Iterable[Data]]] = {"arrive": seat.arrive}
        self.called = asyncio.Event()
        self.called.set()

    def wish(self, wish: Wish) -> None:
        self.call(type(wish), lambda: self.seat.answer(wish))

    def call(self, kind: type | str, answer: Callable[[], Iterable[Data]]) -> None:
        self.waiting.pop(kind, None)
        self.waiting[kind] = answer
        self.called.set()


class Site:
    """Everything that is served for one desk. Drafting is done on one thread, papers on another."""

    def __init__(self, desk: Desk, key: str, hosts: Iterable[str]) -> None:
        self.desk = desk
        self.places: dict[str, Place] = {}
        self._drafting = ThreadPoolExecutor(1, "draft")
        self._papers = ThreadPoolExecutor(1, "papers")
        self._page = {f"/{path.name}": path.read_bytes() for path in PAGE.iterdir() if path.suffix in KINDS}
        files = [Route(f"/{key}{name}", self._asset) for name in self._page]
        app = Starlette(
            routes=[
                Route(f"/{key}/", self._asset),
                *files,
                WebSocketRoute(f"/{key}/seat", self._seat),
                Route(f"/{key}/take/{{seat}}/{{name}}", self._take),
            ],
            lifespan=self._lifespan,
        )
        self._root = f"/{key}"
        self.app = Guard(app, key, hosts)

    # --- the page ---------------------------------------------------------------------------

    async def _asset(self, request: Request) -> Response:
        name = request.url.path.removeprefix(self._root)
        name = "/index.html" if name == "/" else name
        return Response(self._page[name], headers={"content-type": KINDS[Path(name).suffix]})

    # --- a seat -----------------------------------------------------------------------------

    async def _seat(self, socket: WebSocket) -> None:
        await socket.accept()
        if len(self.places) >= MOST_SEATS:
            await socket.close(TOO_MANY, "too many pages are open")
            return
        code = secrets.token_urlsafe(9)
        place = self.places[code] = Place(socket, Seat(self.desk))
        answering = asyncio.create_task(self._answers(place))
        try:
            await socket.send_text(json.dumps({"is": "seated", "seat": code, "files": OFFERED}))
            while True:
                wish = read_wish(await socket.receive_text())
                if wish is not None:
                    place.wish(wish)
        except (WebSocketDisconnect, KeyError, RuntimeError):
            pass  # the page was closed, or sent what is no text
        finally:
            del self.places[code]
            answering.cancel()

    async def _answers(self, place: Place) -> None:
        """Answer what one page asks, a wish at a time, so that all pages take turns at drafting."""
        loop = asyncio.get_running_loop()
        while True:
            await place.called.wait()
            place.called.clear()
            while place.waiting:
                kind = next(iter(place.waiting))
                answer = place.waiting.pop(kind)
                for message in await loop.run_in_executor(self._drafting, worked_out, answer):
                    with suppress(WebSocketDisconnect, RuntimeError):  # the page was closed meanwhile
                        await place.socket.send_text(message)

    # --- files that change ------------------------------------------------------------------

    @asynccontextmanager
    async def _lifespan(self, _app: Starlette) -> AsyncIterator[None]:
        watching = asyncio.create_task(self._watch())
        try:
            yield
        finally:
            watching.cancel()
            self._drafting.shutdown(wait=False, cancel_futures=True)
            self._papers.shutdown(wait=False, cancel_futures=True)

    async def _watch(self) -> None:
        """Tell every page when a file that the recipe or the bodies were read from is saved."""
        loop = asyncio.get_running_loop()
        known = self.desk.stamps()
        while True:
            await asyncio.sleep(LOOK_EVERY)
            stamps = self.desk.stamps()
            changed = any(known.get(path, stamp) != stamp for path, stamp in stamps.items())
            known = stamps
            if changed:
                await asyncio.sleep(SETTLE)
                known = self.desk.stamps()
                await loop.run_in_executor(self._drafting, self.desk.refresh)
                for place in self.places.values():
                    place.call("file", place.seat.file_changed)

    # --- files to take away -----------------------------------------------------------------

    async def _take(self, request: Request) -> Response:
        place = self.places.get(request.path_params["seat"])
        name = request.path_params["name"]
        if place is None or name not in NAMES:
            return PlainTextResponse("there is nothing here\n", 404)
        query = request.query_params
        lay = LayWish(query.get("layer", "self"), query.get("width", ""), query.get("folded") == "yes")
        loop = asyncio.get_running_loop()
        bundle = await loop.run_in_executor(self._drafting, place.seat.bundle)
        if isinstance(bundle, tuple):
            return PlainTextResponse(show_all(bundle) + "\n", 409)
        try:
            made = await loop.run_in_executor(self._papers, file_of, name, bundle, lay)
        except Exception as trouble:
            return PlainTextResponse(sorry(trouble) + "\n", 500)
        if isinstance(made, NotMade):
            return PlainTextResponse(show_all(made.why) + "\n", 409)
        kind, filename = KINDS[Path(name).suffix], f"{place.seat.slug}-{name}"
        return Response(
            made,
            headers={"content-type": kind, "content-disposition": f'attachment; filename="{filename}"'},
        )


def worked_out(answer: Callable[[], Iterable[Data]]) -> list[str]:
    """The messages of an answer. A fault of ours is told to the page, which goes on."""
    try:
        return [json.dumps(data, separators=(",", ":")) for data in answer()]
    except Exception as trouble:
        return [json.dumps({"is": "fault", "text": sorry(trouble)})]


def sorry(trouble: Exception) -> str:
    kind = type(trouble).__name__
    return (
        f"Sorry: something went wrong inside Scye, not in your work ({kind}). Please report "
        "it: send the recipe if you can, and quote the word in brackets. Nothing was written."
    )
