"""The disk of the store is full: the bays go on, one sentence tells of it, and with room again everything arrives."""

import contextlib
import os
import pwd
import subprocess

import pytest

from assistant.central.link import CentralLink
from assistant.central.place import CentralFault
from assistant.journal.opening import open_journal
from assistant.journal.postgres.store import PostgresJournal
from assistant.workshop.members import add_member, add_workshop
from assistant.workshop.sending import Sender
from tests.central.server import Server, Shop
from tests.jobs import bare, note

NOON = 1_790_000_000_000
MIB = 2**20


@pytest.fixture
def small(tmp_path):
    """A disk of 160 MiB in memory."""
    if os.geteuid() != 0:
        pytest.skip("only root can mount a small disk to fill")
    disk = tmp_path / "disk"
    disk.mkdir()
    done = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=160m", "tmpfs", disk], capture_output=True, text=True)
    if done.returncode:
        pytest.skip(f"no small disk can be mounted here: {done.stderr.strip()}")
    os.chown(disk, pwd.getpwnam("postgres").pw_uid, -1)
    yield disk
    subprocess.run(["umount", "-l", disk], check=True)


@pytest.fixture
def server(small):
    for above in small.parents:
        if above.stat().st_uid == 0 and not above.stat().st_mode & 0o001:
            above.chmod(0o711)  # pytest's own folders: who runs the server must come through
    server = Server(small, "min_wal_size=32MB", "max_wal_size=64MB", "fsync=on")
    server.shop_template()
    yield server
    server.remove()


@pytest.mark.slow
@pytest.mark.database
@pytest.mark.xdist_group("chaos")
@pytest.mark.timeout(300)
def test_a_full_disk_at_the_store_loses_nothing(server, small, tmp_path):
    shop, folder = Shop(server), tmp_path / "bay1"
    with contextlib.closing(CentralLink(shop.admin)) as link:
        add_workshop(link, "alder")
        place = shop.as_login(*add_member(link, "alder", "bay1"))
    with open_journal(folder) as journal, contextlib.closing(Sender(folder, place)) as sender:
        job = journal.create([bare("Practice")], NOON)
        assert sender.round(0).sent == 1
        filler = small / "filler"
        room = os.statvfs(small)
        filler.write_bytes(bytes(room.f_bavail * room.f_frsize - MIB))
        told = ""
        for at in range(1, 100):
            job.append([note(os.urandom(20_000).hex()) for _ in range(40)], NOON + at)
            try:
                sender.round(at)
            except CentralFault as fault:
                told, gone = fault.sentence, fault.gone
                break
        assert gone, told
        assert told.startswith("The central store alder.bay1 at 127.0.0.1")
        job.append([note("the bay goes on")], NOON + 200)
        filler.unlink()
        if not (small / "data" / "postmaster.pid").exists():
            server.start()  # without room for its own log the server ends; its host starts it again
        for again in range(200, 260):
            with contextlib.suppress(CentralFault):
                sender.round(again)
        with contextlib.closing(PostgresJournal(place)) as store:
            assert store.read(job.id) == journal.read(job.id)
            assert store.verify(job.id).good
