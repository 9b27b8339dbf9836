"""What went wrong in a job stands in its record under open items, and on the label, whatever reason was given."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.cli.printing.label import write_label
from assistant.cli.printing.options import LabelOptions
from assistant.journal.opening import open_journal
from assistant.kept.label import label_texts
from assistant.report.record.made import make
from assistant.terminal.exits import Exit
from tests.typed.play import ROOT, play

LID = ROOT / "tests/typed/procedures/gear-lid.yaml"
TALK = ROOT / "tests/typed/talks/closing-with-trouble.txt"


@pytest.fixture
def home(tmp_path, monkeypatch) -> Path:
    played = play(LID, TALK.read_text("utf-8"), home=tmp_path)
    assert played.exit == 0
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path))
    return tmp_path


WANTED = (
    "PROBLEM in step 2: one is broken off in the block",
    "lid bolts: DIFFERS FROM THE PROCEDURE: 3, 3 of 4",
    "lid 1, stage 1: 12 N·m is ABOVE LIMITS",
    "step 3, Measure the play of the shaft: read 0.2 mm (limits 0.05 to 0.15 mm): OUT OF LIMITS",
    "step C1, Is a rag left in the case: answered yes, EXPECTED no",
)


def test_the_record_lists_all_that_went_wrong_with_its_reasons(home):
    with open_journal(home, read_only=True) as journal:
        name = journal.resolve("last")
        record = make(name, journal.read(name).entries, paper="a4").record
    found = {one.what: one.reason for one in record.open}
    assert set(WANTED) <= set(found)
    assert found[WANTED[2]] == "no other bolt is here"
    assert found[WANTED[3]] == "the foreman knows"
    assert found[WANTED[4]] == "it is under the gear"
    assert found["closed with open items"] == "the owner takes it away"
    assert len(found) == 6


def test_the_label_names_what_is_open_and_a_small_one_says_how_much(home):
    _, texts = label_texts("last", "")
    assert [text for text, bold in texts if bold][-5:] == [f"OPEN: {what}" for what in WANTED]
    drawn = {}
    for size in ("300x150", "63.5x38.1"):
        path = home / f"{size}.pdf"
        assert write_label("last", LabelOptions(pdf=path, size=size)) is Exit.OK
        drawn[size] = _words(path)
    assert all(what in drawn["300x150"] for what in WANTED)
    assert "OPEN ITEMS: 5, see the record" in drawn["63.5x38.1"]


def _words(path: Path) -> str:
    import pypdf

    return " ".join(pypdf.PdfReader(path).pages[0].extract_text().split())


def test_bolts_that_were_loosened_stand_between_what_they_got_twice_and_their_old_ones_are_scrap(tmp_path):
    gearbox = ROOT / "procedures/gearbox-side-cover.yaml"
    talk = ROOT / "tests/typed/talks/loosened-single-use.txt"
    played = play(gearbox, talk.read_text("utf-8"), tools=ROOT / "procedures/tools/practice-bay.yaml", home=tmp_path)
    assert played.exit == 0
    with open_journal(tmp_path, read_only=True) as journal:
        name = journal.resolve("last")
        record = make(name, journal.read(name).entries, paper="a4").record
    thirteen = [(one.stage, one.result) for one in record.tightenings if 13 in one.bolts]
    assert thirteen == [(1, "confirmed"), (2, "ABOVE LIMITS"), (2, "loosened"), (1, "confirmed"), (2, "confirmed")]
    end = next(one for one in record.fasteners if one.group == "end bolts")
    assert (end.out, end.scrapped, end.result) == (2, 4, "agrees")
    assert not record.open
