"""What the administrator of the central store does on the command line, on a real server."""

import contextlib
import json
import os
import sqlite3
import subprocess
import sys
import threading
from pathlib import Path

import pytest
from typer.testing import CliRunner

from assistant.__main__ import app
from assistant.central.link import CentralLink
from assistant.central.migrating import steps
from assistant.journal.chain import Head, Stored, link
from assistant.journal.forms import forms
from assistant.journal.opening import open_journal
from assistant.journal.personal import Kept, seal
from assistant.journal.postgres.rows import CentralRows
from tests.jobs import bare, heard, note

NOON = 1_790_000_000_000


class Office:
    """`assistant workshop`, called by the administrator of a server."""

    def __init__(self, server, database, folder):
        self.server, self.database, self.folder = server, database, folder
        self.word = folder / "word"
        self.word.write_text(f"{server.password}\n")
        self.word.chmod(0o600)
        self.at = f"host=127.0.0.1 port={server.port} dbname={database} user=shop_admin"

    @property
    def around(self):
        return {
            "ASSISTANT_HOME": str(self.folder / "data"),
            "ASSISTANT_WORKSHOP": self.at,
            "ASSISTANT_WORKSHOP_PASSWORD_FILE": str(self.word),
        }

    def run(self, *words):
        """Run it as a program of its own."""
        return subprocess.run(
            [sys.executable, "-m", "assistant", "workshop", *words], cwd=self.folder, env={**os.environ, **self.around},
            capture_output=True, text=True, stdin=subprocess.DEVNULL, timeout=100,
        )  # fmt: skip

    def says(self, *words, code=0):
        """Run it here, and return what it prints."""
        with contextlib.chdir(self.folder):
            done = CliRunner().invoke(app, ["workshop", *map(str, words)], env=self.around)
        assert done.exit_code == code, (done.output, done.exception)
        return done.stdout if code in (0, 11) else done.stderr

    def token(self, login):
        return (self.folder / f"{login}.token").read_text().strip()


@pytest.fixture
def office(shop, tmp_path):
    return Office(shop.server, shop.name, tmp_path)


@pytest.fixture
def alder(office):
    office.says("add", "alder")
    office.says("add-bay", "bay1")
    return office


def sent_by(alder, login, job, *facts):
    """Let a bay send a job, and return what the store gives back of it."""
    place = alder.server.place(alder.database, login, alder.token(login))
    sealed, kept = seal(forms(facts, 1), 1)
    with contextlib.closing(CentralLink(place)) as bay:
        return CentralRows(bay).receive(job, job.split("-")[0], link(job, Head(), sealed, NOON), kept)


def test_a_store_is_made_from_nothing_and_made_again_it_stays(server, tmp_path):
    office = Office(server, "made_new", tmp_path)
    try:
        told = office.says("init")
        assert "was made" in told
        assert told.count("Schema: step") == len(steps())
        office.says("add", "alder")
        again = office.says("init")
        assert "is there" in again
        assert "Schema: step" not in again
        office.says("add-bay", "bay1")
        sent_by(office, "alder.bay1", "bay1-2026-09-21-1", bare("Practice"), heard())
        assert office.says("bays").splitlines()[1].split()[:5] == ["bay1", "bay", "alder.bay1", "1", "2"]
        with contextlib.closing(CentralLink(server.place("made_new"))) as admin:
            assert admin.ask("SELECT name FROM shop.workshop") == [("alder",)]
            (open_to_all,) = admin.one("SELECT has_database_privilege('public', 'made_new', 'CONNECT')")
            assert not open_to_all
    finally:
        with contextlib.closing(CentralLink(server.place("postgres"))) as admin:
            admin.ask("DROP DATABASE IF EXISTS made_new WITH (FORCE)")


def test_a_token_goes_into_a_file_of_its_owner_alone_and_ends_when_there_is_a_new_one(alder):
    told = alder.says("add-bay", "bay2")
    file = alder.folder / "alder.bay2.token"
    token = alder.token("alder.bay2")
    assert file.stat().st_mode & 0o777 == 0o600
    assert str(file) in told
    assert token not in told
    assert "user=alder.bay2" in told
    assert "is there already" in alder.says("add-bay", "bay2", code=8)
    sent_by(alder, "alder.bay2", "bay2-2026-09-21-1", bare("Practice"))
    assert alder.says("add-bay", "bay2", "--show").split("Token: ")[1].split()[0] != token
    with pytest.raises(Exception, match="refuses the login alder.bay2"):
        sent_by(alder, "alder.bay2", "bay2-2026-09-21-2", bare("Practice"))


def test_a_login_that_ended_is_shown_so_and_is_refused(alder):
    sent_by(alder, "alder.bay1", "bay1-2026-09-21-1", bare("Practice"))
    assert "has ended" in alder.says("end-bay", "bay1")
    row = alder.says("bays").splitlines()[1]
    assert row.split()[:3] == ["bay1", "bay,", "ended"]
    with pytest.raises(Exception, match="refuses the login"):
        sent_by(alder, "alder.bay1", "bay1-2026-09-21-2", bare("Practice"))


def test_what_was_refused_is_told_with_its_reason(alder):
    alder.says("add-office")
    job = "bay1-2026-09-21-1"
    sent_by(alder, "alder.bay1", job, bare("Practice"), heard())
    sent_by(alder, "alder.bay1", job, bare("Another"), heard(), heard())
    sent_by(alder, "alder.bay1", "bay7-2026-09-21-1", bare("Practice"))
    told = alder.says("aside", code=11)
    assert f"bay1: entry 1 of job {job} and 2 behind it: another entry with this number is here already" in told
    assert "entry 1 of job bay7-2026-09-21-1: it opens a job in the name of another bay" in told
    assert "bay7" not in alder.says("aside", "--job", job, code=11)
    assert "Nothing was refused from office" in alder.says("aside", "--bay", "office")
    assert alder.says("bays").splitlines()[1].split()[-1] == "4"


