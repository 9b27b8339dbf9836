"""A job moves from bay to bay with its whole journal, and is never in two of them."""

import contextlib
import platform
import subprocess
import threading
from dataclasses import replace

import pytest

from assistant.central.link import CentralLink
from assistant.central.place import CentralFault
from assistant.facts.going import CarriedOn, Closed, Paused
from assistant.journal.copies import CentralJobs
from assistant.journal.leasing import LEASE_MS, new_lease
from assistant.journal.moved import MovingJobs
from assistant.journal.port import JobBusy, UnknownJob
from assistant.journal.postgres.store import PostgresJournal
from assistant.journal.sqlite.store import SqliteJournal
from assistant.workshop.copies import forget_copies
from assistant.workshop.forgetting import forgotten_jobs
from assistant.workshop.members import add_member
from assistant.workshop.moving import bring_here, bring_if_away
from assistant.workshop.sending import LEASES_EVERY_S, Sender
from tests.central.cut import Network
from tests.central.photos import picture, taken
from tests.jobs import bare, heard, note

NOON = 1_790_000_000_000


class BayOf:
    """A bay of the workshop: its folder, its journal, and what sends from it."""

    def __init__(self, shop, admin, folder, name):
        self.folder, self.name = folder / name, name
        self.folder.mkdir()
        self.place = shop.as_login(*add_member(admin, "alder", name))
        self.journal = SqliteJournal(self.folder / "journal.sqlite", bay=name, host=f"machine-{name}")
        self.told = []
        self.sender = Sender(self.folder, self.place, self.told.append)
        self.now = 0.0

    def round(self):
        self.now += LEASES_EVERY_S
        return self.sender.round(self.now)

    def work(self, *more):
        job = self.journal.create([bare("Practice", operator="Kim Example"), *more], NOON)
        job.append([heard(), note("the seal was dry")], NOON + 1)
        return job

    def close(self):
        self.sender.close()
        self.journal.close()


@pytest.fixture
def bays(shop, admin, tmp_path):
    with contextlib.ExitStack() as stack:
        yield [
            stack.enter_context(contextlib.closing(BayOf(shop, admin, tmp_path, f"bay{number}"))) for number in (1, 3)
        ]


def bring(to, job, by=None, **more):
    """Let the bay ``to`` bring the job; meanwhile the bay ``by`` goes on sending."""
    return bring_here(to.place, to.folder, job, to.name, pause=lambda _s: by and by.round(), **more)


def moment(admin, job, ms):
    """Let the store's lease of ``job`` be over, as when so much time went by."""
    admin.ask("UPDATE shop.lease SET until_ms = until_ms - %s WHERE job = %s", (ms, job))


def test_a_job_that_was_let_go_moves_with_its_whole_journal(bays):
    one, three = bays
    job = one.work(Paused())
    one.round()
    job.close()
    one.round()
    assert bring(three, "1", one) == job.id
    assert three.journal.read(job.id) == one.journal.read(job.id)
    again = three.journal.hold(job.id, NOON + 9)
    again.append([CarriedOn(), note("gone on with")], NOON + 9)
    assert three.round().waiting == 0
    with contextlib.closing(CentralLink(three.place)) as link:
        assert CentralJobs(link).ends([job.id])[job.id].seq == 6


def test_a_paused_job_is_given_by_the_bay_that_has_it_and_whoever_works_there_is_told(bays):
    one, three = bays
    job = one.work()
    job.append([Paused()], NOON + 2)
    one.round()
    assert bring(three, job.id, one) == job.id
    assert one.told == [
        f"Job {job.id} has moved to the bay bay3, and is gone on with there. Pause it there to bring it back, with: "
        f"assistant resume {job.id}"
    ]
    with pytest.raises(JobBusy, match="has moved to the bay bay3"):
        job.append([CarriedOn()], NOON + 3)
    job.close()
    with pytest.raises(JobBusy, match="has moved to the bay bay3"):
        one.journal.hold(job.id, NOON + 100 * LEASE_MS)
    three.journal.hold(job.id, NOON + 3).append([CarriedOn()], NOON + 3)
    three.round()


def test_a_job_that_is_being_brought_is_not_let_go_by_the_bay_that_brings_it(bays):
    one, three = bays
    job = one.work(Paused())
    one.round()
    job.close()
    three.round()
    lease = new_lease("bay3", "machine-bay3", 1, 0)
    with contextlib.closing(CentralLink(one.place)) as link, contextlib.closing(CentralLink(three.place)) as other:
        here, there = CentralJobs(link), CentralJobs(other)
        assert there.want(job.id, "", lease)[0] == "asked"
        one.round()
        assert there.want(job.id, "", lease)[0] == "yours"
        three.round()  # its journal does not have the job yet
        assert here.want(job.id, "", new_lease("bay1", "machine-bay1", 1, 0))[:2] == ("asked", "bay3")
        there.give(job.id, "another lease")
        assert here.want(job.id, "", new_lease("bay1", "machine-bay1", 1, 0))[:2] == ("asked", "bay3")
    assert bring(three, job.id) == job.id
    three.round()
    assert three.journal.read(job.id) == one.journal.read(job.id)


