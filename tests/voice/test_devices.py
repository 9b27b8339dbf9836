"""A device is meant by number, name or part of a name; what cannot be meant gets one sentence that helps."""

from __future__ import annotations

import pytest

from assistant.events import End
from assistant.voice.ports import VoiceFault
from assistant.voice.sound.devices import Device, pick_device

DEVICES = (
    Device(0, "Built-in Audio: Analog (hw:0,0)", "ALSA", 2, 2, 44_100),
    Device(1, "USB Headset: Audio (hw:1,0)", "ALSA", 1, 2, 48_000),
    Device(2, "USB Headset: Audio #2 (hw:2,0)", "ALSA", 1, 2, 48_000),
    Device(3, "HDMI", "ALSA", 0, 8, 48_000, default_output=True),
    Device(4, "default", "ALSA", 32, 32, 44_100, default_input=True),
)


@pytest.mark.parametrize(
    ("end", "wanted", "index"),
    [
        (End.MICROPHONE, "", 4),
        (End.LOUDSPEAKER, "", 3),
        (End.MICROPHONE, "1", 1),
        (End.LOUDSPEAKER, " 3 ", 3),
        (End.MICROPHONE, "built-in", 0),
        (End.LOUDSPEAKER, "hdmi", 3),
        (End.MICROPHONE, "default", 4),
        (End.MICROPHONE, "hw:2", 2),
    ],
)
def test_the_device_that_was_meant(end: End, wanted: str, index: int) -> None:
    assert pick_device(DEVICES, end, wanted).index == index


@pytest.mark.parametrize(
    ("devices", "end", "wanted", "sentence"),
    [
        (DEVICES, End.MICROPHONE, "HDMI", 'There is no microphone "HDMI"; `assistant devices` lists what there is.'),
        (DEVICES, End.MICROPHONE, "3", 'There is no microphone "3"; `assistant devices` lists what there is.'),
        (DEVICES, End.LOUDSPEAKER, "99", 'There is no loudspeaker "99"; `assistant devices` lists what there is.'),
        (
            DEVICES,
            End.MICROPHONE,
            "headset",
            '"headset" fits several devices (1 USB Headset: Audio (hw:1,0), 2 USB Headset: Audio #2 (hw:2,0)); '
            "give the number of the microphone.",
        ),
        (
            (),
            End.LOUDSPEAKER,
            "",
            "No loudspeaker was found; plug one in (with PulseAudio or PipeWire the Debian package libasound2-plugins "
            "is needed too) and look at the list that `assistant devices` prints.",
        ),
    ],
)
def test_what_cannot_be_meant(devices: tuple[Device, ...], end: End, wanted: str, sentence: str) -> None:
    with pytest.raises(VoiceFault) as fault:
        pick_device(devices, end, wanted)
    assert fault.value.sentence == sentence
