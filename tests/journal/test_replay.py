"""A job is built again from its entries alone, to the state in which it was; a difference is named."""

from dataclasses import replace

import pytest

from assistant.events import Record
from assistant.journal.forms import BAY_KINDS
from assistant.journal.memory import MemoryJournal
from assistant.journal.port import JournalFault
from assistant.journal.sqlite.store import SqliteJournal
from assistant.session import INPUT_KINDS
from tests.journal.walk import LONG, SHORT, START_S, opening, rebuilt, walk

START_MS = round(START_S * 1000)


def test_at_every_moment_of_a_job_what_is_on_disk_leads_to_the_same_state(tmp_path):
    session, first = opening(SHORT)
    journal = SqliteJournal(tmp_path / "journal.sqlite")
    job = journal.create(first, START_MS)
    moments = 0
    for now in walk(session, job, chatter=("where am i", "louder")):
        moments += 1
        again = rebuilt(job.entries())
        assert again.view(now) == session.view(now)
        assert again.next_tick() == session.next_tick()
        assert again.grammar() == session.grammar()
    assert moments > 20
    assert rebuilt(journal.read(job.id).entries).closed
    assert next(journal.scan()).state == "closed"
    journal.close()


def test_a_long_job_is_built_again_at_its_end():
    session, first = opening(LONG)
    job = MemoryJournal().create(first, START_MS)
    now = list(walk(session, job, chatter=("what is left", "repeat stage")))[-1]
    told = []
    again = rebuilt(job.entries(), told.append)
    assert again.view(now) == session.view(now)
    assert told[-1] == len(job.entries()) > 300
    assert told == sorted(told)


def test_what_the_bay_writes_about_itself_changes_nothing(tmp_path):
    session, first = opening(SHORT)
    job = MemoryJournal().create(first, START_MS)
    now = START_S
    for now, kind in zip(walk(session, job), sorted(BAY_KINDS) * 9, strict=False):
        job.append([Record(kind, {"device": "microphone"})], round(now * 1000))
    assert rebuilt(job.entries()).view(now) == session.view(now)


@pytest.fixture(scope="module")
def entries():
    session, first = opening(SHORT)
    job = MemoryJournal().create(first, START_MS)
    for _ in walk(session, job):
        pass
    return job.entries()


def first_fact(entries):
    return next(entry for entry in entries if entry.kind not in INPUT_KINDS)


def changed(entry, **values):
    return replace(entry, data={**entry.data, **values})


def without(entry, key):
    return replace(entry, data={k: v for k, v in entry.data.items() if k != key})


CHANGES = {
    "a fact with another value": lambda rows, at: [*rows[:at], changed(rows[at], by="pedal"), *rows[at + 1 :]],
    "a fact of another kind": lambda rows, at: [*rows[:at], replace(rows[at], kind="skipped"), *rows[at + 1 :]],
    "a fact that is missing": lambda rows, at: [*rows[:at], *rows[at + 1 :]],
    "a fact too many": lambda rows, at: [*rows[: at + 1], *rows[at:]],
    "an unknown kind": lambda rows, at: [*rows[:at], replace(rows[at], kind="from_the_future"), *rows[at:]],
    "an input without a field": lambda rows, at: [*rows[: at - 1], without(rows[at - 1], "intent"), *rows[at:]],
    "an input that is not as it was": lambda rows, at: [*rows[: at - 1], changed(rows[at - 1], intent=[]), *rows[at:]],
    "an end in the middle of an answer": lambda rows, at: rows[:at],
}


@pytest.mark.parametrize("change", CHANGES.values(), ids=CHANGES)
def test_entries_that_this_version_would_not_write_give_one_sentence_that_names_the_entry(entries, change):
    at = entries.index(first_fact(entries))
    with pytest.raises(JournalFault) as fault:
        rebuilt(change(entries, at))
    assert any(f"Entry {entries[near].seq} of this job" in fault.value.sentence for near in (at - 1, at, at + 1))
    assert "Nothing is lost: read it with assistant show" in fault.value.sentence
    assert "\n" not in fault.value.sentence
