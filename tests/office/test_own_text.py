"""A record in the office has the workshop's own text that its bay's papers have, as soon as it is published."""

from __future__ import annotations

import contextlib

import pytest

from assistant.central.link import CentralLink
from assistant.workshop.library_file import prepare_file
from assistant.workshop.library_store import library_items, put_in_library, take_out_of_library
from tests.jobs import SHORTEST, work
from tests.office.test_pages import fetch, until


@pytest.mark.timeout(180)
def test_the_newest_text_that_the_bay_may_use_stands_on_the_record(workshop, serve, tmp_path, capsys):
    name = work(workshop.bay("bay1"), SHORTEST, most=3)
    workshop.bay("bay2")
    office = serve(workshop)
    until(lambda: name in office.watch.shown.cards)
    texts = ("for all", "for bay1", "for bay2", "of the office")

    def shown():
        page = fetch(office, f"/jobs/{name}")
        assert page.status == 200
        return [one for one in texts if f"This is {one}." in page.body.decode()]

    with contextlib.closing(CentralLink(workshop.place)) as link:

        def publish(text, *bays):
            path = tmp_path / f"{text.replace(' ', '-')}.txt"
            path.write_text(f"[record]\nThis is {text}.\n", "utf-8")
            put_in_library(link, prepare_file(path).files, bays, "Kim Example")

        assert shown() == []
        publish("for all")
        assert shown() == ["for all"]
        publish("for bay1", "bay1")
        assert shown() == ["for bay1"]
        publish("for bay2", "bay2")
        assert shown() == ["for bay1"]
        gone = [one for one in library_items(link) if one.id == "for-bay1"]
        take_out_of_library(link, gone, "Unkind.", "Kim Example")
        assert shown() == ["for all"]
    (tmp_path / "wordings.txt").write_text("[record]\nThis is of the office.\n", "utf-8")
    assert shown() == ["of the office"]
    (tmp_path / "wordings.txt").write_text("[nothing]\nThis is of the office.\n", "utf-8")
    assert shown() == []
    assert "There is no section [nothing]" in capsys.readouterr().err
