"""A backup is whole or not at all, also of a journal that is being written, and every stored job comes back."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import signal
import stat
import zipfile

import pytest
from typer.testing import CliRunner

from assistant.__main__ import app
from assistant.facts.steps import StepDone
from assistant.journal.opening import journal_path, open_journal
from assistant.service.archive import MANIFEST
from assistant.service.backup import write_backup
from assistant.service.noted import last_backup
from assistant.service.only_one import the_only_bay
from assistant.service.restore import check_backup, restore_bay
from assistant.settings import Settings, load_settings
from assistant.terminal.exits import Exit, Refusal
from tests.jobs import SHORTEST, bare, heard, work
from tests.journal import golden, independent
from tests.journal.conftest import NOON
from tests.journal.disk import rows, tamper, unsynced

NOW = NOON + 1000


@pytest.fixture
def bay(tmp_path, monkeypatch):
    """A bay with a job, settings, tools elsewhere, a photo, sound, a voice, procedures, and what no backup takes."""
    home = tmp_path / "bay"
    monkeypatch.chdir(tmp_path)
    with open_journal(home) as journal:
        work(journal, SHORTEST)
    (tmp_path / "tools elsewhere.yaml").write_text("tools: []\n")
    (tmp_path / "words elsewhere.txt").write_text("[quote]\nOurs.\n")
    (home / "settings.toml").write_text(
        f'# of this bay\ntools = "{tmp_path}/tools elsewhere.yaml"\nrate = 150\nprocedures = "{tmp_path}/procedures"\n'
        f'wordings = "{tmp_path}/words elsewhere.txt"\n'
    )
    for name in ("photos/a.jpg", "audio/job/1.flac", "voices/kim.npz", "customer/job/link.json", "prices.csv"):
        (home / name).parent.mkdir(parents=True, exist_ok=True)
        (home / name).write_bytes(name.encode() * 1000)
    for name in ("display.log", "display.log.1", ".x.new", "bay.lock", "journal.sqlite.some-job.lock"):
        (home / name).write_text("of the moment")
    (home / "link").symlink_to("/etc/passwd")
    os.mkfifo(home / "pipe")
    (tmp_path / "procedures").mkdir()
    shutil.copy(SHORTEST, tmp_path / "procedures/mine.yaml")
    return home


def backed_up(home, file, **more):
    return write_backup(home, load_settings(home / "settings.toml"), file, NOW, **more)[0]


def test_a_bay_comes_back_whole_in_another_place(bay, tmp_path):
    stick, other = tmp_path / "stick", tmp_path / "other computer/data"
    stick.mkdir()
    path, manifest, left_out = write_backup(bay, load_settings(bay / "settings.toml"), stick, NOW)
    assert (path.parent, path.suffix, stat.S_IMODE(path.stat().st_mode)) == (stick, ".zip", 0o600)
    assert [one.name for one in stick.iterdir()] == [path.name]  # nothing half is left beside it
    assert left_out == [bay / "link", bay / "pipe"]
    assert not [name for name in manifest.files if "log" in name or "lock" in name or ".x" in name]
    assert last_backup(bay).file == str(path)
    shutil.rmtree(tmp_path / "procedures")
    (tmp_path / "tools elsewhere.yaml").unlink()
    (tmp_path / "words elsewhere.txt").unlink()
    done = restore_bay(path, other, NOW, over=False)
    assert done.before is None
    assert stat.S_IMODE(other.stat().st_mode) == 0o700
    for name in ("photos/a.jpg", "audio/job/1.flac", "voices/kim.npz", "customer/job/link.json", "prices.csv"):
        assert (other / name).read_bytes() == name.encode() * 1000
        assert stat.S_IMODE((other / name).stat().st_mode) == 0o600
    assert (other / "procedures/mine.yaml").read_bytes() == SHORTEST.read_bytes()
    settings = load_settings(other / "settings.toml")
    assert settings.procedures == "procedures"
    assert (settings.rate, (other / settings.tools).read_text()) == (150, "tools: []\n")
    assert (other / settings.wordings).read_text() == "[quote]\nOurs.\n"
    assert "# of this bay" in (other / "settings.toml").read_text()
    question = "SELECT * FROM {} ORDER BY job"
    for table in ("entry", "head", "personal"):
        assert rows(journal_path(other), question.format(table)) == rows(journal_path(bay), question.format(table))
    with open_journal(other) as journal:  # it can be worked with
        assert journal.verify("last").good
        work(journal, SHORTEST)


@pytest.mark.slow
def test_every_golden_job_opens_and_verifies_after_the_round_trip(tmp_path):
    for name in golden.NAMES:
        before = golden.load(name, tmp_path / name)
        told = json.loads((golden.FOLDER / f"{name}.json").read_text("utf-8"))
        after = tmp_path / "after" / name
        restore_bay(write_backup(before, Settings(), tmp_path / f"{name}.zip", NOW)[0], after, NOW, over=False)
        opened = golden.summary(after)
        assert {key: opened[key] for key in told if key != "state"} == {k: v for k, v in told.items() if k != "state"}
        assert len(independent.check(after, told["job"])) == told["entries"]


@pytest.mark.slow
def test_a_journal_that_is_being_written_is_taken_as_it_is_at_one_moment(tmp_path):
    home = tmp_path / "bay"
    with open_journal(home) as journal:
        job = journal.create([bare("Practice")], NOON)
        name = job.id
        unsynced(journal)
        for number in range(400):
            job.append([heard(), StepDone(step=f"s{number}")], NOON + number)
    begun = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            with open_journal(home) as journal:
                unsynced(journal)
                job = journal.hold(name, NOON)
                for number in range(1_000_000):
                    job.append([heard(), StepDone(step=f"t{number}")], NOON + number)
                    os.write(begun[1], b".")
        finally:
            os._exit(1)
    try:
        os.read(begun[0], 1)
        counts = []
        for number in range(4):
            path = write_backup(home, Settings(), tmp_path / f"{number}.zip", NOW)[0]
            os.read(begun[0], 1_000_000)  # it works on
            os.read(begun[0], 1)
            restore_bay(path, tmp_path / f"after {number}", NOW, over=False)
            counts.append(len(independent.check(tmp_path / f"after {number}", name)))
    finally:
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
    assert counts == sorted(set(counts)), "each is of a later moment"
    assert all(count % 2 == 1 for count in counts), "no answer is halved"
    with open_journal(tmp_path / "after 3") as journal:  # nobody holds it there
        assert journal.lease(name) is None
        journal.hold(name, NOON).close()


def test_what_is_there_is_replaced_only_when_asked_and_kept(bay, tmp_path):
    path = backed_up(bay, tmp_path / "b.zip")
    (bay / "prices.csv").write_text("newer\n")
    with pytest.raises(Refusal, match="a bay in .* already, and nothing was changed: give --over"):
        restore_bay(path, bay, NOW, over=False)
    with the_only_bay(bay), pytest.raises(Refusal, match="Another process has the bay"):
        restore_bay(path, bay, NOW, over=True)
    with open_journal(bay) as journal:
        job = journal.create([bare("Practice")], NOON)
        with pytest.raises(Refusal, match=f"Somebody works on job {job.id}"):
            restore_bay(path, bay, NOW, over=True)
    assert (bay / "prices.csv").read_text() == "newer\n"
    done = restore_bay(path, bay, NOW, over=True)
    assert (bay / "prices.csv").read_bytes().startswith(b"prices.csv")
    assert (done.before / "prices.csv").read_text() == "newer\n"
    assert not list(tmp_path.glob(".*restoring*"))


def test_a_data_folder_that_is_a_link_to_another_disk_stays_one(bay, tmp_path):
    path = backed_up(bay, tmp_path / "b.zip")
    (tmp_path / "disk").mkdir()
    (tmp_path / "data").symlink_to(tmp_path / "disk/bay")
    restore_bay(path, tmp_path / "data", NOW, over=False)
    assert (tmp_path / "data").is_symlink()
    assert journal_path(tmp_path / "disk/bay").exists()


def test_a_second_bay_in_one_folder_is_refused_and_the_lock_ends_with_its_holder(tmp_path):
    with (
        the_only_bay(tmp_path),
        pytest.raises(Refusal, match="Another process has the bay") as refused,
        the_only_bay(tmp_path),
    ):
        pass
    assert refused.value.code == Exit.BUSY
    with the_only_bay(tmp_path):
        pass


@pytest.mark.parametrize(
    ("file", "says"),
    [("-", "standard output"), ("nowhere/b.zip", "folder nowhere is not there"), ("there.zip", "is there already"),
     ("bay/b.zip", "lies in the data folder")],
)  # fmt: skip
def test_a_place_that_cannot_be_is_refused(bay, tmp_path, file, says):
    (tmp_path / "there.zip").write_text("mine")
    done = CliRunner().invoke(app, ["backup", file], env={"ASSISTANT_HOME": str(bay)})
    assert (done.exit_code in (Exit.USAGE, Exit.OUTPUT), says in done.output) == (True, True), done.output
    assert (tmp_path / "there.zip").read_text() == "mine"


def test_no_room_and_nothing_to_keep_are_told(bay, tmp_path):
    with (bay / "audio/huge.flac").open("wb") as file:
        file.truncate(1 << 42)  # a file of four tebibytes, of which nothing is on the disk
    with pytest.raises(Refusal, match="no room for the backup"):
        backed_up(bay, tmp_path / "b.zip")
    with pytest.raises(Refusal, match="nothing to keep"):
        write_backup(tmp_path / "empty", Settings(), tmp_path / "b.zip", NOW, procedures=tmp_path / "empty")
    assert not list(tmp_path.glob("*b.zip*"))


def test_a_job_that_did_not_fit_is_taken_as_it_is_and_told(bay, tmp_path):
    tamper(journal_path(bay), "UPDATE entry SET at_ms = at_ms + 1 WHERE seq = 3")
    path = backed_up(bay, tmp_path / "b.zip")
    done = restore_bay(path, tmp_path / "other", NOW, over=False)
    (job,) = done.manifest.jobs
    assert f"assistant verify {job}" in "".join(done.told)


def hostile(path, out, change, *, names=None):
    """Write the backup ``path`` to ``out`` with its files and its manifest changed by ``change``."""
    with zipfile.ZipFile(path) as archive:
        files = {name: archive.read(name) for name in archive.namelist()}
    manifest = json.loads(files.pop(MANIFEST))
    change(files, manifest)
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in [*files.items(), (MANIFEST, json.dumps(manifest).encode())]:
            archive.writestr(name if isinstance(name, zipfile.ZipInfo) else zipfile.ZipInfo(name), data, 8)
    return out


def _named(name, mode=0):
    def change(files, manifest):
        info = zipfile.ZipInfo("data/prices.csv")
        info.filename, info.external_attr = name, mode << 16
        files[info] = files.pop("data/prices.csv")
        manifest["files"][name] = manifest["files"].pop("data/prices.csv")

    return change


def _bomb(files, manifest):
    files["data/prices.csv"] = bytes(70 * 1024 * 1024)
    manifest["files"]["data/prices.csv"]["size"] = len(files["data/prices.csv"])


def _newer(files, manifest):
    manifest["format"] = 2
    manifest["program"] = "9.9.9"


def _other_journal(files, manifest):
    manifest["jobs"] = {}


HOSTILE = {
    "absolute": (_named("/etc/cron.d/x"), "no name that a backup has"),
    "up": (_named("data/../../x"), "no name that a backup has"),
    "windows": (_named("data\\..\\x"), "no name that a backup has"),
    "elsewhere": (_named("x"), "no name that a backup has"),
    "dot": (_named("data/./x"), "no name that a backup has"),
    "folder": (_named("data/x/"), "no name that a backup has"),
    "link": (_named("data/x", stat.S_IFLNK | 0o777), "no plain file"),
    "device": (_named("data/x", stat.S_IFCHR | 0o666), "no plain file"),
    "bomb": (_bomb, "would become"),
    "newer": (_newer, r"newer program \(9\.9\.9\).*install that version"),
    "another journal": (_other_journal, "not as its manifest says"),
    "changed": (lambda files, _: files.update({"data/prices.csv": files["data/prices.csv"][::-1]}), "as it was writ"),
    "longer": (lambda files, _: files.update({"data/prices.csv": b"x"}), "not as its manifest says"),
    "more": (lambda files, _: files.update({"data/more": b"x"}), "'data/more' is not as its manifest says"),
    "less": (lambda files, _: files.pop("data/prices.csv"), "not as its manifest says"),
    "file and folder": (lambda files, manifest: (
        files.update({"data/prices.csv/x": b""}),
        manifest["files"].update({"data/prices.csv/x": {"size": 0, "sha256": "0" * 64}})), "nothing was changed"),
    "no format": (lambda _, manifest: manifest.pop("format"), "no backup of this program"),
    "odd": (lambda _, manifest: manifest.update({"files": 3}), "manifest cannot be read"),
}  # fmt: skip


@pytest.mark.parametrize("change", HOSTILE.values(), ids=HOSTILE)
def test_a_hostile_or_broken_archive_changes_nothing(bay, tmp_path, change):
    do, says = change
    path = hostile(backed_up(bay, tmp_path / "b.zip"), tmp_path / "bad.zip", do)
    other = tmp_path / "other/data"
    with pytest.raises(Refusal, match=says):
        restore_bay(path, other, NOW, over=False)
    assert not list((tmp_path / "other").rglob("*"))
    with pytest.raises(Refusal, match=says):
        check_backup(path)


def test_a_journal_whose_chain_was_changed_and_hashed_again_is_found(bay, tmp_path):
    path = backed_up(bay, tmp_path / "b.zip")

    def change(files, manifest):
        (tmp_path / "j").mkdir()
        (tmp_path / "j/journal.sqlite").write_bytes(files["data/journal.sqlite"])
        tamper(tmp_path / "j/journal.sqlite", "UPDATE entry SET kind = 'noted' WHERE seq = 2")
        data = (tmp_path / "j/journal.sqlite").read_bytes()
        files["data/journal.sqlite"] = data
        digest = hashlib.sha256(data).hexdigest()
        manifest["files"]["data/journal.sqlite"] = {"size": len(data), "sha256": digest}

    with pytest.raises(Refusal, match="in its journal is not as its manifest says"):
        restore_bay(hostile(path, tmp_path / "bad.zip", change), tmp_path / "other", NOW, over=False)


def test_what_is_cut_off_is_no_backup(bay, tmp_path):
    whole = backed_up(bay, tmp_path / "b.zip").read_bytes()
    for length in (0, 10, len(whole) // 2, len(whole) - 1):
        (tmp_path / "cut.zip").write_bytes(whole[:length])
        with pytest.raises(Refusal, match="nothing was changed: it is no whole ZIP file"):
            restore_bay(tmp_path / "cut.zip", tmp_path / "other", NOW, over=False)


def test_the_commands_tell_what_they_did(bay, tmp_path):
    run = CliRunner()
    done = run.invoke(app, ["backup", str(tmp_path / "b.zip")], env={"ASSISTANT_HOME": str(bay)})
    assert (done.exit_code, "1 job," in done.output, "pipe" in done.output) == (0, True, True), done.output
    other = {"ASSISTANT_HOME": str(tmp_path / "other")}
    done = run.invoke(app, ["restore", str(tmp_path / "b.zip"), "--check"], env=other)
    assert (done.exit_code, "can be restored" in done.output) == (0, True), done.output
    assert not (tmp_path / "other").exists()
    done = run.invoke(app, ["restore", str(tmp_path / "b.zip")], env=other)
    assert (done.exit_code, "it lay elsewhere: procedures, tools, wordings." in done.output) == (0, True), done.output
    assert run.invoke(app, ["verify", "last"], env=other).exit_code == 0
    done = run.invoke(app, ["restore", str(tmp_path / "none.zip")], env=other)
    assert (done.exit_code, "cannot be read" in done.output) == (Exit.USAGE, True), done.output
