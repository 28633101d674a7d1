"""`scye serve` from its start to Ctrl-C, and twenty pages at once."""

from __future__ import annotations

import json
import socket
import subprocess
import sys
import urllib.error
import urllib.request
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from served import CARDS, ROOT, Served, serving
from websockets.sync.client import connect

from scye.cli.main import main

YOKED = ROOT / "recipes" / "yoked-bodice" / "yoked-bodice.scye"
PAGES = 20
DRAGS = 6


def test_it_stops_cleanly_with_pages_open(tmp_path):
    before = sorted(p.name for p in YOKED.parent.iterdir())
    with (
        serving(YOKED, "--body", CARDS / "wren.yaml", where=tmp_path) as page,
        connect(page.socket, origin=page.home) as line,
    ):
        line.recv(timeout=20)
        code, said = page.stop()
    assert code == 0
    assert said.splitlines()[-1] == "stopped"
    assert "Traceback" not in said
    assert list(tmp_path.iterdir()) == []
    assert sorted(p.name for p in YOKED.parent.iterdir()) == before


@pytest.mark.parametrize("time", range(5))
def test_it_stops_cleanly_as_soon_as_its_address_is_said(time):
    with serving(YOKED, "--body", CARDS / "wren.yaml") as page:
        code, said = page.stop()
    assert code == 0
    assert said.splitlines() == ["Ctrl-C here stops it", "", "stopped"]


def test_a_port_in_use_is_said(capsys):
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        assert main(["serve", str(YOKED), "--port", str(port), "--no-open"]) == 2
    said = capsys.readouterr().err
    assert f"port {port} is in use by another program" in said
    assert "Ctrl-C" in said


def test_a_card_that_is_not_there_is_said_before_a_page_is_shown(capsys):
    assert main(["serve", str(YOKED), "--body", "cards/nobody.yaml", "--no-open"]) == 2
    assert "E901" in capsys.readouterr().err


@pytest.mark.parametrize("port", ["80", "seven", "70000", "-1", "8020.5"])
def test_what_is_no_port_is_said(port, capsys):
    assert main(["serve", str(YOKED), f"--port={port}", "--no-open"]) == 2
    assert "E2102" in capsys.readouterr().err


def test_without_its_toolkit_it_says_how_to_set_it_up(tmp_path):
    (tmp_path / "starlette.py").write_text("raise ModuleNotFoundError(name='starlette')\n")
    run = subprocess.run(
        [sys.executable, "-m", "scye", "serve", str(YOKED), "--no-open"],
        env={"PYTHONPATH": f"{tmp_path}:{ROOT / 'compiler'}", "PATH": "/usr/bin:/bin"},
        capture_output=True, text=True, timeout=60,
    )  # fmt: skip
    assert run.returncode == 2
    assert "E2103" in run.stderr
    assert "pip install 'scye[live]'" in run.stderr


def test_only_this_machine_can_reach_it(tmp_path):
    with serving(YOKED, "--body", CARDS / "wren.yaml") as page:
        listening = Path("/proc/net/tcp").read_text(encoding="ascii").splitlines()[1:]
        places = [line.split()[1] for line in listening if line.split()[3] == "0A"]
        assert [p for p in places if p.endswith(f":{page.port:04X}")] == [f"0100007F:{page.port:04X}"]


# --- twenty pages -------------------------------------------------------------------------------


def dragged(page: Served, number: int) -> list[dict[str, Any]]:
    """One page that drags the waist, each time asking anew as soon as it was answered; its drawings."""
    drawings = []
    with connect(page.socket, origin=page.home) as line:
        for drag in range(1, DRAGS + 1):
            waist = f"{700 + 3 * number + drag} mm"
            wish = {"do": "draw", "number": drag, "body": "wren", "measures": {"waist": waist}}
            line.send(json.dumps({**wish, "choices": {}, "under": [], "unit": "in"}))
            while True:
                message = json.loads(line.recv(timeout=60))
                assert message["is"] != "amiss"
                if message["is"] == "drawing" and message["number"] == drag:
                    drawings.append(message)
                    break
    return drawings


def test_twenty_pages_dragging_at_once():
    """Each gets each of its own drawings, none an error, and the server is well afterwards."""
    with serving(YOKED, "--body", CARDS / "wren.yaml") as page:
        with ThreadPoolExecutor(PAGES) as pool:
            pages = list(pool.map(lambda number: dragged(page, number), range(PAGES)))
        code, said = page.stop()
    assert [len(drawings) for drawings in pages] == [DRAGS] * PAGES
    for drawings in pages:
        # The first may come upon the drawing that every page begins with; what follows is a change.
        assert all(set(d["pieces"]) == {"front_centre", "front_side", "back_panel"} for d in drawings[1:])
        assert all(d["summary"] == "5 pieces; 6 of 6 seams walk true; 4 of 4 proofs hold" for d in drawings)
    # Pages that asked for other waists were drawn otherwise.
    assert len({json.dumps(drawings[-1]["pieces"]) for drawings in pages}) == PAGES
    assert code == 0
    assert said.splitlines() == ["Ctrl-C here stops it", "", "stopped"]


def test_files_are_those_of_the_commands(tmp_path):
    """The page's PDF is the one of `scye build`, to the byte; its lesson that of `scye lesson`."""
    card = CARDS / "wren.yaml"
    made = ["--body", str(card), "--out", str(tmp_path), "--quiet"]
    assert main(["build", str(YOKED), *made, "--dxf"]) == 0
    assert main(["lesson", str(YOKED), *made]) == 0
    assert main(["lay", str(YOKED), *made, "--width", "60in"]) == 0
    with serving(YOKED, "--body", card) as page, connect(page.socket, origin=page.home) as line:
        seat = json.loads(line.recv(timeout=30))["seat"]
        for name in ("tiles-a4.pdf", "proof.html", "pieces.dxf", "lesson.html", "lay.pdf"):
            with urllib.request.urlopen(f"{page.url}take/{seat}/{name}?width=60in", timeout=60) as answer:
                assert answer.read() == (tmp_path / name).read_bytes(), name
                assert (
                    answer.headers["content-disposition"]
                    == f'attachment; filename="yoked-bodice-wren-{name}"'
                )
        with pytest.raises(urllib.error.HTTPError) as refused:
            urllib.request.urlopen(f"{page.url}take/{seat}/lay.pdf?width=wide", timeout=60)
        assert "44in" in refused.value.read().decode()
