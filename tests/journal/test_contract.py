"""What every store of the journal promises, on each store."""

import pytest

from assistant.events import Record
from assistant.journal.memory import MemoryJournal
from assistant.journal.port import JobBusy, UnknownJob, canonical
from assistant.journal.sqlite import SqliteJournal

NOON = 1_790_000_000_000


@pytest.fixture(params=["memory", "sqlite"])
def journal(request, tmp_path):
    store = MemoryJournal() if request.param == "memory" else SqliteJournal(tmp_path / "journal.sqlite")
    yield store
    store.close()


def opened(title="Practice"):
    return Record("opened", {"title": title, "procedure_id": "practice"})


def test_what_was_appended_comes_back_in_order_with_its_times(journal):
    job = journal.create([opened()], NOON)
    job.append([Record("heard", {"text": "next"}), Record("step_done", {"step": "s1"})], NOON + 5)
    assert [(e.seq, e.at_ms, e.kind) for e in job.entries()] == [
        (1, NOON, "opened"),
        (2, NOON + 5, "heard"),
        (3, NOON + 5, "step_done"),
    ]
    assert job.entries()[1].data == {"text": "next"}


def test_a_job_is_held_by_one_owner_until_it_is_let_go(journal):
    job = journal.create([opened()], NOON)
    with pytest.raises(JobBusy, match=job.id):
        journal.open_job(job.id)
    job.close()
    again = journal.open_job(job.id)
    again.append([Record("paused")], NOON + 9)
    assert len(journal.entries(job.id)) == 2


def test_jobs_are_numbered_by_day_and_listed_newest_first(journal):
    first, second = journal.create([opened("A")], NOON), journal.create([opened("B")], NOON)
    assert first.id.rsplit("-", 1) == [second.id.rsplit("-", 1)[0], "1"]
    assert second.id.endswith("-2")
    assert [(j.title, j.state) for j in journal.jobs()] == [("B", "open"), ("A", "open")]


@pytest.mark.parametrize(
    ("kinds", "state"), [(["paused"], "paused"), (["paused", "carried_on"], "open"), (["closed"], "closed")]
)
def test_the_list_tells_the_state_of_a_job(journal, kinds, state):
    job = journal.create([opened()], NOON)
    job.append([Record(kind) for kind in kinds], NOON + 1)
    assert journal.jobs()[0].state == state


def test_a_job_is_found_by_last_by_its_beginning_and_by_its_end(journal):
    job = journal.create([opened()], NOON)
    other = journal.create([opened()], NOON)
    assert journal.entries("last") == other.entries()
    assert journal.entries("-1") == job.entries()
    with pytest.raises(UnknownJob, match="fits several"):
        journal.entries("20")
    with pytest.raises(UnknownJob, match="assistant jobs"):
        journal.entries("nothing")


def test_an_empty_journal_says_how_to_start(journal):
    assert journal.jobs() == []
    with pytest.raises(UnknownJob, match="assistant run PROCEDURE"):
        journal.open_job("last")


def test_a_good_chain_is_called_good(journal):
    job = journal.create([opened()], NOON)
    job.append([Record("note", {"text": "Ölwanne, 3 µm – fine"})], NOON)
    verdict = journal.verify(job.id)
    assert (verdict.good, verdict.entries, verdict.head) == (True, 2, job.entries()[-1].hash)


@pytest.mark.parametrize("value", [1.5, float("nan"), {"deep": [0.1]}, {1: "a"}])
def test_what_cannot_be_kept_exactly_is_refused_and_nothing_is_kept(journal, value):
    job = journal.create([opened()], NOON)
    with pytest.raises(TypeError):
        job.append([Record("step_done"), Record("reading", {"value": value})], NOON)
    assert len(job.entries()) == 1


def test_canonical_form_is_that_of_rfc_8785():
    # RFC 8785, section 3.2.3 (sorting of property names) without the names outside ASCII, and 3.2.2.2 (strings).
    assert canonical({"numbers": [1, 0], "string": '€$\u000f\nA\'B"\\\\"/', "literals": [None, True, False]}) == (
        '{"literals":[null,true,false],"numbers":[1,0],"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
    )
