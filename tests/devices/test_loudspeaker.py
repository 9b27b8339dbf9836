"""What the loudspeaker gives is what was asked for: pitch, length, level, and silence when it is told to be quiet."""

from __future__ import annotations

import statistics
from collections.abc import Iterator

import numpy as np
import pytest

from assistant.events import Adjust, ToneKind, VoiceKnob
from assistant.voice.adapters.pyttsx3 import Pyttsx3Synthesiser
from assistant.voice.sound.card import SoundCard
from assistant.voice.speaking.speaker import CardSpeaker
from tests.devices.pulse import RECORD_HZ, PulseBay, Samples
from tests.devices.waiting import until
from tests.fakes.breaking_voice import BreakingVoice

LONG = "Fit the cover by hand and start every bolt two turns before any of them is tightened in the order read out."


@pytest.fixture
def said() -> list[tuple[str, bool]]:
    return []


@pytest.fixture
def speaker(card: SoundCard, said: list[tuple[str, bool]]) -> Iterator[CardSpeaker]:
    speaker = CardSpeaker(
        Pyttsx3Synthesiser(), card.loudspeaker("bay_speaker"), on_said=lambda *told: said.append(told)
    )
    yield speaker
    speaker.close()


def sounding(samples: Samples, floor: int = 100) -> np.ndarray:
    """Return the places of all samples that can be heard."""
    return np.flatnonzero(np.abs(samples.astype(int)) > floor)


