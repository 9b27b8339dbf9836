"""Devices that come after the start: a bay that waits for them says so once, and goes on when they are there."""

from __future__ import annotations

import numpy as np
import pytest

from assistant.voice.ports import VoiceFault
from assistant.voice.sound.card import SoundCard
from assistant.voice.sound.ends import OtherRate
from tests.devices.pulse import PulseBay
from tests.devices.waiting import until

News = list[tuple[str, str]]


def test_a_microphone_that_is_plugged_in_after_the_start_is_taken_up(pulse: PulseBay, news: News) -> None:
    absent: list[str] = []
    pulse.unplug_microphone()
    card = SoundCard(
        on_lost=lambda end: news.append(("lost", end.value)),
        on_back=lambda end: news.append(("back", end.value)),
        on_absent=absent.append,
    )
    try:
        microphone = card.microphone("bay_mic")
        loudspeaker = card.loudspeaker("bay_speaker")
        until(lambda: ("lost", "microphone") in news, "the missing microphone to be told")
        assert microphone.read(timeout=0.05) is None
        assert loudspeaker.present
        pulse.plug_in_microphone()
        until(lambda: ("back", "microphone") in news, "the microphone to be taken up")
        talk = pulse.speak(np.full(24_000, 4000, dtype=np.int16), 48_000)
        until(
            lambda: (block := microphone.read(timeout=0.5)) is not None and int(np.abs(block.samples).max()) > 3500,
            "what is said into it",
        )
        talk.wait()
        assert news == [("lost", "microphone"), ("back", "microphone")]
        assert len(absent) <= 1
    finally:
        card.close()
        pulse.plug_in_microphone() if ("back", "microphone") not in news else None


def test_a_bay_begins_before_the_sound_server_and_has_both_ends_when_it_is_up(pulse: PulseBay, news: News) -> None:
    pulse.stop()
    absent: list[str] = []
    card = SoundCard(
        on_lost=lambda end: news.append(("lost", end.value)),
        on_back=lambda end: news.append(("back", end.value)),
        on_absent=absent.append,
    )
    try:
        microphone, loudspeaker = card.microphone(), card.loudspeaker()
        loudspeaker.start(lambda count: np.full(count, 5000, dtype=np.int16))
        until(lambda: {("lost", "microphone"), ("lost", "loudspeaker")} <= set(news), "both to be told", 15)
        pulse.start()
        until(lambda: {("back", "microphone"), ("back", "loudspeaker")} <= set(news), "both to be taken up", 20)
        assert microphone.read(timeout=2)
        with pulse.recorded() as recording:
            until(lambda: np.abs(recording.so_far()).max(initial=0) > 4000, "the loudspeaker to play")
    finally:
        card.close()


def test_without_leave_to_wait_a_missing_device_is_a_fault_at_once(pulse: PulseBay, card: SoundCard) -> None:
    with pytest.raises(VoiceFault, match='no microphone "nothing of the kind"'):
        card.microphone("nothing of the kind")


def test_a_loudspeaker_with_another_rate_plays_at_the_right_pitch() -> None:
    """440 Hz at 48,000 samples a second is 440 Hz at 44,100: counted in the spectrum of one second (numpy's FFT)."""
    at = 0

    def pull(count: int) -> np.ndarray:
        nonlocal at
        tone = 8000 * np.sin(2 * np.pi * 440 * np.arange(at, at + count) / 48_000)
        at += count
        return tone.astype(np.int16)

    other = OtherRate(48_000, 44_100)
    pieces = [other.give(441, pull) for _ in range(200)]
    assert {piece.size for piece in pieces} == {441}
    second = np.concatenate(pieces)[44_100:]
    assert int(np.argmax(np.abs(np.fft.rfft(second)))) == 440
