"""A batch as it is run: one bad line among good ones, killed at any moment, gone on with, or refused."""

from __future__ import annotations

import csv
import json
import os
import signal
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import jsonschema
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import scye.batch.ready as ready
from scye.batch.journal import JOURNAL, Journal
from scye.batch.run import run_batch
from scye.cli.main import main
from scye.diagnostics.text import show_all
from scye.ir.batch import BatchRequest
from scye.ir.requests import ExitCode, Outcome
from scye.render.pattern_json import pattern_schema

ROOT = Path(__file__).resolve().parents[3]
SKIRT = ROOT / "examples" / "02-skirt" / "02-skirt.scye"
TABLE = """\
client,date,waist (cm),hip (cm)
wren,2024-03-05,71,97
plover,2024-03-07,88,112
dunlin,2024-03-07,7l,97
knot,,66,92.5
curlew,,79,104
sanderling,,81.5,106
godwit,,92,118
whimbrel,,74,99
"""
# How often a batch of that table changes its folder: what moves, writes or puts down.
STEPS = 31
CHOICE = ("hem", "flared")
BIRDS = ["wren", "plover", "knot", "curlew", "sanderling", "godwit", "whimbrel"]


@pytest.fixture(autouse=True)
def small_chunks(monkeypatch: pytest.MonkeyPatch) -> None:
    """Three chunks of the table above: three lines, three and two."""
    monkeypatch.setattr(ready, "CHUNK", 3)


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder to stand in that holds the table."""
    monkeypatch.chdir(tmp_path)
    Path("people.csv").write_text(TABLE, encoding="utf-8")
    return tmp_path


def request_for(out: str = "out", table: str = "people.csv", sheets: bool = False) -> BatchRequest:
    return BatchRequest(SKIRT, Path(table), (), None, sheets, Path(out))


def ran(request: BatchRequest) -> Outcome:
    return run_batch(request, lambda _line: None)


def tree(folder: Path) -> dict[str, bytes]:
    """Every file below a folder with its content, and the folders with nothing."""
    paths = sorted(folder.rglob("*"))
    return {p.relative_to(folder).as_posix(): p.read_bytes() if p.is_file() else b"" for p in paths}


def index(folder: str = "out") -> list[dict[str, str]]:
    with (Path(folder) / "batch.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


# --- one bad line among good ones -----------------------------------------------------------------


def test_one_bad_line_stops_no_other(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["batch", str(SKIRT), "--people", "people.csv", "--out", "out"]) == ExitCode.BAD_INPUT
    shown = capsys.readouterr()
    assert shown.err == (
        "people.csv:4:19: error E817: Waist: `7l` can't be read\n"
        "  4 | dunlin,2024-03-07,7l,97\n"
        "    |                   ^^\n"
        "  try: write a figure: 36, 92.5 or 36 1/2, with a unit if it isn't the card's\n"
        "\n"
        "1 error\n"
    )
    assert shown.out == (
        "people.csv: 8 bodies, 7 drafted\n"
        "  7 with every piece drawn, every seam walking true, every proof holding\n"
        "  1 not drafted: batch.csv says why\n"
        "written into out:\n"
        "  batch.csv\n"
        "  batch.journal\n"
        "  bodies\n"
    )
    assert sorted(os.listdir("out/bodies")) == sorted(f"{bird}.json" for bird in BIRDS)


def test_the_index_has_a_line_for_every_body(here: Path) -> None:
    ran(request_for())
    rows = index()
    assert [(row["code"], row["line"]) for row in rows] == [
        (code, str(line))
        for line, code in enumerate(
            ["wren", "plover", "dunlin", "knot", "curlew", "sanderling", "godwit", "whimbrel"], 2
        )
    ]
    assert rows[2]["outcome"] == "not drafted"
    assert rows[2]["why"] == (
        "people.csv:4:19: error E817: Waist: `7l` can't be read; try: write a figure: 36, 92.5 or 36 1/2, "
        "with a unit if it isn't the card's"
    )
    assert rows[2]["file"] == rows[2]["pieces"] == ""
    assert (rows[0]["outcome"], rows[0]["file"], rows[0]["why"]) == ("drafted", "bodies/wren.json", "")
    assert rows[0]["pieces"] == rows[0]["of pieces"] == "1"
    assert rows[0]["seams true"] == rows[0]["of seams"] == "0"
    assert rows[0]["proofs holding"] == rows[0]["of proofs"] == "2"
    assert {row["failures"] for row in rows} == {"0", ""}


def test_each_body_has_its_data_as_a_build_writes_it(here: Path) -> None:
    ran(request_for())
    data = json.loads(Path("out/bodies/wren.json").read_text(encoding="utf-8"))
    jsonschema.validate(data, json.loads(pattern_schema()))
    (one,) = data["bodies"]
    assert (one["body"], one["date"], one["display_unit"]) == ("wren", "2024-03-05", "cm")


def test_what_is_unusual_stands_with_the_body(here: Path) -> None:
    Path("people.csv").write_text("client,waist (cm),hip (cm)\nwren,28,97\nknot,66,92\n", encoding="utf-8")
    assert ran(request_for()).diagnostics == ()
    (one,) = json.loads(Path("out/bodies/wren.json").read_text(encoding="utf-8"))["bodies"]
    told = [finding for finding in one["findings"] if finding["code"] == "E820"]
    assert [(f["where"], f["file"], f["line"], f["column"]) for f in told] == [("table", "people.csv", 2, 6)]
    assert index()[0]["cautions"] == str(sum(f["severity"] == "caution" for f in one["findings"]))


def test_sheets_are_drawn_if_they_are_wanted(here: Path) -> None:
    Path("people.csv").write_text("client,waist (cm),hip (cm)\nwren,71,97\n", encoding="utf-8")
    assert ran(request_for(sheets=True)).exit_code == ExitCode.GOOD
    names = set(os.listdir("out/bodies"))
    assert {"wren.json", "wren-sheet.pdf", "wren-pieces.svg", "wren-proof.html"} <= names
    assert Path("out/bodies/wren-sheet.pdf").read_bytes().startswith(b"%PDF")


def test_of_very_many_mistakes_the_first_are_shown_and_the_index_has_all(here: Path) -> None:
    rows = "".join(f"b{i},wide,97\n" for i in range(130))
    Path("people.csv").write_text(f"client,waist (cm),hip (cm)\n{rows}", encoding="utf-8")
    outcome = ran(request_for())
    assert len(outcome.diagnostics) == 121
    assert outcome.diagnostics[-1].seen() == "there are 130 messages, of which the first 120 are shown"
    assert all("`wide` can't be read" in row["why"] for row in index())
    assert sorted(os.listdir("out")) == ["batch.csv", "batch.journal"]


# --- killed and gone on with ------------------------------------------------------------------------


def killed_at(step: int, after: bool, request: BatchRequest) -> bool:
    """Run a batch in a process that is killed (SIGKILL) when it moves, writes or puts down for the so-manieth
    time, before or after it did. False if it ended first."""
    child = os.fork()
    if child == 0:
        _killing(step, after)
        code = 1
        try:
            ran(request)
            code = 0
        finally:
            os._exit(code)
    _, status = os.waitpid(child, 0)
    assert os.WIFSIGNALED(status) or os.WEXITSTATUS(status) == 0
    return os.WIFSIGNALED(status) and os.WTERMSIG(status) == signal.SIGKILL


def _killing(step: int, after: bool) -> None:
    """Count what changes the folder, and end the process at the step."""
    count = iter(range(1, step + 1))

    def counted(do: Callable[..., object]) -> Callable[..., object]:
        def done(*given: object, **named: object) -> object:
            last = next(count, step) == step
            if last and not after:
                os.kill(os.getpid(), signal.SIGKILL)
            answer = do(*given, **named)
            if last:
                os.kill(os.getpid(), signal.SIGKILL)
            return answer

        return done

    for place, name in ((os, "replace"), (os, "mkdir"), (os, "fsync"), (Path, "write_bytes")):
        setattr(place, name, counted(getattr(place, name)))


@pytest.fixture(scope="module")
def unbroken(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    """The folder of a batch that nothing broke off."""
    before, folder = Path.cwd(), tmp_path_factory.mktemp("unbroken")
    os.chdir(folder)
    Path("people.csv").write_text(TABLE, encoding="utf-8")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(ready, "CHUNK", 3)
        ran(request_for())
    os.chdir(before)
    return tree(folder / "out")


@pytest.mark.skipif(not hasattr(os, "fork"), reason="processes can't be parted on this system")
@settings(
    max_examples=12,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(kills=st.lists(st.tuples(st.integers(1, STEPS), st.booleans()), min_size=3, max_size=3))
def test_killed_three_times_at_any_step_it_ends_the_same(
    kills: list[tuple[int, bool]], tmp_path_factory: pytest.TempPathFactory, unbroken: dict[str, bytes]
) -> None:
    before, folder = Path.cwd(), tmp_path_factory.mktemp("killed")
    os.chdir(folder)
    try:
        Path("people.csv").write_text(TABLE, encoding="utf-8")
        ended = [not killed_at(step, after, request_for()) for step, after in kills]
        outcome = ran(request_for())
        assert outcome.exit_code == ExitCode.BAD_INPUT
        assert "people.csv:4:19: error E817" in show_all(outcome.diagnostics)
        assert tree(folder / "out") == unbroken, ended
    finally:
        os.chdir(before)


@pytest.mark.skipif(not hasattr(os, "fork"), reason="processes can't be parted on this system")
def test_every_step_is_within_reach_of_the_kills(here: Path) -> None:
    """So the kills above may fall on any of them, the last included."""
    assert killed_at(STEPS, False, request_for("one"))
    assert not killed_at(STEPS + 1, False, request_for("two"))


def test_a_torn_journal_costs_its_last_line_alone(here: Path, unbroken: dict[str, bytes]) -> None:
    ran(request_for())
    journal = Path("out") / JOURNAL
    whole = journal.read_bytes()
    starts = [i + 1 for i, byte in enumerate(whole[:-1]) if byte == ord("\n")]
    for place in (starts[0], starts[0] + 1, starts[1] - 1, starts[1], starts[2] + 40, len(whole) - 1):
        journal.write_bytes(whole[:place])
        outcome = ran(request_for())
        done = 3 * sum(start <= place for start in starts[1:])
        told = f"  {done} were done by an earlier run, which this one went on from"
        assert (told in outcome.lines) == (done > 0)
        assert tree(here / "out") == unbroken


@pytest.mark.parametrize("spoil", [Path.unlink, lambda path: path.write_bytes(b"{")], ids=["lost", "spoilt"])
def test_a_file_that_was_lost_or_spoilt_is_drafted_again(
    spoil: Callable[[Path], object], here: Path, unbroken: dict[str, bytes]
) -> None:
    ran(request_for())
    spoil(Path("out/bodies/curlew.json"))
    outcome = ran(request_for())
    assert "  3 were done by an earlier run, which this one went on from" in outcome.lines
    assert tree(here / "out") == unbroken


def test_what_is_done_is_not_done_again(here: Path, unbroken: dict[str, bytes]) -> None:
    ran(request_for())
    written = {path.name: path.stat().st_mtime_ns for path in Path("out/bodies").iterdir()}
    outcome = ran(request_for())
    assert {path.name: path.stat().st_mtime_ns for path in Path("out/bodies").iterdir()} == written
    assert outcome.lines == (
        "people.csv: 8 bodies, 7 drafted",
        "  7 with every piece drawn, every seam walking true, every proof holding",
        "  1 not drafted: batch.csv says why",
        "  8 were done by an earlier run, which this one went on from",
    )
    assert tree(here / "out") == unbroken


# --- refused --------------------------------------------------------------------------------------


def refusal(request: BatchRequest) -> str:
    outcome = ran(request)
    assert outcome.exit_code == ExitCode.BAD_INPUT
    assert outcome.files == ()
    return show_all(outcome.diagnostics).splitlines()[0]


def test_another_batch_in_the_same_folder_is_refused(here: Path) -> None:
    ran(request_for())
    before = tree(here / "out")
    Path("others.csv").write_text(TABLE, encoding="utf-8")
    begun = "error E1610: `out` holds a batch that was begun"
    kerchief = ROOT / "examples" / "01-kerchief" / "01-kerchief.scye"
    others = {
        f"{begun} with another recipe, `02-skirt.scye`": replace(request_for(), recipe=kerchief),
        f"{begun} with another table, `people.csv`": request_for(table="others.csv"),
        f"{begun} with other units: those of the table": replace(request_for(), units="in"),
        f"{begun} without sheets": request_for(sheets=True),
    }
    for words, request in others.items():
        assert refusal(request) == words
    Path("people.csv").write_text(TABLE.replace("118", "119"), encoding="utf-8")
    assert refusal(request_for()) == f"{begun} before its table was changed"
    assert tree(here / "out") == before


def test_other_choices_are_another_batch(here: Path) -> None:
    recipe = ROOT / "examples" / "03-choices" / "03-choices.scye"
    request = replace(request_for(), recipe=recipe)
    chosen = replace(request, settings=(CHOICE,))
    ran(request)
    begun = "error E1610: `out` holds a batch that was begun with other choices"
    assert refusal(chosen) == f"{begun}: those of the recipe"
    ran(replace(chosen, out=Path("other")))
    assert refusal(replace(request, out=Path("other"))) == (
        f"{begun.replace('out', 'other', 1)}: {CHOICE[0]}={CHOICE[1]}"
    )


def test_a_recipe_that_was_changed_is_another(here: Path) -> None:
    Path("skirt.scye").write_bytes(SKIRT.read_bytes())
    request = replace(request_for(), recipe=Path("skirt.scye"))
    ran(request)
    Path("skirt.scye").write_bytes(SKIRT.read_bytes() + b"\n# another\n")
    (found,) = ran(request).diagnostics
    assert found.seen() == (
        "`out` holds a batch that was begun before its recipe, or something that the recipe uses, was changed"
    )


def test_files_of_others_are_left_alone(here: Path) -> None:
    Path("out/bodies").mkdir(parents=True)
    Path("out/bodies/wren.json").write_text("mine")
    assert refusal(request_for()) == (
        "error E1611: `out` holds `bodies`, which no batch is known to have written"
    )
    Path("other").mkdir()
    (Path("other") / JOURNAL).write_text("Dear diary\n")
    assert refusal(request_for("other")) == "error E1611: `other` has a `batch.journal` that can't be read"
    assert tree(here / "other") == {JOURNAL: b"Dear diary\n"}
    assert tree(here / "out") == {"bodies": b"", "bodies/wren.json": b"mine"}


def test_a_folder_in_use_is_left_to_the_run_that_has_it(here: Path) -> None:
    pytest.importorskip("fcntl")
    ran(request_for())
    with Journal(Path("out"), {}).held() as mistake:
        assert mistake is None
        assert refusal(request_for()) == "error E1612: another run is drafting into `out`"
    assert "8 were done" in "".join(ran(request_for()).lines)


def test_nothing_is_written_for_a_table_or_recipe_that_is_bad(here: Path) -> None:
    Path("people.csv").write_text("client,hip (cm)\nwren,97\n", encoding="utf-8")
    outcome = ran(request_for())
    assert [d.code for d in outcome.diagnostics] == ["E1605"]
    assert outcome.diagnostics[0].seen() == "the table has no column `waist`, which the recipe needs"
    assert ran(request_for(table="none.csv")).diagnostics[0].code == "E901"
    assert ran(replace(request_for(), settings=(("lenght", "1 in"),))).diagnostics[0].code == "E408"
    assert os.listdir(here) == ["people.csv"]


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (TABLE.encode("utf-16"), "error E903: `people.csv` is not plain text in UTF-8: line 1 can't be read"),
        (TABLE.replace("knot", "kn\u00f6t").encode("latin-1"), "line 5 can't be read"),
        (b"client,waist (cm)\nwren,\x00\n", "line 2 can't be read"),
        (b"a,b\n" + b"x" * 64_000_000, "error E1601: `people.csv` holds more than 64 MB"),
    ],
    ids=["utf-16", "latin-1", "nought", "large"],
)
def test_files_that_are_no_text_or_too_much(data: bytes, words: str, here: Path) -> None:
    Path("people.csv").write_bytes(data)
    assert refusal(request_for()).endswith(words)


def test_a_mark_of_byte_order_and_line_ends_of_other_systems_are_read(here: Path) -> None:
    Path("people.csv").write_bytes(b"\xef\xbb\xbf" + TABLE.replace("\n", "\r\n").replace(",", ";").encode())
    assert ran(request_for()).lines[0] == "people.csv: 8 bodies, 7 drafted"


def test_progress_is_a_bar(here: Path) -> None:
    told: list[str] = []
    run_batch(request_for(), told.append)
    assert told[0] == "reading"
    assert told[1] == "[------------------------------] 0 of 8: wren"
    assert told[-1] == "[##########################----] 7 of 8: whimbrel"