def test_a_job_that_a_killed_program_was_bringing_is_free_again(bays):
    one, three = bays
    job = one.work(Paused())
    job.close()
    one.round()
    three.round()
    gone = subprocess.Popen(["true"])
    gone.wait()
    with contextlib.closing(CentralLink(three.place)) as link:
        lease = new_lease("bay3", platform.node(), gone.pid, 0)
        CentralJobs(link).want(job.id, "", lease)
        one.round()
        assert CentralJobs(link).want(job.id, "", lease)[0] == "yours"
    three.round()
    assert bring(one, job.id) == job.id


def test_a_closed_job_stays_where_it_was_closed(bays):
    one, three = bays
    job = one.work(Closed())
    job.close()
    one.round()
    with pytest.raises(CentralFault, match=f"Job {job.id} is closed, so it is not brought here"):
        bring(three, job.id, one)
    assert [info.id for info in three.journal.scan()] == []


def test_a_job_that_is_just_leaving_gets_to_who_asked_before_it_is_brought_back(bays):
    one, three = bays
    job = one.work(Paused())
    job.close()
    one.round()
    with contextlib.closing(CentralLink(three.place)) as link, contextlib.closing(MovingJobs(one.folder)) as leaving:
        there, lease = CentralJobs(link), new_lease("bay3", "machine-bay3", 1, 0)
        assert there.want(job.id, "", lease)[0] == "asked"
        leaving.leaves(job.id, "bay3", "")
        came = []

        def meanwhile(_s):
            one.round()
            came.append(there.want(job.id, "", lease)[0])

        with pytest.raises(CentralFault, match="at work in the bay bay3"):
            bring_here(one.place, one.folder, job.id, "bay1", pause=meanwhile)
    assert came[0] == "yours"


def test_a_job_that_was_lost_while_it_was_brought_is_not_gone_on_with(bays, admin):
    one, three = bays
    job = one.work(Paused())
    taken(one.folder, job, picture(beside=3_000_000), NOON + 2)
    job.close()
    one.round()
    one.round()
    failed = []

    def bring_slowly():
        try:
            bring_here(replace(three.place, port=network.port), three.folder, job.id, "bay3", from_bay="bay1")
        except CentralFault as fault:
            failed.append(fault.sentence)

    moment(admin, job.id, LEASE_MS + 1)
    with contextlib.closing(Network(three.place.port)) as network:
        network.stick_after(1_000_000)
        thread = threading.Thread(target=bring_slowly)
        thread.start()
        assert network.stuck.wait(60), "it is in the middle of the photo"
        moment(admin, job.id, LEASE_MS + 1)
        bring(one, job.id, from_bay="bay3")
        network.mend()
        thread.join(60)
    assert failed == [f"Job {job.id} went to the bay bay1 while it was brought here. Pause it there, then try again."]
    with pytest.raises(JobBusy, match="has moved to the bay bay1"):
        three.journal.hold(job.id, NOON + 9)
    one.journal.hold(job.id, NOON + 9).append([CarriedOn()], NOON + 9)
    assert one.round().waiting == 0


def test_a_job_at_work_stays_where_it_is(bays):
    one, three = bays
    job = one.work()
    one.round()
    with pytest.raises(CentralFault, match=r"is at work in the bay bay1\. Pause it there"):
        bring(three, job.id, one)
    job.append([note("on and on")], NOON + 3)
    assert one.round().waiting == 0
    assert [info.id for info in three.journal.scan()] == []


def test_a_job_comes_back_with_what_was_done_elsewhere(bays):
    one, three = bays
    job = one.work(Paused())
    one.round()
    bring(three, job.id, one)
    there = three.journal.hold(job.id, NOON + 9)
    there.append([CarriedOn(), note("done in the other bay"), Paused()], NOON + 9)
    three.round()
    job.close()
    assert bring(one, job.id, three) == job.id
    back = one.journal.hold(job.id, NOON + 20)
    assert back.entries() == three.journal.read(job.id).entries
    back.append([Closed()], NOON + 20)
    assert one.round().waiting == 0
    with pytest.raises(JobBusy, match="has moved to the bay bay1"):
        there.append([CarriedOn()], NOON + 21)