def test_a_pure_tone_comes_out_with_its_pitch_and_length(pulse: PulseBay, card: SoundCard) -> None:
    # The reference is arithmetic: 1000 Hz for 0.5 s at the loudspeaker's rate.
    loudspeaker = card.loudspeaker("bay_speaker")
    rate = loudspeaker.rate_hz
    wave = np.rint(8000 * np.sin(2 * np.pi * 1000 * np.arange(rate // 2) / rate)).astype(np.int16)
    played = 0

    def pull(count: int) -> Samples:
        nonlocal played
        part = wave[played : played + count]
        played += count
        return np.concatenate([part, np.zeros(count - part.size, dtype=np.int16)])

    with pulse.recorded() as recording:
        loudspeaker.start(pull)
        until(lambda: played > rate, "the tone to be played")
    places = sounding(recording.samples)
    assert (places[-1] - places[0]) / RECORD_HZ == pytest.approx(0.5, abs=0.01)
    heard = recording.samples[places[0] : places[-1]].astype(float)
    spectrum = np.abs(np.fft.rfft(heard * np.hanning(heard.size)))
    assert np.argmax(spectrum) * RECORD_HZ / heard.size == pytest.approx(1000, abs=3)
    assert np.sqrt(np.mean(heard**2)) == pytest.approx(8000 / np.sqrt(2), rel=0.05)


def test_a_sentence_is_spoken_to_its_end_and_reported(
    pulse: PulseBay, speaker: CardSpeaker, said: list[tuple[str, bool]]
) -> None:
    with pulse.recorded() as recording:
        speaker.say("Stage two of four. Thirty-two newton metres.")
        assert speaker.is_sounding()
        until(lambda: not speaker.is_sounding(), "the sentence to end")
        until(lambda: sounding(recording.so_far()[-4800:]).size == 0, "the recorder to hear the end")
    assert said == [("Stage two of four. Thirty-two newton metres.", True)]
    places = sounding(recording.samples)
    # By the clock, nine words at 165 words a minute last 3.3 s; the engine counts long words, so half to all of it.
    assert 1.6 < (places[-1] - places[0]) / RECORD_HZ < 3.5


def test_nothing_sounds_any_more_when_the_speaker_says_so(pulse: PulseBay, speaker: CardSpeaker) -> None:
    with pulse.recorded() as recording:
        speaker.say("Next.")
        until(lambda: not speaker.is_sounding(), "the sentence to end")
        claimed = recording.so_far().size
        until(lambda: recording.so_far().size > claimed + RECORD_HZ // 2, "half a second more")
    # The recorder is behind by up to 40 ms.
    assert sounding(recording.samples)[-1] < claimed + 0.04 * RECORD_HZ


def test_what_was_not_yet_spoken_is_known_while_it_sounds(pulse: PulseBay, speaker: CardSpeaker) -> None:
    with pulse.recorded():
        speaker.say(f"Next. {LONG}")
        assert speaker.unsaid(0) == f"Next. {LONG}"
        until(lambda: speaker.unsaid(0) == LONG, "the first sentence to end")
        speaker.hush()
        until(lambda: not speaker.is_sounding(), "silence")
        assert speaker.unsaid(0) == LONG


def test_hush_is_silence_within_a_tenth_of_a_second(
    pulse: PulseBay, speaker: CardSpeaker, said: list[tuple[str, bool]]
) -> None:
    took = []
    with pulse.recorded() as recording:
        for _ in range(5):
            before = recording.so_far().size
            speaker.say(LONG)
            until(lambda: sounding(recording.so_far()[before:]).size > RECORD_HZ // 4, "speech")  # noqa: B023
            asked = recording.so_far().size
            speaker.hush()
            until(lambda: recording.so_far().size > asked + RECORD_HZ, "a second more")  # noqa: B023
            took.append((sounding(recording.so_far())[-1] - asked) / RECORD_HZ)
    # The best of five: what else this machine does makes some later, and none quicker.
    assert min(took) < 0.100, took
    assert statistics.median(took) < 0.500, took
    assert said == [(LONG, False)] * 5


def test_a_new_answer_takes_the_place_of_the_old_one(speaker: CardSpeaker, said: list[tuple[str, bool]]) -> None:
    speaker.say(LONG)
    speaker.say("This waits its turn.", cut=False)
    speaker.say("Next.")
    until(lambda: not speaker.is_sounding(), "the last answer to end", 4)
    assert said == [(LONG, False), ("This waits its turn.", False), ("Next.", True)]


def test_what_may_wait_is_spoken_afterwards(speaker: CardSpeaker, said: list[tuple[str, bool]]) -> None:
    speaker.say("One.")
    speaker.say("Two.", cut=False)
    until(lambda: not speaker.is_sounding(), "both to end")
    assert said == [("One.", True), ("Two.", True)]


def test_a_tone_sounds_over_speech_at_once(pulse: PulseBay, speaker: CardSpeaker) -> None:
    # The timer's note is 1568 Hz (G6 in equal temperament, A4 = 440 Hz after ISO 16); speech has far less just there.
    window = RECORD_HZ // 50
    note = np.exp(-2j * np.pi * 1568 * np.arange(window) / RECORD_HZ) * np.hanning(window)
    behind = []
    for _ in range(3):
        with pulse.recorded() as recording:
            speaker.say(LONG)
            until(lambda: sounding(recording.so_far()).size > RECORD_HZ // 4, "speech")
            speaker.tone(ToneKind.TIMER)
            asked = recording.so_far().size
            until(lambda: recording.so_far().size > asked + RECORD_HZ, "a second more")  # noqa: B023
            speaker.hush()
        around = recording.samples[asked - RECORD_HZ // 5 : asked + RECORD_HZ].astype(float)
        strength = [abs(np.sum(around[at : at + window] * note)) for at in range(0, around.size - window, window // 2)]
        assert max(strength) > 4 * float(np.median(strength))
        behind.append(int(np.argmax(strength)) * window / 2 / RECORD_HZ - 0.2)
    # The note itself is 0.15 s long. The best of three: what else this machine does makes some later, and none sooner.
    assert -0.02 < min(behind) < 0.35, behind


def test_quieter_is_three_decibels_down(pulse: PulseBay, speaker: CardSpeaker) -> None:
    levels = []
    for _ in range(2):
        with pulse.recorded() as recording:
            speaker.say("Bolts four to eight.")
            until(lambda: not speaker.is_sounding(), "the sentence to end")
        levels.append(np.sqrt(np.mean(recording.samples[sounding(recording.samples)].astype(float) ** 2)))
        speaker.adjust(Adjust(VoiceKnob.VOLUME, -1))
    assert 20 * np.log10(levels[1] / levels[0]) == pytest.approx(-3, abs=0.3)


def test_faster_and_slower_change_how_long_a_sentence_takes(pulse: PulseBay, speaker: CardSpeaker) -> None:
    lengths = []
    for steps in (-4, +4):
        speaker.adjust(Adjust(VoiceKnob.RATE, steps))
        with pulse.recorded() as recording:
            speaker.say("Bolts four to eight.")
            until(lambda: not speaker.is_sounding(), "the sentence to end")
        lengths.append(np.ptp(sounding(recording.samples)))
    # Four steps of 15 %: 1.15 to the fourth is 1.75; engines shorten pauses less than words.
    assert lengths[0] / lengths[1] == pytest.approx(1.15**4, rel=0.2)


def test_a_voice_that_breaks_is_reported_and_the_next_answer_is_spoken(card: SoundCard) -> None:
    said: list[tuple[str, bool]] = []
    faults: list[str] = []
    speaker = CardSpeaker(
        BreakingVoice(Pyttsx3Synthesiser(), "crankshaft"),
        card.loudspeaker("bay_speaker"),
        on_said=lambda *told: said.append(told),
        on_fault=faults.append,
    )
    speaker.say("Stage one. Turn the crankshaft. Stop.")
    until(lambda: len(said) == 1, "the broken answer to be reported")
    speaker.say("Next.")
    until(lambda: not speaker.is_sounding(), "the next answer to end")
    assert said == [("Stage one. Turn the crankshaft. Stop.", False), ("Next.", True)]
    assert faults == ["The speech engine failed."]
    speaker.close()
