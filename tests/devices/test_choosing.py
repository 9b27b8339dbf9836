"""What a mechanic reads when a device cannot be had: one sentence that says what is wrong and what to do next."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from assistant.events import End
from assistant.voice.ports import VoiceFault
from assistant.voice.sound.card import SoundCard
from tests.devices.pulse import PulseBay


def test_the_list_has_both_devices_and_marks_the_default(card: SoundCard) -> None:
    devices = {device.name: device for device in card.devices()}
    assert devices["bay_mic"].serves(End.MICROPHONE)
    assert devices["bay_speaker"].serves(End.LOUDSPEAKER)
    assert devices["bay_speaker"].host == "ALSA"
    assert [name for name, device in devices.items() if device.is_default(End.MICROPHONE)] == ["default"]


def test_a_device_can_be_named_by_its_number_or_a_part_of_its_name(card: SoundCard) -> None:
    number = next(device.index for device in card.devices() if device.name == "bay_speaker")
    assert card.loudspeaker(str(number)).alive
    assert card.microphone("MIC").stream is not None


def test_a_device_that_went_away_before_it_was_opened(pulse: PulseBay, card: SoundCard) -> None:
    pulse.unplug_loudspeaker()
    try:
        with pytest.raises(VoiceFault) as fault:
            card.loudspeaker("bay_speaker")
    finally:
        pulse.plug_in_loudspeaker()
    assert 'The loudspeaker "bay_speaker" cannot be opened' in fault.value.sentence
    assert "assistant devices" in fault.value.sentence
    assert "\n" not in fault.value.sentence


def run(code: str, **environment: str) -> subprocess.CompletedProcess[str]:
    """Run ``code`` in a process of its own, and print the sentence of the fault that it ends with."""
    program = (
        "from assistant.voice.ports import VoiceFault\n"
        f"try:\n    {code}\nexcept VoiceFault as fault:\n    print(fault.sentence)\n"
    )
    return subprocess.run(
        [sys.executable, "-c", program],
        env=os.environ | environment,
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )


def test_a_computer_without_any_sound_device() -> None:
    cards = Path("/proc/asound/cards")
    if cards.exists() and "no soundcards" not in cards.read_text():
        pytest.skip("this computer has a sound card, so it cannot show what one without any does")
    stock = {"ALSA_CONFIG_PATH": "/usr/share/alsa/alsa.conf", "PULSE_SERVER": "unix:/nowhere"}
    answer = run("from assistant.voice.sound.card import SoundCard; SoundCard().microphone()", **stock)
    assert answer.stdout.startswith("No microphone was found; plug one in")
    assert "libasound2-plugins" in answer.stdout
    assert "assistant devices" in answer.stdout
    assert answer.stderr == "", "the drivers' own chatter must not reach the terminal"


def test_a_computer_without_the_sound_library() -> None:
    # The library is looked up with ctypes.util.find_library, which answers None where it is not installed.
    code = "import ctypes.util; ctypes.util.find_library = lambda name: None; "
    answer = run(code + "from assistant.voice.sound.card import SoundCard; SoundCard()")
    assert answer.stdout.startswith(
        "The sound library PortAudio is not installed; install the Debian package libportaudio2"
    )
    assert answer.stderr == ""
