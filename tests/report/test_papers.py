"""Papers about money: the gold pages, and that text, JSON and page say the same sums."""

import json
import re
from decimal import Decimal

import pytest
from typer.testing import CliRunner

from assistant.__main__ import app
from assistant.advice.prices import PriceKind
from assistant.facts.extra import BranchTaken
from assistant.facts.going import ItemFound, ItemMissing
from assistant.facts.kinds.fit import PartFitted
from assistant.facts.taking_back import Reopened
from assistant.journal.opening import open_journal
from assistant.procedure.format.price_file import read_prices
from assistant.report.accounts.invoice import invoice_of
from assistant.report.accounts.order import job_order_lines, missing_others, order_lines
from assistant.report.accounts.quote import book_hours
from assistant.report.accounts.used import used_in
from assistant.report.pdf_text import page_texts
from assistant.report.record.build import build_record, opening_of, procedure_of
from assistant.report.record.standing import what_stands
from tests.jobs import ROOT, entries_of, kept, opening, work
from tests.journal.golden import load
from tests.report.gold import GOLD, gold_papers
from tests.report.test_accounts import DEMO, HEAD, VALVES

LIST = str(ROOT / "procedures" / "prices-alder-row.csv")
VALVE_FILE = ROOT / "procedures" / "valve-clearances.yaml"
REGOLD = "look at the difference; if it is right, say: python -m tests.report.gold"


def run(*words):
    return CliRunner().invoke(app, [*words])


@pytest.mark.parametrize("name", ["quote", "order-list", "invoice", "quote-with-own-text"])
def test_the_paper_of_a_demo_is_the_gold_one(name, tmp_path):
    assert gold_papers(tmp_path)[name].splitlines() == (GOLD / f"{name}.html").read_text("utf-8").splitlines(), REGOLD


def test_text_json_and_page_say_the_same_sums(tmp_path):
    page = tmp_path / "quote.html"
    text = run("quote", "valve-clearances", "--prices", LIST).output
    values = json.loads(run("quote", "valve-clearances", "--prices", LIST, "--json").output)
    assert run("quote", "valve-clearances", "--prices", LIST, "--html", str(page)).exit_code == 0
    html = page.read_text("utf-8")
    # Worked by hand in test_accounts.py.
    assert values["sure"]["total"] == {"low": "599.94", "high": "599.94", "currency": "EUR"}
    assert values["total"] == {"low": "599.94", "high": "695.68", "currency": "EUR"}
    assert not values["may_be_less_than_it_costs"]
    for amount in ("599.94 EUR", "104.12 EUR", "599.94 to 695.68 EUR", "81.22 to 95.74 EUR"):
        assert amount in text
        assert amount in html
    for paper in (text, html, " ".join(values["notes"])):
        assert "invented" in paper
        assert "binds nobody" in paper


@pytest.mark.slow
def test_the_pdf_says_it_too(tmp_path):
    out = tmp_path / "quote.pdf"
    assert run("quote", "valve-clearances", "--prices", LIST, "--pdf", str(out), "--paper", "letter").exit_code == 0
    words = "".join(page_texts(out.read_bytes()))
    assert "599.94to695.68EUR" in re.sub(r"\s", "", words)
    again = run("quote", "valve-clearances", "--prices", LIST, "--pdf", str(out))
    assert again.exit_code == 8
    assert "is there already" in again.output


def test_a_quote_that_lacks_a_price_says_so_first(tmp_path):
    few = tmp_path / "few.csv"
    few.write_text(HEAD + "labour,mechanic,,h,64,,EUR,,,\n", "utf-8")
    result = run("quote", "valve-clearances", "--prices", str(few))
    assert result.exit_code == 0
    assert "SOMETHING HAS NO PRICE: the sums are too low by it." in result.output
    assert "no part of that name is in the price list" in result.output
    assert "NO PRICE" in result.output
    assert "The price list has no tax, so none is counted." in result.output
    assert "341.12 EUR" in result.output


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (("quote", "valve-clearances", "--prices", "no.csv"), 4, "no.csv cannot be read"),
        (("quote", "valve-clearances", "--prices", str(VALVE_FILE)), 4, "There is no head"),
        (("quote", str(LIST), "--prices", LIST), 4, "error"),
        (("order-list", "--prices", LIST), 2, "Name a procedure, or a job with --job: one of them."),
        (("order-list", "valve-clearances", "--job", "last", "--prices", LIST), 2, "one of them"),
        (("order-list", "--job", "nothing-like-it", "--prices", LIST), 6, "There is no journal"),
    ],
)
def test_what_cannot_be_is_refused_in_one_sentence(home, words, code, says):
    result = run(*words)
    assert result.exit_code == code
    assert says in result.output
    assert "Traceback" not in result.output


