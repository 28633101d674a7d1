"""The cost sheet from a maker's own rates, the cutting ticket and the sewing order."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from scye.cli.main import main
from scye.ir.notions import ClothLaid, Rates
from scye.ir.pattern import Pattern
from scye.lists.sheet import lists_of
from scye.read.rates import read_rates
from scye.source import Source
from workroom import INCH, ROOT, Workroom

SALTMARSH = ROOT / "recipes" / "saltmarsh-bodice" / "saltmarsh-bodice.scye"
RATES = """currency: USD
hour: 25
hours:
  draft: 2 1/2
  make: 14
  finish:
prices:
  eyelets: 0.08
  lace: 1.50 a yd
  spiral bone: 1.205
  washers:
cloth:
  self: 1 1/4 yd
deposit: 40%
fittings: 2
extra fitting: 30
"""


def read(text: str) -> Rates:
    rates, found = read_rates(Source("rates.yaml", text))
    assert found == []
    return rates


@pytest.fixture
def pattern(tmp_path: Path) -> Pattern:
    return Workroom(tmp_path).pattern(SALTMARSH, "wren")


def test_nothing_is_invented(pattern: Pattern) -> None:
    cost = lists_of(pattern, Rates()).cost
    lines = (*cost.hours, *cost.cloth, *cost.findings)
    assert {line.sum for line in lines} == {""}
    assert {line.rate for line in lines} == {""}
    assert (cost.total, cost.blanks) == ("", len(lines))
    assert {text for _, text in cost.terms} == {""}


def test_hours_at_the_rate(pattern: Pattern) -> None:
    cost = lists_of(pattern, read(RATES)).cost
    assert [(h.name, h.quantity, h.rate, h.sum) for h in cost.hours] == [
        ("draft", "2.5 h", "25.00", "62.50"),
        ("make", "14 h", "25.00", "350.00"),
        ("finish", "", "25.00", ""),
    ]


def test_findings_are_priced_with_their_spare(pattern: Pattern) -> None:
    sums = {line.name.split(",")[0]: (line.quantity, line.rate, line.sum) for line in _findings(pattern)}
    assert sums["eyelets"] == ("29", "0.08", "2.32")
    # 242 in are 6.7222 yd.
    assert sums["lace"] == ("242 in", "1.50 a yd", "10.08")
    assert sums["washers"] == ("29", "", "")


def _findings(pattern: Pattern):  # type: ignore[no-untyped-def]
    return lists_of(pattern, read(RATES)).cost.findings


def test_the_total_is_that_of_the_printed_lines(pattern: Pattern) -> None:
    cost = lists_of(pattern, read(RATES)).cost
    lines = (*cost.hours, *cost.cloth, *cost.findings)
    printed = sum(Decimal(line.sum) for line in lines if line.sum)
    assert cost.total == f"{printed} USD"
    assert cost.blanks == sum(not line.sum for line in lines) > 0


def test_a_deposit_is_reckoned_only_of_a_whole_sum(pattern: Pattern) -> None:
    assert dict(lists_of(pattern, read(RATES)).cost.terms)["Deposit"] == "40 %"
    kinds = {line.kind: "1" for line in pattern.notions} | {"self": "10 a yd", "lining": "10 a yd"}
    text = "hour: 10\nhours:\n  make: 1\ndeposit: 50%\nprices:\n"
    text += "".join(f"  {kind}: {price}\n" for kind, price in kinds.items())
    text += "cloth:\n  self: 1 yd\n  lining: 1 yd\n"
    cost = lists_of(pattern, read(text)).cost
    assert cost.blanks == 0
    assert dict(cost.terms)["Deposit"] == f"50 % = {Decimal(cost.total) / 2:.2f}"


def test_cloth_takes_its_length_from_the_file(pattern: Pattern) -> None:
    rates = read("prices:\n  self: 14 a yd\ncloth:\n  self: 1 1/4 yd\n")
    shell, lining = lists_of(pattern, rates).cost.cloth
    assert (shell.quantity, shell.rate, shell.sum) == ("1 1/4 yd", "14.00 a yd", "17.50")
    assert (lining.quantity, lining.rate, lining.sum) == ("", "", "")


def test_cloth_that_was_laid_goes_before_what_the_file_says(pattern: Pattern) -> None:
    """A yard and three eighths at 14 a yard."""
    rates = read("prices:\n  self: 14 a yd\ncloth:\n  self: 1 1/4 yd\n  lining: 1 yd\n")
    laid = ClothLaid("self", 11 / 8 * 36 * INCH, "1 3/8 yd", "the lay: 47 in, rounded up to 1/8 yd")
    shell, lining = lists_of(pattern, rates, laid).cost.cloth
    assert (shell.quantity, shell.sum) == ("1 3/8 yd", "19.25")
    assert shell.source == "the lay: 47 in, rounded up to 1/8 yd"
    assert (lining.quantity, lining.source) == ("1 yd", "your rates")


def test_each_figure_says_where_it_comes_from(pattern: Pattern) -> None:
    cost = lists_of(pattern, read(RATES)).cost
    assert {line.source for line in cost.hours if line.quantity} == {"your rates"}
    assert {line.source for line in (*cost.hours, *cost.cloth) if not line.quantity} <= {""}
    assert "26 and 3 spare" in {line.source for line in cost.findings}


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("hour: lots", "`hour` is `lots`"),
        ("hour: [1, 2]", "`hour` is no single value"),
        ("hours:\n  make: 3 in", "`make` takes `3 in`"),
        ("prices:\n  lace: 2 a fathom", "the price of lace is `2 a fathom`"),
        ("prices:\n  lace: -2", "the price of lace is `-2`"),
        ("prices:\n  lace: {each: 2}", "`lace` is no single figure"),
        ("cloth:\n  self: 3", "the cloth for self is `3`"),
        ("deposit: 140%", "the deposit is `140%`"),
    ],
)
def test_what_cannot_be_read_is_said_and_left_blank(text: str, said: str) -> None:
    rates, found = read_rates(Source("rates.yaml", text))
    assert [d.seen() for d in found] == [said]
    assert found[0].attempt()
    assert replace(rates, hours=()) == Rates()
    assert all(hours is None for _, hours in rates.hours)


def test_a_misspelt_name_is_an_error() -> None:
    _, found = read_rates(Source("rates.yaml", "ours:\n  make: 3\n"))
    assert len(found) == 1
    assert "ours" in found[0].seen()


def test_bad_rates_stop_the_run(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    rates, out = tmp_path / "rates.yaml", tmp_path / "out"
    rates.write_text("hour: lots\n", encoding="utf-8")
    card = ROOT / "examples" / "cards" / "wren.yaml"
    words = ["build", str(SALTMARSH), "--body", str(card), "--out", str(out), "--rates", str(rates)]
    assert main(words) == 2
    assert "E1807" in capsys.readouterr().err
    assert not out.exists()


def test_the_ticket_has_each_layer_by_itself(pattern: Pattern) -> None:
    ticket = lists_of(pattern, Rates()).ticket
    assert [(layer.layer, layer.total, len(layer.lines)) for layer in ticket] == [
        ("self", 10, 5),
        ("lining", 10, 5),
    ]
    assert {line.how for layer in ticket for line in layer.lines} == {"in pairs, mirrored"}


def test_the_sewing_order_is_as_written_under_the_choices_made(tmp_path: Path, pattern: Pattern) -> None:
    steps = lists_of(pattern, Rates()).steps
    assert any("eyelets" in step for step in steps)
    zipped = Workroom(tmp_path).pattern(SALTMARSH, "wren", closing="zipped")
    steps = lists_of(zipped, Rates()).steps
    assert "set the zip" in steps
    assert not any("eyelets" in step for step in steps)


def test_without_one_seams_come_as_they_are_written(tmp_path: Path) -> None:
    recipe = ROOT / "examples" / "06-seams" / "06-seams.scye"
    pattern = Workroom(tmp_path).pattern(recipe, "wren")
    steps = lists_of(pattern, Rates()).steps
    assert len(steps) == len(pattern.seams) > 0
    assert steps[0].startswith(f"Sew seam {pattern.seams[0].letter}: ")
