"""A job is taken up by the fold of its entries alone, to the state in which it was; nothing is decided again."""

from dataclasses import replace

import pytest

from assistant import facts
from assistant.events import End, Then, Thresholds
from assistant.facts.bay import DeviceBack, DeviceLost, EndedBy, Interrupted, LostWhy, PartFailed, SoundLost
from assistant.journal.opening import open_journal
from assistant.journal.port import JournalFault
from assistant.kept.rebuilding import rebuild_session
from tests.jobs import LONG, SHORTEST, START_S, opening, taken_up, walk

START_MS = round(START_S * 1000)
AROUND = (
    DeviceLost(device=End.MICROPHONE),
    DeviceBack(device=End.MICROPHONE),
    SoundLost(pieces=3, why=LostWhy.BUSY),
    PartFailed(part="speaker", error="OSError", at="speaker.py:7", then=Then.AGAIN),
    Interrupted(by=EndedBy.CONTROL_C),
)


def test_at_every_moment_of_a_job_what_is_on_disk_leads_to_the_same_state(tmp_path):
    session, first = opening(SHORTEST)
    with open_journal(tmp_path) as journal:
        job = journal.create(session.open(first, START_S).facts, START_MS)
        moments = 0
        for now in walk(session, job, chatter=("where am i", "louder")):
            moments += 1
            again = taken_up(job.entries())
            assert again.state == session.state
            assert again.next_tick() == session.next_tick()
            assert again.grammar() == session.grammar()
            assert again.view(now).get("tighten") == session.view(now).get("tighten")
        assert moments > 20
        assert taken_up(journal.read(job.id).entries).closed
        assert next(journal.scan()).state == "closed"


def test_a_long_job_is_taken_up_at_its_end():
    session, first = opening(LONG)
    with open_journal(None) as journal:
        job = journal.create(session.open(first, START_S).facts, START_MS)
        for _ in walk(session, job, chatter=("what is left", "repeat stage")):
            pass
        assert len(job.entries()) > 300
        assert taken_up(job.entries()).state == session.state


def test_what_the_bay_writes_about_itself_changes_nothing():
    session, first = opening(SHORTEST)
    with open_journal(None) as journal:
        job = journal.create(session.open(first, START_S).facts, START_MS)
        for now, fact in zip(walk(session, job), AROUND * 9, strict=False):
            job.append([fact], round(now * 1000))
        assert taken_up(job.entries()).state == session.state


@pytest.fixture(scope="module")
def entries():
    session, first = opening(SHORTEST)
    with open_journal(None) as journal:
        job = journal.create(session.open(first, START_S).facts, START_MS)
        for _ in walk(session, job):
            pass
        return job.entries()


@pytest.mark.parametrize(
    ("changed", "why"),
    [
        ({"kind": "from_the_future"}, 'knows no entry of the kind "from_the_future"'),
        ({"version": 99}, "has the version 99"),
        ({"data": {"number": 1}}, "a field that is none of its own: number"),
    ],
)
def test_an_entry_that_this_version_cannot_read_is_named_and_the_job_is_not_taken_up_from_less(entries, changed, why):
    odd = [*entries[:4], replace(entries[4], **changed), *entries[5:]]
    assert isinstance(odd[4].fact, facts.Unreadable)
    with pytest.raises(JournalFault, match=rf"Entry 5 of this job cannot be taken up .*{why}.* assistant show"):
        rebuild_session(odd, Thresholds())


def test_a_job_whose_procedure_is_read_otherwise_is_not_begun_anew_but_refused(entries):
    """A step of which the entries tell is not in the procedure any more: nobody is sent to another one."""
    here = entries[:-1]  # not closed
    names = [step.id for step in rebuild_session(here, Thresholds()).procedure.steps]
    opened = here[0].data | {"procedure_yaml": here[0].data["procedure_yaml"].replace(f"id: {names[0]}", "id: other")}
    with pytest.raises(JournalFault, match=rf'"{names[0]}" is not in it. Nothing is lost.* assistant show'):
        rebuild_session([replace(here[0], data=opened), *here[1:]], Thresholds())