def test_what_is_to_order_is_what_the_store_lacks():
    lines = {one.needed.id: one for one in order_lines(VALVES, DEMO)}
    bolts, seal, oil, rail = (lines[name] for name in ("damper-bolts", "front-seal", "oil", "tension-rail"))
    assert (bolts.needed.amount, bolts.stock, bolts.order.amount) == (5, 3, 2)
    assert str(bolts.order.net.low.amount) == "4.70"
    assert (seal.order.amount, seal.order.number) == (1, "AR-0093")
    assert oil.is_there
    assert oil.stock == 60
    assert rail.reason == "may be needed: Change the tension rail"


def test_what_the_list_does_not_know_is_to_order_all_of_it():
    prices = read_prices((HEAD + "part,damper-bolts,,,2,,EUR,,,\n").encode(), "l.csv").prices
    lines = {one.needed.id: one for one in order_lines(VALVES, prices)}
    assert (lines["damper-bolts"].stock, lines["damper-bolts"].order.amount) == (None, 5)
    assert lines["front-seal"].order.net is None
    assert lines["front-seal"].order.amount == 1


BENCH = (GOLD / "bench.csv").read_text("utf-8")


@pytest.fixture
def golden(tmp_path):
    """Return entries and procedure of a golden journal, whole or up to its first entry of a kind."""

    def read(name, until=""):
        folder = tmp_path / name
        with open_journal(folder if folder.exists() else load(name, folder), read_only=True) as journal:
            entries = journal.read(journal.resolve("last")).entries
        at = next((n for n, entry in enumerate(entries, 1) if entry.kind == until), len(entries))
        return entries[:at], procedure_of(opening_of(entries))

    return read


def ordered(golden, name, until="", prices=BENCH):
    entries, procedure = golden(name, until)
    found = job_order_lines(procedure, read_prices(prices.encode(), "l.csv").prices, what_stands(entries))
    return [(one.needed.id, one.order.amount, one.reason) for one in found]


def test_a_job_orders_what_granted_work_needs(golden):
    assert ordered(golden, "lid-and-rail", "extra_asked") == []
    assert ordered(golden, "lid-and-rail", "extra_begun") == [("hose", 1, "granted: change the breather hose")]
    assert ordered(golden, "lid-and-rail") == []  # the hose is on, and what was declined is not ordered


def test_a_job_orders_a_new_bolt_for_one_that_broke(golden):
    (found,) = ordered(golden, "broken-bolts", "dropped")
    assert found[1:] == (1, "lid bolts, bolt 2: broke")


def test_a_job_orders_what_its_preparation_lacked(golden):
    entries, procedure = golden("pump-cover", "step_done")
    stands = what_stands(entries)
    missing = [one.fact for one in stands if isinstance(one.fact, ItemMissing)]
    found = [one for one in stands if isinstance(one.fact, ItemFound)]
    lines = job_order_lines(procedure, DEMO, stands)
    others = missing_others(procedure, stands)
    assert missing
    assert 0 < len(lines) + len(others) <= len(missing) - len(found)
    assert all(one.reason == "missing in the preparation" for one in lines)


def test_the_order_list_of_a_job_is_printed_with_its_name(tmp_path, monkeypatch):
    monkeypatch.setenv("ASSISTANT_HOME", str(load("lid-and-rail", tmp_path / "lid")))
    result = run("order-list", "--job", "last", "--prices", LIST)
    assert result.exit_code == 0, result.output
    assert "  job: bay1-2026-11-28-1" in result.output
    assert "To order\n\nnothing" in result.output


def invoiced(golden, name, kinds=None, prices=BENCH, until=""):
    entries, procedure = golden(name, until)
    listed = read_prices(prices.encode(), "l.csv").prices
    return invoice_of(procedure, listed, entries, build_record("j", entries), kinds or {})


def rows(it):
    return [(one.kind.value, one.name, str(one.amount), one.net.text if one.net else "-") for one in it.positions]


