"""Which wordings a bay's papers have, from the office's desk on, and that they are nowhere but on paper."""

from __future__ import annotations

import json

import pytest

from assistant.procedure.wordings import OwnPaper
from assistant.workshop.wordings import own_text
from tests.jobs import ROOT
from tests.typed.play import play, procedure_named
from tests.workshop.desk import Desk

PRICES = ROOT / "procedures" / "prices-alder-row.csv"
QUOTE = ("quote", "valve-clearances", "--prices", PRICES, "--html")


@pytest.fixture
def bay(tmp_path, places):
    return Desk(tmp_path / "bay", places("alder.bay1"))


def test_a_bay_takes_the_newest_that_it_may_use_and_none_that_was_withdrawn(desk, bay, tmp_path):
    def publish(name, *bays):
        path = tmp_path / f"{name}.txt"
        path.write_text(f"[quote]\nThis is {name}.\n", "utf-8")
        desk.call("publish", path, *bays)
        bay.call("library", "--refresh")

    def paper():
        out = tmp_path / "q.html"
        out.unlink(missing_ok=True)
        bay.call(*QUOTE, out)
        text = out.read_text("utf-8")
        return [name for name in ("one", "two", "three", "mine") if f"This is {name}." in text]

    desk.call("publish", PRICES)
    assert paper() == []
    publish("one")
    assert paper() == ["one"]
    publish("two")
    assert paper() == ["two"]
    publish("three", "--for", "bay1")
    assert paper() == ["three"]
    desk.call("withdraw", "three", "--kind", "wordings", "--reason", "Unkind.", "--by", "Kim Example")
    bay.call("library", "--refresh")
    assert paper() == ["two"]
    bay.call("settings", "set", "wordings", "library/now/one.txt")
    assert paper() == ["one"]
    bay.call("settings", "set", "wordings", "")
    (bay.folder / "wordings.txt").write_text("[quote]\nThis is mine.\n", "utf-8")
    assert paper() == ["mine"]


def test_a_damaged_copy_is_not_used_and_said(desk, bay, tmp_path):
    path = tmp_path / "words.txt"
    path.write_text("[quote]\nAs published.\n", "utf-8")
    desk.call("publish", path)
    bay.call("library", "--refresh")
    (copied,) = [one for one in (bay.folder / "library").glob("*/words.txt") if one.parent.name != "now"]
    copied.write_text("[quote]\nSomething else.\n", "utf-8")
    told = bay.call(*QUOTE, tmp_path / "q.html")
    assert "The copy of words.txt from the library is damaged or gone: bring it up to date" in told
    assert "Papers come without the workshop's own text until then." in told
    assert "Something else." not in (tmp_path / "q.html").read_text("utf-8")


def test_what_cannot_be_used_is_not_published(desk, tmp_path):
    path = tmp_path / "words.txt"
    path.write_text("[quote]\na\n[quote]\nb\n", "utf-8")
    told = desk.call("publish", path, code=4)
    assert "words.txt:3:1: error: The section [quote] is there twice, first in line 1: keep one." in told
    assert told.rstrip().endswith("words.txt is not published: mend it first.")
    assert json.loads(desk.call("library", "--json")) == []


def test_nothing_of_it_is_spoken_or_in_the_journal(tmp_path, monkeypatch):
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path))
    (tmp_path / "wordings.txt").write_text("".join(f"[{one.value}]\nQuince marmalade.\n" for one in OwnPaper), "utf-8")
    talk = 'next\nnext\nwhere am i\ntake a note\n"plums"\nend note\nfinish job\n"it ends here"\nend note\nconfirmed\n'
    played = play(procedure_named("lid-and-rail"), talk, home=tmp_path)
    assert own_text(OwnPaper.RECORD).lines == ("Quince marmalade.",)
    assert "Quince" not in played.output + played.stderr
    kept = b"".join(file.read_bytes() for file in tmp_path.glob("journal*"))
    assert (b"plums" in kept, b"Quince" in kept) == (True, False)
