"""The workshop's own text on the page for a customer: as it was when the link was made, and no other."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.customer.customers import CustomerPages
from assistant.customer.links import customer_folder
from tests.bay.test_customers import command, job_in, rehearsed

WORDINGS = "[letterhead]\nÖrn & Co\nRow 7\n[customer]\nCall us.\n\n<b>Soon</b>\n[record]\nNot for the page.\n"


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path))
    return tmp_path


def test_the_page_shows_the_workshops_own_text_as_it_was_when_the_link_was_made(home: Path) -> None:
    rehearsed(home)
    (home / "wordings.txt").write_text(WORDINGS, "utf-8")
    printed = command(home, "customer", "last")
    assert "It shows the workshop's own text as it is now" in printed
    (home / "wordings.txt").write_text("[customer]\nAnother one.\n", "utf-8")
    token = printed.split("/customer/")[1].split()[0]
    own = CustomerPages().page(token).own
    assert (own.letterhead, own.lines) == (("Örn & Co", "Row 7"), ("Call us.", "", "<b>Soon</b>"))
    kept = customer_folder(job_in(home)) / "wordings.txt"
    assert "Not for the page." not in kept.read_text("utf-8")
    offer = CustomerPages().page(token).offer(2)
    kept.write_text("[customer]\nNot\x00 a text", "utf-8")
    assert not CustomerPages().page(token).own
    assert CustomerPages().page(token).offer(2) == offer, "all else is as it was"
    (home / "wordings.txt").write_text("[customer]\nOne.\n[customer]\nTwo.\n", "utf-8")
    printed = command(home, "customer", "last")
    assert "The section [customer] is there twice" in printed
    assert not CustomerPages().page(printed.split("/customer/")[1].split()[0]).own
    assert not kept.exists()
