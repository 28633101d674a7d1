"""What is said of two editions: each kind of change, for one body and for several."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from scye.compare.changes import changes
from scye.compare.compare import compare
from scye.compare.documents import Document, outline, read_document
from scye.compare.shapes import heading, laid_on, shifted

INCH = 25.4


def piece(**said: Any) -> dict[str, Any]:
    """A piece 4 in wide and 10 in high, drawn from its upper left corner round to the right."""
    x, y, w, h = said.pop("box", (0.0, 0.0, 4 * INCH, 10 * INCH))
    corners = [(x, y), (x + w, y), (x + w, y + h), (x, y + h)]
    names = ("top", "side", "hem", "centre")
    edges = []
    for i, name in enumerate(names):
        a, b = corners[i], corners[(i + 1) % 4]
        length = abs(b[0] - a[0]) + abs(b[1] - a[1])
        edges.append(
            {
                "name": name,
                "length": length,
                "allowances": [{"width": said.get("allowed", {}).get(name, 12.7), "from": 0.0, "to": length}],
                "turned_back": name in said.get("turned_back", ()),
                "finish": "",
                "on_fold": False,
                "seams": [said.get("letters", {}).get(name, "A")],
                "path": f"M{a[0]},{a[1]}L{b[0]},{b[1]}",
            }
        )
    net = "M" + "L".join(f"{px},{py}" for px, py in corners) + "Z"
    return {
        "name": said.get("name", "back"),
        "title": said.get("title", "Back"),
        "number": said.get("number", 1),
        "of": 2,
        "cut": [{"text": said.get("cut", "cut 2 (a pair) of self")}],
        "net": net,
        "cutting": net,
        "edges": edges,
        "grain": {"from": [x, y], "to": said.get("grain", [x, y + h]), "bias": False},
        "notches": [
            {"edge": edge, "name": name, "at": [x + w, y + along], "strokes": strokes, "along": along}
            for edge, name, along, strokes in said.get("notches", ())
        ],
        "darts": [
            {"name": name, "intake": intake, "point": [50.0, down], "pressed": "down"}
            for name, intake, down in said.get("darts", ())
        ],
        "drills": [{"at": at, "text": "bust point"} for at in said.get("drills", ())],
        "labels": list(said.get("labels", ())),
        **(
            {"shown": [{"text": text, "path": path} for text, path in said["shown"]]}
            if "shown" in said
            else {}
        ),
    }


def body(*pieces: dict[str, Any], **said: Any) -> dict[str, Any]:
    return {
        "body": said.get("body", "wren"),
        "date": said.get("date", ""),
        "display_unit": "in",
        "pieces": list(pieces),
        "seams": said.get("seams", []),
        "proofs": said.get("proofs", []),
        "values": said.get("values", {}),
        "reports": said.get("reports", []),
        "cautions": said.get("cautions", []),
        **{name: said[name] for name in ("findings_list", "sewing_order") if name in said},
    }


def edition(number: int, *bodies: dict[str, Any], recipe: str = "Bodice") -> Document:
    data = {"schema": "urn:scye:pattern:1", "recipe": recipe, "edition": str(number), "bodies": list(bodies)}
    found = read_document(json.dumps(data))
    assert isinstance(found, Document), found
    return found


def one(old: dict[str, Any], new: dict[str, Any]) -> list[str]:
    """The lines about pieces, of two editions with one piece each for one body."""
    found = compare(edition(1, body(old)), edition(2, body(new)))
    assert found is not None
    return [line.text for line in found.pieces]


# --- pieces -------------------------------------------------------------------------------------


def test_nothing_changed():
    found = compare(edition(1, body(piece())), edition(2, body(piece())))
    assert found is not None
    assert list(found.lines) == ["Bodice, edition 1 -> edition 2", "  All pieces are identical to edition 1."]


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ({}, {"box": (0, 0, 4.125 * INCH, 10 * INCH)}, "+1/8 in at side"),
        ({}, {"box": (0, 0, 3.75 * INCH, 10 * INCH)}, "−1/4 in at side"),
        ({}, {"box": (0, -INCH, 4 * INCH, 11 * INCH)}, "+1 in at top"),
        ({}, {"allowed": {"side": 15.875}}, "5/8 in allowed at side"),
        ({}, {"turned_back": ("hem",)}, "hem turned back"),
        ({}, {"cut": "cut 1 on fold of self"}, "cut 1 on fold of self (was cut 2 (a pair) of self)"),
        ({}, {"title": "Back panel"}, "called Back panel (was Back)"),
        ({}, {"labels": ["This way up"]}, 'now says "This way up"'),
        ({"labels": ["This way up"]}, {}, 'no longer says "This way up"'),
        ({}, {"grain": [100.0, 100.0]}, "grain turned 45.0 deg"),
        (
            {"notches": [("side", "waist", 100.0, 2)]},
            {"notches": [("side", "waist", 87.3, 2)]},
            "double notch moved up 1/2 in",
        ),
        (
            {"notches": [("side", "waist", 100.0, 1), ("side", "bust", 30.0, 1)]},
            {"notches": [("side", "waist", 106.35, 1), ("side", "bust", 30.0, 1)]},
            "notch at waist on side moved down 1/4 in",
        ),
        (
            {"notches": [("side", "waist", 100.0, 1)]},
            {"notches": [("side", "waist", 100.0, 2)]},
            "notch is now a double notch",
        ),
        (
            {"notches": [("side", "waist", 100.0, 1)]},
            {"notches": [("side", "underbust", 50.0, 1)]},
            "notch moved up 1 15/16 in",
        ),
        ({}, {"notches": [("side", "waist", 100.0, 3)]}, "new triple notch"),
        ({"notches": [("side", "waist", 100.0, 3)]}, {}, "no triple notch any more"),
        (
            {"darts": [("waist_dart", 25.4, 90.0)]},
            {"darts": [("waist_dart", 28.575, 96.35)]},
            "waist dart takes 1/8 in more; point of waist dart moved down 1/4 in",
        ),
        ({"darts": [("waist_dart", 25.4, 90.0)]}, {}, "no waist dart any more"),
        ({}, {"darts": [("waist_dart", 25.4, 90.0)]}, "new waist dart"),
        ({"drills": [[50, 50]]}, {"drills": [[56.35, 50]]}, 'drill hole "bust point" moved right 1/4 in'),
        ({}, {"drills": [[50, 50]]}, 'new drill hole "bust point"'),
    ],
)
def test_each_kind_of_change(old: dict[str, Any], new: dict[str, Any], said: str):
    title = new.get("title", "Back")
    assert one(piece(**old), piece(**new)) == [f"{title}: {said}."]


POCKET = ("pocket", "M20,50L80,50")
PLEATS = [("", f"M{x},0L{x},60") for x in (20, 40, 60)]


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ([], [POCKET], 'new line "pocket"'),
        ([POCKET], [], 'no line "pocket" any more'),
        ([POCKET], [("pocket", "M20,62.7L80,62.7")], 'line "pocket" moved down 1/2 in'),
        ([POCKET], [("pocket", "M80,62.7L20,62.7")], 'line "pocket" moved down 1/2 in'),
        ([POCKET], [("pocket", "M20,50L80,62.7")], 'line "pocket" moved down up to 15/32 in'),
        ([POCKET], [("pocket", "M20,50L92.7,50")], 'line "pocket" 1/2 in longer'),
        ([POCKET], [("pocket", "M20,62.7L50,62.7")], 'line "pocket" moved down 1/2 in'),
        ([POCKET], [("welt", POCKET[1])], 'no line "pocket" any more; new line "welt"'),
        (
            [("pleat 1 in deep", "M20,0L20,60")],
            [("pleat 1 1/2 in deep", "M20,0L20,60")],
            'line "pleat 1 in deep" now says "pleat 1 1/2 in deep"',
        ),
        (PLEATS, PLEATS[1:], "no line inside any more"),
        (PLEATS[1:], PLEATS, "new line inside"),
    ],
)
def test_lines_shown_inside(old: list[tuple[str, str]], new: list[tuple[str, str]], said: str):
    assert one(piece(shown=old), piece(shown=new)) == [f"Back: {said}."]


def test_a_line_inside_that_only_runs_on_is_not_told_beside_an_edge_that_moved():
    wider = piece(box=(0, 0, 4.125 * INCH, 10 * INCH), shown=[("waist", f"M0,80L{4.125 * INCH},80")])
    assert one(piece(shown=[("waist", f"M0,80L{4 * INCH},80")]), wider) == ["Back: +1/8 in at side."]


def test_lines_inside_lie_on_their_piece_where_it_lies_elsewhere_in_its_draft():
    there = piece(
        box=(70.5, -20.0, 4 * INCH, 10 * INCH), grain=[70.5, 100.0], shown=[("pocket", "M90.5,30L150.5,30")]
    )
    assert one(piece(shown=[POCKET]), there) == []


def test_a_piece_with_another_line_inside_is_not_identical():
    found = compare(edition(1, body(piece())), edition(2, body(piece(shown=[POCKET]))))
    assert found is not None
    assert (found.kept, list(found.again["wren"])) == ("No piece is identical to edition 1.", ["back"])


def test_a_piece_that_lies_elsewhere_in_its_draft_is_not_told():
    there = piece(box=(70.5, -20.0, 4 * INCH, 10 * INCH), grain=[70.5, 100.0])
    assert one(piece(), there) == []


def test_edges_that_only_run_on_are_not_told_beside_the_one_that_moved():
    assert one(piece(), piece(box=(0, 0, 4.125 * INCH, 10 * INCH))) == ["Back: +1/8 in at side."]


def test_a_letter_or_a_number_is_written_by_hand():
    found = compare(
        edition(1, body(piece(letters={"side": "B"}))),
        edition(2, body(piece(letters={"side": "C"}, number=2))),
    )
    assert found is not None
    assert found.pieces == ()
    assert found.to_print == ()
    assert [line.text for line in found.by_hand] == [
        "Back: now piece 2 of 2 (was 1 of 2); side is lettered C (was B)."
    ]


def test_pieces_come_and_go():
    old, new = piece(name="yoke", title="Yoke"), piece(name="band", title="Band")
    found = compare(edition(1, body(piece(), old)), edition(2, body(piece(), new)))
    assert found is not None
    assert list(found.lines)[1:] == [
        "  Band: new piece, cut 2 (a pair) of self.",
        "  Yoke: left out.",
        "  All other pieces are identical to edition 1: Back.",
        "  To print again: Band.",
    ]


# --- sizes and clients --------------------------------------------------------------------------


def _sizes(*widths: float, dates: str = "") -> list[dict[str, Any]]:
    names = ("wren", "plover", "knot") if dates else ("38", "41", "44")
    return [
        body(piece(box=(0, 0, w * INCH, 10 * INCH)), body=name, date=dates)
        for name, w in zip(names, widths, strict=True)
    ]


@pytest.mark.parametrize(
    ("widths", "dates", "said"),
    [
        ((4.125, 5.125, 6.125), "", "Back, all sizes: +1/8 in at side."),
        ((4, 5.125, 6.125), "", "Back, sizes 41 and 44: +1/8 in at side."),
        ((4, 5, 6.125), "", "Back, size 44: +1/8 in at side."),
        ((4.125, 5.25, 6.375), "", "Back, all sizes: +1/8 in to +3/8 in at side."),
        ((4.125, 5.125, 6.125), "2024-03-05", "Back, for all: +1/8 in at side."),
        ((4.125, 5, 6.125), "2024-03-05", "Back, for wren and knot: +1/8 in at side."),
    ],
)
def test_sizes_and_clients(widths: tuple[float, ...], dates: str, said: str):
    found = compare(edition(1, *_sizes(4, 5, 6, dates=dates)), edition(2, *_sizes(*widths, dates=dates)))
    assert found is not None
    assert [line.text for line in found.pieces] == [said]


def test_over_in_one_size_and_short_in_another_are_told_apart():
    found = compare(edition(1, *_sizes(4, 5, 6)), edition(2, *_sizes(4.125, 4.875, 6)))
    assert found is not None
    assert [line.text for line in found.pieces] == [
        "Back, size 38: +1/8 in at side.",
        "Back, size 41: −1/8 in at side.",
    ]


def test_only_the_bodies_of_both_are_compared():
    found = compare(edition(1, *_sizes(4, 5, 6)), edition(2, *_sizes(4, 5, 6)[:2]))
    assert found is not None
    assert found.only == ("44",)
    assert compare(edition(1, *_sizes(4, 5, 6)), edition(1, *_sizes(4, 5, 6, dates="2024-03-05"))) is None


# --- seams, proofs and the rest -----------------------------------------------------------------


def test_seams_proofs_and_amounts():
    def said(**more: Any) -> dict[str, Any]:
        return body(piece(), **more)

    seam = {"a": "cap", "b": "armhole", "letter": "C", "ease": 25.4, "verdict": "walks true"}
    taste = {"value": 0.0, "unit": "mm", "by": "taste"}
    old = said(
        seams=[seam],
        proofs=[{"name": "waist", "verdict": "walks true"}],
        values={"cap_ease": taste, "half": {**taste, "by": "sum"}},
        reports=[{"title": "Reduction", "text": "2 in"}],
        cautions=[{"name": "tight_lacing"}],
    )
    new = said(
        seams=[{**seam, "ease": 31.75}, {**seam, "a": "side", "b": "side", "letter": "D"}],
        proofs=[{"name": "waist", "verdict": "not proved"}, {"name": "hip", "verdict": "walks true"}],
        values={"cap_ease": {**taste, "value": 3.175}, "half": {**taste, "by": "sum", "value": 9.0}},
        reports=[{"title": "Reduction", "text": "1 in"}],
    )
    found = compare(edition(1, old), edition(2, new))
    assert found is not None
    assert [line.text for line in found.rest] == [
        "Cap ease: 1/8 in (was 0 in).",
        "Seam C, cap to armhole: eased 1 1/4 in (was 1 in).",
        "Seam D: new: side to side.",
        'Proof "waist": not proved (was walks true).',
        'Proof "hip": new, walks true.',
        'Report "Reduction": 1 in (was 2 in).',
        "Caution: no longer shown: tight lacing.",
    ]


def _bought(kind: str, where: str, text: str) -> dict[str, str]:
    return {"kind": kind, "where": where, "text": text}


def test_what_is_bought_and_how_it_is_sewn():
    eyelets, tape = _bought("eyelets", "back cb", "26"), _bought("tape", "waist line", "26 in")
    old = body(piece(), findings_list=[eyelets, tape], sewing_order=["join", "set eyelets", "bind"])
    tape = _bought("tape", "waist line", "27 in")
    zipped = _bought("zip", "back cb", "14 1/2 in")
    new = body(piece(), findings_list=[tape, zipped], sewing_order=["bind", "join", "set in the zip"])
    found = compare(edition(1, old), edition(2, new))
    assert found is not None
    assert [line.text for line in found.lists] == [
        "Tape, waist line: 27 in (was 26 in).",
        "Zip, back cb: new, 14 1/2 in.",
        "Eyelets, back cb: no longer bought.",
        'Sewing order: new step 3, "set in the zip".',
        'Sewing order: no longer "set eyelets".',
        "Sewing order: the same steps in another order.",
    ]
    assert set(map("  {.text}".format, found.lists)) < set(found.lines)


def test_lists_of_sizes_are_told_together():
    sizes = [body(piece(), body=size, findings_list=[_bought("tips", "", "8")]) for size in ("41", "44")]
    more = [body(piece(), body=size, findings_list=[_bought("tips", "", "12")]) for size in ("41", "44")]
    found = compare(edition(1, *sizes), edition(2, *more))
    assert found is not None
    assert [line.text for line in found.lists] == ["Tips, all sizes: 12 (was 8)."]


# --- shapes -------------------------------------------------------------------------------------


def _piece(**said: Any) -> Any:
    return edition(1, body(piece(**said))).bodies["wren"].pieces["back"]


def test_a_piece_is_laid_on_where_most_edges_meet():
    assert laid_on(_piece(), _piece(box=(3.0, 4.0, 4 * INCH, 10 * INCH))) == (-3.0, -4.0)
    assert laid_on(_piece(), _piece(box=(0, 0, 5 * INCH, 10 * INCH))) == (0.0, 0.0)


def test_an_edge_that_leans_is_told_from_least_to_most():
    leaning = shifted(_piece(), "side", ((4 * INCH, 0.0), (5 * INCH, 10 * INCH)))
    assert leaning is not None
    assert leaning.least == pytest.approx(0.05 * INCH, rel=0.02)
    assert leaning.most == pytest.approx(0.95 * INCH, rel=0.02)
    wider = [c.words for c in changes(_piece(), _piece(box=(0, 0, 4.5 * INCH, 10 * INCH)))]
    assert wider == ["{} at side"]


def test_curves_are_followed():
    """A quarter circle of 100 mm as a cubic, which is within 0.03 mm of it: so is every point taken."""
    k = 55.2284749831
    arc = outline(f"M100,0C100,{k} {k},100 0,100")
    assert len(arc.points) == 25
    assert max(abs((x * x + y * y) ** 0.5 - 100) for x, y in arc.points) < 0.03


@pytest.mark.parametrize(
    ("by", "said"), [((0, -1), "up"), ((1, 1), "down"), ((1, 0.2), "right"), ((-1, 0), "left")]
)
def test_the_way_of_a_move(by: tuple[float, float], said: str):
    assert heading(by) == said


# --- what is no pattern -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("recipe", "it is not such data at all"),
        ("[]", "it does not say that it is one"),
        ('{"schema": "urn:other"}', "it does not say that it is one"),
        ('{"schema": "urn:scye:pattern:1"}', "something is missing in it, or is not as it should be"),
        (
            '{"schema": "urn:scye:pattern:1", "recipe": "", "edition": "", "bodies": [{"body": 1}]}',
            "something is missing in it, or is not as it should be",
        ),
        ("[" * 100_000, "it is not such data at all"),
    ],
    ids=["text", "a-list", "another", "empty", "no-pieces", "deep"],
)
def test_what_is_no_pattern_is_said(text: str, why: str):
    assert read_document(text) == why


def test_a_path_without_points_is_refused():
    with pytest.raises(ValueError, match="a path without points"):
        outline("Z")


def test_what_a_run_wrote_reads_back(tmp_path: Path):
    data = {"schema": "urn:scye:pattern:1", "recipe": "B", "edition": "", "bodies": [body(piece())]}
    path = tmp_path / "pattern.json"
    path.write_text(json.dumps(data), encoding="utf-8")
    found = read_document(path.read_text(encoding="utf-8"))
    assert isinstance(found, Document)
    assert list(found.bodies["wren"].pieces) == ["back"]
