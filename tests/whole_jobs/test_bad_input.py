"""Whatever is missing, broken or full: one sentence on the terminal, the exit code from the docs, and nothing lost."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from assistant.journal.opening import journal_path
from tests.journal import independent
from tests.journal.disk import rows, tamper
from tests.whole_jobs.talks import ROOT

GOOD = "tests/procedure/good/bench-check.yaml"
TALK = "audio_fixtures/coolant-pump-cover.flac"
PROCEDURE, DEVICE, JOURNAL, USAGE = 4, 5, 6, 2
"""Exit codes, as ``assistant --help`` prints them."""
NO_SOUND = {"ALSA_CONFIG_PATH": "/usr/share/alsa/alsa.conf", "PULSE_SERVER": "unix:/nowhere"}


def command(home: Path, *words, bound=False, **environment) -> subprocess.CompletedProcess:
    """Run the command with its data in ``home``, on a machine without sound devices.

    ``bound``: permissions bind it, even when root runs the tests.
    """
    caps = "-dac_override,-dac_read_search"
    first = ["setpriv", f"--inh-caps={caps}", f"--bounding-set={caps}"] if bound and os.geteuid() == 0 else []
    return subprocess.run(
        [*first, sys.executable, "-m", "assistant", *map(str, words)],
        cwd=ROOT, env=os.environ | NO_SOUND | {"ASSISTANT_HOME": str(home)} | environment,
        stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=60,
    )  # fmt: skip


def refused(answer: subprocess.CompletedProcess, code: int, *parts: str) -> str:
    """Check that the answer is one line with all of ``parts`` in it, and the exit code ``code``."""
    assert "Traceback" not in answer.stderr, answer.stderr
    lines = answer.stderr.strip().splitlines()
    assert len(lines) == 1, answer.stderr
    for part in parts:
        assert part in lines[0], lines[0]
    assert answer.returncode == code, (answer.returncode, lines[0])
    return lines[0]


def rehearsal(home: Path, *words, procedure=GOOD, hear=TALK, **how) -> subprocess.CompletedProcess:
    return command(home, "rehearse", procedure, "--audio-in", hear, *words, **how)


@pytest.mark.parametrize("name", ["run", "rehearse"])
def test_a_procedure_that_is_not_there(tmp_path, name):
    words = ["--audio-in", TALK] if name == "rehearse" else []
    answer = command(tmp_path, name, tmp_path / "none.yaml", *words)
    refused(answer, PROCEDURE, str(tmp_path / "none.yaml"), "No such file", "check the name")
    assert not journal_path(tmp_path).exists()


@pytest.mark.parametrize(
    "words",
    [["run", "FILE"], ["programme", "FILE"], ["approve", "FILE", "--by", "Kim"], ["tools", "FILE"], ["import", "FILE"],
     ["rehearse", GOOD, "--typed", "FILE"], ["rehearse", GOOD, "--audio-in", "FILE"], ["test-hearing", "FILE"],
     ["rehearse", GOOD, "--typed", "-", "--tools", "FILE"]],
    ids=" ".join,
)  # fmt: skip
def test_a_file_that_may_not_be_read_is_one_sentence_wherever_it_is_named(tmp_path, words):
    file = tmp_path / "closed.yaml"
    file.write_text("x", "utf-8")
    file.chmod(0)
    answer = command(tmp_path / "home", *(file if word == "FILE" else word for word in words), bound=True)
    refused(answer, PROCEDURE, str(file), "check the name and who may read it")


def test_a_broken_procedure_gives_a_line_for_each_thing_to_mend(tmp_path):
    text = (ROOT / GOOD).read_text("utf-8")
    broken = tmp_path / "broken.yaml"
    broken.write_text(text.replace("torque: 12 N·m", "torque: lots").replace("spare: gasket", "spare: gaskit"))
    answer = command(tmp_path, "run", broken)
    numbers = [
        number for number, line in enumerate(broken.read_text().splitlines(), 1) if "lots" in line or "kit" in line
    ]
    assert answer.returncode == PROCEDURE
    findings = answer.stderr.strip().splitlines()
    assert all(line.startswith(f"{broken}:") for line in findings)
    assert set(numbers) <= {int(line.removeprefix(f"{broken}:").split(":")[0]) for line in findings}
    assert not journal_path(tmp_path).exists()


def test_a_recording_that_is_not_there(tmp_path):
    refused(rehearsal(tmp_path, hear=tmp_path / "none.wav"), PROCEDURE, str(tmp_path / "none.wav"), "check the name")


def test_an_empty_recording(tmp_path):
    (tmp_path / "empty.wav").touch()
    refused(rehearsal(tmp_path, hear=tmp_path / "empty.wav"), PROCEDURE, str(tmp_path / "empty.wav"), "is empty")


def test_a_recording_that_is_none(tmp_path):
    (tmp_path / "letter.wav").write_text("Dear workshop,\n" * 50)
    refused(rehearsal(tmp_path, hear=tmp_path / "letter.wav"), PROCEDURE, str(tmp_path / "letter.wav"))


def test_a_model_that_is_not_there(tmp_path):
    refused(rehearsal(tmp_path, "--model", tmp_path / "none"), DEVICE, str(tmp_path / "none"), "--model")


def test_a_model_directory_that_lacks_a_file(tmp_path):
    (tmp_path / "model" / "am").mkdir(parents=True)
    (tmp_path / "model" / "am" / "final.mdl").touch()
    refused(rehearsal(tmp_path, "--model", tmp_path / "model"), DEVICE, str(tmp_path / "model"))


def test_a_voice_that_is_not_known(tmp_path):
    refused(rehearsal(tmp_path, "--voice", "zzz"), DEVICE, '"zzz"', "en-us")


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("rate = 9000", "80 to 400"),
        ("raet = 165", 'did you mean "rate"'),
        ("rate = ", "mend the file"),
        ('rate = "x"', "number"),
    ],
)
def test_settings_that_make_no_sense(tmp_path, text, part):
    (tmp_path / "settings.toml").write_text(text)
    refused(command(tmp_path, "run", GOOD), USAGE, str(tmp_path / "settings.toml"), part)


def test_no_microphone_and_no_loudspeaker(tmp_path):
    refused(command(tmp_path, "run", GOOD), DEVICE, "No microphone was found", "assistant devices")


@pytest.mark.parametrize("words", [("resume",), ("show", "2026-01-01-1")])
def test_no_job_yet(tmp_path, words):
    refused(command(tmp_path, *words), JOURNAL, str(tmp_path), "assistant run PROCEDURE")
    assert not journal_path(tmp_path).exists()


@pytest.fixture(scope="module")
def kept(tmp_path_factory):
    """A home with one open job in it."""
    home = tmp_path_factory.mktemp("kept")
    spoken = home / "silence.wav"
    import soundfile

    soundfile.write(spoken, [0.0] * 1600, 16_000)
    answer = rehearsal(home, hear=spoken)
    assert answer.returncode == 3, answer.stderr
    return home


@pytest.fixture
def home(kept, tmp_path):
    """A home of its own with one open job in it."""
    shutil.copy(journal_path(kept), journal_path(tmp_path))
    return tmp_path


def job_in(home: Path) -> str:
    ((name,),) = rows(journal_path(home), "SELECT DISTINCT job FROM entry")
    return str(name)


@pytest.mark.parametrize("name", ["resume", "show"])
def test_a_job_that_is_not_known(home, name):
    refused(command(home, name, "1999-01-01-7"), JOURNAL, "1999-01-01-7", "assistant jobs")


@pytest.mark.parametrize("name", ["resume", "show"])
def test_a_damaged_job_names_the_entry_and_is_left_as_it_is(home, name):
    tamper(journal_path(home), "UPDATE entry SET data = replace(data, 'Bench', 'Other') WHERE seq = 1")
    before = journal_path(home).read_bytes()
    refused(command(home, name), JOURNAL, "Entry 1 of job")
    assert journal_path(home).read_bytes() == before


@pytest.mark.parametrize("words", [("resume",), ("jobs",), ("rehearse", GOOD, "--audio-in", TALK)])
def test_a_journal_of_another_format(home, words):
    tamper(journal_path(home), "PRAGMA user_version = 99")
    before = journal_path(home).read_bytes()
    refused(command(home, *words), JOURNAL, str(journal_path(home)), "format 99")
    assert journal_path(home).read_bytes() == before


def test_a_file_that_is_no_journal(tmp_path):
    journal_path(tmp_path).write_text("not a journal at all\n" * 100)
    refused(command(tmp_path, "jobs"), JOURNAL, str(journal_path(tmp_path)))


def test_a_home_in_which_nothing_may_be_written(home):
    journal_path(home).chmod(0o444)
    home.chmod(0o555)
    entries = independent.check(home, job_in(home))
    try:
        refused(rehearsal(home, bound=True), JOURNAL, str(home), "write")
        listed = command(home, "jobs", bound=True)
        assert (listed.returncode, job_in(home) in listed.stdout) == (0, True), listed.stderr
    finally:
        home.chmod(0o755)
    assert independent.check(home, job_in(home)) == entries


def test_a_full_disk_says_so_once_for_each_word_and_keeps_what_was_answered(tmp_path):
    mount = ["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", tmp_path]
    if os.geteuid() != 0 or subprocess.run(mount, capture_output=True).returncode != 0:
        pytest.skip("no disk can be mounted here without root")
    try:
        answer = rehearsal(tmp_path, procedure="procedures/coolant-pump-cover.yaml")
        assert "Traceback" not in answer.stderr, answer.stderr
        assert "is full" in answer.stdout + answer.stderr
        if answer.returncode == JOURNAL:
            refused(answer, JOURNAL, "full")
        else:
            assert answer.returncode == 3
            entries = independent.check(tmp_path, job_in(tmp_path))
            assert entries[0][1] == "opened"
    finally:
        subprocess.run(["umount", "-l", tmp_path], check=True)
