"""A device that is pulled out is reported within about a second, and taken up again when it is back."""

from __future__ import annotations

import time

import numpy as np

from assistant.voice.adapters.pyttsx3 import Pyttsx3Synthesiser
from assistant.voice.sound.card import SoundCard
from assistant.voice.speaking.speaker import CardSpeaker
from tests.devices.pulse import PulseBay
from tests.devices.waiting import until

News = list[tuple[str, str]]


def test_the_loudspeaker_goes_and_comes_back(pulse: PulseBay, card: SoundCard, news: News) -> None:
    said: list[tuple[str, bool]] = []
    speaker = CardSpeaker(
        Pyttsx3Synthesiser(), card.loudspeaker("bay_speaker"), on_said=lambda *told: said.append(told)
    )
    speaker.say("The loudspeaker is pulled out while this long sentence is being spoken, which nobody then hears.")
    until(speaker.is_sounding, "speech")
    pulse.unplug_loudspeaker()
    try:
        assert until(lambda: ("lost", "loudspeaker") in news, "the loss to be reported") < 1.5
        until(lambda: not speaker.is_sounding(), "the speaker to give up", 2)
        assert [completed for _, completed in said] == [False]
        speaker.say("Nobody hears this.")
        until(lambda: len(said) == 2, "that to be reported", 2)
        assert said[1] == ("Nobody hears this.", False)
        assert not speaker.is_sounding()
    finally:
        pulse.plug_in_loudspeaker()
    until(lambda: ("back", "loudspeaker") in news, "the loudspeaker to be taken up again")
    with pulse.recorded() as recording:
        speaker.say("Here again.")
        until(lambda: len(said) == 3, "the sentence to end")
        until(lambda: not speaker.is_sounding(), "silence")
    assert said[2] == ("Here again.", True)
    assert np.abs(recording.samples).max() > 5000
    assert news == [("lost", "loudspeaker"), ("back", "loudspeaker")]
    speaker.close()


def test_the_microphone_goes_and_comes_back_and_the_speaker_plays_on(
    pulse: PulseBay, card: SoundCard, news: News
) -> None:
    said: list[tuple[str, bool]] = []
    speaker = CardSpeaker(
        Pyttsx3Synthesiser(), card.loudspeaker("bay_speaker"), on_said=lambda *told: said.append(told)
    )
    microphone = card.microphone("bay_mic")
    assert microphone.read(timeout=2)
    pulse.unplug_microphone()
    try:
        assert until(lambda: ("lost", "microphone") in news, "the loss to be reported") < 1.5
        while microphone.read(timeout=0.05):  # what was heard before is still given
            pass
        assert not microphone.ended
        speaker.say("The microphone is gone.")
        until(lambda: len(said) == 1, "the announcement to be spoken")
        assert said == [("The microphone is gone.", True)]
    finally:
        pulse.plug_in_microphone()
    until(lambda: ("back", "microphone") in news, "the microphone to be taken up again")
    talk = pulse.speak(np.full(24_000, 4000, dtype=np.int16), 48_000)
    loudest = 0
    deadline = time.monotonic() + 5
    while loudest < 3500 and time.monotonic() < deadline:
        if block := microphone.read(timeout=0.5):
            loudest = max(loudest, int(np.abs(block.samples.astype(int)).max()))
    talk.wait()
    assert loudest > 3500
    assert news == [("lost", "microphone"), ("back", "microphone")]
    speaker.close()


def test_the_sound_server_dies_and_starts_anew(pulse: PulseBay, card: SoundCard, news: News) -> None:
    card.loudspeaker("bay_speaker")
    microphone = card.microphone("bay_mic")
    assert microphone.read(timeout=2)
    pulse.stop()
    try:
        until(lambda: {("lost", "microphone"), ("lost", "loudspeaker")} <= set(news), "both losses to be reported", 3)
    finally:
        pulse.start()
    until(lambda: {("back", "microphone"), ("back", "loudspeaker")} <= set(news), "both to be taken up again", 15)
    while microphone.read(timeout=0):
        pass
    assert microphone.read(timeout=2)
    assert len(news) == 4