def test_a_bay_that_died_gives_its_job_up_to_who_names_it_and_to_nobody_else(bays, admin):
    one, three = bays
    job = one.work()
    one.round()
    moment(admin, job.id, LEASE_MS + 1)
    with pytest.raises(CentralFault, match=rf"was not heard of since .*: assistant resume {job.id} --from bay1"):
        bring(three, job.id)
    with pytest.raises(CentralFault, match="was not heard of"):
        bring(three, job.id, from_bay="bay2")
    assert bring(three, job.id, from_bay="bay1") == job.id
    taken = three.journal.hold(job.id, NOON + 9)
    taken.append([note("taken over")], NOON + 9)
    assert three.round().waiting == 0
    # The other one was alive after all, without a network: it is told, and what it wrote is set aside and not lost.
    job.append([note("written alone")], NOON + 9)
    assert one.round().waiting == 1
    with pytest.raises(JobBusy, match="has moved to the bay bay3"):
        job.append([note("more")], NOON + 10)
    assert admin.one("SELECT why FROM shop.aside") == ("fork",)
    assert any("has moved to the bay bay3" in sentence for sentence in one.told)


def test_who_holds_a_job_goes_on_without_a_network(bays, admin):
    one, three = bays
    job = one.work()
    one.round()
    network = Network(one.place.port)
    with contextlib.closing(network):
        one.sender.close()
        one.sender = Sender(one.folder, replace(one.place, port=network.port), one.told.append)
        one.round()
        network.cut()
        moment(admin, job.id, LEASE_MS + 1)
        job.append([note("alone")], NOON + 5 * LEASE_MS)
        with pytest.raises(CentralFault):
            one.round()
        network.mend()
        assert one.round().sent == 1
        with pytest.raises(CentralFault, match="at work in the bay bay1"):
            bring(three, job.id, one)


def test_a_job_that_is_here_is_never_asked_for(bays):
    one, _ = bays
    job = one.work()
    gone = replace(one.place, port=1)
    assert bring_if_away(gone, one.folder, "last", "bay1") == job.id


def test_a_name_that_no_bay_knows_is_one_sentence(bays):
    with pytest.raises(UnknownJob, match='no job "nine"|There is no job in the journal'):
        bring(bays[0], "nine")


def test_the_open_jobs_of_other_bays_are_listed_newest_first(bays):
    one, three = bays
    first, second = one.work(), one.work(Paused())
    one.work().append([Closed()], NOON + 2)
    one.round()
    with contextlib.closing(CentralLink(three.place)) as link:
        found = CentralJobs(link).elsewhere(10)
    assert {(info.id, info.state, info.bay) for info in found} == {
        (first.id, "open", "bay1"),
        (second.id, "paused", "bay1"),
    }
    with contextlib.closing(CentralLink(one.place)) as link:
        assert CentralJobs(link).elsewhere(10) == ()


def test_what_is_forgotten_in_one_bay_goes_from_the_copy_of_each_other_and_that_is_proved(bays, admin):
    one, three = bays
    job = one.work(Paused())
    one.round()
    bring(three, job.id, one)
    there = three.journal.hold(job.id, NOON + 9)
    there.append([note("a telltale word"), Closed()], NOON + 9)
    there.close()
    three.round()
    assert three.journal.forget(job.id, NOON + 10) == 3
    three.round()
    another = one.work()
    with contextlib.closing(CentralLink(one.place)) as link:
        assert forget_copies(link, one.folder) == [], "somebody works in that bay: it waits"
        another.close()
        assert forget_copies(link, one.folder) == [job.id]
        assert forget_copies(link, one.folder) == []
    assert b"a telltale word" not in (one.folder / "journal.sqlite").read_bytes()
    assert one.journal.read(job.id) == three.journal.read(job.id)
    (found,) = forgotten_jobs(admin, "alder")
    assert (found.job, {copy.bay for copy in found.copies if copy.gone_at}) == (job.id, {"bay1", "bay3"})


def test_what_was_written_while_the_job_was_asked_for_is_sent_before_it_is_given(bays, admin):
    one, three = bays
    job, another = one.work(), one.work()
    one.round()
    written = []

    def goes_on():
        """Write behind what was sent of the job in this round, before it is let go."""
        if not written and admin.one("SELECT seq FROM shop.job WHERE name = %s", (job.id,)) == (4,):
            written.extend(job.append([note("written in between"), Paused()], NOON + 3))
        return True

    def round_of_one(_s):
        one.now += LEASES_EVERY_S
        one.sender.round(one.now, goes_on)

    job.append([note("something new")], NOON + 2)
    another.append([note("something new")], NOON + 2)
    bring_here(three.place, three.folder, job.id, "bay3", pause=round_of_one)
    assert written
    assert three.journal.read(job.id) == one.journal.read(job.id)


def test_what_the_office_forgets_goes_from_the_bay(shop, bays, admin):
    one, _ = bays
    job = one.work(Closed())
    job.close()
    one.round()
    with contextlib.closing(PostgresJournal(shop.as_login(*add_member(admin, "alder", "desk", office=True)))) as office:
        assert office.forget(job.id, NOON + 9) == 2
    with contextlib.closing(CentralLink(one.place)) as link:
        assert forget_copies(link, one.folder) == [job.id]
    assert b"the seal was dry" not in (one.folder / "journal.sqlite").read_bytes()
    assert one.round().waiting == 0
