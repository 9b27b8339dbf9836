"""What docs/workshop.md tells an administrator to do: TLS, who is let in, a backup while bays send, a restore."""

import contextlib
import shutil
import subprocess
import tempfile
from dataclasses import replace
from pathlib import Path

import pytest

from assistant.central.link import CentralLink
from assistant.central.migrating import migrate
from assistant.central.place import CentralFault
from assistant.journal.opening import open_journal
from assistant.workshop.members import add_member, add_workshop
from assistant.workshop.proving import compared_with, proved
from assistant.workshop.sending import Sender
from tests.central.server import QUICK, Server, free_port
from tests.jobs import bare, heard, note

NOON = 1_790_000_000_000
ROOM = Path(tempfile.gettempdir())
pytestmark = pytest.mark.slow


class Restored(Server):
    """A server on a copy of another one's files."""

    def __init__(self, folder, before, *settings):
        self.folder, self.port, self.password, self._settings = folder, free_port(), before.password, settings
        self._own(folder)
        self.start()


@pytest.fixture
def folder():
    """A folder that the user of PostgreSQL may enter."""
    with tempfile.TemporaryDirectory(prefix="run-shop-", dir=ROOM) as name:
        Path(name).chmod(0o755)
        yield Path(name)


@pytest.fixture
def store(folder):
    """A server with a store and a bay, and its archive of logs. It is killed, and the computer is not: no fsync."""
    archive = folder / "archive"
    archive.mkdir()
    server = Server(None, *QUICK)
    server._own(archive)
    server.stop()
    # The same as in docs/workshop.md.
    with (server.folder / "data" / "postgresql.auto.conf").open("a") as more:
        more.write(f"archive_mode = on\narchive_command = 'test ! -f {archive}/%f && cp %p {archive}/%f'\n")
    server.start()
    try:
        place = server.database("central", "template0")
        with contextlib.closing(CentralLink(place)) as admin:
            migrate(admin)
            add_workshop(admin, "alder")
            server.bay = server.place("central", *add_member(admin, "alder", "bay1"))
        yield server
    finally:
        with contextlib.suppress(RuntimeError):
            server.remove()
        shutil.rmtree(server.folder, ignore_errors=True)


def work(data, job=None):
    """Let a bay write something, and return the name of its job."""
    with open_journal(data) as journal:
        held = (
            journal.create([bare("Practice", operator="Kim Example")], NOON) if job is None else journal.hold(job, NOON)
        )
        with contextlib.closing(held):
            if job:
                held.entries()
            for _ in range(20):
                held.append([heard(), note("the seal was dry")], NOON)
            return held.id


def sent(data, place):
    with contextlib.closing(Sender(data, place)) as sender:
        return sender.round(0.0).sent


def base_backup(server, folder):
    word = folder / "passfile"
    word.write_text(f"127.0.0.1:*:*:shop_admin:{server.password}\n")
    word.chmod(0o600)
    target = folder / "base"
    target.mkdir()
    for path in (word, target):
        server._own(path)
    server._run("pg_basebackup", "-d", f"host=127.0.0.1 port={server.port} user=shop_admin passfile={word}",
                "-D", str(target / "data"), "-X", "stream", "-c", "fast", "--no-sync")  # fmt: skip
    server._run("pg_verifybackup", str(target / "data"))
    return target


def until(admin, asked, *values):
    """Return once ``asked`` gives a row."""
    for _ in range(240):
        if admin.one(asked, values):
            return
        admin.ask("SELECT pg_sleep(0.25)")
    raise AssertionError(asked)


def same_as_bay(server, job, data):
    with contextlib.closing(CentralLink(server.place("central"))) as admin:
        found = proved(admin, "alder", job)
    assert found.verdict.good, found.verdict.sentence
    return compared_with(job, found.entries, data)


def test_a_backup_that_is_behind_is_made_up_by_the_bays(store, folder):
    data = folder / "bay1"
    job = work(data)
    assert sent(data, store.bay) == 41
    base = base_backup(store, folder)
    work(data, job)
    assert sent(data, store.bay) == 40
    store.kill()
    back = Restored(base, store, *QUICK, "archive_mode=off")
    try:
        good, sentence = same_as_bay(back, job, data)
        assert (good, "40 entries" in sentence) == (False, True), sentence
        assert sent(data, replace(store.bay, port=back.port)) == 40
        assert same_as_bay(back, job, data)[0]
    finally:
        back.stop()