def test_a_job_is_proved_in_the_store_and_against_the_journal_of_its_bay(alder, tmp_path):
    facts = [bare("Practice", operator="Kim Example"), heard(), note("the seal was dry")]
    data = tmp_path / "bay"
    with open_journal(data) as journal, contextlib.closing(journal.create(facts[:1], NOON)) as job:
        for fact in facts[1:]:
            job.append([fact], NOON)
        name = job.id
    with contextlib.closing(sqlite3.connect(data / "journal.sqlite")) as db:
        rows = db.execute(
            "SELECT seq, at_ms, kind, version, cause, data, prev, hash FROM entry ORDER BY seq"
        ).fetchall()
        said = db.execute("SELECT seq, key, salt, value FROM personal").fetchall()
    place = alder.server.place(alder.database, "alder.bay1", alder.token("alder.bay1"))
    with contextlib.closing(CentralLink(place)) as bay:
        there = CentralRows(bay)
        assert there.receive(name, "bay1", [Stored(*row) for row in rows[:2]], [Kept(*row) for row in said]) == (
            2,
            "",
            0,
        )
        assert f"All 2 entries of job {name} fit the chain" in alder.says("prove", "last")
        told = alder.says("prove", name, "--copy", data, code=11)
        assert f"One entry of job {name} is in {data}, and not in the store yet." in told
        assert there.receive(name, "bay1", [Stored(*row) for row in rows], [Kept(*row) for row in said])[0] == 3
    assert "is the same, entry by entry" in alder.says("prove", name, "--copy", data)
    data_of_bay = tmp_path / "data"
    data_of_bay.mkdir()
    (data_of_bay / "settings.toml").write_text(f'central = "{alder.at.replace("shop_admin", "alder.bay1")}"\n')
    (data_of_bay / "central.token").write_text(alder.token("alder.bay1"))
    (data_of_bay / "central.token").chmod(0o600)
    assert "is the same" in alder.says("prove", name, "--copy", data, "--at", ""), "by the bay's own login"
    assert "may not do that" in alder.says("add", "birch", "--at", "", code=12)
    assert 'no job "nothing"' in alder.says("prove", "nothing", code=6)


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (("add", "Alder Street"), 12, "A workshop cannot be called"),
        (("add-bay", "bay1"), 12, "Say which workshop is meant, with --workshop NAME; there is none yet"),
        (("add-bay", "bay1", "--workshop", "birch"), 12, 'There is no workshop "birch"'),
        (("bays", "--at", "host=127.0.0.1"), 12, "The address of the central store (--at, or ASSISTANT_WORKSHOP)"),
        (("bays", "--at", "host=h user=u password=x"), 12, "never with a password"),
        (("bays", "--at", "host=127.0.0.1 port=1 user=u"), 12, "cannot be reached"),
        (("bays", "--password-file", "none"), 12, "none cannot be read"),
    ],
)
def test_what_cannot_be_done_is_one_sentence(office, words, code, says):
    told = office.says(*words, code=code)
    assert says in told
    assert len(told.strip().splitlines()) == 1


def test_a_password_that_others_may_read_or_that_is_wrong_is_refused(office):
    office.word.chmod(0o644)
    assert "Others may read" in office.says("bays", code=12)
    office.word.chmod(0o600)
    office.word.write_text("another\n")
    assert "refuses the login shop_admin" in office.says("bays", code=12)


def test_a_password_is_never_in_the_process_list_the_log_or_a_record(office, shop):
    """/proc is read over and over while the commands work, and the server logs each statement."""
    seen, over = set(), threading.Event()

    def look():
        while not over.is_set():
            for process in Path("/proc").glob("[0-9]*"):
                with contextlib.suppress(OSError):
                    line = (process / "cmdline").read_bytes()
                    if b"workshop" in line or b"postgres" in line:
                        seen.add(line)

    with contextlib.closing(CentralLink(shop.admin)) as admin:
        admin.ask(f"ALTER DATABASE {shop.name} SET log_statement = 'all'")
    watch = threading.Thread(target=look)
    watch.start()
    try:
        printed = [office.run("init"), office.run("add", "alder"), office.run("add-bay", "bay1"), office.run("bays")]
        secrets = [shop.server.password, office.token("alder.bay1")]
        sent_by(office, "alder.bay1", "bay1-2026-09-21-1", bare("Practice"), note("the seal was dry"))
    finally:
        over.set()
        watch.join()
    log = (shop.server.folder / "log").read_text()
    assert any(b"add-bay" in line for line in seen), "it was looked at the right time"
    assert "shop.add_login" in log, "the log has the statements"
    assert "shop.receive" in log
    with contextlib.closing(CentralLink(shop.admin)) as admin:
        kept = json.dumps(
            [
                admin.ask(f"SELECT to_jsonb(t)::text FROM shop.{table} t")
                for table in ("member", "entry", "personal", "aside", "job", "lease")
            ]
        )
    everything = [b"\n".join(seen).decode(errors="replace"), log, kept, *(one.stdout + one.stderr for one in printed)]
    for secret in secrets:
        assert [place for place, text in enumerate(everything) if secret in text] == []
