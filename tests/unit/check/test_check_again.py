"""A statement that is not touched is checked again as soon as something that it asks of others changes."""

from __future__ import annotations

from pathlib import Path

import pytest

from scye.diagnostics.model import Diagnostic
from scye.library import read_source
from scye.project import Kept, open_project
from scye.source import Source

RECIPE = Path("again.scye")
TEXT = """\
recipe "Again"
  edition 1

needs bust

choose neck = round of round, square
choose lined = no

size = bust / 4
deep = size
deeper = deep + 1 in

method lowered
  about "A line lowered."
  given edge line
  given far length = 1 in
  gives low line
  mark one from start of edge down far
  mark two from end of edge down far
  line low from one to two

draft front
  begin at top
  plumb centre through top
  level chest from top down deeper
  level hem from chest down 14 in
  mark side_top where centre meets chest right size
  mark side_foot where centre meets hem right size
  line side from side_top to side_foot
  line shoulder from top to side_top
  when neck is round
    mark low_neck from top down 1 in
  draw dropped by lowered
    edge = shoulder
  line strap from start of dropped.low to side_top

draft loose
  begin at corner
  line across from corner to front.side_top
  line fall = front.side

every piece
  grain down
  cut pair of self

piece panel "Panel"
  bounded by front.centre, front.shoulder, front.side, front.hem
  notch side at front.side_foot
sew panel.side to panel.centre

keep "size" size at most 30 in
"""
# What is changed, into what, and what is then wrong with a line that was not touched.
CHANGES = {
    "a thing is no more": ("  mark side_foot where", "  mark foot where", "there is no `side_foot`"),
    "a thing is of another kind": (
        "  line side from side_top to side_foot",
        "  mark side from side_top",
        "point",
    ),
    "a named amount is of another kind": ("size = bust / 4", "size = bust * bust", "area"),
    "an amount two names away is of another kind": ("deep = size", "deep = 20 deg", "an angle and a length"),
    "a choice has other words": ("of round, square", "of v, square", "`round`"),
    "a choice is no more of words": ("choose neck = round of round, square", "choose neck = 1 in", "length"),
    "a method gives another thing": ("  gives low line", "  gives one point", "`low`"),
    "a method asks for another thing": ("  given edge line", "  given edge length", "length"),
    "a piece is bounded otherwise": (
        "front.shoulder, front.side, front.hem",
        "front.shoulder, front.hem",
        "side",
    ),
    "no piece is cut by the rule of all": ("  cut pair of self", "  net on side", "how many to cut"),
    "an amount is named again nearer by": (
        "  plumb centre",
        "  deeper = 20 deg\n  plumb centre",
        "angle",
    ),
    "a name is in a draft of its own": (
        "  begin at corner",
        "  begin at corner\n  mark front from corner",
        "front",
    ),
}


def told(text: str, kept: Kept | None) -> list[tuple[str, str, str]]:
    def read(path: Path) -> Source | Diagnostic:
        return Source(path.name, text) if path == RECIPE else read_source(path)

    found = open_project(RECIPE, read, kept).diagnostics
    return [(str(d.span), d.seen(), d.attempt()) for d in found]


def worked_on(text: str) -> Kept:
    """What is kept of a text that was edited before: from its second reading on it is kept by its lines."""
    kept = Kept()
    told(f"{text}# A remark.\n", kept)
    told(text, kept)
    return kept


@pytest.mark.parametrize(("was", "now", "seen"), CHANGES.values(), ids=CHANGES)
def test_what_a_change_reaches_is_checked_again(was: str, now: str, seen: str):
    assert TEXT.count(was) == 1
    kept, changed = worked_on(TEXT), TEXT.replace(was, now)
    before = told(TEXT, kept)
    after = told(changed, kept)
    assert after == told(changed, None)
    touched = {i for i, line in enumerate(changed.split("\n"), 1) if line not in TEXT.split("\n")}
    untouched = [d for d in after if int(d[0].split(":")[1]) not in touched and d not in before]
    assert any(seen in d[1] for d in untouched)
    assert told(TEXT, kept) == before


def test_a_name_in_a_line_that_cannot_be_read_is_missed_once_the_line_is_gone():
    line = "  mark side_foot where centre meets hem right size\n"
    kept = worked_on(TEXT)
    unread = told(TEXT.replace(line, line.replace("where", "at where")), kept)
    assert [where for where, *_ in unread] == ["again.scye:28:18"]
    gone = told(TEXT.replace(line, ""), kept)
    assert gone == told(TEXT.replace(line, ""), None)
    assert len(gone) == 2


def test_what_is_said_of_a_line_keeps_up_with_it():
    kept = worked_on(TEXT)
    wrong = TEXT.replace("right size", "right 1", 1)
    assert [where for where, *_ in told(wrong, kept)] == ["again.scye:27:48"]
    assert [where for where, *_ in told(f"# A remark.\n\n{wrong}", kept)] == ["again.scye:29:48"]


def test_an_edge_in_a_line_that_cannot_be_read_is_missed_once_the_line_is_gone():
    spoilt = TEXT.replace("  line shoulder", "  line spoilt at\n  line shoulder")
    spoilt = spoilt.replace("  notch side", "  allow 1 in on spoilt\n  notch side")
    kept = worked_on(spoilt)
    assert [where for where, *_ in told(spoilt, kept)] == ["again.scye:30:15"]
    assert [where for where, *_ in told(spoilt.replace("  line spoilt at\n", ""), kept)] == [
        "again.scye:48:17"
    ]


def test_an_amount_that_only_a_proof_may_name_is_told_of_once_the_proof_is_gone():
    proof = 'prove "hem" wide = girth at front.hem within 9 in\n'
    proved = f"{TEXT}{proof}wide = girth at front.chest\n"
    kept = worked_on(proved)
    assert not told(proved, kept)
    gone = told(proved.replace(proof, ""), kept)
    assert gone == told(proved.replace(proof, ""), None)
    assert len(gone) == 1


def test_a_line_that_moves_to_another_draft_is_checked_there():
    line = "  mark side_foot where centre meets hem right size\n"
    kept = worked_on(TEXT)
    moved = TEXT.replace(line, "").replace("  begin at corner\n", f"  begin at corner\n{line}")
    assert told(moved, kept) == told(moved, None)
    assert "again.scye:38:24" in [where for where, *_ in told(moved, kept)]
