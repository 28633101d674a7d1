"""What the page's server refuses: other names and pages, methods, bodies, tricks with paths, dawdlers."""

from __future__ import annotations

import asyncio
import http.client
import socket
import time
from collections.abc import Iterator
from contextlib import suppress

import pytest
from served import CARDS, ROOT, Served, serving
from websockets.exceptions import ConnectionClosed, InvalidStatus
from websockets.sync.client import connect

YOKED = ROOT / "recipes" / "yoked-bodice" / "yoked-bodice.scye"


@pytest.fixture(scope="module")
def page() -> Iterator[Served]:
    with serving(YOKED, "--body", CARDS / "wren.yaml") as served:
        yield served


def asked(page: Served, path: str, method: str = "GET", **headers: str) -> tuple[int, dict[str, str], bytes]:
    """What is answered to a request, its path sent to the letter."""
    line = http.client.HTTPConnection("127.0.0.1", page.port, timeout=10)
    line.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
    named = {"Host": f"127.0.0.1:{page.port}", **{k.replace("_", "-"): v for k, v in headers.items()}}
    for name, value in named.items():
        line.putheader(name, value)
    line.endheaders()
    answer = line.getresponse()
    body = answer.read()
    line.close()
    return answer.status, {k.lower(): v for k, v in answer.getheaders()}, body


# --- what is served -----------------------------------------------------------------------------


def test_the_page_and_its_files_keep_to_themselves(page):
    for name in ("", "page.css", "main.js", "table.js", "chalk.svg"):
        status, headers, body = asked(page, page.path + name)
        assert status == 200
        assert body
        assert "default-src 'none'" in headers["content-security-policy"]
        assert "unsafe" not in headers["content-security-policy"]
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "no-referrer"
        assert headers["cache-control"] == "no-store"
        assert "server" not in headers
        assert "access-control-allow-origin" not in headers


def test_a_key_of_its_own_is_drawn_for_each_run(page):
    with serving(YOKED, "--body", CARDS / "wren.yaml") as other:
        assert other.path != page.path
        assert len(page.path) >= 22
        assert asked(page, other.path)[0] == 404


# --- refusals -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "host", ["evil.example", "127.0.0.1", "localhost:1", "[::1]:{port}", "127.0.0.1.evil.example:{port}", ""]
)
def test_other_hosts(page, host):
    assert asked(page, page.path, Host=host.format(port=page.port))[0] in (400, 421)


def test_this_machine_s_own_names(page):
    assert asked(page, page.path, Host=f"localhost:{page.port}")[0] == 200
    assert asked(page, page.path, Origin=page.home)[0] == 200


@pytest.mark.parametrize(
    "origin", ["http://evil.example", "null", "https://127.0.0.1:{port}", "http://127.0.0.1"]
)
def test_other_origins(page, origin):
    assert asked(page, page.path, Origin=origin.format(port=page.port))[0] == 403


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_what_another_page_fetches(page, site):
    assert asked(page, page.path, Sec_Fetch_Site=site)[0] == 403


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "OPTIONS", "PATCH", "TRACE", "CONNECT", "BREW"])
def test_other_methods(page, method):
    status, headers, _ = asked(page, page.path, method)
    assert status == 405
    assert headers["allow"] == "GET, HEAD"


@pytest.mark.parametrize(
    "headers", [{"Content_Length": "5"}, {"Transfer_Encoding": "chunked"}, {"Content_Length": "9" * 14}]
)
def test_bodies(page, headers):
    assert asked(page, page.path, **headers)[0] == 413


@pytest.mark.parametrize(
    "path",
    [
        "/", "/page.css", "/../page.css", "//page.css", "/wrong-key/", "http://evil.example/", "{bare}",
        "{key}../page.css", "{key}%2e%2e/seat.py", "{key}..%2f..%2fsite.py", "{key}page.css/../../site.py",
        "{key}\\..\\site.py", "{key}seat.py", "{key}page.css%00", "{key}//page.css", "{key}take/x/sheet.pdf",
        "{key}take/x/../../sheet.pdf", "{key}" + "a" * 400, "{key}?" + "a" * 400,
        "{key}index.html?file=/etc/passwd&x=%ff",
    ],
)  # fmt: skip
def test_tricks_with_paths(page, path):
    status, _, body = asked(page, path.format(key=page.path, bare=page.path.rstrip("/")))
    if status == 200:
        assert body == asked(page, page.path)[2]
    else:
        assert status in (400, 404, 414)
        assert b"Traceback" not in body
        assert len(body) < 100


