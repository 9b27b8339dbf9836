"""``assistant bay`` as systemd has it: a real process, a real socket of a manager, a microphone that comes late."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from assistant.cli.printing.doctor import _device
from assistant.events import End
from assistant.journal.opening import open_journal
from assistant.voice.ports import VoiceFault
from tests.devices.pulse import PulseBay
from tests.devices.waiting import until
from tests.jobs import bare
from tests.journal.conftest import NOON
from tests.service.manager import NotifySocket


class Service:
    """The bay as a process; ``said`` is what it printed so far, ``notify`` what its manager hears."""

    def __init__(self, home: Path, pulse: PulseBay) -> None:
        self.notify = NotifySocket(home.parent)
        self._log = home.parent / f"{self.notify.address.name}.log"
        env = os.environ | pulse.environment | {
            "ASSISTANT_HOME": str(home), "PYTHONUNBUFFERED": "1", "NOTIFY_SOCKET": str(self.notify.address),
            "WATCHDOG_USEC": "2000000",
        }  # fmt: skip
        with self._log.open("wb") as log:
            self.process = subprocess.Popen(
                [sys.executable, "-m", "assistant", "bay", "--display-port", "0", "--microphone", "bay_mic"],
                env=env, stdin=subprocess.DEVNULL, stdout=log, stderr=subprocess.STDOUT, cwd=home.parent,
            )  # fmt: skip

    @property
    def said(self) -> str:
        return self._log.read_text()

    def close(self) -> None:
        if self.process.poll() is None:
            self.process.kill()
        self.process.wait()
        self.notify.close()


@pytest.fixture
def services(tmp_path: Path, pulse: PulseBay) -> Iterator[list[Service]]:
    begun: list[Service] = []
    yield begun
    for one in begun:
        one.close()


def test_it_waits_for_its_microphone_gives_signs_of_life_and_is_taken_up_after_a_kill(
    tmp_path: Path, pulse: PulseBay, services: list[Service]
) -> None:
    home = tmp_path / "home"
    with open_journal(home) as journal:
        name = journal.create([bare("Practice")], NOON).id
    pulse.unplug_microphone()
    try:
        bay = Service(home, pulse)
        services.append(bay)
        until(lambda: bay.notify.hears("READY=1\nSTATUS=The bay waits"), "the bay to be ready", 60)
        until(lambda: "The microphone is gone" in bay.said, "the missing microphone to be told", 20)
        bay.notify.told.clear()
        until(lambda: bay.notify.hears("WATCHDOG=1"), "a sign of life")
    finally:
        pulse.plug_in_microphone()
    until(lambda: "The microphone is back" in bay.said, "the microphone to be taken up", 20)
    assert re.search(r"http://127\.0\.0\.1:\d+/", bay.said)

    second = Service(home, pulse)  # two services for one bay
    services.append(second)
    assert second.process.wait(60) == 7
    assert "Another process has the bay" in second.said
    assert not second.notify.hears("READY=1")

    bay.process.send_signal(signal.SIGSTOP)  # a bay that hangs
    bay.notify.hears("")
    bay.notify.told.clear()
    with pytest.raises(AssertionError):
        until(lambda: bay.notify.hears("WATCHDOG=1"), "a sign of life", 1.5)
    bay.process.kill()  # what systemd does then
    bay.process.wait()
    again = Service(home, pulse)
    services.append(again)
    until(lambda: again.notify.hears("READY=1") and "The bay waits" in again.said, "the bay to be ready again", 60)
    with open_journal(home, read_only=True) as journal:
        assert journal.lease(name) is None  # the open job is there to be taken up
    again.process.terminate()
    assert again.process.wait(30) == 0
    assert again.notify.hears("STOPPING=1")


def test_the_doctor_opens_the_devices(pulse: PulseBay) -> None:
    assert _device(End.MICROPHONE, "bay_mic").endswith("bay_mic  [ALSA], which opens")
    assert _device(End.LOUDSPEAKER, "bay_speaker").endswith("which opens")
    pulse.unplug_microphone()
    try:
        with pytest.raises(VoiceFault, match='microphone "bay_mic" cannot be opened'):
            _device(End.MICROPHONE, "bay_mic")
    finally:
        pulse.plug_in_microphone()
