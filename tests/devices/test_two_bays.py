"""Two bays with one microphone: the sound server would give it to both; the second one is told who has it."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from assistant.cli.printing.doctor import _device
from assistant.events import End
from assistant.journal.opening import open_journal
from assistant.voice.ports import VoiceFault
from assistant.voice.sound.held import HeldElsewhere, MicrophoneHold, holder_of
from tests.devices.pulse import LOUDSPEAKER, MICROPHONE, PulseBay, Recording
from tests.whole_jobs.workshop import ROOT, Assistant

pytestmark = [pytest.mark.audio, pytest.mark.timeout(300)]
BAY = ("bay", "--display-port", "0", "--rate", "250")
BARE = "</usr/share/alsa/alsa.conf>\npcm.!default { type null }\n"
"""ALSA without any device of the bay."""


@contextmanager
def waiting_bay(home: Path, recording: Recording, microphone: str = MICROPHONE, **more: str) -> Iterator[Assistant]:
    """A bay that waits, with that ``microphone``."""
    with Assistant(home, recording, *BAY, microphone=microphone, more=more) as bay:
        bay.until(lambda: any("The bay waits." in text for text in bay.texts("note")), "the beginning", 60)
        yield bay


def asked(home: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """A command that ends by itself, and what it said."""
    return subprocess.run(
        [sys.executable, "-m", "assistant", *words], cwd=ROOT, env=os.environ | {"ASSISTANT_HOME": str(home)},
        capture_output=True, text=True, timeout=120, stdin=subprocess.DEVNULL, check=False,
    )  # fmt: skip


def test_the_second_bay_is_told_who_has_the_microphone_and_another_one_is_free(pulse: PulseBay, tmp_path: Path) -> None:
    first, second, third = (tmp_path / name for name in ("first", "second", "third"))
    devices = ("--microphone", MICROPHONE, "--loudspeaker", LOUDSPEAKER)
    alsa = tmp_path / "two.conf"
    alsa.write_text(
        f'<{os.environ["ALSA_CONFIG_PATH"]}>\npcm.bench_mic {{ type pulse server "{os.environ["PULSE_SERVER"]}" '
        f'device {LOUDSPEAKER}.monitor hint {{ show on description "Microphone of the bench" }} }}\n'
    )
    with pulse.recorded() as recording:
        with waiting_bay(first, recording) as bay:
            has_it = f"the bay in {first} (process {bay.process.pid})"
            for command in (BAY, ("run", "coolant-pump-cover"), ("mic-check",)):
                refused = asked(second, *command, *devices)
                assert refused.returncode == 5, refused
                assert f'The microphone "{MICROPHONE}" is listened to by {has_it}' in refused.stderr
                assert "--microphone" in refused.stderr
                assert "end that bay first" in refused.stderr
            with open_journal(second) as journal:
                assert not list(journal.scan())
            assert _device(End.MICROPHONE, MICROPHONE).endswith(f", which opens; {has_it} listens to it")
            with waiting_bay(third, recording, "bench_mic", ALSA_CONFIG_PATH=str(alsa)) as other:
                assert not any("gone" in text for text in other.texts("said"))
            with waiting_bay(second, recording, "phone"):  # a phone alone needs no microphone of this computer
                assert holder_of(MICROPHONE) == has_it
            alone = asked(third, "run", "coolant-pump-cover", "--microphone", "phone", "--loudspeaker", LOUDSPEAKER)
            assert alone.returncode == 5
            assert "no phone can join here: add --display-touch" in alone.stderr
            assert bay.process.poll() is None
            bay.process.kill()
            bay.process.wait()
        assert holder_of(MICROPHONE) == ""
        with waiting_bay(second, recording):
            assert str(second) in holder_of(MICROPHONE)


def test_a_microphone_that_comes_back_as_another_bays_is_refused_once_and_taken_when_that_ends(
    pulse: PulseBay, tmp_path: Path
) -> None:
    alsa = tmp_path / "late.conf"
    alsa.write_text(BARE)
    with pulse.recorded() as recording, waiting_bay(tmp_path / "late", recording, ALSA_CONFIG_PATH=str(alsa)) as late:
        with waiting_bay(tmp_path / "first", recording) as first:
            alsa.write_text(Path(os.environ["ALSA_CONFIG_PATH"]).read_text())

            def refusals() -> list[str]:
                return [text for text in late.texts("note") if "is listened to by the bay in" in text]

            late.until(lambda: len(refusals()) == 1, "the refusal", 60)
            assert f"process {first.process.pid}" in refusals()[0]
            assert not any("microphone is back" in text.lower() for text in late.texts("said"))
            first.process.kill()
            first.process.wait()
        late.until(lambda: str(tmp_path / "late") in holder_of(MICROPHONE), "the microphone to be taken up", 60)
        assert len(refusals()) == 1


def test_the_names_under_which_a_sound_server_offers_its_microphone_are_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_RUNTIME_DIR", str(tmp_path))
    first, second = MicrophoneHold("one"), MicrophoneHold("two")
    first.take("default")
    for name in ("default", "pulse", "pipewire"):
        with pytest.raises(HeldElsewhere, match=rf"the bay in one \(process {os.getpid()}\)"):
            second.take(name)
    second.take("USB Headset: Audio (hw:1,0)")
    first.take("USB Headset: Audio #2 (hw:2,0)")  # the system's choice is another one now: the old one is free
    second.take("pulse")
    monkeypatch.setenv("PULSE_SOURCE", "bench")  # the server is told which one is meant
    third = MicrophoneHold("three")
    third.take("pulse")
    for hold in (first, second, third):
        hold.release()
    assert holder_of("default") == ""


def test_a_lock_that_cannot_be_made_is_one_sentence(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_RUNTIME_DIR", str(tmp_path))
    (tmp_path / "step-assistant").write_text("a file")
    with pytest.raises(VoiceFault, match="step-assistant cannot be made"):
        MicrophoneHold("one").take("default")
    (tmp_path / "step-assistant").unlink()
    (tmp_path / "step-assistant").symlink_to(tmp_path / "elsewhere")
    (tmp_path / "elsewhere").mkdir()
    with pytest.raises(VoiceFault, match="step-assistant is not a folder of yours"):
        MicrophoneHold("one").take("default")