def test_very_long_headers_are_not_read_to_their_end(page):
    assert asked(page, page.path, X_Long="a" * 100_000)[0] in (400, 431)


# --- sockets ------------------------------------------------------------------------------------


@pytest.mark.parametrize("origin", [None, "http://evil.example", "null", "http://localhost:1"])
def test_sockets_of_other_pages(page, origin):
    with pytest.raises(InvalidStatus) as refused, connect(page.socket, origin=origin):
        pass
    assert refused.value.response.status_code == 403


def test_sockets_without_the_key(page):
    with (
        pytest.raises(InvalidStatus) as refused,
        connect(f"ws://127.0.0.1:{page.port}/seat", origin=page.home),
    ):
        pass
    assert refused.value.response.status_code == 403


def test_a_message_that_is_none_is_passed_over(page):
    with connect(page.socket, origin=page.home) as line:
        for message in ("", "{}", "[1]", "\x00", '{"do": "draw"}', '{"do": "take", "x": ' + "9" * 5000 + "}"):
            line.send(message)
        line.send('{"do": "ask", "piece": "front_centre", "name": "front.cf"}')
        kinds = []
        while "working" not in kinds:
            kinds.append(line.recv(timeout=20).split('"')[3])


def test_a_message_too_large_ends_the_socket_and_nothing_else(page):
    with connect(page.socket, origin=page.home, max_size=None) as line:
        with suppress(ConnectionClosed):
            line.send('{"do": "rewrite", "text": "' + "a" * 7_000_000 + '"}')
        with suppress(ConnectionClosed):
            while True:
                line.recv(timeout=20)
        assert line.close_code == 1009
    assert asked(page, page.path)[0] == 200


# --- time ---------------------------------------------------------------------------------------


def test_whoever_connects_and_does_not_ask_is_hung_up_on(page):
    """Both who says nothing and who asks a letter at a time; the page is served meanwhile."""
    begun = time.monotonic()
    silent = socket.create_connection(("127.0.0.1", page.port), timeout=20)
    slow = socket.create_connection(("127.0.0.1", page.port), timeout=20)
    request = f"GET {page.path} HTTP/1.1\r\nX-Slow: ".encode()
    slow.sendall(request)
    assert asked(page, page.path)[0] == 200
    ended = {}
    while len(ended) < 2 and time.monotonic() - begun < 20:
        for name, line in (("silent", silent), ("slow", slow)):
            if name not in ended:
                ended |= _ended(name, line, name == "slow", begun)
    assert set(ended) == {"silent", "slow"}
    assert all(3 < seconds < 18 for seconds in ended.values())


def _ended(name: str, line: socket.socket, dripping: bool, begun: float) -> dict[str, float]:
    line.settimeout(0.2)
    try:
        if dripping:
            line.sendall(b"a")
        if line.recv(100) == b"":
            return {name: time.monotonic() - begun}
    except TimeoutError:
        return {}
    except OSError:
        return {name: time.monotonic() - begun}
    return {}


def test_an_answer_that_takes_too_long_is_given_up(monkeypatch):
    """Tried on the guard alone, since nothing of ours takes so long."""
    from scye.serve import guard

    monkeypatch.setattr(guard, "LONGEST_ANSWER", 0.05)

    async def never(_scope, _receive, _send):
        await asyncio.sleep(30)

    sent = []

    async def send(message):
        sent.append(message)

    scope = {
        "type": "http", "method": "GET", "path": "/key/", "raw_path": b"/key/", "query_string": b"",
        "headers": [(b"host", b"127.0.0.1:8020")],
    }  # fmt: skip
    watch = guard.Guard(never, "key", ["127.0.0.1:8020"])
    begun = time.monotonic()
    asyncio.run(watch(scope, None, send))
    assert sent[0]["status"] == 503
    assert time.monotonic() - begun < 5