def test_the_figures_of_a_job_are_as_the_hand_adds_them_up(golden):
    found = invoiced(golden, "lid-and-rail")
    # 528 s of work are 0.15 h at 60; the rail went in because its check said no, which nobody had to grant.
    assert rows(found.own) == [
        ("labour", "mechanic", "0.15", "9.00 EUR"), ("part", "slide rail", "1", "30.00 to 36.00 EUR"),
    ]  # fmt: skip
    # The hose was granted and took 12 s; the finding was granted and done, and its very words stand in the list.
    assert rows(found.extra) == [
        ("labour", "mechanic", "0.00", "0.00 EUR"), ("part", "breather hose", "1", "14.50 EUR"),
        ("other", "the seal weeps on the left", "1", "25.00 EUR"),
    ]  # fmt: skip
    assert found.all.net.text == "78.50 to 84.50 EUR"
    assert found.all.total.text == "86.35 to 92.95 EUR"  # and a tenth
    assert [(row.what, row.stands) for row in found.not_counted] == [
        ("set the play", "NOT ANSWERED"), ("a loose clip", "declined"), ("a scratch on the lid", "advised"),
    ]  # fmt: skip
    assert found.above is None  # nobody wrote a book time, so the quote had no price for the work


def test_a_finding_that_was_clocked_and_the_hours_of_who_helped_are_charged(golden):
    found = invoiced(golden, "helping-hands")
    # 422.1 s and 488.2 s of the finding are 0.25 h at 60 for each of the two who worked on it.
    assert rows(found.extra) == [
        ("labour", "mechanic", "0.25", "15.00 EUR"), ("labour", "mechanic", "0.25", "15.00 EUR"),
        ("other", "the seal weeps on the left", "1", "25.00 EUR"),
    ]  # fmt: skip
    assert [one.note for one in found.own.positions if one.kind is PriceKind.LABOUR] == [
        "A. Reed", "C. Hall, as second person", "Ben Fisher, as second person",
    ]  # fmt: skip
    unlisted = "".join(line for line in BENCH.splitlines(keepends=True) if "weeps" not in line)
    _, head, *lines = unlisted.splitlines()
    words = "\n".join(
        (f"{head},findings", *(f"{line}," for line in lines), "part,seal,seal,,12,,EUR,,,,seal weeps", "")
    )
    found = invoiced(golden, "helping-hands", {}, words)
    (seal,) = (one for one in found.extra.positions if one.kind is PriceKind.PART)
    assert (seal.net.text, seal.note) == (
        "12.00 EUR",
        'by the words "seal weeps" of the list: look whether it was used',
    )
    assert [one[0] for one in rows(found.extra)] == ["labour", "labour", "part"]  # its hours were clocked
    found = invoiced(golden, "helping-hands", {"C. Hall": "helper"}, unlisted)
    assert [one[0] for one in rows(found.extra)] == ["labour", "labour"]  # its hours are its price
    assert [one.name for one in found.own.positions if one.kind is PriceKind.LABOUR][:2] == ["mechanic", "helper"]


def test_what_is_granted_and_not_done_is_not_charged(golden):
    found = invoiced(golden, "lid-and-rail", until="extra_begun")
    assert rows(found.extra) == []
    assert ("change the breather hose", "granted") in [(row.what, row.stands) for row in found.not_counted]


def test_bolts_that_broke_are_charged_once_each_and_hours_by_kind(golden):
    found = invoiced(golden, "broken-bolts", {"C. Hall": "helper"}, BENCH + "part,lid,lid bolts,,0.90,,EUR,,,\n")
    assert rows(found.own)[:3] == [
        ("labour", "mechanic", "0.07", "4.20 EUR"), ("labour", "helper", "0.07", "2.80 EUR"),
        ("part", "lid bolts", "2", "1.80 EUR"),
    ]  # fmt: skip
    assert [one.name for one in found.all.unpriced] == ["rags"]


def done_on(path, *facts):
    """Return entries and procedure of a job on ``path`` in which these facts happened, a second each."""
    _, first = opening(path)
    _, entries = kept([first], 0, *(([fact], 1000 * second) for second, fact in enumerate(facts, 1)))
    return entries, procedure_of(opening_of(entries))


LID = ROOT / "tests/typed/procedures/lid-and-rail.yaml"
RAIL = ("rail-out", "rail-in", "rail-moves")


