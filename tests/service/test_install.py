"""What install-service writes: units that systemd takes, never over what a person changed, gone with --remove."""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.service import install, systemd, unit
from assistant.terminal.exits import Exit, Refusal


@pytest.fixture
def bay(tmp_path, monkeypatch):
    """A user with a data folder of a bay, and where the units of that user lie."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path / "data"))
    (tmp_path / "data").mkdir()
    return tmp_path / "config/systemd/user"


def wanted(place, name="assistant-bay", *bay):
    return install.wanted_here(name, bay, place)


def verified(folder, *files):
    """Return what systemd's own checker says of the units ``files`` of a user in ``folder``."""
    env = os.environ | {"XDG_RUNTIME_DIR": str(folder), "SYSTEMD_LOG_LEVEL": "warning", "LC_ALL": "C"}
    done = subprocess.run(
        ["systemd-analyze", "--user", "--man=no", "verify", *(str(folder / file) for file in files)],
        env=env, capture_output=True, text=True, timeout=60,
    )  # fmt: skip
    return done.returncode, done.stderr


@pytest.mark.parametrize("version", [252, 257])
def test_systemd_takes_the_units_as_they_are(tmp_path, version):
    place = tmp_path / 'a "bay" of 100% $HOME'
    place.mkdir()
    it = unit.UnitFor(Path(sys.executable), place, place, place, bay=("--say", "it's $5 \\ 50%"), systemd=version)
    for file, text in unit.units(it).items():
        (tmp_path / file).write_text(text)
    code, said = verified(tmp_path, *unit.units(it))
    said = "\n".join(line for line in said.splitlines() if "RestartSteps" not in line and "MaxDelay" not in line)
    assert (code, said) == (0, "")
    broken = unit.units(it)["assistant-bay.service"].replace("WatchdogSec=60", "WatchdogSec=soon")
    (tmp_path / "assistant-bay.service").write_text(broken)
    assert "parse sec value" in verified(tmp_path, "assistant-bay.service")[1]  # the checker does look


def test_what_it_does_is_what_a_bay_needs(tmp_path):
    it = unit.UnitFor(
        Path("/opt/venv/bin/assistant"), Path("/data"), Path("/procedures-here"), tmp_path, bay=("--touch",)
    )
    text = unit.units(it)["assistant-bay.service"]
    for line in (
        "Type=notify", "WatchdogSec=60", "Restart=on-failure", "StartLimitIntervalSec=0", "WantedBy=default.target",
        "StandardOutput=journal", "Environment=PYTHONUNBUFFERED=1",
        "Environment=ASSISTANT_HOME=/data", "WorkingDirectory=/procedures-here",
        "ExecStart=/opt/venv/bin/assistant bay --touch",
    ):  # fmt: skip
        assert line in text.splitlines()
    assert re.search(r"^After=.*\bpipewire-pulse\.socket\b.*\bpulseaudio\.socket", text, re.MULTILINE)
    newer = unit.units(unit.UnitFor(it.program, it.home, it.place, it.docs, systemd=254))["assistant-bay.service"]
    assert "RestartMaxDelaySec=60" in newer
    assert "RestartSteps" not in text  # older versions do not know it, and would complain at each start


@settings(max_examples=200)
@given(st.text(st.characters(exclude_categories=["C", "Z"]) | st.just(" "), min_size=1))
def test_a_word_of_a_unit_is_read_back_as_it_was(word):
    # But for "%" and "$", systemd reads quotes and backslashes in a word as a POSIX shell does (systemd.syntax(7)).
    line = unit._words([word])
    (read,) = shlex.split(line.replace("$$", "$"))
    assert read.replace("%%", "%") == word


