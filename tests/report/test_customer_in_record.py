"""What the customer answered on the page, in the record: who, when, the price, and whether the text is proved."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

from msgspec.structs import replace

from assistant.facts.customer import CustomerAnswered, PriceShown
from assistant.journal.opening import open_journal
from assistant.report.record.build import build_record
from assistant.report.record.model import ExtraLine
from tests.typed.play import play, procedure_named

PRICE = PriceShown(Decimal("40.00"), Decimal("55.50"), "EUR")
TALK = """
next
next
next
next
ask later
i found something
"the seal weeps on the left"
end note
before it runs
confirmed
customer grants 1
+1 min
customer declines 2
+1 min
customer grants 2
+1 min
pause
customer grants 2
"""


def rows_of(home: Path, **changed: object) -> list[ExtraLine]:
    """The rows of extra work, with the answers of the customer changed so."""
    with open_journal(home, read_only=True) as journal:
        name = journal.resolve("last")
        entries = journal.read(name).entries
    for entry in entries:
        if isinstance(entry.fact, CustomerAnswered) and changed:
            entry.__dict__["fact"] = replace(entry.fact, **changed)
    return list(build_record(name, entries).extra)


def test_who_answered_when_and_what_was_shown_stands_with_the_work(tmp_path: Path) -> None:
    home = tmp_path / "home"
    played = play(procedure_named("lid-and-rail"), TALK, home=home)
    first, second = rows_of(home)
    assert (first.stands, first.by) == (
        "granted",
        "the customer, on the page; price on request; shown as it stands here",
    )
    answers = played.facts("customer_answered")
    assert first.at_ms == answers[0]["at_ms"]  # when the button was pressed, not when it was told
    assert second.stands == "declined"  # a recommendation, as one that was declined by voice
    who, *beside = second.by.split("; ")
    assert (who, second.at_ms) == ("the customer, on the page", answers[1]["at_ms"])
    assert "later on the page: granted, which changed nothing" in beside
    assert "the customer, on the page: granted, NOT HEARD IN THE WORKSHOP YET" in beside


def test_another_text_or_price_than_was_shown_is_found(tmp_path: Path) -> None:
    home = tmp_path / "home"
    play(procedure_named("lid-and-rail"), TALK, home=home)
    assert "SHOWN OTHERWISE THAN IT STANDS HERE" in rows_of(home, price=PRICE)[0].by
    assert "40.00 to 55.50 EUR" in rows_of(home, price=PRICE)[0].by
    assert "SHOWN OTHERWISE THAN IT STANDS HERE" in rows_of(home, shown_sha256="0" * 64)[1].by
    assert "what was shown is removed" in rows_of(home, shown_sha256="[removed]")[0].by


SAID_AGAIN = """
i found something
"the seal sweeps on the left"
end note
before it runs
confirmed
correct that
{between}
"the seal weeps on the left"
only watch it
confirmed
"""


def test_a_finding_in_other_words_is_one_row_and_one_that_was_granted_meanwhile_stays_as_it_was(tmp_path: Path) -> None:
    play(procedure_named("lid-and-rail"), SAID_AGAIN.format(between="# nothing"), home=tmp_path / "alone")
    (only,) = rows_of(tmp_path / "alone")
    assert (only.number, only.what, only.stands) == (1, "the seal weeps on the left", "advised")
    assert only.corrected > only.entry > 0
    play(procedure_named("lid-and-rail"), SAID_AGAIN.format(between="customer grants 1"), home=tmp_path / "granted")
    first, second = rows_of(tmp_path / "granted")
    assert first.what == "the seal sweeps on the left"
    assert first.by.startswith("the customer, on the page: granted")
    assert first.by.endswith("shown as it stands here")
    assert (second.number, second.what) == (2, "the seal weeps on the left")
    assert first.corrected == second.corrected == 0
