"""The proof sheet says what was found, in the body's own unit, and stands by itself."""

import re
from dataclasses import replace
from html.parser import HTMLParser

import pytest
import saltmarsh

from scye.ir.pattern import LedgerLine, ValueList
from scye.render.proof import difference_words, ledger_tables, list_row, proof_html


class Reader(HTMLParser):
    """Collects the cells of each table, the tags, and the text."""

    def __init__(self):
        super().__init__()
        self.tags, self.rows, self.open, self.text = [], [], [], []

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        if tag == "tr":
            self.rows.append([])
        elif tag in ("td", "th"):
            self.rows[-1].append("")
        if tag not in ("meta", "br"):
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        self.text.append(data)
        if any(tag in ("td", "th") for tag in self.open):
            self.rows[-1][-1] += data


def read(pattern):
    reader = Reader()
    reader.feed(proof_html(pattern).decode())
    assert reader.open == []
    return reader


@pytest.fixture(scope="module")
def wren():
    return read(saltmarsh.pattern())


def test_seams_with_both_lengths_and_their_parts(wren):
    assert [
        "A", "not proved", "Centre front: seam 1, left edge", "Side front: seam 1, right edge",
        "13 1/2 in", "13 1/8 in", "1/4 in", "1/8 in over",
    ] in wren.rows  # fmt: skip
    assert ["start to waist", "7 11/16 in", "7 1/2 in", "1/4 in", ""] in wren.rows


def test_join_list_and_cut_list(wren):
    assert [
        "1",
        "A",
        "Centre front: seam 1, left edge to Side front: seam 1, right edge",
        "13 1/8 in",
        "1/4 in",
        "waist",
    ] in wren.rows
    assert ["4", "Button loop & tab", "cut 1, right side up, of self"] in wren.rows


def test_ledger_with_its_total(wren):
    assert ["seam 1", "1 3/4 in"] in wren.rows
    assert ["Total", "2 3/4 in"] in wren.rows


def test_proofs_and_values_with_working_and_owner(wren):
    assert [
        "laced waist",
        "26 in",
        "26 in",
        "1/16 in",
        "walks true",
        "waist 28 in - reduction 2 in - gap 2 in",
    ] in wren.rows
    assert ["panels", "5", "—", "0", "not drawn", "count of panel_width"] in wren.rows
    value = next(row for row in wren.rows if row[0] == "half bust")
    assert value[1:3] == ["17 in", "tape"]
    assert "(bust 36 in - lacing gap 2 in) / 2" in value[3]


def test_the_gravest_findings_come_first(wren):
    text = " ".join(wren.text)
    assert text.index("Seam A takes 1 3/4 in") < text.index("The loop is <cut> on the bias.")
    assert "bodice.scye, line 3" in text


def test_a_caution_is_said_once(wren):
    assert " ".join(wren.text).count("Lace gradually") == 1


def test_metric_bodies_read_metric():
    rows = read(saltmarsh.metric()).rows
    assert next(row for row in rows if row[0] == "half bust")[1] == "43.2 cm"
    assert not [cell for row in rows for cell in row if re.fullmatch(r"[\d /]+ in", cell)]


def test_figures_of_a_list_add_up_to_the_total_shown():
    """Plover's panels: singly rounded they would come to 48.6 cm."""
    panels = ValueList("panel_width", (99.85, 114.15, 99.85, 92.75, 78.4), "mm", "")
    row = list_row(panels, saltmarsh.metric())
    assert sum(float(figure.removesuffix(" cm")) for figure in row.figures) == pytest.approx(48.5)
    assert row.total == "48.5 cm"


def test_figures_of_a_level_add_up_to_the_total_shown():
    (ledger,) = ledger_tables(saltmarsh.metric())
    assert sum(float(amount.removesuffix(" cm")) for _, (amount,) in ledger.rows) == pytest.approx(7.0)
    assert ledger.totals == ("7.0 cm",)


def test_each_draft_has_its_ledger_with_a_column_for_each_level():
    lines = (
        LedgerLine("bust_line", "body.seam[1]", 0.0),
        LedgerLine("bust_line", "total", 0.0),
        LedgerLine("waist_line", "body.seam[1]", 25.4),
        LedgerLine("waist_line", "body.dart", 12.7),
        LedgerLine("waist_line", "total", 38.1),
        LedgerLine("waist_line", "skirt.dart", -6.35),
        LedgerLine("waist_line", "total", -6.35),
    )
    body, skirt = ledger_tables(replace(saltmarsh.pattern(), ledger=lines))
    assert (body.draft, body.levels) == ("body", ("bust line", "waist line"))
    assert body.rows == (("seam 1", ("0 in", "1 in")), ("dart", ("", "1/2 in")))
    assert body.totals == ("0 in", "1 1/2 in")
    assert (skirt.draft, skirt.rows, skirt.totals) == ("skirt", (("dart", ("-1/4 in",)),), ("-1/4 in",))


@pytest.mark.parametrize(
    ("mm", "shown"),
    [(3.15, "1/8 in over"), (-3.15, "1/8 in short"), (0.01, "none"), (-0.3, "none"), (float("nan"), "—")],
)
def test_differences_in_words(mm, shown):
    assert difference_words(mm, saltmarsh.pattern()) == shown


def test_tables_are_marked_up_for_readers_that_speak(wren):
    tags = [tag for tag, _ in wren.tags]
    assert tags.count("caption") == tags.count("table") > 5
    assert all(attrs.get("scope") in ("col", "row") for tag, attrs in wren.tags if tag == "th")


def test_the_page_stands_by_itself(wren):
    assert not {"script", "link", "img", "iframe"} & {tag for tag, _ in wren.tags}
    page = proof_html(saltmarsh.pattern()).decode()
    assert "http" not in page
    assert "url(" not in page
    assert "@import" not in page
    assert "prefers-color-scheme: dark" in page


def test_a_bare_pattern_says_there_is_nothing_to_report():
    bare = replace(
        saltmarsh.of_pieces(),
        seams=(),
        proofs=(),
        ledger=(),
        values=(),
        lists=(),
        reports=(),
        cautions=(),
        findings=(),
    )
    reader = read(bare)
    assert "Nothing to report." in reader.text
    assert "table" not in [tag for tag, _ in reader.tags]
