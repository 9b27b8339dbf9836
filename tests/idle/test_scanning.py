"""Codes between jobs: an order or a machine chooses what the next job is for, and none of them begins anything."""

from __future__ import annotations

from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from assistant.facts.scan import CardScanned, ScanFrom
from assistant.idle.deciding import answer_to
from assistant.idle.state import AtHand, Between, CodeRead, JobCard, ListRow, RowKind
from assistant.journal.opening import open_journal
from assistant.language.en import ENGLISH
from assistant.scan.meaning import Known as KnownCodes
from assistant.scan.order_list import WorkOrder
from tests.idle.typed_day import day

ORDERS = """order;machine;customer;procedure
WO-4711;Gearbox 12;Row of Alders;gearbox-side-cover.yaml
WO-4712;Pump 3;;gone.yaml
WO-4713;Pump 4;Row of Alders;
"""
CLOSE = ["finish job", '"practice only"', "end note", "confirmed"]


def orders_at(home: Path, text: str = ORDERS) -> None:
    home.mkdir(exist_ok=True)
    (home / "orders.csv").write_text(text, "utf-8")


def test_an_order_gives_machine_customer_and_procedure(home: Path, procedures: Path) -> None:
    orders_at(home)
    played = day(home, [CodeRead("wo4711"), "start", "confirmed", *CLOSE, CodeRead("Gearbox 12")], procedures)
    assert played.said(1) == "Order W O four seven one one. One: Side cover of the practice gearbox. Say start."
    with open_journal(home) as journal:
        entries = [entry.fact for entry in journal.read(played.closed[0]).entries]
    assert (entries[0].asset, entries[0].customer) == ("Gearbox 12", "Row of Alders")  # type: ignore[attr-defined]
    (card,) = (fact for fact in entries if isinstance(fact, CardScanned))
    assert card == CardScanned(order="WO-4711", fields=("asset", "customer"), source=ScanFrom.KEYS)
    assert "Side cover of the practice gearbox" in played.said(8)


def test_a_job_for_the_machine_that_is_open_is_gone_on_with(home: Path, procedures: Path) -> None:
    orders_at(home)
    day(home, [CodeRead("WO-4711"), "start", "confirmed", "next"], procedures)
    played = day(home, [CodeRead("Gearbox 12"), "resume", "confirmed"], procedures)
    assert played.said(1).endswith("One: Side cover of the practice gearbox, open. Say resume.")
    with open_journal(home) as journal:
        assert len(list(journal.scan())) == 1


def test_what_is_wrong_is_said_and_nothing_begins(home: Path, procedures: Path) -> None:
    orders_at(home)
    codes = ["WO-4712", "WO-4713", "start job", "TOOL small-wrench", "11111111211111111", "1" * 16 + "2"]
    played = day(home, [CodeRead(code) for code in codes], procedures)
    assert "Its procedure is not in the folder. Say procedures." in played.said(1)
    assert "Say procedures, and choose one." in played.said(2)
    assert "I do not know it" in played.said(3)
    assert "Begin a job, then scan it." in played.said(4)
    assert "The check digit of this vehicle number is wrong." in played.said(5)
    orders_at(home, "order;machine\n1\n")
    broken = day(home, [CodeRead("WO-4711")], procedures)
    assert broken.said(1) == "The list of orders cannot be read. The screen says what to mend."
    assert any("Line 2 of orders.csv" in note for note in broken.notes)
    with open_journal(home) as journal:
        assert not list(journal.scan())


ROW = ListRow(kind=RowKind.PROCEDURE, key="cover.yaml", title="Side cover", stands="procedure")
WORLD = AtHand(
    (), (ROW,), codes=KnownCodes((WorkOrder("7", "Gearbox", "", "cover"), WorkOrder("8", "Gearbox", "", "")))
)


@given(st.lists(st.text(max_size=20) | st.sampled_from(["7", "8", "Gearbox", "1" * 17, "y", "confirmed"]), max_size=6))
def test_no_code_begins_a_job(codes: list[str]) -> None:
    state = Between(WORLD)
    for code in codes:
        answer = answer_to(state, CodeRead(code), 1000, ENGLISH)
        assert answer.wish is None
        assert answer.state.asking is None
        state = answer.state
    assert state.card == JobCard() or state.card.scanned is ScanFrom.KEYS
