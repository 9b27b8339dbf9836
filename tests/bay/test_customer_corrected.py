"""What the customer answers when the words of a finding are corrected before, meanwhile or just behind it."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from assistant.bay.runner import JobRunner
from assistant.customer.customers import CustomerPages
from assistant.customer.waiting import waiting_answers
from assistant.display.customer import NotShown
from assistant.facts.customer import CustomerAnswered, CustomerAnsweredBefore
from assistant.facts.extra import Severity
from assistant.journal.opening import open_journal
from assistant.report.shown import shown_sha256
from tests.bay.live import LiveBay, press
from tests.bay.test_customers import PRICES, answer, answers_in, command, job_in, rehearsed, token_in


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path))
    return tmp_path


SWEEPS = [
    "i found something",
    '"the seal sweeps on the left"',
    "end note",
    "before it runs",
    "confirmed",
    "correct that",
]
WEEPS = ["correct that", '"the seal weeps on the left"', "before it runs", "confirmed"]


def test_a_page_of_before_the_words_were_corrected_answers_nothing_and_the_new_one_has_their_price(
    home: Path, tmp_path: Path
) -> None:
    lines = PRICES.replace("lies on", "lies on,findings").replace("EUR,\n", "EUR,,\n").replace(",all", ",all,")
    (tmp_path / "prices.csv").write_text(lines + "other,cure,seal cure,,12.50,,EUR,,seal weeps\n")
    rehearsed(home, "\n".join(["next", "next", *SWEEPS]))
    printed = command(home, "customer", "last", "--prices", str(tmp_path / "prices.csv"))
    token, pages = printed.split("/customer/")[1].split()[0], CustomerPages()
    before = pages.page(token).offer(1)
    assert before is not None
    assert (before.text, before.price) == ("the seal sweeps on the left", "price on request")
    rehearsed(home, "\n".join([*WEEPS, "pause"]), "--job", "last")
    with pytest.raises(NotShown, match="has changed since you opened this page"):
        pages.answer(token, 1, before.shown, granted=True)
    assert answers_in(home) == []
    after = pages.page(token).offer(1)
    assert after is not None
    assert (after.text, after.price, after.answer) == ("the seal weeps on the left", "13.75 EUR", "")  # and a tenth
    pages.answer(token, 1, after.shown, granted=True)
    assert [one.granted for one in answers_in(home)] == [True]


def test_an_answer_that_waits_while_the_words_are_corrected_grants_nothing_and_is_told(home: Path) -> None:
    rehearsed(home, "\n".join(["next", "next", *SWEEPS]))
    token, pages = token_in(home), CustomerPages()
    with open_journal(home) as journal:
        held = journal.hold("last", round(time.time() * 1000))
        answer(pages, token, 1, granted=True)
        held.close()
    rehearsed(home, "\n".join([*WEEPS, "pause"]), "--job", "last")
    pages.collect_all()
    assert waiting_answers(job_in(home)) == []
    assert [type(one) for one in answers_in(home)] == [CustomerAnsweredBefore]
    offer = pages.page(token).offer(1)
    assert offer is not None
    assert (offer.text, offer.answer) == ("the seal weeps on the left", ""), "it is asked again, in its new words"
    resumed = rehearsed(home, "carry on\n+1 min\nwhat extra work", "--job", "last")
    told = "The customer also answered extra work one: granted. But what was shown has changed since, so that does not "
    assert any(told in said for said in resumed.said)
    assert resumed.said[-1] == "Extra work one, corrected, the seal weeps on the left: waits for an answer."
    answer(pages, token, 1, granted=False)
    resumed = rehearsed(home, "+1 min\nwhat extra work", "--job", "last")
    assert any("Extra work one is declined by the customer." in said for said in resumed.said)


def test_the_loop_of_a_job_grants_nothing_that_counts_otherwise_by_now(tmp_path: Path) -> None:
    """The button was pressed a moment before the mechanic's word, and comes into the loop a moment behind it."""
    live = LiveBay(tmp_path)
    live.open()
    found = ["i found something", "the seal sweeps", "end note", "next service", "confirmed"]
    shown = shown_sha256(1, "", "the seal sweeps", Severity.NEXT_SERVICE, None, None)

    def pressed(runner: JobRunner, now: float) -> None:
        answered = CustomerAnswered(
            work="finding:1", number=1, granted=True, shown_sha256=shown, price=None, at_ms=round(now * 1000)
        )
        assert runner.customer(answered, now)

    try:
        again = ["correct that", "the seal weeps", "next service", "confirmed"]
        live.run(*press("next", "next", *found, *again), pressed)
        kinds = [kind for kind, _ in live.entries()]
    finally:
        live.close()
    assert "finding_corrected" in kinds
    assert [kind for kind in kinds if kind.startswith(("customer", "extra"))][:1] == ["customer_answered_before"]
    assert "extra_granted" not in kinds
