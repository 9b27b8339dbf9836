"""What the doctor says of the computer: journal, backup, clock, service, page, procedures."""

from __future__ import annotations

import re
import socket

import pytest
from typer.testing import CliRunner

from assistant.__main__ import app
from assistant.journal.opening import journal_path, open_journal
from assistant.service import looks
from assistant.service.noted import LastBackup, last_backup, note_backup
from assistant.service.printer import look_at_printer
from assistant.service.systemd import Shown
from assistant.terminal.exits import Exit
from tests.jobs import SHORT, work

DAY_MS = 86_400_000


@pytest.fixture
def worked(tmp_path, monkeypatch):
    """A data folder with one closed job in it, and the time of its last entry."""
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path))
    monkeypatch.chdir(tmp_path)
    with open_journal(tmp_path) as journal:
        work(journal, SHORT)
        return tmp_path, max(job.last_at_ms for job in journal.scan())


@pytest.mark.parametrize(
    ("shown", "installed", "state", "says"),
    [
        (None, False, "good", "assistant install-service makes one"),
        (None, True, "look", "log in as its user"),
        (Shown("active", "running", "success", 0, "waiting"), True, "good", r"active \(running\): waiting"),
        (Shown("active", "running", "success", 4, ""), True, "look", "started again 4 times"),
        (Shown("inactive", "dead", "success", 0, ""), True, "look", "systemctl --user start bay"),
        (Shown("activating", "auto-restart", "watchdog", 9, ""), True, "fault", "because of watchdog; see: journalctl"),
    ],
)
def test_how_the_service_is_is_said_in_one_sentence(shown, installed, state, says):
    part = looks.look_at_service("bay", shown, installed=installed, booted=True)
    assert part.state == state
    assert re.search(says, part.found), part.found
    assert part.code == (Exit.BROKEN if state == "fault" else Exit.OK)


def test_a_clock_that_was_set_back_is_told(worked):
    folder, last_ms = worked
    now_ms = max(last_ms, round(looks.Path(looks.__file__).stat().st_mtime * 1000)) + 1000
    assert isinstance(looks.look_at_clock(now_ms, folder), str)
    assert "before the last entry of the journal" in looks.look_at_clock(last_ms - 2 * DAY_MS, folder).found
    assert "before this program was installed" in looks.look_at_clock(0, folder / "nothing").found


def test_a_backup_is_asked_for_when_there_is_something_to_keep(worked):
    folder, now_ms = worked
    assert looks.look_at_backup(now_ms, folder / "nothing").state == "good"
    assert looks.look_at_backup(now_ms, folder).state == "look"
    note_backup(folder, LastBackup(now_ms, "/media/stick/b.zip"))
    assert last_backup(folder) == LastBackup(now_ms, "/media/stick/b.zip")
    assert looks.look_at_backup(now_ms + DAY_MS, folder).state == "good"
    late = looks.look_at_backup(now_ms + 8 * DAY_MS, folder)
    assert (late.state, "8 days ago" in late.found) == ("look", True)
    for broken in ("{", "[]", '{"at_ms": "x", "file": ""}', "[" * 100_000):
        (folder / "last-backup.json").write_text(broken)
        assert last_backup(folder) is None


def test_a_page_whose_port_another_program_has_is_told():
    with socket.socket() as other:
        other.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        assert looks.look_at_page(None, port).state == "look"
        assert looks.look_at_page(Shown("active", "running", "success", 0, ""), port).state == "good"
    assert looks.look_at_page(None, port).state == "good"


def test_a_journal_that_does_not_fit_together_and_a_broken_procedure_are_faults(worked):
    folder, _ = worked
    (folder / "procedures").mkdir()
    (folder / "procedures/mine.yaml").write_text("title: [")
    size = journal_path(folder).stat().st_size
    with journal_path(folder).open("r+b") as file:  # a page in the middle is lost, as on a bad disk
        file.seek(size // 2 // 4096 * 4096)
        file.write(b"\xff" * 4096)
    done = CliRunner().invoke(app, ["doctor", "--watch"])
    assert done.exit_code == Exit.JOURNAL
    assert "fault: journal:" in done.stdout
    assert "restore a backup" in done.stdout
    assert "fault: procedures: mine.yaml" in done.stdout
    assert "microphone" not in done.stdout


@pytest.mark.parametrize(
    ("script", "state", "says"),
    [("echo printer labels is idle.  enabled since today", "good", "is idle"),
     ("echo printer labels disabled since today - out of paper", "look", "out of paper"),
     ("echo lpstat: Invalid destination name >&2; exit 1", "look", "Invalid destination")],
)  # fmt: skip
def test_how_the_printer_is_is_asked_of_its_own_program(script, state, says):
    """What lpstat of CUPS prints is from memory; no printer is on the machine of the tests."""
    part = look_at_printer("labels", lpstat=("sh", "-c", script, "lpstat"))
    assert (part.state, says in part.found) == (state, True)
    assert look_at_printer("labels", lpstat=("no-such-program",)).state == "look"
    assert look_at_printer("").state == "good"
