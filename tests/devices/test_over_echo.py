"""Speaking over the assistant on a real sound server: its microphone hears its loudspeaker, and a person."""

from __future__ import annotations

import time
from pathlib import Path

import numpy as np
import pytest

from assistant.bay.inbox import Inbox
from assistant.bay.room import bay_in_a_room, device_names
from assistant.bay.screen import Screen
from assistant.clock import SteadyClock
from assistant.events import Grammar, Heard
from assistant.settings import Settings
from assistant.voice.adapters.webrtc import has_canceller
from assistant.voice.ports import RATE
from tests.devices.pulse import LOUDSPEAKER, MICROPHONE, PulseBay
from tests.devices.test_mic_check import RMS, echo, hiss, samples
from tests.devices.waiting import until

pytestmark = pytest.mark.skipif(not has_canceller(), reason="the extra echo is not installed")

LONG = (
    "Step three of twelve. Remove the cover, and count the bolts as you take them out. Keep the long ones apart. "
    "Look at the gasket, and clean both faces. Fit the cover, and tighten all bolts by hand. "
    "Then tighten them crosswise to twelve newton metres, and once more from the first to the last."
)


class Heeding(Inbox):
    """An inbox that keeps what was heard and what was told."""

    def __init__(self) -> None:
        super().__init__()
        self.got: list[Heard] = []
        self.why: list[str] = []

    def heard(self, heard: Heard) -> None:
        self.got.append(heard)

    def not_over(self, why: str) -> None:
        self.why.append(str(why))


class Named:
    def __init__(self, name: str) -> None:
        self.name = name


SETTINGS = Settings(
    microphone=MICROPHONE, loudspeaker=LOUDSPEAKER, over_echo=True, echo_delay_ms=150,
    echo_devices=device_names(Named(MICROPHONE), Named(LOUDSPEAKER)),
)  # fmt: skip


def test_a_person_is_heard_over_the_loudspeaker_and_it_falls_silent(pulse: PulseBay, tmp_path: Path) -> None:
    inbox = Heeding()
    background = pulse.speak(samples(hiss(60, -58)), RATE)
    with echo(pulse, 0.2), bay_in_a_room(SETTINGS, inbox, SteadyClock(), Screen) as bay:
        bay.ears.listen_for(Grammar(("repeat", "next", "yes", "help")))
        bay.ears._pedal_key = None  # there is no keyboard here
        bay.ears.begin(lambda: 0.0, lambda: None)
        try:
            bay.speaker.say(LONG)
            until(bay.speaker.is_sounding, "the voice")
            until(lambda: bay.ears.look().state != "closed", "the way of the sound being known", 12)
            assert inbox.got == []
            assert bay.speaker.is_sounding()
            begun = time.monotonic()
            pulse.speak(np.rint(0.9 * RMS.say("repeat").astype(float)).astype(np.int16), RATE)
            until(lambda: not bay.speaker.is_sounding(), "silence", 5)
            # What pacat needs to start, and the buffers of two sound servers, are in it: some 0.2 s on a machine that
            # does nothing else. The voice had ten seconds and more to go; tests/voice/test_over_echo.py counts blocks.
            assert time.monotonic() - begun < 3.0
            until(lambda: bool(inbox.got), "the word", 5)
        finally:
            bay.ears.close()
            background.kill()
            background.wait()
    assert inbox.got[0].over
    assert inbox.got[0].text in ("repeat", "")
    assert inbox.why == []


def test_another_microphone_than_was_measured_is_told_and_it_listens_only_while_silent(pulse: PulseBay) -> None:
    inbox = Heeding()
    other = Settings(microphone=MICROPHONE, loudspeaker=LOUDSPEAKER, over_echo=True, echo_devices="usb > usb")
    with bay_in_a_room(other, inbox, SteadyClock(), Screen) as bay:
        assert inbox.why == ["devices"]
        assert bay.ears.devices == SETTINGS.echo_devices