def rail_fitted(count=1, *, repeated=False):
    return PartFitted(step="rail-in", spare="rail", count=count, expected=1, repeated=repeated)


def opened(turn):
    return BranchTaken(branch="rail-cracks:no", steps=RAIL, round=turn)


@pytest.mark.parametrize(
    ("facts", "count"),
    [
        ((opened(1), rail_fitted()), 1),
        ((opened(1), rail_fitted(), rail_fitted(repeated=True)), 1),  # said again
        ((opened(1), rail_fitted(2), rail_fitted(1, repeated=True)), 1),  # corrected
        ((opened(1), rail_fitted(), opened(2), rail_fitted()), 2),  # the branch came again, and so did a new rail
        ((opened(1), rail_fitted(), Reopened(place="rail-in")), 0),  # taken back
        ((opened(1), rail_fitted(0)), 0),
    ],
)
def test_a_part_is_charged_as_often_as_it_was_fitted(facts, count):
    entries, procedure = done_on(LID, *facts)
    used = used_in(procedure, what_stands(entries))
    assert sum(one.amount for one in used.own) == count
    assert used.extra == ()


def test_a_whole_job_is_charged_as_it_was_done(journal):
    entries = entries_of(journal, work(journal, VALVE_FILE, operator="A. Reed"))
    found = invoice_of(VALVES, DEMO, entries, build_record("j", entries), {})
    by_name = {one.name: one for one in found.own.positions}
    assert by_name["engine oil"].net.text == "85.68 EUR"  # 11.5 l as filled in: 85.675
    assert by_name["engine oil"].note == "as it was filled in"
    assert by_name["new damper bolts"].net.text == "11.75 EUR"
    assert by_name["clean rags"].note == "as planned, not measured"
    assert (str(by_name["witness"].amount), by_name["witness"].note) == ("0.00", "Ines Ahrend, as second person")
    assert "tension rail" not in by_name
    assert found.extra.positions == ()
    clock, second = found.clocks
    assert (clock.person, second.person, second.is_second) == ("A. Reed", "Ines Ahrend", True)
    assert by_name["mechanic"].amount == book_hours(Decimal(clock.own) / 1000)
    assert {one.name for one in found.differences} == {"mechanic", "witness", "engine oil"}
    assert found.above.low.amount == found.all.total.low.amount - Decimal("599.94")


def test_the_command_says_that_it_is_no_invoice_and_keeps_its_files_for_their_owner(tmp_path, monkeypatch):
    monkeypatch.setenv("ASSISTANT_HOME", str(load("broken-bolts", tmp_path / "b")))
    bench, page = tmp_path / "bench.csv", tmp_path / "figures.html"
    bench.write_text(BENCH, "utf-8")
    result = run("invoice", "last", "--prices", str(bench), "--kind", "C. Hall=helper", "--html", str(page), "--json")
    assert result.exit_code == 0, result.output
    values = json.loads(result.output[: result.output.rindex("}") + 1])
    assert values["note"].startswith("THIS IS NO INVOICE")
    assert [(one["person"], one["kind"]) for one in values["hours"]] == [("A. Reed", "mechanic"), ("C. Hall", "helper")]
    assert page.stat().st_mode & 0o077 == 0
    assert "THIS IS NO INVOICE" in page.read_text("utf-8")


@pytest.mark.parametrize(
    ("kind", "says"),
    [
        ("helper", "says nothing of who worked on the job: write NAME=KIND for A. Reed, C. Hall."),
        ("B. Stone=helper", "says nothing of who worked on the job"),
        ("C. Hall=cook", 'The price list has no work of "cook": write one of mechanic, helper.'),
    ],
)
def test_a_kind_that_nobody_is_is_refused(kind, says, tmp_path, monkeypatch):
    monkeypatch.setenv("ASSISTANT_HOME", str(load("broken-bolts", tmp_path / "b")))
    result = run("invoice", "last", "--prices", str(GOLD / "bench.csv"), "--kind", kind)
    assert result.exit_code == 2
    assert says in result.output


def test_a_forgotten_job_names_nobody(tmp_path, monkeypatch):
    monkeypatch.setenv("ASSISTANT_HOME", str(load("cap", tmp_path / "c")))
    result = run("invoice", "last", "--prices", str(GOLD / "bench.csv"))
    assert result.exit_code == 0, result.output
    assert "[removed]" in result.output
