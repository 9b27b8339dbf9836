"""What a mechanic hears when the disk is full while a timer runs out: said once, not for ever, and nothing is lost."""

import io

import pytest

from assistant.bay.conductor import Conductor
from assistant.bay.dialogue import Dialogue
from assistant.bay.job import open_job
from assistant.events import Heard, Limits, Record
from assistant.journal.port import JournalFault
from assistant.journal.sqlite import SqliteJournal
from assistant.procedure.reader import read_procedure
from assistant.settings import Settings
from tests.fakes.mechanic import next_words
from tests.fakes.silent_speaker import SilentSpeaker
from tests.journal import independent
from tests.whole_jobs.talks import ROOT

PROCEDURE = ROOT / "procedures" / "coolant-pump-cover.yaml"
NOON = 1_790_000_000.0
NOT_STORED = "That was not stored."


def test_a_timer_that_cannot_be_stored_is_told_once_and_stored_when_there_is_room(tmp_path):
    path = tmp_path / "journal.sqlite"
    journal = SqliteJournal(path)
    opened = open_job(journal, read_procedure(PROCEDURE), PROCEDURE.name, Settings(), Limits(), NOON)
    out, now = io.StringIO(), NOON
    conductor = Conductor(
        opened.session,
        opened.job,
        SilentSpeaker(),
        Dialogue(out, now),
        on_grammar=lambda _grammar: None,
        rebuild=opened.rebuild,
    )
    while (words := next_words(conductor.session.view(now))) is not None:
        now += 2.0
        conductor.hear(Heard(words, 0.95, now - 1.0, now), now)
    (pages,) = journal._db.execute("PRAGMA page_count").fetchone()
    journal._db.execute(f"PRAGMA max_page_count = {pages}")
    with pytest.raises(JournalFault, match="full"):
        while True:
            opened.job.append([Record("sound_lost", {"pieces_of_20_ms": 1})], round(now * 1000))
    kept = independent.check(path, opened.job.id)

    due = conductor.next_tick()
    for tenth in range(100):  # ten seconds of a loop that looks all the time
        conductor.tick(due + tenth / 10)
    assert out.getvalue().count(NOT_STORED) == 1
    assert independent.check(path, opened.job.id) == kept

    journal._db.execute("PRAGMA max_page_count = 10000")
    conductor.tick(conductor.next_tick())
    assert [kind for _, kind, _ in independent.check(path, opened.job.id)[len(kept) :]] == ["clock", "timer_ended"]
    assert out.getvalue().count(NOT_STORED) == 1
    journal.close()