def test_with_the_archived_logs_nothing_is_behind(store, folder):
    data = folder / "bay1"
    job = work(data)
    sent(data, store.bay)
    base = base_backup(store, folder)
    work(data, job)
    sent(data, store.bay)
    with contextlib.closing(CentralLink(store.place("postgres"))) as admin:
        (last,) = admin.one("SELECT pg_walfile_name(pg_switch_wal())")
        until(admin, "SELECT 1 FROM pg_stat_archiver WHERE last_archived_wal >= %s", last)
    store.kill()
    conf = base / "data" / "postgresql.auto.conf"
    conf.write_text(f"archive_mode = off\nrestore_command = 'cp {folder}/archive/%f %p'\n")
    (base / "data" / "recovery.signal").touch()
    back = Restored(base, store, *QUICK)
    try:
        with contextlib.closing(CentralLink(back.place("central"))) as admin:
            until(admin, "SELECT 1 WHERE NOT pg_is_in_recovery()")
        assert same_as_bay(back, job, data) == (True, f"The copy in {data} is the same, entry by entry.")
        assert sent(data, replace(store.bay, port=back.port)) == 0
    finally:
        back.stop()


def certificate(folder, name):
    """Make whoever signs, and a certificate of the server for 127.0.0.1 (openssl, which is not ours)."""
    root, key, asked, cert = (folder / f"{name}.{end}" for end in ("root.pem", "key.pem", "csr", "pem"))
    run = ["openssl", "req", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:prime256v1", "-nodes"]
    signs = ["-x509", "-days", "2", "-subj", "/CN=root", "-keyout", f"{root}.key", "-out", root]
    subprocess.run([*run, *signs], check=True, capture_output=True)
    subprocess.run([*run, "-subj", "/CN=store", "-keyout", key, "-out", asked], check=True, capture_output=True)
    names = folder / f"{name}.names"
    names.write_text("subjectAltName=IP:127.0.0.1\n")
    subprocess.run(["openssl", "x509", "-req", "-in", asked, "-CA", root, "-CAkey", f"{root}.key", "-days", "2",
                    "-extfile", names, "-out", cert], check=True, capture_output=True)  # fmt: skip
    return root, key, cert


def test_only_tls_is_let_in_and_a_bay_knows_whose_certificate_it_is(store, folder):
    root, key, cert = certificate(folder, "ours")
    other, _, _ = certificate(folder, "theirs")
    rules = folder / "pg_hba.conf"
    # The same as in docs/workshop.md, with the loopback for the network.
    rules.write_text("hostssl central +shop_bay,+shop_office 127.0.0.1/32 scram-sha-256\n")
    for path in (key, cert, rules):
        store._own(path)
    key.chmod(0o600)
    store.stop()
    store._settings = (*QUICK, "ssl=on", f"ssl_cert_file={cert}", f"ssl_key_file={key}", f"hba_file={rules}")
    options = (f"port={store.port}", "listen_addresses=127.0.0.1", "unix_socket_directories=", *store._settings)
    told = " ".join(f"-c {one}" for one in options)
    # Without waiting: pg_ctl itself would not be let in.
    data, log = str(store.folder / "data"), str(store.folder / "log")
    store._run("pg_ctl", "-D", data, "-l", log, "-W", "-o", told, "start")
    checked = replace(store.bay, tls="verify-full", root=str(root))
    for _ in range(240):
        try:
            link = CentralLink(checked)
            break
        except CentralFault as fault:
            assert fault.gone, fault.sentence
            subprocess.run(["sleep", "0.25"], check=True)
    with contextlib.closing(link):
        assert link.ask("SELECT ssl FROM pg_stat_ssl WHERE pid = pg_backend_pid()") == [(True,)]
    for place in (replace(checked, root=str(other)), replace(checked, tls="disable", root="")):
        with pytest.raises(CentralFault):
            CentralLink(place)
    with pytest.raises(CentralFault):  # nobody but bays and offices comes over the network
        CentralLink(replace(store.place("central"), tls="require"))