def test_it_writes_says_what_and_takes_it_away_again(bay, tmp_path, capsys):
    assert install.install(wanted(tmp_path), force=False, booted=True) is Exit.OK
    said = capsys.readouterr().out
    files = {path.name for path in bay.iterdir() if path.is_file()}
    assert files == {"assistant-bay.service", "assistant-bay-doctor.service", "assistant-bay-doctor.timer"}
    assert all(str(bay / file) in said for file in files)
    assert "loginctl enable-linger" in said
    assert "assistant install-service --remove" in said
    for target, file in (("default", "assistant-bay.service"), ("timers", "assistant-bay-doctor.timer")):
        assert (bay / f"{target}.target.wants" / file).resolve() == bay / file  # what `systemctl enable` would make
    install.install(wanted(tmp_path, "assistant-bay", "--display-touch"), force=False, booted=True)
    assert "--display-touch" in (bay / "assistant-bay.service").read_text()
    assert not list(bay.glob("*.bak"))
    assert install.remove("assistant-bay", force=False) is Exit.OK
    assert not [path for path in bay.rglob("*") if not path.is_dir()]
    with pytest.raises(Refusal, match="no service assistant-bay"):
        install.remove("assistant-bay", force=False)


def test_what_a_person_changed_stays_until_they_say_so(bay, tmp_path, capsys):
    install.install(wanted(tmp_path), force=False, booted=True)
    path = bay / "assistant-bay.service"
    mine = path.read_text().replace("RestartSec=10", "RestartSec=3")
    path.write_text(mine)
    for again in (lambda: install.install(wanted(tmp_path), force=False, booted=True),
                  lambda: install.remove("assistant-bay", force=False)):  # fmt: skip
        with pytest.raises(Refusal, match=r"changed by hand.*--force"):
            again()
        assert path.read_text() == mine
    path.write_text("[Service]\nExecStart=/bin/true\n")
    with pytest.raises(Refusal, match="not written by this program"):
        install.install(wanted(tmp_path), force=False, booted=True)
    path.write_text(mine)
    capsys.readouterr()
    install.install(wanted(tmp_path), force=True, booted=True)
    assert "what was there before is" in capsys.readouterr().out
    assert path.with_name("assistant-bay.service.bak").read_text() == mine


def test_one_bay_has_one_service(bay, tmp_path, monkeypatch):
    install.install(wanted(tmp_path), force=False, booted=True)
    with pytest.raises(Refusal, match="assistant-bay has the bay in .*data already"):
        install.install(wanted(tmp_path, "second-bay"), force=False, booted=True)
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path / "other"))
    with pytest.raises(Refusal, match="another data folder.*--name"):
        install.install(wanted(tmp_path), force=False, booted=True)
    install.install(wanted(tmp_path, "second-bay"), force=False, booted=True)
    assert (bay / "second-bay-doctor.timer").exists()


@pytest.mark.parametrize(
    ("name", "says"),
    [("../x", "cannot be the name"), ("", "cannot be"), ("a-doctor", "cannot be"), ("x" * 99, "cannot")],
)
def test_a_name_that_cannot_be_is_refused(bay, tmp_path, name, says):
    with pytest.raises(Refusal, match=says):
        wanted(tmp_path, name)
    with pytest.raises(Refusal, match="cannot be seen"):
        wanted(tmp_path / "a\nb")


def test_where_there_is_no_systemd_one_sentence_says_what_to_do(bay, tmp_path):
    with pytest.raises(Refusal, match="systemd does not run this computer.*assistant bay.*--print"):
        install.install(wanted(tmp_path), force=False, booted=False)
    assert not bay.exists()


def test_a_folder_that_cannot_be_written_is_told(bay, tmp_path):
    bay.parent.mkdir(parents=True)
    bay.write_text("a file where the folder should be\n")
    with pytest.raises(Refusal, match=r"assistant-bay\.service cannot be written \(Not a directory\)"):
        install.install(wanted(tmp_path), force=False, booted=True)


def test_how_a_service_is_is_read_from_what_systemctl_prints():
    # Printed by systemctl 252 for a service that was ended by its watchdog, from memory.
    lines = ["LoadState=loaded", "ActiveState=activating", "SubState=auto-restart", "Result=watchdog", "NRestarts=3"]
    assert systemd.parsed("\n".join([*lines, "StatusText=a=b\n"])) == systemd.Shown(
        "activating", "auto-restart", "watchdog", 3, "a=b"
    )
    assert systemd.parsed("LoadState=not-found\nActiveState=inactive\n") is None
    assert systemd.parsed("") is None
